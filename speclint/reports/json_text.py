"""JSON as all reports write it: lists of mappings one to a line, and no sign in it that could steer a terminal."""

import json
import re
from collections.abc import Iterable
from typing import Any, Final

from speclint.reports import Order, Paper, Whole
from speclint.reports.fields import Field, Record, T

_NOT_ASCII: Final = re.compile("[^\x00-\x7e]")


_ENCODER: Final = json.JSONEncoder(ensure_ascii=False, allow_nan=False)


def dumped(value: Any, *, ascii_only: bool = False) -> str:
    """A value on one line; NaN and the infinities are refused, as JSON has none."""
    text = _ENCODER.encode(value)
    if text.isprintable() and not (ascii_only and not text.isascii()):
        return text
    return _NOT_ASCII.sub(_escaped if ascii_only else _printable, text)


def members(fields: Iterable[Field[T]], thing: T, *, ascii_only: bool = False) -> str:
    """Fields of the outermost mapping, one to a line, and in each list of mappings one of these to a line."""
    return ",\n ".join(_member(field.key, field.value(thing), ascii_only=ascii_only) for field in fields)


def whole(record: Record[T], order: Order) -> Whole[T]:
    """A report on one thing; of the paper it matters only whether it takes more than ASCII."""

    def document(thing: T, paper: Paper) -> str:
        return f"{{{members(record.fields, thing, ascii_only=paper.ascii_only)}}}\n"

    return Whole(document, order)


def _member(key: str, value: Any, *, ascii_only: bool) -> str:
    if isinstance(value, list) and value and isinstance(value[0], dict):
        lines = ",\n".join(f"  {dumped(inner, ascii_only=ascii_only)}" for inner in value)
        return f'"{key}": [\n{lines}\n ]'
    return f'"{key}": {dumped(value, ascii_only=ascii_only)}'


def _printable(match: re.Match[str]) -> str:
    """A sign as it is, unless it is blank, steers a terminal, or is no text at all."""
    return match[0] if match[0].isprintable() else _escaped(match)


def _escaped(match: re.Match[str]) -> str:
    """A sign as JSON escapes it."""
    return json.dumps(match[0])[1:-1]
