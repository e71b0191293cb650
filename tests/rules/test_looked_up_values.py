"""Limits that are looked up: the value of another quantity of the car, or what a list's item says."""

import math

import pytest

from speclint.rules.wording import asked, message
from tests.check.world import a_ruleset, check_of, find_in, verdict_of

PACK = "quantity: extra.pack_c, at_most: {of: extra.ambient_c, plus: 5}"
HEIGHT = "quantity: extra.wheelbase_mm, at_least: {of: extra.height_mm, times: 1.25}"
MOTORS = "lists: {motors: {items: [{id: M-17A, lowest_mohm: 35.58, colours: [red]}, {id: M-9, until: 2026-03-01, lowest_mohm: 30, colours: []}]}}"
TURNS = "quantity: motor_turns, at_least: {list: motors, item: motor_part, under: lowest_mohm}"


@pytest.mark.parametrize(
    ("extra", "verdict", "words"),
    [
        (
            "{pack_c: 27, ambient_c: 21}",
            "illegal",
            "pack is 27 °C; the rule asks at most 26 °C (ambient 21 °C + 5 °C): 1 °C over",
        ),
        ("{pack_c: 26, ambient_c: 21}", "legal", "on the limit itself"),
        ("{pack_c: 26}", "not-shown", "the limit depends on extra.ambient_c; add extra.ambient_c"),
        ("{ambient_c: 21}", "not-shown", "add extra.pack_c"),
        ("{pack_c: [25, 27], ambient_c: 21}", "illegal", "27 °C (number 2 of 2)"),
        ("{pack_c: 25, ambient_c: [21, 19]}", "illegal", "at most 24 °C"),
    ],
)
def test_a_limit_may_be_another_value_of_the_car(extra: str, verdict: str, words: str) -> None:
    check = check_of(PACK, f"extra: {extra}")
    assert check.verdict.value == verdict
    assert words in message(check)


def test_before_a_car_is_there_it_is_told_in_words() -> None:
    assert asked(check_of(PACK).rule) == "at most ambient + 5 °C"
    assert asked(check_of(HEIGHT).rule) == "at least 1.25 × height"
    assert asked(check_of(TURNS, top=MOTORS).rule) == "at least what motors has as lowest mohm for this motor part"


def test_a_factor_is_exact() -> None:
    assert verdict_of(HEIGHT, "extra: {wheelbase_mm: 236.875, height_mm: 189.5}") == "legal"
    assert verdict_of(HEIGHT, "extra: {wheelbase_mm: 236.874, height_mm: 189.5}") == "illegal"


def test_the_accuracies_of_both_readings_count_as_independent() -> None:
    """JCGM 100 equation 10: half-widths of 1 % are u = 1 % / √3, so U = 2/√3 √(2.38² + (1.25 × 1.895)²) = 3.88 mm."""
    rule = f"{HEIGHT}, decision: must-show"
    car = "extra: {wheelbase_mm: {value: WB, instrument: caliper}, height_mm: {value: 189.5, instrument: caliper}}"
    top = "instruments: {caliper: {accuracy_percent: 1}}"
    check = check_of(rule, car.replace("WB", "238"), top=top)
    expanded = check.outcome.expanded_uncertainty if check.outcome is not None else None
    assert expanded == pytest.approx(2 / math.sqrt(3) * math.hypot(2.38, 1.25 * 1.895), abs=1e-6)
    assert (check.verdict.value, check.close_call) == ("not-shown", True)
    assert verdict_of(rule, car.replace("WB", "241"), top=top) == "legal"
    assert (
        verdict_of(rule, "extra: {wheelbase_mm: {value: 241, instrument: caliper}, height_mm: 189.5}", top=top)
        == "not-shown"
    )


def test_each_side_is_judged_alone() -> None:
    rule = "quantity: width_mm, at_least: {of: extra.low_mm}, at_most: {of: extra.high_mm, minus: 1}"
    car = "car: {width_mm: 190}\nextra: {low_mm: 180, high_mm: 190.5}"
    check = check_of(rule, car)
    assert check.verdict.value == "illegal"
    assert "180.0 to 189.5 mm (low 180 mm, high 190.5 mm − 1 mm): 0.5 mm over" in message(check)
    assert verdict_of(rule, car.replace("190.5", "191")) == "legal"
    assert verdict_of(rule.replace("at_most: {of: extra.high_mm, minus: 1}", "at_most: 200"), car) == "legal"


def test_texts_are_equal_or_not() -> None:
    rule = "quantity: extra.front, equals: {of: extra.rear}"
    assert verdict_of(rule, "extra: {front: soft, rear: soft}") == "legal"
    check = check_of(rule, "extra: {front: soft, rear: hard}")
    assert message(check) == "front is soft; the rule asks hard (rear hard)"
    assert (
        verdict_of(
            "quantity: spur_teeth, equals: {of: extra.spur_teeth}", "car: {spur_teeth: 90}\nextra: {spur_teeth: 91}"
        )
        == "illegal"
    )


@pytest.mark.parametrize(
    ("motor", "verdict", "words"),
    [
        ("{turns: 35.2, part: M-17A}", "illegal", "the rule asks at least 35.58 turns (motors: M-17A)"),
        ("{turns: 35.58, part: M-17A}", "legal", "on the limit itself"),
        ("{turns: 40, part: M-8}", "not-shown", "M-8 is not on the list motors, so nothing is approved for it"),
        ("{turns: 40, part: M-9}", "not-shown", "on the list motors, M-9 counted until 2026-03-01"),
        ("{turns: 40}", "not-shown", "what is allowed depends on motor.part"),
    ],
)
def test_a_limit_may_stand_in_a_list(motor: str, verdict: str, words: str) -> None:
    check = check_of(TURNS, f"motor: {motor}", top=MOTORS)
    assert check.verdict.value == verdict
    assert words.replace("35.58 turns", "35.58") in message(check).replace("35.58 turns", "35.58")


def test_a_nominal_value_may_be_looked_up_with_its_tolerance() -> None:
    rule = "quantity: width_mm, nominal: {of: extra.printed_mm}, tolerance: {percent: 1}"
    assert verdict_of(rule, "car: {width_mm: 101}\nextra: {printed_mm: 100}") == "legal"
    assert verdict_of(rule, "car: {width_mm: 101.1}\nextra: {printed_mm: 100}") == "illegal"


def test_values_of_an_item_may_be_allowed_or_barred() -> None:
    barred = "quantity: extra.colour, none_of: {list: motors, item: motor_part, under: colours}"
    car = "motor: {part: M-17A}\nextra: {colour: red}"
    assert verdict_of(barred, car, top=MOTORS) == "illegal"
    assert verdict_of(barred, car.replace("red", "blue"), top=MOTORS) == "legal"
    assert verdict_of(barred, car.replace("M-17A", "M-8"), top=MOTORS) == "not-shown"
    allowed = barred.replace("none_of", "one_of")
    assert verdict_of(allowed, car, top=MOTORS) == "legal"
    assert verdict_of(allowed, car.replace("M-17A", "M-8"), top=MOTORS) == "illegal"


@pytest.mark.parametrize(
    ("rule", "problem"),
    [
        ("quantity: mass_g, at_least: {of: mass_g}", "limit-unfit"),
        ("quantity: mass_g, at_least: {of: width_mm}", "limit-unfit"),
        ("quantity: mass_g, at_least: {of: widht_mm}", "unknown-quantity"),
        ("quantity: mass_g, at_least: {times: 2}", "missing-key"),
        ("quantity: mass_g, at_least: {of: extra.x_g, plus: 1, minus: 1}", "wrong-count"),
        ("quantity: mass_g, at_least: {list: motors, item: motor_part}", "missing-key"),
        ("quantity: mass_g, at_least: {list: motor, item: motor_part, under: lowest_mohm}", "unknown-list"),
        ("quantity: mass_g, at_least: {list: motors, item: motor_part, under: highest}", "missing-key"),
        ("quantity: mass_g, at_least: {list: motors, item: motor_part, under: colours}", "limit-unfit"),
        ("quantity: mass_g, one_of: {list: motors, item: motor_part}", "missing-key"),
        ("quantity: car_type, at_least: {of: mass_g}", "limit-unfit"),
    ],
)
def test_what_cannot_be_looked_up_is_a_problem(rule: str, problem: str) -> None:
    files = {"club.yaml": a_ruleset(f"{{id: it, {rule}}}", top=MOTORS)}
    assert {issue.id for issue in find_in(files).problems} == {problem}
