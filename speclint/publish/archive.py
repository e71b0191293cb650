"""An archive of a ruleset and its base: the same bytes for the same files, wherever and whenever it is made."""

import io
import zipfile
from collections.abc import Mapping
from datetime import datetime
from typing import Final

_OLDEST: Final = 1980
"""The first year that the format can tell (APPNOTE.TXT 4.4.6)."""

_PLAIN_FILE: Final = 0o100644 << 16
_MADE_ON_UNIX: Final = 3


def archive_of(files: Mapping[str, bytes], made: datetime, *, is_compressed: bool = False) -> bytes:
    """The files as a ZIP archive, in the order of their names, all dated alike.

    They are stored and not compressed where the bytes are to be the same on any machine: what a compressor makes of a
    file depends on its version.
    """
    moment = max(made, datetime(_OLDEST, 1, 1, tzinfo=made.tzinfo))
    dated = (moment.year, moment.month, moment.day, moment.hour, moment.minute, moment.second)
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        for name in sorted(files):
            entry = zipfile.ZipInfo(name, dated)
            entry.external_attr = _PLAIN_FILE
            entry.create_system = _MADE_ON_UNIX
            entry.compress_type = zipfile.ZIP_DEFLATED if is_compressed else zipfile.ZIP_STORED
            archive.writestr(entry, files[name])
    return packed.getvalue()
