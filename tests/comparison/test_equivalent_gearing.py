"""The gearing that keeps the top speed after the motor changed, and what the rules make of it."""

from datetime import date
from fractions import Fraction
from math import pi
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from speclint.comparison.equivalent import EntryRules, Equivalent, equivalent_of
from speclint.documents.parse import parse
from speclint.models.cars import Car
from speclint.models.instruments import instruments_of
from speclint.models.parts import PartsBox
from speclint.models.setups import setup_of
from speclint.quantities.facts import Facts
from speclint.readings.measured import uncertainty_of, value_of
from speclint.rules.checks import Verdict
from speclint.rules.rulebook import rulebook
from speclint.rulesets.library import Library
from speclint.rulesets.load import ruleset_of
from speclint.rulesets.not_found import NotFound
from tests.comparison.bench_motors import BENCH, compared, flow, motor, run

DAY = date(2026, 3, 14)
GEARED = {"spur_teeth": 96, "pinion_teeth": 42, "internal_ratio": 1.9, "tyre_diameter_mm": 62.5}
NO_PARTS = PartsBox()


def equivalent(
    after: int, *rules: dict[str, Any], parts: PartsBox = NO_PARTS, car: dict[str, Any] | None = None, **first: Any
) -> Equivalent:
    found = asked(after, *rules, parts=parts, car=car, **first)
    assert isinstance(found, Equivalent), found
    return found


def asked(
    after: int, *rules: dict[str, Any], parts: PartsBox, car: dict[str, Any] | None = None, **first: Any
) -> Equivalent | str:
    of = motor(
        run("2026-03-01", **first),
        run("2026-03-09", kv_rpm_per_v=after),
        rebuilds=[{"date": "2026-03-05", "did": ["rotor-swap"]}],
    )
    document, _ = parse(
        "car.yaml", flow({"format": "setup/1", "name": "Car", "car": GEARED if car is None else car}) + "\n"
    )
    assert document is not None
    fitted = Car(setup_of(document), of, "", instruments_of(dict(BENCH)))
    return equivalent_of(compared(of), fitted, tuple(race(fitted, one) for one in rules), parts)


def race(car: Car, rule: dict[str, Any]) -> EntryRules:
    data = {
        "format": "ruleset/1",
        "id": "club",
        "version": "1",
        "in_force": {"from": "2026-01-01"},
        "classes": {"stock": {"rules": [{"id": "gear", **rule}]}},
    }
    document, problems = parse("club.yaml", flow(data) + "\n")
    assert document is not None, problems
    ruleset, wrong = ruleset_of(document)
    assert not wrong
    flat = Library([ruleset]).flat(ruleset, "stock")
    assert not isinstance(flat, NotFound)
    facts = Facts(car, on=DAY, reference_c=flat.reference_c, entry_keys={})
    return EntryRules("club/stock", rulebook(flat, DAY), facts, document.place(()))


def test_the_ratio_goes_with_the_speed_per_volt() -> None:
    found = equivalent(2350)
    # 96/42 x 1.9 is 4.342857; a motor with 2350/2450 of the speed wants 4.1656.
    assert found.old_ratio == Fraction(96, 42) * Fraction("1.9")
    assert float(value_of(found.ratio)) == pytest.approx(4.342857 * 2350 / 2450, rel=1e-4)
    assert found.changed
    assert found.expanded_uncertainty == pytest.approx(2 * (uncertainty_of(found.ratio) or 0))


def test_the_car_is_as_fast_as_before() -> None:
    found = equivalent(2350)
    speed = [
        kv * 7.4 / 60 * pi * 0.0625 / ratio
        for kv, ratio in ((2450, float(found.old_ratio)), (2350, float(value_of(found.ratio))))
    ]
    assert speed[0] == pytest.approx(speed[1], rel=2e-4)


def test_the_rules_are_asked_about_the_ratio_itself_and_about_real_pinions() -> None:
    found = equivalent(
        2350, {"quantity": "final_drive_ratio", "at_least": 4.2}, parts=PartsBox(pinions_teeth=(40, 41, 42, 43, 44, 45))
    )
    assert [one.verdict for one in found.judged] == [Verdict.ILLEGAL]
    assert (found.closest.pinion_teeth, found.closest.legal) == (44, False)
    assert found.closest_legal is not None
    assert found.closest_legal.pinion_teeth == 43
    assert found.from_box
    lenient = equivalent(2350, {"quantity": "final_drive_ratio", "at_least": 4})
    assert [one.verdict for one in lenient.judged] == [Verdict.LEGAL]
    assert lenient.closest_legal == lenient.closest


@pytest.mark.parametrize(
    ("rule", "verdict"),
    [
        ({"quantity": "rollout_mm", "at_most": 47}, Verdict.ILLEGAL),
        ({"quantity": "rollout_mm", "at_most": 47.5}, Verdict.LEGAL),
        ({"quantity": "spur_pinion_ratio", "at_least": 2.2}, Verdict.ILLEGAL),
        ({"quantity": "spur_pinion_ratio", "at_least": 2.1}, Verdict.LEGAL),
    ],
)
def test_a_rule_on_the_rollout_or_the_gears_counts_as_well(rule: dict[str, Any], verdict: Verdict) -> None:
    # Rollout of a 62.5 mm tyre at 4.1656 is 47.14 mm; spur over pinion is 4.1656 / 1.9, 2.192.
    assert [one.verdict for one in equivalent(2350, rule).judged] == [verdict]


def test_only_pinions_of_the_box_and_the_one_that_is_fitted_are_named() -> None:
    found = equivalent(1800, parts=PartsBox(pinions_teeth=(30, 46)))
    assert found.closest.pinion_teeth == 46
    assert equivalent(2440, parts=PartsBox(pinions_teeth=(30, 46))).closest.pinion_teeth == 42


def test_no_legal_pinion_is_no_pinion() -> None:
    found = equivalent(2350, {"quantity": "final_drive_ratio", "at_least": 9})
    assert found.closest_legal is None


def test_a_pinion_must_please_every_entry() -> None:
    rules = ({"quantity": "final_drive_ratio", "at_least": 4.2}, {"quantity": "final_drive_ratio", "at_least": 4.5})
    found = equivalent(2350, *rules)
    assert found.closest_legal is not None
    assert found.closest_legal.pinion_teeth == 40


def test_without_a_change_that_is_shown_it_says_so() -> None:
    assert not equivalent(2449).changed
    assert equivalent(2350, instrument=None).expanded_uncertainty is None


def test_what_is_missing_is_named() -> None:
    assert (
        asked(2350, parts=NO_PARTS, car={"spur_teeth": 96})
        == "no equivalent gearing: add car.pinion_teeth, car.internal_ratio to car.yaml"
    )
    assert str(asked(2350, parts=NO_PARTS, supply_v=None)).startswith("the speed per volt of both runs is needed")
    assert str(asked(2350, parts=NO_PARTS, supply_v=7.4)).startswith(
        "no equivalent gearing: the supply voltages, 7.4 and 3.7 V"
    )


@settings(max_examples=30, deadline=None)
@given(
    after=st.integers(2000, 2900),
    spur=st.integers(70, 110),
    pinion=st.integers(25, 50),
    box=st.sets(st.integers(20, 60), max_size=12),
    least=st.integers(300, 600),
)
def test_no_other_pinion_comes_closer_and_is_legal(
    after: int, spur: int, pinion: int, box: set[int], least: int
) -> None:
    car = {"spur_teeth": spur, "pinion_teeth": pinion, "internal_ratio": 1.9}
    limit = least / 100
    found = equivalent(
        after, {"quantity": "final_drive_ratio", "at_least": limit}, parts=PartsBox(pinions_teeth=tuple(box)), car=car
    )
    wanted = value_of(found.ratio)
    teeth = box | {pinion} if box else set(range(max(1, pinion - 20), pinion + 21))
    ratios = {one: Fraction(spur, one) * Fraction("1.9") for one in teeth}
    assert abs(found.closest.ratio - wanted) == min(abs(ratio - wanted) for ratio in ratios.values())
    legal = [ratio for ratio in ratios.values() if ratio >= Fraction(least, 100)]
    if found.closest_legal is None:
        assert not legal
    else:
        assert abs(found.closest_legal.ratio - wanted) == min(abs(ratio - wanted) for ratio in legal)
