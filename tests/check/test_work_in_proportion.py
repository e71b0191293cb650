"""What a stranger's ruleset or a long season makes speclint do grows as the text does, or is cut short and told.

Counted are the lines that Python runs, so that no clock and no other program has a say. Each of these once took the
square of its length, or the cube.
"""

import sys
from collections.abc import Callable, Mapping
from datetime import date, timedelta
from types import FrameType
from typing import Any, Final

import pytest

from speclint.findings import Tally
from tests.check.world import a_ruleset, a_setup, find_in

_CAR: Final = a_setup("car: {mass_g: 1350}")
_DAY: Final = date(2026, 1, 2)


def _day(number: int) -> str:
    return (_DAY + timedelta(days=number % 300)).isoformat()


def _club(*rules: str, car: str = _CAR, **more: str) -> dict[str, str]:
    return {"rulesets/club.yaml": a_ruleset(*rules, **more), "car.yaml": car}


def _amendments(count: int) -> dict[str, str]:
    base = "{id: base, quantity: mass_g, at_least: 1300}"
    amending = "{{id: a{0}, replaces: base, from: {1}, quantity: mass_g, at_least: {2}}}"
    return _club(base, *(amending.format(i, _day(i), 1300 + i) for i in range(count)))


def _unknown_rules(count: int) -> dict[str, str]:
    return _club(*(f"{{id: a{i}, replaces: none-{i}, quantity: mass_g, at_least: {1300 + i}}}" for i in range(count)))


def _inherited_rules(count: int) -> dict[str, str]:
    rules = [f"{{id: r{i}, quantity: extra.q{i}, at_least: 1300}}" for i in range(count)]
    return {**_club(*rules, top="based_on: league@1"), "rulesets/league.yaml": a_ruleset(*rules, id_="league")}


def _entries(count: int) -> dict[str, str]:
    rows = "".join(f"  - {{ruleset: club, class: stock, on: {_DAY + timedelta(i)}}}\n" for i in range(count))
    return _club(
        "{id: weight, quantity: mass_g, at_least: 1400}",
        car=f"format: setup/1\nentries:\n{rows}car: {{mass_g: 1350}}\n",
    )


def _gears(count: int) -> dict[str, str]:
    car = a_setup("car: {spur_teeth: 96, pinion_teeth: 50, internal_ratio: 1.9, gear_pitch_dp: 64}")
    return _club(
        *(f"{{id: g{i}, quantity: final_drive_ratio, at_least: {4.2 + i / 1000:.3f}}}" for i in range(count)), car=car
    )


def _rules(count: int) -> dict[str, str]:
    return _club(*(f"{{id: r{i}, quantity: mass_g, at_least: {500 + i}}}" for i in range(count)))


def _classes(count: int) -> dict[str, str]:
    first = "  c0: {rules: [{id: weight, quantity: mass_g, at_least: 1}]}\n"
    others = "".join(f"  c{i}: {{based_on: c{i - 1}, rules: []}}\n" for i in range(1, count))
    head = 'format: ruleset/1\nid: club\nversion: "1"\nin_force: {from: 2026-01-01}\n'
    return {"rulesets/club.yaml": f"{head}classes:\n{first}{others}", "car.yaml": a_setup(class_id="c0")}


def _unknown_keys(count: int) -> dict[str, str]:
    return {"car.yaml": "format: setup/1\ncar:\n" + "".join(f"  key_{i}: 1\n" for i in range(count))}


def _cars_of_one_name(count: int) -> dict[str, str]:
    car = a_setup('name: Car 1\ncar: {mass_g: 1350}\nmotor: {part: M-1, serial: "7"}')
    return {**_club("{id: weight, quantity: mass_g, at_least: 1000}"), **{f"{i}.yaml": car for i in range(count)}}


def _unknown_quantities(count: int) -> dict[str, str]:
    return _club(*(f"{{id: r{i}, quantity: mas_g{i}, at_least: {500 + i}}}" for i in range(count)))


def _inspected_cars(count: int) -> dict[str, str]:
    head = "format: inspection/1\nevent: Round 1\nruleset: club\non: 2026-03-14\ncars:\n"
    car = "  - {{class: stock, number: {}, setup: none, readings: {{car: {{mass_g: 1340}}}}}}\n"
    rule = "{id: weight, quantity: mass_g, at_least: 1000}"
    return {**_club(rule), "inspection.yaml": head + "".join(map(car.format, range(count)))}


CASES: Final[Mapping[str, tuple[Callable[[int], dict[str, str]], int]]] = {
    "amendments of one rule": (_amendments, 30),
    "rules that take the place of none": (_unknown_rules, 60),
    "rules over rules": (_inherited_rules, 60),
    "entries of one setup": (_entries, 60),
    "limits on the gears of one class": (_gears, 10),
    "rules on one quantity": (_rules, 150),
    "classes based on classes": (_classes, 60),
    "keys that are none": (_unknown_keys, 150),
    "cars of one name, entry and motor": (_cars_of_one_name, 20),
    "rules on quantities that are none": (_unknown_quantities, 60),
    "cars of an inspection": (_inspected_cars, 20),
}


def lines_run(files: dict[str, str]) -> int:
    """The lines of Python that a check of these files runs."""
    count = 0

    def trace(_frame: FrameType, event: str, _: Any) -> Any:
        nonlocal count
        count += event == "line"
        return trace

    before = sys.gettrace()
    sys.settrace(trace)
    try:
        find_in(files, named=("inspection.yaml",) if "inspection.yaml" in files else ())
    finally:
        sys.settrace(before)
    return count


@pytest.mark.parametrize("name", CASES)
def test_work_grows_with_the_text_and_not_with_its_square(name: str) -> None:
    make, count = CASES[name]
    lines_run(make(2))  # what is made once a process is not counted
    single, double, fourfold = (lines_run(make(count * times)) for times in (1, 2, 4))
    # Twice as much, with room for what is sorted; the square would be four times.
    assert double <= 2.6 * single
    assert fourfold <= 2.6 * double


def test_a_chain_of_amendments_grows_by_no_more_than_the_square() -> None:
    """On each day of change each rule is looked at: that is days times rules, and no day more."""

    def chain(count: int) -> dict[str, str]:
        rule = "{{id: a{0}, {1}from: {2}, quantity: mass_g, at_least: 1300}}"
        return _club(*(rule.format(i, f"replaces: a{i - 1}, " if i else "", _day(i)) for i in range(count)))

    lines_run(chain(2))
    assert lines_run(chain(120)) <= 4.5 * lines_run(chain(60))


def _messages(findings: Tally) -> list[str]:
    return [problem.message for problem in findings.problems]


def test_of_very_many_names_that_lead_nowhere_the_first_are_told_and_that_there_are_more() -> None:
    messages = _messages(find_in(_unknown_rules(200)))
    assert len(messages) == 22
    assert "and at least 1 more problem in this file: mend these first" in messages
    assert max(map(len, messages)) < 1000


def test_a_search_for_remedies_that_is_cut_short_says_so() -> None:
    (car,) = find_in({**_rules(600), "car.yaml": a_setup("car: {mass_g: 900}")}).car_remedies
    assert car.remedies or car.reason == "so many rules limit it that not every change could be tried"
