"""What the bytes of a file say that it is, told without parsing them: which files of a folder are speclint's."""

import re
from typing import Final

KINDS: Final = ("setup", "motor", "ruleset", "garage")

_HEAD: Final = 64 * 1024
"""How much of a file in another encoding is looked at, in bytes."""

# What has been passed over is never given back (`*+`), and a tag has an end: the time grows with the length alone.
_FIRST_CONTENT: Final = re.compile(rb"(?:[ \t]*+(?:#[^\n]*+|---[^\n]*+|%[^\n]*+)?\n)*+([ \t]*+)(?!#|---|%)(\S)")

_TAGS: Final = rb"""(?:[!&][^ \t\n]{0,100}+[ \t]++){0,4}+"""
_VALUE: Final = rb"""["']?[ \t]*+:(?:[ \t]|\n[ \t])*+""" + _TAGS + rb"""["']?[ \t]*+([A-Za-z_-]{1,40})[ \t]*+(/?)"""
_IN_BLOCK: Final = re.compile(rb"""^([ \t]*)["']?format""" + _VALUE, re.MULTILINE)
_IN_BRACES: Final = rb"""[{,\s]["']?format""" + _VALUE


def declared_kind(data: bytes) -> str:
    """The kind of speclint file that the bytes say they are, "" for none; a near miss counts as what it is near to.

    Only a `format:` at the top of the document counts, so that a file that quotes one in a text is nobody's but its
    owner's. What this takes for speclint's is parsed, and then says for itself what it is.
    """
    wide = wide_encoding(data)
    if wide:
        data = _narrow(data, wide)
    data = data.removeprefix(b"\xef\xbb\xbf")
    if b"format" not in data:
        return ""
    if b"\r" in data:
        data = data.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    first = _FIRST_CONTENT.match(data)
    if first is None:
        return ""
    if first[2] == b"{":
        for found in re.compile(_IN_BRACES).finditer(data, first.end(1)):
            return _kind(found[1], found[2])
        return ""
    for found in _IN_BLOCK.finditer(data):
        # A tab is a mistake that its owner has to be told of, at whatever depth it was meant.
        if found[1] == first[1] or (found[1] and not found[1].strip(b"\t")):
            return _kind(found[2], found[3])
    return ""


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
