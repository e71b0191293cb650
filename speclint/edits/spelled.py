"""Values spelled as YAML, on one line, such that reading them gives the same values."""

import re
from functools import lru_cache
from typing import Any, Final

from speclint.documents.parse import parse
from speclint.documents.scalars import WORDS
from speclint.documents.text import unreadable

_PLAIN_KEY: Final = re.compile(r"[A-Za-z_][A-Za-z0-9_.-]*")
_MOMENT: Final = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}([ T][0-9]{2}:[0-9]{2})?")
_LIKE_A_NUMBER: Final = re.compile(r"[-+.]?[0-9][-+0-9_:.,eExXoObBa-fA-F]*")
_OTHER_READERS_BOOLEANS: Final = frozenset({"y", "n", "yes", "no", "on", "off", "true", "false", "null"})
"""In any case of letters; readers that follow YAML 1.1 take them for more than text."""

_ESCAPES: Final = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r"}


def flow(value: Any, *, like_json: bool = False) -> str:
    """A value as it stands within brackets or braces, `{date: 2026-03-14, did: [clean]}`; `like_json` quotes all text.

    Lists and mappings spelled so may stand anywhere.
    """
    if isinstance(value, dict):
        return "{" + ", ".join(spelled_member(name, inner, like_json=like_json) for name, inner in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(flow(inner, like_json=like_json) for inner in value) + "]"
    return scalar(value, in_flow=True, quote='"' if like_json else "")


def spelled_member(name: str, value: object, *, like_json: bool) -> str:
    """A key with its value, on one line, fit for a mapping in braces."""
    return f"{key(name, quoted=like_json)}: {flow(value, like_json=like_json)}"


def key(name: str, *, quoted: bool = False) -> str:
    """A mapping's key."""
    return name if not quoted and _PLAIN_KEY.fullmatch(name) and name not in WORDS else _double(name)


def scalar(value: Any, *, in_flow: bool, quote: str = "") -> str:
    """A single value; text has quotes where it needs them, and the `quote` that is asked for where that can hold it.

    A number that is not finite, or has too many digits, is spelled so that reading it is a problem.
    """
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return {"inf": ".inf", "-inf": "-.inf", "nan": ".nan"}.get(repr(value), repr(value))
    text = str(value)
    for candidate in _candidates(text, quote):
        if _reads_back(candidate, text, in_flow=in_flow):
            return candidate
    return _double(text)


def _candidates(text: str, quote: str) -> list[str]:
    if not text.isprintable():
        return []
    single = "'" + text.replace("'", "''") + "'"
    if quote == "'":
        return [single]
    if quote == '"':
        return []
    needs_escapes = '"' in text or "\\" in text
    quoted = [single] if needs_escapes else []
    misleading = text.lower() in _OTHER_READERS_BOOLEANS or (
        _LIKE_A_NUMBER.fullmatch(text) is not None and _MOMENT.fullmatch(text) is None
    )
    return quoted if misleading else [text, *quoted]


@lru_cache(maxsize=1024)
def _reads_back(candidate: str, text: str, *, in_flow: bool) -> bool:
    """Whether a candidate is read as the text, be it on the line of others or on one of its own."""
    sample = f"- [{candidate},\n  {candidate}\n  ]\n" if in_flow else f"- k: {candidate}\n  l:\n    {candidate}\n"
    meant: Any = [[text, text]] if in_flow else [{"k": text, "l": text}]
    document, problems = parse("", sample)
    return document is not None and not problems and bool(document.data == meant)


def _double(text: str) -> str:
    return '"' + "".join(_ESCAPES.get(sign) or _visible(sign) for sign in text) + '"'


def _visible(sign: str) -> str:
    if sign.isascii() and sign.isprintable():
        return sign
    if sign != "\ufeff" and sign.isprintable() and unreadable("", sign) is None:
        return sign
    code = ord(sign)
    return f"\\x{code:02x}" if code <= 0xFF else f"\\u{code:04x}" if code <= 0xFFFF else f"\\U{code:08x}"
