"""The page of a site that checks a car in the browser: what it consists of, every file with its size and digest."""

import json
from collections.abc import Mapping
from datetime import datetime
from hashlib import sha256
from typing import Any, Final, NamedTuple

from speclint.pages.render import page, source
from speclint.publish.archive import archive_of
from speclint.publish.class_page import ClassPage
from speclint.rulesets.model import Ruleset

FOLDER: Final = "check/"
"""Where in the site it stands."""

_SOURCES: Final = {"check.css": "check.css", "page.js": "check_page.js", "worker.js": "check_worker.js"}
_OFFLINE: Final = "offline.js"
_FORMAT: Final = "check-parts/1"


class BrowserParts(NamedTuple):
    """What runs speclint in a browser.

    Attributes:
        packages: the files of the package and its dependencies, by their paths.
        runtime: the files of the runtime, by their names.
        runtime_version: which runtime it is.
    """

    packages: Mapping[str, bytes]
    runtime: Mapping[str, bytes]
    runtime_version: str


def check_page_files(
    parts: BrowserParts,
    ruleset: Ruleset,
    classes: tuple[ClassPage, ...],
    archive: tuple[str, bytes],
    shared: Mapping[str, Any],
    made: datetime,
) -> dict[str, bytes]:
    """The page with all that it loads, by the path in the site.

    Args:
        parts: what runs speclint.
        ruleset: the one that is published.
        classes: its classes, to choose from.
        archive: name and bytes of the site's archive for teams: the page judges by the very same files.
        shared: what every page of the site says.
        made: the date of the files that it packs.
    """
    season = ruleset.in_force
    index = page(
        "check_page.html",
        title=f"Check a car: {ruleset.title or ruleset.id}",
        classes=classes,
        first_day="" if season.start is None else season.start.isoformat(),
        last_day="" if season.end is None else season.end.isoformat(),
        runtime_version=parts.runtime_version,
        **shared,
    )
    files = {name: source(template).encode() for name, template in _SOURCES.items()}
    files |= {f"runtime/{name}": data for name, data in parts.runtime.items()}
    files |= {
        "index.html": index.encode(),
        "speclint.zip": archive_of(parts.packages, made, is_compressed=True),
    }
    listed = {**files, f"../{archive[0]}": archive[1]}
    described = {
        name: {"bytes": len(data), "sha256": sha256(data).hexdigest()} for name, data in sorted(listed.items())
    }
    contents = {
        "format": _FORMAT,
        "ruleset": ruleset.name,
        "digest": shared["digest"],
        "build": sha256(json.dumps(described).encode()).hexdigest(),
        "files": described,
    }
    files |= {
        _OFFLINE: source("check_offline.js").encode(),
        "parts.json": (json.dumps(contents, indent=1) + "\n").encode(),
    }
    return {f"{FOLDER}{name}": data for name, data in files.items()}
