"""Dates that are written as dates but do not exist, such as 2026-02-30."""

import re
from collections.abc import Iterator
from functools import lru_cache
from typing import Any, Final

from speclint.documents.tree import Document
from speclint.moments import moment
from speclint.places import Path
from speclint.problems import Problem

ANY: Final = None
"""A step of a route that stands for every item of a list, or every name of a mapping."""

Route = tuple[str | None, ...]
"""The way from the top of a document to a key that holds a date."""

MOMENT_PATTERN: Final = "^[0-9]{4}-[0-9]{2}-[0-9]{2}([ T][0-9]{2}:[0-9]{2})?$"
"""How a day is written, or a day with its time."""

_WRITTEN: Final = re.compile(MOMENT_PATTERN.strip("^$"), re.ASCII)
_MONTH_AND_DAY: Final = re.compile(r"-[0-9]{2}-[0-9]{2}(?:[ T][0-9]{2}:)?", re.ASCII)
_DAYS_OF_MONTHS: Final = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
_EVERY_YEAR: Final = frozenset(
    f"-{month:02}-{day:02}" for month, days in enumerate(_DAYS_OF_MONTHS, 1) for day in range(1, days + 1)
)
"""The days that are in every year's calendar."""

_DATES: Final = frozenset({"#/$defs/day", "#/$defs/moment"})


def date_routes(schema: dict[str, Any]) -> tuple[Route, ...]:
    """Every route to a date that a schema knows."""
    return tuple(dict.fromkeys(_routes(schema, schema["$defs"], ())))


def _routes(node: Any, defs: dict[str, Any], route: Route) -> Iterator[Route]:
    if not isinstance(node, dict):
        return
    reference = node.get("$ref")
    if reference in _DATES:
        yield route
    elif reference is not None:
        yield from _routes(defs[reference.removeprefix("#/$defs/")], defs, route)
    for key, inner in node.get("properties", {}).items():
        yield from _routes(inner, defs, (*route, key))
    for keyword in ("items", "additionalProperties"):
        yield from _routes(node.get(keyword), defs, (*route, ANY))


def has_plain_dates_only(text: str) -> bool:
    """Whether every date of a text is in every year's calendar, so that none needs a second look."""
    return "\\" not in text and "0000-" not in text and _EVERY_YEAR.issuperset(_MONTH_AND_DAY.findall(text))


def impossible_dates(document: Document, routes: tuple[Route, ...]) -> tuple[Problem, ...]:
    """A problem for each date of a document that is written as one and is not in the calendar, in the text's order."""
    problems = []
    for route in routes:
        for path, text in _values(document.data, route, ()):
            if isinstance(text, str) and not _exists(text):
                key = next((step for step in reversed(path) if isinstance(step, str)), "")
                message = f"`{key}` is {text}, a date that does not exist"
                problems.append(Problem("no-such-date", message, document.place(path, of_key=True)))
    return tuple(sorted(problems, key=lambda problem: problem.place))


def _values(data: Any, route: Route, path: Path) -> Iterator[tuple[Path, Any]]:
    if not route:
        yield path, data
    elif route[0] is not ANY:
        if isinstance(data, dict) and route[0] in data:
            yield from _values(data[route[0]], route[1:], (*path, route[0]))
    elif isinstance(data, dict):
        for key, value in data.items():
            yield from _values(value, route[1:], (*path, key))
    elif isinstance(data, list):
        for index, value in enumerate(data):
            yield from _values(value, route[1:], (*path, index))


@lru_cache(maxsize=4096)
def _exists(text: str) -> bool:
    """Whether a date is in the calendar; what is not written as a date is for the schema to refuse."""
    if not _WRITTEN.fullmatch(text):
        return True
    try:
        moment(text)
    except ValueError:
        return False
    return True
