"""Remedies: all of them are legal by the rules, none smaller exists, and the parts box is respected."""

from datetime import date
from itertools import combinations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from speclint.documents.parse import parse
from speclint.documents.tree import Document
from speclint.models.cars import Car
from speclint.models.motors import motor_of
from speclint.models.parts import PartsBox, parts_box_of
from speclint.models.setups import Setup
from speclint.quantities.facts import Facts
from speclint.remedies.judged_entry import JudgedEntry
from speclint.remedies.levers import levers
from speclint.remedies.options import Option
from speclint.remedies.search import with_remedies
from speclint.remedies.trial import changed_car
from speclint.rules.checks import KeyChange, Verdict
from speclint.rules.judge import judge
from speclint.rules.rulebook import rulebook
from speclint.rulesets.library import Library
from speclint.rulesets.load import ruleset_of
from speclint.rulesets.model import FlatClass
from speclint.structure.validate import validate

ON = date(2026, 3, 14)

RULES = """
format: ruleset/1
id: {id}
version: "1"
in_force: {{from: 2026-01-01}}
classes:
  stock:
    rules:
      - {{id: final-drive, quantity: final_drive_ratio, at_least: {ratio}}}
      - {{id: teeth, quantity: tooth_sum, between: [{low}, {high}]}}
      - {{id: rollout, quantity: rollout_mm, at_most: {rollout}}}
      - {{id: weight, quantity: mass_g, at_least: 1350}}
      - {{id: timing, quantity: timing_set_deg, between: [36, 40]}}
      - {{id: rotor, quantity: rotor_part, one_of: [R-12, R-13]}}
      - {{id: measured, quantity: timing_mean_deg, at_most: 45}}
"""

SETUP = """
format: setup/1
car: {{mass_g: {mass}, spur_teeth: {spur}, pinion_teeth: {pinion}, internal_ratio: 1.9, tyre_diameter_mm: 62.5}}
motor:
  part: M-17A
  timing_deg: {timing}
  rotor: {{kind: standard, part: {rotor}}}
  bench_runs: [{{date: 2026-03-01, timing_deg: [38, 38, 39]}}]
"""


def _document(text: str, declared: str) -> Document:
    document, problems = parse("file.yaml", text)
    assert document is not None
    assert problems == ()
    assert validate(document, declared) == ()
    return document


def _flat(ratio: float = 4.2, low: int = 120, high: int = 160, rollout: int = 60, id_: str = "club") -> FlatClass:
    text = RULES.format(id=id_, ratio=ratio, low=low, high=high, rollout=rollout)
    ruleset, problems = ruleset_of(_document(text, "ruleset/1"))
    assert problems == ()
    flat = Library([ruleset]).flat(ruleset, "stock")
    assert isinstance(flat, FlatClass)
    return flat


def _car(mass: int = 1352, spur: int = 96, pinion: int = 42, timing: int = 38, rotor: str = "R-12") -> Car:
    text = SETUP.format(mass=mass, spur=spur, pinion=pinion, timing=timing, rotor=rotor)
    document = _document(text, "setup/1")
    return Car(Setup(document, "car", (), None, None), motor_of(document, ("motor",)), "", {})


def _case(car: Car, flat: FlatClass) -> JudgedEntry:
    book = rulebook(flat, ON)
    facts = Facts(car, on=ON, reference_c=flat.reference_c, entry_keys={})
    place = car.setup.document.place(())
    return JudgedEntry(book, facts, place, judge(book, facts, place))


def _still_illegal(car: Car, cases: tuple[JudgedEntry, ...], changes: tuple[KeyChange, ...]) -> list[str]:
    changed = changed_car(car, changes)
    return [
        check.rule.id
        for case in cases
        for check in judge(case.book, case.facts.of(changed), case.place)
        if check.verdict is Verdict.ILLEGAL
    ]


def test_a_pinion_one_tooth_too_large_is_mended_by_one_gear_either_way() -> None:
    car = _car(pinion=44)
    _, car_remedy = with_remedies(
        car, (_case(car, _flat()),), PartsBox(pinions_teeth=(41, 42, 43, 44, 45), spurs_teeth=(94, 96, 98))
    )
    assert [one.message for one in car_remedy.remedies] == [
        "spur 98 instead of 96",
        "pinion 43 instead of 44",
        "pinion 42 instead of 44",
    ]
    assert all(len(one.changes) == 1 for one in car_remedy.remedies)


def test_a_remedy_says_what_it_does_to_ratio_margin_and_rollout() -> None:
    car = _car(pinion=44)
    (case,), _ = with_remedies(car, (_case(car, _flat()),), PartsBox(pinions_teeth=(43,), spurs_teeth=()))
    failing = next(check for check in case.checks if check.verdict is Verdict.ILLEGAL)
    # 96 / 43 × 1.9 = 4.24186…; π × 62.5 / 4.24186 = 46.288…
    assert [one.message for one in failing.remedies] == [
        "pinion 43 instead of 44: final drive ratio 4.242, 0.042 to spare, rollout 46.3 mm"
    ]


def test_a_remedy_holds_in_all_entries_at_once() -> None:
    car = _car(pinion=44)
    cases = (_case(car, _flat(ratio=4.2)), _case(car, _flat(ratio=4.4, id_="other")))
    _, car_remedy = with_remedies(car, cases, PartsBox(pinions_teeth=(40, 41, 42, 43), spurs_teeth=()))
    # 96 / 43 × 1.9 = 4.24 and 96 / 42 × 1.9 = 4.34 please the first club only.
    assert [one.message for one in car_remedy.remedies] == ["pinion 41 instead of 44", "pinion 40 instead of 44"]


def test_a_change_that_breaks_another_rule_is_no_remedy() -> None:
    car = _car(pinion=44)
    _, car_remedy = with_remedies(car, (_case(car, _flat(low=140, high=141)),), PartsBox())
    for one in car_remedy.remedies:
        assert len(one.changes) == 2
        assert _still_illegal(car, (_case(car, _flat(low=140, high=141)),), one.changes) == []


def test_rules_that_have_nothing_to_do_with_each_other_are_mended_together() -> None:
    car = _car(pinion=44, mass=1344)
    _, car_remedy = with_remedies(car, (_case(car, _flat()),), PartsBox(pinions_teeth=(43,), spurs_teeth=()))
    assert [one.message for one in car_remedy.remedies] == ["pinion 43 instead of 44; add 6 g of ballast"]
    assert car_remedy.remedies[0].by_hand


def test_a_rotor_from_the_box_is_offered_with_what_it_makes_stale() -> None:
    car = _car(rotor="R-99")
    box = {"rotors": [{"kind": "torque", "part": "R-13"}, {"part": "R-12"}, {"kind": "standard", "part": "R-98"}]}
    (case,), car_remedy = with_remedies(car, (_case(car, _flat()),), parts_box_of(box))
    failing = next(check for check in case.checks if check.verdict is Verdict.ILLEGAL)
    # R-12 does not state its kind in the box, so the old kind would stay behind; R-98 is not allowed.
    assert [one.message for one in failing.remedies] == [
        "rotor R-13 instead of R-99: rotor part R-13, then measure again: balance, current, end play, speed, timing"
    ]
    assert {change.path[-1]: change.value for change in car_remedy.remedies[0].changes} == {
        "kind": "torque",
        "part": "R-13",
    }


def test_timing_is_moved_to_the_nearest_end_of_its_window() -> None:
    car = _car(timing=44)
    _, car_remedy = with_remedies(car, (_case(car, _flat()),), PartsBox())
    assert car_remedy.remedies[0].message == "timing set 40° instead of 44°"


def test_what_is_not_in_the_box_is_named_as_a_part_to_buy() -> None:
    car = _car(pinion=44)
    _, car_remedy = with_remedies(car, (_case(car, _flat()),), PartsBox(pinions_teeth=(44, 45), spurs_teeth=(96, 90)))
    assert car_remedy.remedies == ()
    assert car_remedy.reason == (
        "no legal change with the parts in the box; to be had: spur 98 instead of 96 or pinion 43 instead of 44"
    )


def _teeth(options: tuple[Option, ...], spur: int, pinion: int) -> int:
    """The sum of teeth after the options: a motor mount takes six more or fewer (common practice, from memory)."""
    fitted = {"spur_teeth": spur, "pinion_teeth": pinion}
    fitted |= {
        str(change.path[-1]): change.value
        for option in options
        for change in option.changes
        if change.path[-1] in fitted
    }
    return sum(fitted.values())


@pytest.mark.parametrize("strict", [False, True])
def test_a_strict_limit_is_not_mended_by_its_own_value(strict: bool) -> None:
    text = RULES.format(id="club", ratio=4, low=100, high=160, rollout=90)
    text = text.replace("between: [36, 40]", "below: 40" if strict else "at_most: 40")
    ruleset, _ = ruleset_of(_document(text, "ruleset/1"))
    flat = Library([ruleset]).flat(ruleset, "stock")
    assert isinstance(flat, FlatClass)
    car = _car(timing=44)
    _, car_remedy = with_remedies(car, (_case(car, flat),), PartsBox())
    assert car_remedy.remedies[0].changes[0].value == (39 if strict else 40)


@settings(max_examples=60, deadline=None)
@given(
    spur=st.integers(88, 104),
    pinion=st.integers(38, 48),
    ratio=st.sampled_from([3.9, 4.2, 4.5, 4.8]),
    low=st.integers(130, 142),
    width=st.integers(0, 6),
    rollout=st.sampled_from([40, 45, 50]),
    pinions=st.sets(st.integers(36, 50), max_size=6),
    spurs=st.sets(st.integers(86, 106), max_size=6),
)
def test_all_remedies_are_legal_and_a_full_search_finds_none_smaller(
    spur: int, pinion: int, ratio: float, low: int, width: int, rollout: int, pinions: set[int], spurs: set[int]
) -> None:
    car = _car(spur=spur, pinion=pinion)
    parts = PartsBox(pinions_teeth=tuple(sorted(pinions)), spurs_teeth=tuple(sorted(spurs)))
    cases = (_case(car, _flat(ratio=ratio, low=low, high=low + width, rollout=rollout)),)
    if not any(check.verdict is Verdict.ILLEGAL for check in cases[0].checks):
        return
    _, car_remedy = with_remedies(car, cases, parts)
    for one in car_remedy.remedies:
        assert _still_illegal(car, cases, one.changes) == []
    failing = [check for check in cases[0].checks if check.verdict is Verdict.ILLEGAL]
    known = levers(car, cases[0].facts, failing, (cases[0].book,), parts)
    least = next(
        (
            size
            for size in range(1, len(known) + 1)
            for chosen in combinations(known, size)
            for options in product(*(lever.options for lever in chosen))
            if abs(_teeth(options, spur, pinion) - spur - pinion) <= 6
            if not _still_illegal(car, cases, tuple(change for option in options for change in option.changes))
        ),
        None,
    )
    found = min((len(one.changes) for one in car_remedy.remedies), default=None)
    assert found == least
