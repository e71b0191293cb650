"""What the bytes of a file say that it is, told without parsing them: which files of a folder are speclint's."""

import re
from typing import Final

from speclint.places import Place
from speclint.problems import Problem

KINDS: Final = ("setup", "motor", "ruleset", "garage", "inspection")

KEYS_OF_KINDS: Final = {
    "setup": frozenset({b"car", b"entries", b"battery", b"speed_control", b"track_runs"}),
    "motor": frozenset({b"bench_runs", b"rebuilds", b"factory_sheet", b"rotor", b"timing_deg", b"turns", b"shims_mm"}),
    "ruleset": frozenset({b"in_force", b"classes", b"based_on", b"waivers", b"reference_temperature_c"}),
    "garage": frozenset({b"instruments", b"parts_box", b"tracks", b"pins"}),
    "inspection": frozenset({b"event", b"officials", b"cars", b"digest"}),
}
"""Keys at the top of each kind of file; two of them are more than chance, even where no `format` stands."""

_HEAD: Final = 64 * 1024
"""How much of a file in another encoding is looked at, in bytes."""

# What has been passed over is never given back (`*+`), and a tag has an end: the time grows with the length alone.
_FIRST_CONTENT: Final = re.compile(rb"(?:[ \t]*+(?:#[^\n]*+|---[^\n]*+|%[^\n]*+)?\n)*+([ \t]*+)(?!#|---|%)(\S)")

_TAGS: Final = rb"""(?:[!&][^ \t\n]{0,100}+[ \t]++){0,4}+"""
_VALUE: Final = rb"""["']?[ \t]*+:(?:[ \t]|\n[ \t])*+""" + _TAGS + rb"""["']?[ \t]*+([A-Za-z_-]{1,40})[ \t]*+(/?)"""
_IN_BLOCK: Final = re.compile(rb"""^([ \t]*)["']?format""" + _VALUE, re.MULTILINE)
# Most files say their format plainly, and so these are compiled where they are met.
_IN_BRACES: Final = rb"""[{,\s]["']?format""" + _VALUE
_NEARLY: Final = rb"""(?m)^([ \t]*+)(?:-[ \t]++)?["']?([A-Za-z_]{3,12}+)""" + _VALUE
_KEYS: Final = rb"""(?m)^([ \t]*+)["']?([a-z_]{3,30}+)["']?[ \t]*+:(?=\s)"""


def declared_kind(data: bytes) -> str:
    """The kind of speclint file that the bytes say they are, "" for none; a near miss counts as what it is near to.

    Only a `format:` at the top of the document counts, so that a file that quotes one in a text is nobody's but its
    owner's. Near misses are a misspelt key or kind, a dash before the key, and no `format` in a file with the keys of
    one. What this takes for speclint's is parsed, and then says for itself what it is.
    """
    wide = wide_encoding(data)
    if wide:
        data = _narrow(data, wide)
    data = data.removeprefix(b"\xef\xbb\xbf")
    if b"\r" in data:
        data = data.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    first = _FIRST_CONTENT.match(data)
    if first is None:
        return ""
    if first[2] == b"{":
        declaration = re.search(_IN_BRACES, data[first.end(1) :])
        return "" if declaration is None else _kind(declaration[1], declaration[2])
    if b"format" in data:
        for declaration in _IN_BLOCK.finditer(data):
            # A tab is a mistake that its owner has to be told of, at whatever depth it was meant.
            if declaration[1] == first[1] or (declaration[1] and not declaration[1].strip(b"\t")):
                return _kind(declaration[2], declaration[3])
    return _near_kind(data, first[1])


def _near_kind(data: bytes, indent: bytes) -> str:
    """The kind that a file without a `format` at its top was meant to be, "" for none."""
    for declaration in re.finditer(_NEARLY, data):
        if declaration[1] == indent and declaration[4] and is_near_format(declaration[2].decode()):
            return _kind(declaration[3], declaration[4])
    keys = {key[2] for key in re.finditer(_KEYS, data) if key[1] == indent}
    return next((kind for kind, keys_of_kind in KEYS_OF_KINDS.items() if len(keys & keys_of_kind) > 1), "")


def is_near_format(key: str) -> bool:
    """Whether a key was meant to be `format`."""
    if not 5 <= len(key) <= 7:
        return False
    from speclint.spelling import nearest

    return bool(nearest(key, ("format",), cutoff=0.8))


def holds_nothing(text: str) -> bool:
    """Whether a text has no content: nothing at all, or comments only."""
    data = text.replace("\r", "\n").encode("utf-8", "replace")
    return _FIRST_CONTENT.match(data + b"\n") is None


def wide_encoding(data: bytes) -> str:
    """The encoding with two or four bytes a character that text is in, "" for none: mostly ASCII decides."""
    if b"\x00" not in data[:64]:
        return ""
    for encoding in ("utf-32-le", "utf-32-be", "utf-16-le", "utf-16-be"):
        try:
            text = data[:64].decode(encoding, "strict" if len(data) < 64 else "ignore")
        except UnicodeDecodeError:
            continue
        plain = sum(1 for sign in text if sign.isascii() and (sign.isprintable() or sign.isspace()))
        if plain * 2 > len(text):
            return encoding
    return ""


def _narrow(data: bytes, encoding: str) -> bytes:
    return data[:_HEAD].decode(encoding, "ignore").removeprefix("\ufeff").encode("utf-8", "replace")


def _kind(word: bytes, slash: bytes) -> str:
    name = word.decode().lower()
    if name in KINDS:
        return name
    if not slash:
        return ""
    from speclint.spelling import nearest

    return nearest(name, KINDS, cutoff=0.75)


def not_text(shown: str, data: bytes, error: UnicodeDecodeError) -> Problem:
    """The problem of a file whose bytes are no UTF-8, at the first one that is none."""
    before = data[: error.start]
    line = before.count(b"\n") + 1
    column = len(before[before.rfind(b"\n") + 1 :].decode("utf-8-sig" if line == 1 else "utf-8", "replace")) + 1
    message = f"the byte 0x{data[error.start]:02x} is not UTF-8 text: save the file as UTF-8"
    return Problem("not-text", message, Place(shown, line, column))
