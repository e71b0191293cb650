"""Dates must be in the calendar. Source: the Gregorian calendar's leap years (ISO 8601-1)."""

import calendar

import pytest
from hypothesis import given
from hypothesis import strategies as st

from speclint.documents.parse import parse
from speclint.structure.dates import date_routes
from speclint.structure.formats import FORMATS
from speclint.structure.validate import schema_of, validate


def _problems(day: str) -> list[str]:
    document, _ = parse("x.yaml", f"format: setup/1\ntrack_runs:\n  - date: {day}\n")
    assert document is not None
    return [problem.id for problem in validate(document, "setup/1")]


@given(st.integers(1, 9999), st.integers(0, 13), st.integers(0, 32))
def test_a_day_is_taken_when_the_calendar_has_it_and_only_then(year: int, month: int, day: int) -> None:
    there = 1 <= month <= 12 and 1 <= day <= calendar.monthrange(year, month)[1]
    assert _problems(f"{year:04}-{month:02}-{day:02}") == ([] if there else ["no-such-date"])


@pytest.mark.parametrize("time", ["00:00", "09:05", "23:59"])
def test_a_time_of_day_may_follow(time: str) -> None:
    assert _problems(f"2026-03-14 {time}") == []
    assert _problems(f"2026-03-14T{time}") == []


@pytest.mark.parametrize("time", ["24:00", "12:60", "99:99"])
def test_a_time_that_no_clock_shows_is_no_date(time: str) -> None:
    assert _problems(f"2026-03-14 {time}") == ["no-such-date"]


@pytest.mark.parametrize(
    ("declared", "route"),
    [
        ("setup/1", ("entries", None, "on")),
        ("setup/1", ("motor", "bench_runs", None, "date")),
        ("setup/1", ("instruments", None, "calibrated_on")),
        ("motor/1", ("factory_sheet", "date")),
        ("ruleset/1", ("in_force", "until")),
        ("ruleset/1", ("classes", None, "rules", None, "checked_on")),
        ("ruleset/1", ("lists", None, "frozen_on")),
        ("ruleset/1", ("lists", None, "items", None, "from")),
        ("ruleset/1", ("waivers", None, "until")),
        ("ruleset/1", ("examples", None, "setup", "motor", "rebuilds", None, "date")),
        ("garage/1", ("instruments", None, "calibrated_on")),
    ],
)
def test_every_date_of_a_document_is_looked_at(declared: str, route: tuple[str | None, ...]) -> None:
    assert route in date_routes(schema_of(declared))


def test_what_a_racer_writes_under_extra_is_never_taken_for_a_date() -> None:
    document, _ = parse("x.yaml", "format: setup/1\nextra: {on: 2026-02-30, date: 2026-02-31}\n")
    assert document is not None
    assert validate(document, "setup/1") == ()


@pytest.mark.parametrize("declared", FORMATS)
def test_no_route_ends_in_a_key_that_is_open(declared: str) -> None:
    for route in date_routes(schema_of(declared)):
        assert route[-1] is not None
