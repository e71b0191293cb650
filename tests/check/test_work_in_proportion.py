"""What a stranger's ruleset or a long season makes speclint do grows as the text does, or is cut short and told.

Counted are the lines that Python runs, so that no clock and no other program has a say. Each of these once took the
square of its length, or the cube.
"""

import sys
import tracemalloc
from collections.abc import Callable, Mapping
from datetime import date, timedelta
from pathlib import Path
from types import FrameType
from typing import Any, Final

import pytest

from speclint.findings import Tally
from speclint.rules.checks import Check
from speclint.rules.judge import judge_rule
from speclint.rulesets.model import Rule
from tests.check.world import a_ruleset, a_setup, find_in, problems_of
from tests.console import Console, write

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


def _looks_at_no_rule(count: int) -> dict[str, str]:
    files = _club(*(f"{{id: r{i}, quantity: extra.q{i}, at_least: 1}}" for i in range(count)))
    looks = ", ".join(f"none-{i}: passed" for i in range(count))
    head = "format: inspection/1\nevent: Round 1\nruleset: club\non: 2026-03-14\ncars:\n"
    car = f"  - {{class: stock, number: 1, setup: none, readings: {{}}, looked_at: {{{looks}}}}}\n"
    return {**files, "inspection.yaml": f"{head}{car}"}


def _listed_parts(count: int) -> dict[str, str]:
    return _parts("    - {{id: M-{0}}}\n    - {{id: M-0, until: 2026-01-02}}\n", count)


def _parts_that_come_and_go(count: int) -> dict[str, str]:
    return _parts("    - {{id: M-{0}, from: {1}, until: {1}}}\n", count)


def _parts(item: str, count: int) -> dict[str, str]:
    items = "".join(item.format(i, _day(i)) for i in range(count))
    return _club("{id: part, quantity: motor_part, listed_in: motors}", top=f"lists:\n  motors:\n    items:\n{items}")


def _waivers_of_many_rules(count: int) -> dict[str, str]:
    waivers = "".join(f"  - {{rule: r{i}, when: {{motor_serial: none}}}}\n" for i in range(count))
    return _club(
        *(f"{{id: r{i}, quantity: extra.q{i}, at_least: 1300}}" for i in range(count)), top=f"waivers:\n{waivers}"
    )


def _classes_of_listed_parts(count: int) -> dict[str, str]:
    lists = "".join(f"  l{i}: {{items: [{{id: M-1}}]}}\n" for i in range(count))
    classes = "".join(f"  c{i}: {{}}\n" for i in range(count))
    text = a_ruleset("{id: part, quantity: motor_part, listed_in: l0}", top=f"lists:\n{lists}")
    return {"rulesets/club.yaml": text.replace("classes:\n", f"classes:\n{classes}"), "car.yaml": _CAR}


def _values_of_a_condition(count: int) -> dict[str, str]:
    values = ", ".join(f"M-{i:05}" for i in range(count))
    return _club(f"{{id: weight, quantity: mass_g, at_least: 1300, when: {{motor_part: [{values}]}}}}")


def _rules_that_end(count: int) -> dict[str, str]:
    return _club(*(f"{{id: r{i}, quantity: mass_g, at_least: {500 + i}, until: 2026-06-30}}" for i in range(count)))


def _gears_limited_on_one_side(count: int) -> dict[str, str]:
    return _club(*(f"{{id: g{i}, quantity: final_drive_ratio, at_most: {5 + i / 1000:.3f}}}" for i in range(count)))


def _tables_of_listed_parts(count: int) -> dict[str, str]:
    table = "{{id: r{0}, quantity: tooth_sum, by: motor_part, rows: {{M-{0}: {{at_least: 9}}}}, otherwise: illegal}}"
    part = "{id: part, quantity: motor_part, listed_in: motors}"
    return _club(*map(table.format, range(count)), part, top="lists: {motors: {items: [{id: M-1}]}}")


def _motors_that_are_not_there(count: int) -> dict[str, str]:
    cars = {f"car-{i}.yaml": f"format: setup/1\nmotor: motors/{i:03}.yaml\n" for i in range(count)}
    return {**cars, **{f"motors/9{i}.yaml": "format: motor/1\n" for i in range(5)}}


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
    "parts on a list, and one of them often": (_listed_parts, 60),
    "waivers of rules": (_waivers_of_many_rules, 30),
    "rules that end": (_rules_that_end, 150),
    "values of one condition": (_values_of_a_condition, 60),
    "classes beside lists": (_classes_of_listed_parts, 60),
    "limits on one side of the gearing": (_gears_limited_on_one_side, 150),
    "looks at no rule": (_looks_at_no_rule, 30),
    "motors that are not there": (_motors_that_are_not_there, 30),
}


def lines_run(files: dict[str, str], module: str = "") -> int:
    """The lines of Python that a check of these files runs, in a module of this name."""
    count = 0

    def trace(frame: FrameType, event: str, _: Any) -> Any:
        nonlocal count
        count += event == "line" and frame.f_code.co_filename.endswith(module)
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


def test_tables_are_held_against_lists_and_not_against_each_rule() -> None:
    single, double = (lines_run(_tables_of_listed_parts(count), "advice/tables.py") for count in (60, 120))
    assert double <= 2.6 * single


def test_a_chain_of_amendments_grows_by_no_more_than_the_square() -> None:
    """On each day of change each rule is looked at: that is days times rules, and no day more."""

    def chain(count: int) -> dict[str, str]:
        rule = "{{id: a{0}, {1}from: {2}, quantity: mass_g, at_least: 1300}}"
        return _club(*(rule.format(i, f"replaces: a{i - 1}, " if i else "", _day(i)) for i in range(count)))

    lines_run(chain(2))
    assert lines_run(chain(120)) <= 4.5 * lines_run(chain(60))


def _rules_that_look_up(count: int) -> dict[str, str]:
    items = "".join(f"    - {{id: M-{i}, rotors: [R-{i}]}}\n" for i in range(count))
    rule = "{{id: r{}, quantity: rotor_part, one_of: {{list: motors, item: motor_part, under: rotors}}}}"
    return _club(*map(rule.format, range(count)), top=f"lists:\n  motors:\n    items:\n{items}")


def _inherited_in_each_class(count: int) -> dict[str, str]:
    classes = "".join(f"  c{i}: {{based_on: stock}}\n" for i in range(count))
    text = a_ruleset(*(f"{{id: r{i}, quantity: mass_g, at_least: {500 + i}}}" for i in range(count)))
    return {"rulesets/club.yaml": f"{text}{classes}", "car.yaml": _CAR}


def _examples_of_many_rules(count: int) -> dict[str, str]:
    examples = "  - {class: stock, on: 2026-03-14, setup: {}, expect: {}}\n" * count
    rules = (f"{{id: r{i}, quantity: extra.q{i}, at_least: 1300}}" for i in range(count))
    return _club(*rules, top=f"examples:\n{examples}")


def test_of_a_class_there_are_two_thousand_rules_at_most_with_those_that_it_inherits() -> None:
    files = _inherited_rules(1001) | {
        "rulesets/club.yaml": _inherited_rules(1000)["rulesets/club.yaml"].replace("id: r", "id: s")
    }
    car, told = problems_of(find_in(files))
    assert car == "car.yaml:2:21: the ruleset club@1 has problems of its own: see rulesets/club.yaml"
    assert told == (
        "rulesets/club.yaml:7:3: the class stock of club@1 comes to more than 2000 rules with what it inherits: split it"
    )


def test_entries_that_come_after_very_many_rules_are_not_judged_which_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("speclint.workspace.workspace._MOST_JUDGED", 5)
    findings = find_in(_entries(8))
    assert len(findings.entries) == 6
    assert [refused.reason for refused in findings.not_judged] == [
        "it is not judged, since what stands before it in this file comes to more than 5 rules: put it into a file of its own"
    ] * 2
    assert [problem.place.line for problem in findings.problems] == [9, 10]
    assert findings.failed(strict=False)


def test_cars_of_an_inspection_that_come_after_very_many_rules_are_not_judged_which_is_told(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("speclint.check.inspecting._MOST_JUDGED", 5)
    findings = find_in(_inspected_cars(8), named=("inspection.yaml",))
    assert len([entry for entry in findings.entries if entry.inspected is not None]) == 6
    messages = [refused.reason for refused in findings.not_judged]
    assert len(messages) == 2
    assert " comes to more than 5 rules: " in messages[0]
    assert findings.failed(strict=False)


def test_of_very_many_problems_of_a_file_the_first_are_told_and_how_many_there_are_more() -> None:
    example = "  - {class: stock, on: 2026-03-14, setup: {car: {mass_g: 1290}}, expect: {weight: legal}}\n"
    rule = "{id: weight, quantity: mass_g, at_least: 1300}"
    messages = _messages(find_in(_club(rule, top="examples:\n" + example * 130)))
    assert len(messages) == 101
    assert messages[-1] == "and 30 more problems in this file: mend these first"


def test_a_car_that_misses_very_many_rules_is_not_mended_which_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    files = {**_rules(60), "car.yaml": a_setup("car: {mass_g: 490}")}
    (car,) = find_in(files).car_remedies
    assert car.remedies
    monkeypatch.setattr("speclint.remedies.search._MOST_FAILING", 50)
    findings = find_in(files)
    (car,) = findings.car_remedies
    assert (car.remedies, car.reason) == ((), "so many rules limit it that not every change could be tried")
    assert [entry.verdict.value for entry in findings.entries] == ["illegal"]


def test_of_the_rules_of_a_car_the_text_tells_those_that_fail_first_and_how_many_it_leaves_out(
    empty: Path, console: Console
) -> None:
    rules = (f"{{id: r{i}, quantity: extra.q{i}, at_least: 1300}}" for i in range(301))
    for name, text in _club(*rules, car=a_setup("extra: {q0: 1400}")).items():
        write(empty / name, text)
    out = console(empty, "check", "--no-advice", "car.yaml").out
    assert len([line for line in out.splitlines() if line.startswith("  ? ")]) == 300
    assert "    and 1 more rule, told in full by `--report json`\n" in out


MULTIPLIED: Final[Mapping[str, tuple[Callable[[int], dict[str, str]], str]]] = {
    "rules inherited by classes": (
        _inherited_in_each_class,
        "rulesets/club.yaml:7:3: the classes of club@1 come to more than 400 rules with what they inherit: split the"
        " ruleset",
    ),
    "rules that look through lists": (
        _rules_that_look_up,
        "rulesets/club.yaml:5:3: the rules of club@1 look through lists of more than 400 items in all: shorten these",
    ),
    "waivers of many rules": (
        _waivers_of_many_rules,
        "rulesets/club.yaml:38:3: waivers times rules, class by class, come to more than 400 in club@1: leave out what is"
        " over",
    ),
    "rules that examples try": (
        _examples_of_many_rules,
        "rulesets/club.yaml:1:1: the examples of club@1 try more than 400 rules in all: leave some out",
    ),
}


def test_of_very_many_days_of_change_the_first_are_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("speclint.rulesets.amendments._MOST_STEPS", 400)
    assert lines_run(_parts_that_come_and_go(120)) <= 2.6 * lines_run(_parts_that_come_and_go(60))


@pytest.mark.parametrize("name", MULTIPLIED)
def test_what_counts_many_times_is_refused_before_it_is_worked_out(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    for limit in ("flatten._MOST_TEXTS", "oversize._MOST_STEPS", "oversize._MOST_WAIVABLE"):
        monkeypatch.setattr(f"speclint.rulesets.{limit}", 400)
    make, message = MULTIPLIED[name]
    single, double = lines_run(make(30)), lines_run(make(60))
    assert double <= 2.6 * single
    car, told = problems_of(find_in(make(30)))
    assert car == "car.yaml:2:21: the ruleset club@1 has problems of its own: see rulesets/club.yaml"
    assert told == message


@pytest.mark.parametrize(
    ("file", "key", "item"),
    [
        ("car.yaml", "format: setup/1\nentries", "{ruleset: club, class: stock, on: 2026-03-14}"),
        ("inspection.yaml", "format: inspection/1\nruleset: club\non: 2026-03-14\ncars", "{class: stock, setup: none}"),
    ],
)
def test_of_what_is_dear_there_are_a_thousand_at_most(file: str, key: str, item: str) -> None:
    text = key + ":\n" + f"  - {item}\n" * 1001
    (problem,) = problems_of(find_in({**_club("{id: a, quantity: mass_g, at_least: 1}"), file: text}, named=(file,)))
    assert " has 1001 items; it takes at most 1000" in problem


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


def test_names_that_are_numbered_are_not_held_against_each_other() -> None:
    lines_run(_values_of_a_condition(2))
    assert lines_run(_values_of_a_condition(200)) - lines_run(_values_of_a_condition(100)) <= 100 * 120


def test_a_name_as_long_as_a_book_takes_no_more_memory_than_the_book() -> None:
    rule = f"{{id: weight, quantity: mass_g, at_least: 1300, when: {{motor_part: {'long' * 5000}}}}}"
    tracemalloc.start()
    try:
        find_in(_club(rule))
        _, peak_bytes = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert peak_bytes <= 2_000_000


def test_of_much_advice_of_one_sort_the_first_is_told_and_how_much_is_left_out() -> None:
    rule = "{id: weight, quantity: mass_g, at_least: 1300}"
    advice = find_in(_club(rule, top="waivers:\n" + "  - {rule: weight}\n" * 45)).advice
    messages = [piece.message for piece in advice if piece.id == "waiver-for-all"]
    assert len(messages) == 21
    assert messages[-1] == "the like is to be said 25 more times in this file: see to these first"
    assert "mass-of-what" in {piece.id for piece in advice}  # each sort has its own count


def test_in_a_search_for_remedies_each_way_of_a_rule_counts(monkeypatch: pytest.MonkeyPatch) -> None:
    tried: list[Rule] = []

    def judged(rule: Rule, *others: Any) -> Check:
        tried.append(rule)
        return judge_rule(rule, *others)

    monkeypatch.setattr("speclint.remedies.search._MOST_JUDGED", 60)
    monkeypatch.setattr("speclint.remedies.search.judge_rule", judged)
    ways = ", ".join(f"{{quantity: mass_g, between: [{1000 + i}, {1010 + i}]}}" for i in range(8))
    rules = (f"{{id: r{i}, any_of: [{ways}]}}" for i in range(40))
    (car,) = find_in(_club(*rules, "{id: most, quantity: mass_g, at_most: 900}")).car_remedies
    assert car.reason == "so many rules limit it that not every change could be tried"
    assert len(tried) < 60
