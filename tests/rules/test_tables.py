"""Tables: a limit that another quantity chooses, and what counts where no row does."""

import pytest

from speclint.rules.wording import asked, message
from tests.check.world import a_ruleset, check_of, entry_of, find_in, verdict_of

GEAR = (
    "quantity: final_drive_ratio, by: motor_part, rows: {A: {at_least: 4.50}, B: {at_least: 4.5}, C: {at_least: 5.5}},"
    " otherwise: illegal"
)
CAR = "car: {spur_teeth: 100, pinion_teeth: 50, internal_ratio: 2.21}\nmotor: {part: PART}"


@pytest.mark.parametrize(
    ("part", "verdict", "words"),
    [
        ("A", "illegal", "final drive ratio is 4.42; the rule asks at least 4.50 for motor part A: 0.08 short"),
        ("C", "illegal", "at least 5.5 for motor part C"),
        ("D", "illegal", "final drive ratio: motor part D stands in no row (A, B, C): illegal"),
        ("", "not-shown", "what is allowed depends on motor.part; add motor.part"),
    ],
)
def test_the_row_of_the_car_counts(part: str, verdict: str, words: str) -> None:
    check = check_of(GEAR, CAR.replace("PART", part))
    assert check.verdict.value == verdict
    assert words in message(check)


@pytest.mark.parametrize(
    ("otherwise", "verdict"),
    [("illegal", "illegal"), ("not-shown", "not-shown"), ("free", "not-applicable"), ("{at_least: 4}", "legal")],
)
def test_what_counts_where_no_row_does_is_written(otherwise: str, verdict: str) -> None:
    assert verdict_of(GEAR.replace("illegal", otherwise), CAR.replace("PART", "D")) == verdict


def test_a_rule_that_leaves_a_car_free_makes_no_class_legal() -> None:
    result = entry_of((f"{{id: gear, {GEAR.replace('illegal', 'free')}}}",), CAR.replace("PART", "D"))
    assert result.verdict.value == "not-shown"


@pytest.mark.parametrize(
    ("motor", "verdict"),
    [("{turns: 21.5}", "legal"), ("{turns: 17.5}", "illegal"), ("{turns: 13.5}", "not-shown")],
)
def test_keys_are_read_as_numbers_where_a_number_chooses(motor: str, verdict: str) -> None:
    rule = (
        "quantity: extra.wire_mm, by: motor_turns, rows: {21.50: {at_most: 0.724}, 17.5: {at_most: 0.7}},"
        " otherwise: not-shown"
    )
    assert verdict_of(rule, f"motor: {motor}\nextra: {{wire_mm: 0.71}}") == verdict


def test_a_flag_may_choose() -> None:
    rule = (
        "quantity: mass_g, by: motor_sealed, rows: {true: {at_least: 1300}, false: {at_least: 1400}}, otherwise: free"
    )
    assert verdict_of(rule, "car: {mass_g: 1350}\nmotor: {sealed: true}") == "legal"
    assert verdict_of(rule, "car: {mass_g: 1350}\nmotor: {sealed: false}") == "illegal"


@pytest.mark.parametrize(
    ("otherwise", "decision", "height", "verdict", "is_close"),
    [
        ("free", "as-read", 3, "not-applicable", True),
        ("free", "must-show", 3, "not-shown", True),
        ("{at_least: 2}", "as-read", 3, "legal", True),
        ("{at_least: 2}", "must-show", 3, "not-shown", True),
        ("{at_least: 4}", "must-show", 3, "illegal", True),
        ("illegal", "as-read", 8, "illegal", False),
        ("not-shown", "must-show", 8, "not-shown", False),
    ],
)
def test_a_word_that_is_nearly_a_row_falls_to_no_laxer_one_in_silence(
    otherwise: str, decision: str, height: int, verdict: str, is_close: bool
) -> None:
    rule = (
        "quantity: ride_height_mm, by: rotor_kind, rows: {standard: {at_least: 5}, torque: {at_least: 6}},"
        f" otherwise: {otherwise}, decision: {decision}"
    )
    scale = "instruments: {gauge: {accuracy: 0.01, unit: mm}}"
    car = f"car: {{ride_height_mm: {{value: {height}, instrument: gauge}}}}\nmotor: {{rotor: {{kind: standad}}}}"
    check = check_of(rule, car, top=scale)
    assert (check.verdict.value, check.close_call) == (verdict, is_close)
    if is_close:
        assert check.near == 'which row counts hangs on rotor kind: "standad" is nearly standard'


def test_a_word_that_is_nearly_what_is_barred_is_not_shown_to_be_another() -> None:
    rule = "quantity: rotor_kind, none_of: [sintered]"
    check = check_of(rule, "motor: {rotor: {kind: sinterd}}")
    assert message(check) == (
        'rotor kind is not shown: "sinterd" is nearly sintered, which is barred: spell it as the rules do'
    )
    assert verdict_of(rule, "motor: {rotor: {kind: unsintered}}") == "legal"
    for kind in ("sintered magnet", "Black sintered", "cobalt sintered magnet"):
        assert verdict_of(rule, f"motor: {{rotor: {{kind: {kind}}}}}") == "not-shown"


def test_of_several_that_choose_the_lowest_counts() -> None:
    rule = "quantity: mass_g, by: extra.tyre, rows: {a: {at_least: 1300}, b: {at_least: 1400}}, otherwise: free"
    assert verdict_of(rule, "car: {mass_g: 1350}\nextra: {tyre: [a, b]}") == "illegal"
    assert verdict_of(rule, "car: {mass_g: 1350}\nextra: {tyre: [a, a]}") == "legal"


def test_how_the_value_is_read_holds_for_every_row() -> None:
    rule = f"{GEAR}, read_to: 0.1".replace("4.50", "4.4")
    assert verdict_of(rule, CAR.replace("PART", "A").replace("2.21", "2.185")) == "legal"


def test_the_remedy_meets_the_row_of_the_car() -> None:
    check = check_of(GEAR, "car: {spur_teeth: 96, pinion_teeth: 22, internal_ratio: 1}\nmotor: {part: A}")
    assert {remedy.message.partition(":")[0] for remedy in check.remedies} >= {"pinion 21 instead of 22"}


def test_the_whole_table_is_told() -> None:
    rule = check_of(GEAR).rule
    assert asked(rule) == "by motor part A: at least 4.50, B: at least 4.5, C: at least 5.5, otherwise illegal"


@pytest.mark.parametrize(
    ("rule", "problem"),
    [
        (GEAR.replace(" otherwise: illegal", " cite: x"), "missing-key"),
        (GEAR.replace("by: motor_part", "by: motor_prt"), "unknown-quantity"),
        (GEAR.replace("by: motor_part", "by: mass_g"), "limit-unfit"),
        (GEAR.replace("by: motor_part", "by: motor_turns"), "limit-unfit"),
        (f"{GEAR}, at_least: 3", "wrong-count"),
        (GEAR.replace("otherwise: illegal", "otherwise: maybe"), "wrong-form"),
        (GEAR.replace("{at_least: 4.5}", "{}"), "missing-key"),
        (GEAR.replace("{at_least: 4.5}", "{at_least: 4.5, read_to: 1}"), "unknown-key"),
        (GEAR.replace("{at_least: 4.5}", "{at_least: 4.5, at_most: 3}"), "limit-contradicts"),
    ],
)
def test_tables_that_say_nothing_are_problems(rule: str, problem: str) -> None:
    files = {"club.yaml": a_ruleset(f"{{id: it, {rule}}}")}
    assert {issue.id for issue in find_in(files).problems} == {problem}


@pytest.mark.parametrize(("count", "problems"), [(200, []), (201, ["limit-unfit"])])
def test_a_table_has_200_rows_at_most(count: int, problems: list[str]) -> None:
    rows = ", ".join(f"M-{number}: {{at_least: 4}}" for number in range(count))
    rule = f"{{id: gear, quantity: final_drive_ratio, by: motor_part, rows: {{{rows}}}, otherwise: not-shown}}"
    assert [problem.id for problem in find_in({"club.yaml": a_ruleset(rule)}).problems] == problems


@pytest.mark.parametrize(
    ("otherwise", "verdict"),
    [("illegal", "illegal"), ("not-shown", "not-shown"), ("free", "not-shown"), ("{at_least: 1}", "not-shown")],
)
def test_a_value_that_is_only_spelled_otherwise_never_gets_what_counts_without_a_row(
    otherwise: str, verdict: str
) -> None:
    check = check_of(GEAR.replace("illegal", otherwise), CAR.replace("PART", "c"))
    assert (check.verdict.value, check.reason) == (verdict, '"c" is "C" in the rules: spell it as they do')
