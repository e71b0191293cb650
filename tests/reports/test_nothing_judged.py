"""An entry that no rule judged says so in every report, and so does one whose ruleset builds on one that is over."""

import json

import pytest

from speclint.findings import Tally
from tests.check.world import a_ruleset, a_setup, find_in
from tests.reports.report_text import report_text

REASON = "nothing was judged: no rule of stock binds on 14 March 2026"


@pytest.fixture(scope="module")
def idle() -> Tally:
    return find_in({"club.yaml": a_ruleset(), "car.yaml": a_setup("car: {mass_g: 1350}")})


def test_lines_have_one_for_the_entry(idle: Tally) -> None:
    assert report_text("lines", idle) == f"car.yaml:2:11: not-shown: {REASON} (club/stock, 2026-03-14)\n"


def test_the_text_says_it_in_place_of_what_to_do(idle: Tally) -> None:
    sheet = " ".join(report_text("text", idle).split())
    assert f"{REASON[0].upper()}{REASON[1:]}." in sheet


def test_json_says_it_for_a_program(idle: Tally) -> None:
    (entry,) = json.loads(report_text("json", idle))["entries"]
    assert (entry["verdict"], entry["reason"], entry["notes"]) == ("not-shown", REASON, [])


def test_a_base_that_is_over_stands_beneath_the_entry() -> None:
    weight = "{id: weight, quantity: mass_g, at_least: 1350}"
    findings = find_in(
        {
            "league.yaml": a_ruleset(weight, id_="league", top="in_force: {from: 2026-01-01, until: 2026-02-28}"),
            "club.yaml": a_ruleset(top="based_on: league@1", class_id="open"),
            "car.yaml": a_setup("car: {mass_g: 1350}"),
        }
    )
    note = "club@1 builds on league@1, which was in force until 28 February 2026: base a new version on one that is in force"
    assert note in " ".join(report_text("text", findings).split())
    assert json.loads(report_text("json", findings))["entries"][0]["notes"] == [note]
