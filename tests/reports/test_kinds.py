"""The registry of reports: each kind in it can be written by each command it names, and knows its own files."""

import pytest

from speclint.gearing.plan import Plan
from speclint.reports import Paper
from speclint.reports.kinds import CHECK, COMMANDS, GEARING, KINDS, Kind, is_such_a_report, printed, saved
from tests.gearing.geared_cars import demo
from tests.reports.misprint_cars import CARS, findings
from tests.reports.report_text import report_text

SAVED = [kind for kind in KINDS if kind.ending]


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_each_kind_is_of_some_command_and_goes_somewhere(kind: Kind) -> None:
    assert kind.modules
    assert set(kind.modules) <= set(COMMANDS)
    assert kind.is_printed or kind.ending
    assert bool(kind.ending) is bool(kind.known_by)
    assert not kind.ending.startswith((".y", "y")), "documents are never written over"


@pytest.mark.parametrize("command", COMMANDS)
def test_each_command_prints_text_first_and_saves_what_it_prints_for_programs(command: str) -> None:
    assert next(iter(printed(command))) == "text"
    assert {"text", "json"} <= set(printed(command))
    assert {".txt", ".json"} <= set(saved(command))


@pytest.mark.parametrize("kind", [kind for kind in SAVED if CHECK in kind.modules], ids=lambda kind: kind.name)
@pytest.mark.parametrize("name", CARS)
@pytest.mark.parametrize("ascii_only", [False, True])
def test_a_report_of_a_check_knows_itself_and_no_other_kind(kind: Kind, name: str, ascii_only: bool) -> None:
    if kind.is_printed or not ascii_only:
        text = report_text(kind.name, findings(*CARS[name]), Paper(ascii_only=ascii_only))
        assert [other for other in SAVED if is_such_a_report(other, _ends(text))] == [kind]


@pytest.mark.parametrize("kind", [kind for kind in SAVED if GEARING in kind.modules], ids=lambda kind: kind.name)
def test_a_report_of_a_gearing_knows_itself_and_no_other_kind(kind: Kind) -> None:
    plan = demo("car-12-carpet")
    assert isinstance(plan, Plan)
    text = report_text(kind.name, plan, command=GEARING)
    assert [other for other in SAVED if is_such_a_report(other, _ends(text))] == [kind]


def _ends(text: str) -> str:
    data = text.encode()
    return (data[:4096] + data[-4096:]).decode("utf-8", "replace")
