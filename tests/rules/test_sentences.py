"""A rule read out as a plain sentence, with how the value is read and whom doubt counts against."""

from datetime import date

import pytest

from speclint.moments import Period
from speclint.plain import listed
from speclint.rules.sentences import doubt_text, sentence_of, terms, waiver_text
from speclint.rulesets.model import Waiver
from tests.check.world import entry_of

TOP = """\
instruments:
  scale: {accuracy_percent: 0.1, accuracy: 0.5, resolution: 1, offset: 2, calibrated_on: 2026-01-05, unit: g}
  tacho: {}
  ohm-meter: {accuracy: 0.1, unit: mohm}
  dial: {accuracy: 0.5, unit: furlongs}
lists: {motors: {items: [{id: M-1}]}}
"""


def told(rule: str, *, top: str = TOP) -> tuple[str, list[str], str]:
    """The sentence of a rule, its terms, and whom doubt counts against."""
    result = entry_of((f"{{id: it, {rule}}}",), top=top)
    (check,) = result.checks
    return str(sentence_of(check.rule)), [*terms(check.rule, result.flat)], doubt_text(check.rule, result.flat)


@pytest.mark.parametrize(
    ("rule", "sentence"),
    [
        ("quantity: mass_g, at_least: 1350", "The mass is at least 1350 g."),
        ("quantity: motor_turns, equals: 17.5", "The turns are exactly 17.5."),
        ("quantity: battery_cells, equals: 2", "The cells are exactly 2."),
        ("quantity: motor_sealed, equals: true", "Seal: yes."),
        ("quantity: motor_sealed, equals: false", "Seal: no."),
        ("quantity: extra.tyre, one_of: [a, b]", "The tyre is one of a, b."),
        ("quantity: motor_part, listed_in: motors", "The motor part is on the list motors."),
        ("quantity: winding_mean_mohm, at_least: 20.5", "The mean winding is at least 20.5 mΩ."),
        ("quantity: mass_g, any_of: [{at_most: 3}, {at_least: 5}]", "The mass is at most 3 g, or at least 5 g."),
        ("quantity: motor_turns, any_of: [{equals: 3}, {at_least: 5}]", "The turns are exactly 3, or at least 5."),
        ("any_of: [{quantity: mass_g, at_least: 1}]", "This holds: mass at least 1 g."),
        (
            "any_of: [{quantity: mass_g, at_least: 1}, {quantity: width_mm, at_most: 2}]",
            "One of these holds: mass at least 1 g, or width at most 2 mm.",
        ),
        (
            "quantity: final_drive_ratio, by: motor_part, rows: {A: {at_least: 4.5}}, otherwise: illegal",
            "The final drive ratio, by the motor part: A: at least 4.5, otherwise illegal.",
        ),
        ("inspect: the seal.", "The inspector looks at this: the seal."),
        (
            "quantity: mass_g, at_least: 1350, when: {entry.round: 5}",
            "Where the round is 5, the mass is at least 1350 g.",
        ),
        (
            "quantity: mass_g, at_least: 1350, when: {entry.round: 5, entry.venue: indoor, car_type: touring}",
            "Where the car type is touring, the round is 5 and the venue is indoor, the mass is at least 1350 g.",
        ),
    ],
)
def test_a_rule_is_a_sentence(rule: str, sentence: str) -> None:
    assert told(rule)[0] == sentence


@pytest.mark.parametrize(
    ("rule", "texts"),
    [
        ("quantity: mass_g, at_least: 1350", []),
        ("quantity: motor_turns, equals: 17.5", []),
        ("quantity: winding_mean_mohm, at_least: 20.5", ["The winding counts at 20 °C."]),
        (
            "quantity: winding_mean_mohm, at_least: 20.5, uncorrected: true",
            ["The reading counts as it was read, at whatever temperature."],
        ),
        (
            "quantity: mass_g, at_least: 1350, read_to: 10, leeway: 5, instrument: scale",
            [
                "The value is first read to 10 g, halves away from zero.",
                "A value beyond the limit by at most 5 g still passes.",
                "The official instrument is the scale: ± 0.1 % of the reading, ± 0.5 g, in steps of 1 g, shows 2 g too"
                " much, calibrated on 5 January 2026.",
            ],
        ),
        (
            "quantity: mass_g, at_least: 1350, leeway: {percent: 2}, instrument: tacho",
            ["A value beyond the limit by at most 2 % still passes.", "The official instrument is the tacho."],
        ),
        (
            "quantity: mass_g, at_least: 1350, inspect: the weight sticker., per: day",
            ["Where the setup does not state it, once a day the inspector looks at this: the weight sticker."],
        ),
    ],
)
def test_how_the_value_is_read_is_told_where_the_rule_says_more_than_its_limit(rule: str, texts: list[str]) -> None:
    assert told(rule)[1] == texts


@pytest.mark.parametrize(
    ("rule", "top", "text"),
    [
        ("quantity: mass_g, at_least: 1350", "", "The reading counts as it is read."),
        ("quantity: mass_g, at_least: 1350", "decision: must-show", "doubt goes against the car"),
        ("quantity: mass_g, at_least: 1350", "decision: benefit-of-doubt", "Doubt favours the racer"),
        ("quantity: mass_g, at_least: 1350, decision: must-show", "decision: as-read", "doubt goes against the car"),
        ("quantity: mass_g, at_least: 1350, decision: as-read", "decision: must-show", "counts as it is read"),
        ("any_of: [{quantity: motor_turns, equals: 3}, {quantity: mass_g, at_least: 1}]", "", "counts as it is read"),
        ("quantity: motor_turns, equals: 17.5", "decision: must-show", None),
        ("quantity: motor_part, equals: A", "decision: must-show", None),
        ("quantity: extra.colour, equals: red", "decision: must-show", None),
    ],
)
def test_whom_doubt_counts_against_is_told_where_something_is_read(rule: str, top: str, text: str | None) -> None:
    doubt = told(rule, top=top)[2]
    assert (text in doubt) if text is not None else (doubt == "")


def test_days_items_and_waivers_are_told_as_far_as_they_are_stated() -> None:
    first, last = date(2026, 3, 1), date(2026, 6, 30)
    assert Period(first, last).text == "from 1 March 2026 until 30 June 2026"
    assert Period(None, last).text == "until 30 June 2026"
    assert Period(first, None).text == "from 1 March 2026"
    assert Period(None, None).text == ""
    assert [listed(items) for items in ([], ["a"], ["a", "b"], ["a", "b", "c"])] == ["", "a", "a and b", "a, b and c"]
    waiver = Waiver("weight", None, (), Period(None, last), "the board")
    assert waiver_text(waiver) == "weight, until 30 June 2026, the board"
    assert waiver_text(waiver._replace(granted=""), is_dated=False) == "weight"


@pytest.mark.parametrize(
    ("instrument", "says"),
    [("ohm-meter", "The official instrument is the ohm-meter: ± 0.1 mΩ."), ("dial", "The official instrument is the dial: ± 0.5 furlongs.")],
)  # fmt: skip
def test_an_instrument_is_as_good_as_it_says_in_its_own_unit(instrument: str, says: str) -> None:
    _, said, _ = told(f"quantity: extra.key, at_least: 1, instrument: {instrument}")
    assert says in said
