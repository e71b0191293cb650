"""Remedies where a limit is another quantity's value, or a list's: either side is moved, and the rules say what comes of it."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.check.world import a_ruleset, a_setup, check_of, find_in

HEIGHT = "quantity: extra.height_mm, at_most: {of: width_mm, times: 1.25}"


def remedies(rule: str, car: str, top: str = "") -> list[str]:
    return [remedy.message for remedy in check_of(rule, car, top=top).remedies]


@pytest.mark.parametrize(
    ("rule", "car", "expected"),
    [
        (HEIGHT, "extra: {height_mm: 240}\ncar: {width_mm: 188}",
         ["lower height by 5.0 mm, to 235.0 mm", "make the car wider by 4.0 mm, to 192.0 mm"]),
        # 240.2 / 1.25 = 192.16, and nobody measures more than tenths: 192.1 would still be too narrow.
        (HEIGHT, "extra: {height_mm: 240.2}\ncar: {width_mm: 188}",
         ["lower height by 5.2 mm, to 235.0 mm", "make the car wider by 4.2 mm, to 192.2 mm"]),
        ("quantity: extra.forward_kg, at_least: {of: extra.total_kg, times: 0.5}", "extra: {forward_kg: 1, total_kg: 2.2}",
         ["lower total by 0.2 kg, to 2.0 kg", "raise forward by 0.1 kg, to 1.1 kg"]),
        ("quantity: extra.front_mm, nominal: {of: extra.rear_mm, plus: 10}, tolerance: {plus: 1, minus: 2}",
         "extra: {front_mm: 60, rear_mm: 53}",
         ["raise front by 1.0 mm, to 61.0 mm", "lower rear by 1.0 mm, to 52.0 mm"]),
        ("quantity: extra.front_mm, equals: {of: extra.rear_mm}", "extra: {front_mm: 60, rear_mm: 53}",
         ["lower front by 7.0 mm, to 53.0 mm", "raise rear by 7.0 mm, to 60.0 mm"]),
        # The air of the day is not the car's, nor is what an entry states.
        ("quantity: extra.pack_c, at_most: {of: extra.ambient_c, plus: 5}", "extra: {pack_c: 27, ambient_c: 21}",
         ["lower pack by 1 °C, to 26 °C"]),
        ("quantity: width_mm, at_most: {list: motors, item: motor_part, under: width_mm}",
         "car: {width_mm: 191}\nmotor: {part: M-1}", ["make the car narrower by 1.0 mm, to 190.0 mm"]),
        # 1350 × 1.001 = 1351.35, and nobody weighs a car to a part of a gram; 1340 ÷ 1.001 = 1338.66.
        ("quantity: mass_g, at_least: {of: extra.bare_g, times: 1.001}", "car: {mass_g: 1340}\nextra: {bare_g: 1350}",
         ["add 12 g of ballast", "lower bare by 12 g, to 1338 g"]),
        ("quantity: mass_g, unit: oz, at_least: {of: extra.least_oz}", "car: {mass_g: 1500}\nextra: {least_oz: 53}",
         ["add 0.09 oz of ballast", "lower least by 0.09 oz, to 52.91 oz"]),
    ],
)  # fmt: skip
def test_either_side_is_moved_just_far_enough(rule: str, car: str, expected: list[str]) -> None:
    found = remedies(rule, car, top="lists: {motors: {items: [{id: M-1, width_mm: 190}]}}")
    assert set(found) == set(expected)


def test_a_word_is_changed_to_one_that_the_list_has_for_this_car() -> None:
    rule = "quantity: extra.tyre, one_of: {list: cars, item: extra.chassis, under: tyres}"
    top = "lists: {cars: {items: [{id: C-1, tyres: [T-1, T-2]}, {id: C-2, tyres: [T-9]}]}}"
    assert remedies(rule, "extra: {tyre: T-9, chassis: C-1}", top) == [
        "tyre T-1 instead of T-9: tyre T-1",
        "tyre T-2 instead of T-9: tyre T-2",
    ]
    assert remedies(rule, "extra: {tyre: T-1, chassis: C-2}", top) == ["tyre T-9 instead of T-1: tyre T-9"]
    assert remedies(rule, "extra: {tyre: T-1, chassis: C-3}", top) == []


def test_a_rule_on_something_else_takes_no_choice_away() -> None:
    rules = ("{id: tyre, quantity: extra.tyre, one_of: [T-1, T-2]}", "{id: width, quantity: width_mm, at_most: 190}")
    files = {"club.yaml": a_ruleset(*rules), "car.yaml": a_setup("car: {width_mm: 188}\nextra: {tyre: T-9}")}
    (entry,) = find_in(files).entries
    assert [remedy.message for remedy in entry.checks[0].remedies] == [
        "tyre T-1 instead of T-9: tyre T-1",
        "tyre T-2 instead of T-9: tyre T-2",
    ]


def test_what_an_entry_states_is_never_moved() -> None:
    rule = "quantity: width_mm, at_most: {of: entry.track_mm}"
    check = check_of(rule, "car: {width_mm: 200}", entry="track_mm: 190")
    assert [remedy.message for remedy in check.remedies] == ["make the car narrower by 10.0 mm, to 190.0 mm"]


def test_nothing_that_is_moved_is_written_beforehand() -> None:
    check = check_of(HEIGHT, "extra: {height_mm: 240}\ncar: {width_mm: 188}")
    assert all(remedy.by_hand for remedy in check.remedies)


def test_another_rule_on_the_other_side_is_kept() -> None:
    rules = (f"{{id: height, {HEIGHT}}}", "{id: width, quantity: width_mm, at_most: 190}")
    files = {"club.yaml": a_ruleset(*rules), "car.yaml": a_setup("extra: {height_mm: 240}\ncar: {width_mm: 188}")}
    (entry,) = find_in(files).entries
    assert [remedy.message for remedy in entry.checks[0].remedies][:1] == ["lower height by 5.0 mm, to 235.0 mm"]
    assert not any("to 192.0 mm" in remedy.message for remedy in entry.checks[0].remedies)


def test_where_it_must_be_shown_the_doubt_of_both_sides_is_left_between() -> None:
    top = "decision: must-show\ninstruments: {caliper: {accuracy: 0.5}}"
    width, height = ("{value: %s, instrument: caliper}" % size for size in (188, 240))  # noqa: UP031
    check = check_of(HEIGHT, f"extra: {{height_mm: {height}}}\ncar: {{width_mm: {width}}}", top=top)
    # U of the height is 2 × 0.5/√3 = 0.577 mm, of 1.25 × the width 0.722 mm; together 0.924 mm (JCGM 100, 5.1.2).
    assert check.remedies[0].message.startswith("lower height by 6.0 mm, to 234.0 mm")
    # A quarter of the width counts: what both leave in doubt of the height, 0.595 mm, is 2.38 mm of width.
    rule = HEIGHT.replace("1.25", "0.25")
    check = check_of(rule, f"extra: {{height_mm: {height.replace('240', '50')}}}\ncar: {{width_mm: {width}}}", top=top)
    assert check.remedies[1].message.startswith("make the car wider by 14.4 mm, to 202.4 mm")


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(["at_least", "at_most", "above", "below"]),
    st.integers(50, 200), st.integers(50, 200), st.sampled_from(["1", "0.5", "1.25", "3"]), st.integers(-9, 9),
)  # fmt: skip
def test_whatever_is_told_is_legal_when_it_is_done(key: str, value: int, other: int, times: str, shift: int) -> None:
    sign = f", {'plus' if shift > 0 else 'minus'}: {abs(shift)}" if shift else ""
    rule = f"quantity: extra.a_mm, {key}: {{of: extra.b_mm, times: {times}{sign}}}"
    check = check_of(rule, f"extra: {{a_mm: {value}, b_mm: {other}}}")
    limit = Fraction(times) * other + shift
    assert (check.verdict.value == "legal") is {
        "at_least": value >= limit, "at_most": value <= limit, "above": value > limit, "below": value < limit,
    }[key]  # fmt: skip
    for remedy in check.remedies:
        stated = {"a_mm": value, "b_mm": other} | {str(change.path[-1]): change.value for change in remedy.changes}
        assert check_of(rule, f"extra: {{a_mm: {stated['a_mm']}, b_mm: {stated['b_mm']}}}").verdict.value == "legal"
