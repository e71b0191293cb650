"""Every form that a limit can take, at its edge and on either side of it."""

from fractions import Fraction

import pytest

from speclint.rules import wording
from tests.check.world import NOT_LEGAL, check_of, entry_of, verdict_of, verdicts

LISTS = """
lists:
  motors:
    frozen_on: 2026-01-01
    items:
      - {id: M-1, from: 2025-09-01, rotors: [R-1, R-2], magnet_mm: [12.3, 12.5]}
      - {id: M-2, from: 2024-09-01, until: 2026-06-30, rotors: R-9, magnet_mm: 12.3}
      - {id: M-3, from: 2026-02-10, rotors: [R-1], magnet_mm: 12.3}
      - {id: M-4, from: 2025-12-01, rotors: [], magnet_mm: []}
"""


@pytest.mark.parametrize(
    ("limit", "mass", "verdict"),
    [
        ("at_least: 1350", 1349.9, "illegal"),
        ("at_least: 1350", 1350, "legal"),
        ("at_least: 1350", 1350.1, "legal"),
        ("at_most: 1350", 1350.1, "illegal"),
        ("at_most: 1350", 1350, "legal"),
        ("above: 1350", 1350, "illegal"),
        ("above: 1350", 1350.000001, "legal"),
        ("below: 1350", 1350, "illegal"),
        ("below: 1350", 1349.999999, "legal"),
        ("at_least: 1300, at_most: 1400", 1300, "legal"),
        ("at_least: 1300, at_most: 1400", 1400, "legal"),
        ("at_least: 1300, at_most: 1400", 1400.5, "illegal"),
        ("above: 1300, below: 1400", 1300, "illegal"),
        ("above: 1300, below: 1400", 1400, "illegal"),
        ("above: 1300, below: 1400", 1301, "legal"),
        ("above: 1300, at_most: 1400", 1400, "legal"),
        ("between: [1300, 1400]", 1300, "legal"),
        ("between: [1300, 1400]", 1400, "legal"),
        ("between: [1300, 1400]", 1299.9, "illegal"),
        ("nominal: 1350, tolerance: {percent: 2}", 1323, "legal"),
        ("nominal: 1350, tolerance: {percent: 2}", 1377, "legal"),
        ("nominal: 1350, tolerance: {percent: 2}", 1322.9, "illegal"),
        ("nominal: 1350, tolerance: {percent: 2}", 1377.1, "illegal"),
        ("nominal: 1350, tolerance: {plus: 5, minus: 20}", 1355, "legal"),
        ("nominal: 1350, tolerance: {plus: 5, minus: 20}", 1355.1, "illegal"),
        ("nominal: 1350, tolerance: {plus: 5, minus: 20}", 1330, "legal"),
        ("nominal: 1350, tolerance: {plus: 5, minus: 20}", 1329.9, "illegal"),
        ("equals: 1350", 1350, "legal"),
        ("equals: 1350", 1350.1, "illegal"),
        ("one_of: [1350, 1400]", 1400, "legal"),
        ("one_of: [1350, 1400]", 1401, "illegal"),
        ("none_of: [1350, 1400]", 1400, "illegal"),
        ("none_of: [1350, 1400]", 1401, "legal"),
        ("stated: true", 1200, "legal"),
    ],
)
def test_a_number_is_held_against_its_limit(limit: str, mass: float, verdict: str) -> None:
    assert verdict_of(f"quantity: mass_g, {limit}", f"car: {{mass_g: {mass}}}") == verdict


@pytest.mark.parametrize(
    ("rule", "stated", "verdict"),
    [
        ("quantity: battery_chemistry, equals: LiPo", "battery: {chemistry: LiPo}", "legal"),
        ("quantity: battery_chemistry, equals: LiPo", "battery: {chemistry: LiFe}", "illegal"),
        ("quantity: battery_chemistry, equals: LiPo", "battery: {chemistry: lipo}", "illegal"),
        ("quantity: battery_chemistry, one_of: [LiPo, LiFe]", "battery: {chemistry: LiFe}", "legal"),
        ("quantity: battery_chemistry, none_of: [NiMH]", "battery: {chemistry: NiMH}", "illegal"),
        ("quantity: battery_hard_case, equals: true", "battery: {hard_case: true}", "legal"),
        ("quantity: battery_hard_case, equals: true", "battery: {hard_case: false}", "illegal"),
        ("quantity: battery_hard_case, equals: false", "battery: {hard_case: false}", "legal"),
        ("quantity: battery_hard_case, one_of: [true]", "battery: {hard_case: false}", "illegal"),
        ("quantity: battery_hard_case, none_of: [true]", "battery: {hard_case: false}", "legal"),
        ("quantity: battery_hard_case, stated: true", "battery: {hard_case: false}", "legal"),
        ("quantity: motor_serial, stated: true", 'motor: {serial: "00417"}', "legal"),
        ("quantity: extra.body, equals: club list no. 7", "extra: {body: club list no. 7}", "legal"),
        ("quantity: extra.tyres, one_of: [red, blue]", "extra: {tyres: [red, blue]}", "legal"),
        ("quantity: extra.tyres, one_of: [red, blue]", "extra: {tyres: [red, green]}", "illegal"),
        ("quantity: extra.tyres, none_of: [green]", "extra: {tyres: [red, green]}", "illegal"),
        ("quantity: extra.tyres, none_of: [green]", "extra: {tyres: [red, blue]}", "legal"),
    ],
)
def test_a_word_or_a_flag_is_held_against_its_choices(rule: str, stated: str, verdict: str) -> None:
    assert verdict_of(rule, stated) == verdict


def test_true_is_not_the_number_one_and_the_number_one_is_not_true() -> None:
    assert verdict_of("quantity: extra.reverse, equals: true", "extra: {reverse: 1}") == "illegal"
    assert verdict_of("quantity: extra.heat, one_of: [1]", "extra: {heat: true}") == "illegal"
    assert verdict_of("quantity: extra.heat, none_of: [1]", "extra: {heat: true}") == "legal"


def test_a_number_is_not_the_text_that_looks_like_it() -> None:
    for limit in ("one_of", "none_of"):
        assert verdict_of(f'quantity: extra.heat, {limit}: ["1"]', "extra: {heat: 1}") == "not-shown"
        assert verdict_of(f"quantity: extra.heat, {limit}: [1]", 'extra: {heat: "1"}') == "not-shown"
    assert verdict_of("quantity: extra.heat, one_of: [1]", 'extra: {heat: "2"}') == "illegal"
    assert verdict_of("quantity: extra.heat, none_of: [1]", 'extra: {heat: "2"}') == "legal"


@pytest.mark.parametrize(
    ("rule", "stated", "reason"),
    [
        ("quantity: extra.weight_g, at_least: 1404", '"1404"',
         '"1404" is a text because of its quotes: write 1404 without them'),
        ("quantity: extra.weight_g, equals: 1404", '"1404"',
         '"1404" is a text because of its quotes: write 1404 without them'),
        ("quantity: extra.weight_g, one_of: [1404]", '"1404.0"',
         '"1404.0" is a text because of its quotes: write 1404.0 without them'),
        ("quantity: extra.weight_g, equals: 1404", "heavy", "the rule asks for a number here"),
        ("quantity: extra.weight_g, equals: true", "yes", "yes is a text here: write true"),
        ("quantity: extra.weight_g, none_of: [true]", '"true"', "true is a text here: write true"),
        ('quantity: extra.weight_g, equals: "7.5"', "7.5",
         'the rule asks for the text "7.5", and 7.5 without quotes is not one: put it in quotes'),
    ],
)  # fmt: skip
def test_a_value_of_the_wrong_kind_is_not_shown_and_the_quotes_are_named(rule: str, stated: str, reason: str) -> None:
    check = check_of(rule, f"extra: {{weight_g: {stated}}}")
    assert (check.verdict.value, check.reason) == ("not-shown", reason)


@pytest.mark.parametrize(
    ("limit", "verdict"),
    [("none_of: [R-98, R-99]", "not-shown"), ("one_of: [R-98, R-99]", "illegal"), ("equals: R-99", "illegal")],
)
@pytest.mark.parametrize(
    "part",
    ["r-99", "R99", "R 99", "R-99 ", " R-99", "R–99", "R‑99", "R\\u200b-99", "Ｒ-99", "R_99", "“R-99”", "»R-99«"],
)
def test_a_word_that_is_only_spelled_otherwise_passes_no_limit(part: str, limit: str, verdict: str) -> None:
    check = check_of(f"quantity: rotor_part, {limit}", f'motor: {{rotor: {{part: "{part}"}}}}')
    assert check.verdict.value == verdict
    assert check.reason.endswith('is "R-99" in the rules: spell it as they do')


@pytest.mark.parametrize("part", ["R-9", "R-990", "R-9.9", "R-99+", "X-99"])
def test_a_word_with_other_letters_or_figures_is_another_word(part: str) -> None:
    stated = f"motor: {{rotor: {{part: {part}}}}}"
    assert verdict_of("quantity: rotor_part, none_of: [R-99]", stated) == "legal"
    assert verdict_of("quantity: rotor_part, one_of: [R-99]", stated) == "illegal"


def test_of_two_words_that_differ_in_case_alone_each_is_itself() -> None:
    assert verdict_of("quantity: rotor_part, one_of: [r-99, R-99]", "motor: {rotor: {part: R-99}}") == "legal"


@pytest.mark.parametrize(("limit", "verdict"), [("one_of", "illegal"), ("none_of", "not-shown")])
def test_nothing_is_known_of_a_motor_that_is_spelled_otherwise(limit: str, verdict: str) -> None:
    rule = f"quantity: rotor_part, {limit}: {{list: motors, item: motor_part, under: rotors}}"
    assert verdict_of(rule, "motor: {part: m1, rotor: {part: R-1}}", top=LISTS) == verdict


NAMED = "{value: 1350, instrument: scale}"
SCALE = "instruments: {scale: {accuracy: 1.7320508}}"
"""A half-width of 1.7320508 g is a standard uncertainty of 1 g (JCGM 100 4.3.7), so U is 2 g."""


@pytest.mark.parametrize(
    ("limit", "mass", "verdicts"),
    [
        # as-read, must-show, benefit-of-doubt (JCGM 106 8.2, 8.3.2, 8.3.3)
        ("one_of: [1350, 1400]", "1350", ("legal", "not-shown", "legal")),
        ("one_of: [1350, 1400]", NAMED, ("legal", "not-shown", "legal")),
        ("one_of: [1350, 1400]", NAMED.replace("1350", "1351"), ("illegal", "illegal", "legal")),
        ("one_of: [1350, 1400]", NAMED.replace("1350", "1353"), ("illegal", "illegal", "illegal")),
        ("none_of: [1350]", "1351", ("legal", "not-shown", "legal")),
        ("none_of: [1350]", NAMED, ("illegal", "illegal", "legal")),
        ("none_of: [1350]", NAMED.replace("1350", "1351"), ("legal", "not-shown", "legal")),
        ("none_of: [1350]", NAMED.replace("1350", "1353"), ("legal", "legal", "legal")),
    ],
)
def test_a_choice_of_numbers_on_a_reading_is_decided_as_the_rule_says(
    limit: str, mass: str, verdicts: tuple[str, ...]
) -> None:
    decisions = ("as-read", "must-show", "benefit-of-doubt")
    stated = f"car: {{mass_g: {mass}}}"
    assert (
        tuple(
            verdict_of(f"quantity: mass_g, {limit}, decision: {decision}", stated, top=SCALE) for decision in decisions
        )
        == verdicts
    )


def test_a_choice_of_numbers_that_are_counted_or_set_is_exact_by_every_decision() -> None:
    for decision in ("as-read", "must-show", "benefit-of-doubt"):
        rule = f"quantity: motor_turns, one_of: [17.5, 21.5], decision: {decision}"
        assert verdict_of(rule, "motor: {turns: 17.5}") == "legal"
        assert verdict_of(rule, "motor: {turns: 13.5}") == "illegal"


@pytest.mark.parametrize(
    ("part", "on", "verdict", "reason"),
    [
        ("M-1", "2026-03-14", "legal", ""),
        ("M-2", "2026-06-30", "legal", ""),
        ("M-2", "2026-07-01", "illegal", "on the list motors, M-2 counted until 2026-06-30"),
        (
            "M-3",
            "2026-03-14",
            "illegal",
            "on the list motors, M-3 was added on 2026-02-10, after the list froze on 2026-01-01",
        ),
        ("M-11", "2026-03-14", "illegal", "M-11 is not on the list motors; the nearest is M-1"),
        # With a hyphen that breaks no line, and with a Cyrillic letter.
        (
            "M\u20111",
            "2026-03-14",
            "illegal",
            "M\u20111 is not on the list motors; M-1 is, spelled otherwise: copy it from there",
        ),
        (
            "\u041c-1",
            "2026-03-14",
            "illegal",
            "\u041c-1 is not on the list motors; M-1 is, spelled otherwise: copy it from there",
        ),
        ("X", "2026-03-14", "illegal", "X is not on the list motors"),
    ],
)
def test_a_listed_value_counts_from_its_first_day_to_its_last(part: str, on: str, verdict: str, reason: str) -> None:
    check = check_of("quantity: motor_part, listed_in: motors", f"motor: {{part: {part}}}", top=LISTS, on=on)
    assert (check.verdict.value, check.reason) == (verdict, reason)


@pytest.mark.parametrize(
    ("dates", "reason"),
    [
        (
            "published: 2026-01-02",
            "on the list tyres, T-1 was published on 2026-01-02, after the list froze on 2026-01-01",
        ),
        (
            "published: 2026-01-02, from: 2025-12-01",
            "on the list tyres, T-1 was published on 2026-01-02, after the list froze on 2026-01-01",
        ),
        ("published: 2026-01-01", ""),
    ],
)
def test_an_item_that_was_published_after_the_list_froze_does_not_count(dates: str, reason: str) -> None:
    top = f"lists: {{tyres: {{frozen_on: 2026-01-01, items: [{{id: T-1, {dates}}}]}}}}"
    check = check_of("quantity: extra.tyre, listed_in: tyres", "extra: {tyre: T-1}", top=top)
    assert (check.verdict.value, check.reason) == ("illegal" if reason else "legal", reason)


@pytest.mark.parametrize(("on", "verdict"), [("2026-02-28", "illegal"), ("2026-03-01", "legal")])
def test_an_item_that_begins_after_the_day_does_not_count_yet(on: str, verdict: str) -> None:
    top = "lists: {tyres: {items: [{id: T-1, from: 2026-03-01}]}}"
    check = check_of("quantity: extra.tyre, listed_in: tyres", "extra: {tyre: T-1}", top=top, on=on)
    assert check.verdict.value == verdict
    assert check.reason == ("" if verdict == "legal" else "on the list tyres, T-1 counts from 2026-03-01")


def test_an_item_that_is_listed_twice_counts_where_either_counts() -> None:
    top = "lists: {tyres: {items: [{id: T-1, until: 2025-12-31}, {id: T-1, from: 2026-02-01}]}}"
    assert verdict_of("quantity: extra.tyre, listed_in: tyres", "extra: {tyre: T-1}", top=top) == "legal"
    assert (
        verdict_of("quantity: extra.tyre, listed_in: tyres", "extra: {tyre: T-1}", top=top, on="2026-01-10")
        == "illegal"
    )


def test_of_several_values_each_has_to_be_listed() -> None:
    top = "lists: {tyres: {items: [{id: red}, {id: blue}]}}"
    assert verdict_of("quantity: extra.tyres, listed_in: tyres", "extra: {tyres: [red, blue]}", top=top) == "legal"
    check = check_of("quantity: extra.tyres, listed_in: tyres", "extra: {tyres: [red, bleu]}", top=top)
    assert (check.verdict.value, check.reason) == ("illegal", "bleu is not on the list tyres; the nearest is blue")


def test_a_number_where_the_list_has_its_text_is_told_to_be_quoted() -> None:
    check = check_of(
        "quantity: extra.body, listed_in: bodies", "extra: {body: 7.5}", top='lists: {bodies: {items: [{id: "7.5"}]}}'
    )
    assert check.verdict.value == "not-shown"
    assert check.reason == 'the list bodies has the text "7.5", and 7.5 without quotes is not one: put it in quotes'


@pytest.mark.parametrize(
    ("motor", "on", "verdict", "reason"),
    [
        ("part: M-1, rotor: {part: R-2}", "2026-03-14", "legal", ""),
        ("part: M-1, rotor: {part: R-9}", "2026-03-14", "illegal", "approved for M-1: R-1, R-2"),
        ("part: M-2, rotor: {part: R-9}", "2026-03-14", "legal", ""),
        ("part: M-2, rotor: {part: R-9}", "2026-07-01", "illegal", "on the list motors, M-2 counted until 2026-06-30"),
        ("part: M-4, rotor: {part: R-1}", "2026-03-14", "illegal", "nothing is approved for M-4"),
        (
            "part: M-9, rotor: {part: R-1}",
            "2026-03-14",
            "illegal",
            "M-9 is not on the list motors, so nothing is approved for it",
        ),
    ],
)
def test_a_rotor_is_approved_for_one_motor_and_not_for_another(motor: str, on: str, verdict: str, reason: str) -> None:
    rule = "quantity: rotor_part, one_of: {list: motors, item: motor_part, under: rotors}"
    check = check_of(rule, f"motor: {{{motor}}}", top=LISTS, on=on)
    assert (check.verdict.value, check.reason) == (verdict, reason)


def test_an_item_may_list_numbers() -> None:
    rule = "quantity: rotor_diameter_mm, one_of: {list: motors, item: motor_part, under: magnet_mm}"
    assert verdict_of(rule, "motor: {part: M-1, rotor: {diameter_mm: 12.5}}", top=LISTS) == "legal"
    check = check_of(rule, "motor: {part: M-1, rotor: {diameter_mm: 12.4}}", top=LISTS)
    assert (check.verdict.value, check.reason) == ("illegal", "approved for M-1: 12.3, 12.5")


def test_what_only_a_person_can_judge_is_to_inspect_and_changes_no_verdict() -> None:
    result = entry_of(
        ("{id: seal, inspect: the seal is whole}", "{id: mass, quantity: mass_g, at_least: 900}"), "car: {mass_g: 1000}"
    )
    assert verdicts(result) == {"seal": "to-inspect", "mass": "legal"}
    assert result.checks[0].reason == "the seal is whole"
    assert result.verdict.value == "legal"


def test_text_where_a_size_is_asked_for_shows_nothing() -> None:
    check = check_of("quantity: extra.wing_mm, at_most: 20", "extra: {wing_mm: about 19}")
    assert (check.verdict.value, check.reason) == ("not-shown", "the rule asks for a number here")


@pytest.mark.parametrize("value", ['""', "[]"])
@pytest.mark.parametrize(
    "limit", ["at_most: 3", "one_of: [a]", "none_of: [a]", "stated: true", "listed_in: l", "equals: a"]
)
def test_an_empty_text_or_list_states_nothing(value: str, limit: str) -> None:
    check = check_of(
        f"quantity: extra.body, {limit}", f"extra: {{body: {value}}}", top="lists: {l: {items: [{id: a}]}}"
    )
    assert check.verdict.value in NOT_LEGAL
    assert check.missing == ("extra.body",)


def test_no_shims_are_a_sum_of_nothing_and_not_a_missing_value() -> None:
    rule = "quantity: shims_sensor_end_mm, at_most: 0.2"
    assert verdict_of(rule, "motor: {shims_mm: {sensor_end: []}}") == "legal"
    assert verdict_of(rule, "motor: {shims_mm: {sensor_end: [0.1, 0.1]}}") == "legal"
    assert verdict_of(rule, "motor: {shims_mm: {sensor_end: [0.1, 0.1, 0.05]}}") == "illegal"
    assert verdict_of(rule, "motor: {shims_mm: {drive_end: [0.1]}}") == "not-shown"


def test_a_list_of_words_under_a_key_with_a_unit_shows_nothing() -> None:
    assert verdict_of("quantity: extra.wing_mm, at_most: 20", "extra: {wing_mm: [a, b]}") == "not-shown"
    assert verdict_of("quantity: extra.wing_mm, one_of: [a, b]", "extra: {wing_mm: [a, b]}") == "legal"


def test_a_reading_may_stand_under_any_extra_key() -> None:
    top = "instruments: {gauge: {accuracy: 0.2}}"
    setup = "extra: {clearance: {value: 19.9, instrument: gauge}, wing_mm: [19, 20, 21]}\ninstruments: {gauge: {accuracy: 0.2}}"
    assert verdict_of("quantity: extra.clearance, at_most: 20", setup, top=top) == "legal"
    assert verdict_of("quantity: extra.wing_mm, at_most: 20", setup, top=top) == "illegal"
    assert verdict_of("quantity: extra.wing_mm, at_most: 21", setup, top=top) == "legal"


@pytest.mark.parametrize(
    ("rule", "stated", "worst", "has"),
    [
        ("quantity: extra.ride_height_mm, at_least: 5", "ride_height_mm: [4.6, 5.6]", "4.6", "4.6 mm (number 1 of 2)"),
        ("quantity: extra.pack_v, at_most: 8.4", "pack_v: [8.2, 8.5]", "8.5", "8.5 V (number 2 of 2)"),
        ("quantity: extra.tyre_mm, between: [8, 26]", "tyre_mm: [8, 26.5]", "26.5", "26.5 mm (number 2 of 2)"),
    ],
)
def test_each_of_several_things_has_to_meet_the_limit_and_the_worst_is_named(
    rule: str, stated: str, worst: str, has: str
) -> None:
    for decision in ("as-read", "must-show", "benefit-of-doubt"):
        check = check_of(f"{rule}, decision: {decision}", f"extra: {{{stated}}}")
        assert check.verdict.value == "illegal"
        assert check.fact is not None
        assert check.fact.value == Fraction(worst)
        assert len(check.fact.values) == 2
        assert wording.has(check) == has


def test_repeated_readings_under_an_extra_key_are_one_thing_read_often() -> None:
    setup = "extra: {wing_mm: {readings: [19, 20, 21]}}"
    assert verdict_of("quantity: extra.wing_mm, at_most: 20", setup) == "legal"


def test_each_of_several_things_is_shown_on_the_rules_instrument() -> None:
    top = "instruments: {gauge: {accuracy: 0.2}}"
    rule = "quantity: extra.ride_height_mm, at_least: 5, decision: must-show, instrument: gauge"
    assert verdict_of(rule, "extra: {ride_height_mm: [5.3, 5.6]}", top=top) == "legal"
    assert verdict_of(rule, "extra: {ride_height_mm: [5.1, 5.6]}", top=top) == "not-shown"
