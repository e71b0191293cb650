"""Small cases for the pages of verdicts and decision rules, judged by the engine when they are shown."""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import cache
from typing import Final

from speclint.documents.parse import parse
from speclint.limits.decisions import Decision, Limits, decide
from speclint.models.cars import Car
from speclint.models.setups import setup_of
from speclint.places import Place
from speclint.quantities.facts import Facts
from speclint.readings.instruments import Instrument, reading
from speclint.readings.measured import Measured, Number
from speclint.rules.checks import Check, Verdict
from speclint.rules.judge import judge
from speclint.rules.rulebook import rulebook
from speclint.rulesets.library import Library
from speclint.rulesets.load import ruleset_of
from speclint.rulesets.not_found import NotFound

_DAY: Final = date(2026, 3, 14)

_RULESET: Final = """\
format: ruleset/1
id: example
version: "1"
in_force: {from: 2026-01-01}
classes:
  example:
    rules:
      - {id: legal, quantity: mass_g, at_least: 1350}
      - {id: illegal, quantity: final_drive_ratio, at_least: 4.2}
      - {id: not-shown, quantity: ride_height_mm, at_least: 5}
      - {id: to-inspect, inspect: the body is uncut and its windows are clear}
      - {id: not-applicable, quantity: extra.tyre, stated: true, when: {entry.venue: indoor}}
"""

_SETUP: Final = """\
format: setup/1
car: {mass_g: 1352, spur_teeth: 96, pinion_teeth: 44, internal_ratio: 1.9}
"""

LIMIT_G: Final = 1350
READINGS_G: Final = (1353, 1351, 1349, 1347)
"""Each on another side of the limit, or of the guard bands of U around it."""

_SCALE: Final = Instrument("pit-scale", accuracy=Fraction(2))
"""Half-width 2 g, so that the standard uncertainty is 2/√3 g (JCGM 100 4.3.7)."""


@dataclass(frozen=True, slots=True)
class DecisionCase:
    """What a decision rule says of one reading."""

    mass_g: int
    ruling: str
    chance: float | None


@cache
def verdict_case(verdict: Verdict) -> Check:
    """A check that comes out with this verdict."""
    document, _ = parse("example-ruleset", _RULESET)
    setup, _ = parse("example-setup", _SETUP)
    if document is None or setup is None:
        raise ValueError("the example is not a document")
    ruleset, _ = ruleset_of(document)
    flat = Library((ruleset,)).flat(ruleset, "example")
    if isinstance(flat, NotFound):
        raise ValueError(flat.message)
    car = Car(setup_of(setup), None, "", {})
    facts = Facts(car, on=_DAY, reference_c=flat.reference_c, entry_keys={"venue": "outdoor"})
    checks = judge(rulebook(flat, _DAY), facts, Place("example-setup"))
    return next(check for check in checks if check.rule.id == verdict.value)


def scale_text() -> str:
    """The expanded uncertainty of the scale that the cases are read on."""
    weighed = _weighed(LIMIT_G)
    return f"{weighed.expanded():.1f} g" if isinstance(weighed, Measured) else "not known"


def decision_cases(decision: Decision) -> tuple[DecisionCase, ...]:
    """How the readings fare under a limit of at least `LIMIT_G`."""
    limits = Limits(low=Fraction(LIMIT_G))
    outcomes = [(mass, decide(_weighed(mass), limits, decision)) for mass in READINGS_G]
    return tuple(DecisionCase(mass, outcome.ruling.value, outcome.probability) for mass, outcome in outcomes)


def _weighed(mass_g: int) -> Number:
    return reading((Fraction(mass_g),), _SCALE, key="mass_g")
