"""A reading may name an instrument that only the club describes: it was read on the club's own."""

import pytest

from speclint.rules.checks import Check
from tests.check.world import a_ruleset, find_in

INSTRUMENTS = "instruments: {tech-scale: {accuracy: 1.73205080756888, unit: g}}\n"
SETUP = """\
format: setup/1
entries: [{ruleset: club, class: stock, on: 2026-03-14}]
car: {mass_g: {value: 1351, instrument: tech-scale}}
"""
WEIGHT = "{id: weight, quantity: mass_g, at_least: 1350}"


def _weight(top: str) -> tuple[Check, list[str]]:
    findings = find_in({"car.yaml": SETUP, "rulesets/club.yaml": a_ruleset(WEIGHT, top=top)})
    return findings.entries[0].checks[0], [problem.message for problem in findings.problems]


def test_the_clubs_scale_blurs_a_reading_that_names_it() -> None:
    # A half-width of √3 g is a standard uncertainty of 1 g, so U = 2 g (JCGM 100 4.3.7).
    check, problems = _weight(INSTRUMENTS)
    assert problems == []
    assert check.outcome is not None
    assert check.outcome.expanded_uncertainty == pytest.approx(2.0)
    assert check.close_call


def test_an_instrument_that_nobody_describes_is_a_problem() -> None:
    _, problems = _weight("")
    assert problems == ["no instrument tech-scale is described; none is known"]
