"""What is said of a check, word for word: what the car has, what is asked, by how much, and how the value came about."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from speclint.quantities.working import shares_of_hundred
from speclint.rules.wording import asked, asks, explanation, has, margin, message, percent
from tests.check.world import check_of


def _message(rule: str, stated: str, top: str = "") -> str:
    return message(check_of(rule, stated, top=top))


@pytest.mark.parametrize(
    ("rule", "stated", "said"),
    [
        ("quantity: mass_g, at_least: 1350", "car: {mass_g: 1352}",
         "mass is 1352 g; the rule asks at least 1350 g: 2 g to spare"),
        ("quantity: mass_g, at_least: 1350", "car: {mass_g: 1349.5}",
         "mass is 1349.5 g; the rule asks at least 1350 g: 0.5 g short"),
        ("quantity: mass_g, at_least: 1350", "car: {mass_g: 1350}",
         "mass is 1350 g; the rule asks at least 1350 g: on the limit itself"),
        ("quantity: mass_g, above: 1350", "car: {mass_g: 1350}",
         "mass is 1350 g; the rule asks above 1350 g: on the limit, which is not enough"),
        ("quantity: battery_voltage_v, at_most: 8.40", "battery: {voltage_v: 8.41}",
         "battery voltage is 8.41 V; the rule asks at most 8.40 V: 0.01 V over"),
        ("quantity: battery_voltage_v, below: 8.40", "battery: {voltage_v: 8.4}",
         "battery voltage is 8.40 V; the rule asks below 8.40 V: on the limit, which is not enough"),
        ("quantity: timing_set_deg, between: [36, 40]", "motor: {timing_deg: 34}",
         "timing set is 34°; the rule asks 36 to 40°: 2° short"),
        ("quantity: timing_set_deg, between: [36, 40]", "motor: {timing_deg: 41.5}",
         "timing set is 41.5°; the rule asks 36 to 40°: 1.5° over"),
        ("quantity: timing_set_deg, above: 30, at_most: 40", "motor: {timing_deg: 38}",
         "timing set is 38°; the rule asks above 30 and at most 40°: 2° to spare"),
        ("quantity: wheelbase_mm, nominal: 205, tolerance: {plus: 10, minus: 10}", "car: {wheelbase_mm: 216}",
         "wheelbase is 216 mm; the rule asks 195 to 215 mm (205 ± 10): 1 mm over"),
        ("quantity: wheelbase_mm, nominal: 205, tolerance: {plus: 2, minus: 0.5}", "car: {wheelbase_mm: 204}",
         "wheelbase is 204.0 mm; the rule asks 204.5 to 207.0 mm (205.0 + 2 − 0.5): 0.5 mm short"),
        ("quantity: rotor_diameter_mm, nominal: 12.4, tolerance: {percent: 1}", "motor: {rotor: {diameter_mm: 12.6}}",
         "rotor diameter is 12.600 mm; the rule asks 12.276 to 12.524 mm (12.4 ± 1 %): 0.076 mm over"),
        ("quantity: motor_turns, equals: 17.5", "motor: {turns: 13.5}", "turns is 13.5; the rule asks exactly 17.5: 4.0 short"),
        ("quantity: motor_turns, equals: 17.5", "motor: {turns: 21.5}", "turns is 21.5; the rule asks exactly 17.5: 4.0 over"),
        ("quantity: motor_turns, equals: 17.5", "motor: {turns: 17.5}", "turns is 17.5; the rule asks exactly 17.5"),
        ("quantity: battery_chemistry, one_of: [LiPo, LiFe]", "battery: {chemistry: NiMH}",
         "battery chemistry is NiMH; the rule asks one of LiPo, LiFe"),
        ("quantity: battery_hard_case, equals: true", "battery: {hard_case: false}",
         "hard case is no; the rule asks yes"),
        ("quantity: speed_control_timing, none_of: [boost, turbo]", "speed_control: {timing: boost}",
         "speed control timing is boost; the rule asks not boost or turbo"),
        ("quantity: motor_serial, stated: true", 'motor: {serial: "00417"}',
         "motor serial is 00417; the rule asks that it is stated"),
        ("quantity: extra.charge_current_a, below: 20", "extra: {charge_current_a: 20}",
         "charge current is 20 A; the rule asks below 20 A: on the limit, which is not enough"),
        ("quantity: extra.frame, one_of: [1234567.5]", "extra: {frame: 1234567.4}",
         "frame is 1234567.4; the rule asks 1234567.5"),
        ("quantity: tooth_sum, at_most: 137", "car: {spur_teeth: 96, pinion_teeth: 42}",
         "sum of teeth is 138 teeth; the rule asks at most 137 teeth: 1 tooth over"),
        ("inspect: the seal is whole", "", "to inspect: the seal is whole"),
    ],
)  # fmt: skip
def test_a_check_is_told_in_one_sentence(rule: str, stated: str, said: str) -> None:
    assert _message(rule, stated) == said


def test_a_listed_part_is_told_with_its_list() -> None:
    top = "lists: {motors: {items: [{id: M-17A, rotors: [R-12, R-13]}]}}"
    assert _message("quantity: motor_part, listed_in: motors", "motor: {part: M-71A}", top) == (
        "motor part is M-71A; the rule asks for one on the list motors: M-71A is not on the list motors; the nearest is M-17A"
    )
    rule = "quantity: rotor_part, one_of: {list: motors, item: motor_part, under: rotors}"
    assert _message(rule, "motor: {part: M-17A, rotor: {part: R-20}}", top) == (
        "rotor part is R-20; the rule asks for one listed in motors for this motor part: approved for M-17A: R-12, R-13"
    )


@pytest.mark.parametrize(
    ("limit", "said"),
    [
        ("at_least: 4.20", "at least 4.20"),
        ("at_least: 4.2", "at least 4.2"),
        ("at_most: 5.00", "at most 5.00"),
        ("between: [4, 5.50]", "4.00 to 5.50"),
        ("above: 4.125", "above 4.125"),
        ("equals: 4.0", "exactly 4.0"),
    ],
)
def test_the_digits_of_a_limit_are_those_of_the_rulebook(limit: str, said: str) -> None:
    assert asked(check_of(f"quantity: final_drive_ratio, {limit}").rule) == said


@pytest.mark.parametrize(
    ("gears", "limit", "shown", "gap"),
    [
        # 97 ÷ 41 × 1.9 = 4.49512…, which rounds to 4.50 and is not enough (computed).
        ("spur_teeth: 97, pinion_teeth: 41, internal_ratio: 1.9", "at_least: 4.5", "4.495", "0.005 short"),
        ("spur_teeth: 116, pinion_teeth: 49, internal_ratio: 1.9", "at_least: 4.5", "4.498", "0.002 short"),
        ("spur_teeth: 90, pinion_teeth: 38, internal_ratio: 1.9", "at_least: 4.5", "4.5", "on the limit itself"),
        ("spur_teeth: 90, pinion_teeth: 38, internal_ratio: 1.9", "at_least: 4.50", "4.50", "on the limit itself"),
        ("spur_teeth: 399, pinion_teeth: 100, internal_ratio: 1", "at_least: 3.99001", "3.99000", "0.00001 short"),
    ],
)
def test_a_ratio_is_never_printed_as_if_it_met_a_limit_that_it_breaks(
    gears: str, limit: str, shown: str, gap: str
) -> None:
    check = check_of(f"quantity: final_drive_ratio, {limit}", f"car: {{{gears}}}")
    assert (has(check), margin(check)) == (shown, gap)


def test_a_reading_that_breaks_a_limit_by_less_than_its_digits_gets_more_of_them() -> None:
    stated = "instruments: {scale: {accuracy: 1.5}}\ncar: {mass_g: {value: %s, instrument: scale}}"
    broken = check_of("quantity: mass_g, at_least: 1350", stated % 1349.97)
    assert (has(broken), margin(broken)) == ("1349.97 ± 1.73 g", "0.03 g short")
    met = check_of("quantity: mass_g, at_least: 1350", stated % 1350.03)
    assert (has(met), margin(met)) == ("1350.0 ± 1.7 g", "0.03 g to spare")


def test_the_digits_of_a_reading_are_those_that_its_uncertainty_supports() -> None:
    stated = "instruments: {meter: {accuracy: %s}}\nbattery: {voltage_v: {value: 8.383838, instrument: meter}}"
    for accuracy, shown in (("0.05", "8.38 ± 0.06 V"), ("0.5", "8.4 ± 0.6 V"), ("0.1", "8.38 ± 0.12 V")):
        assert has(check_of("quantity: battery_voltage_v, at_most: 99", stated % accuracy)) == shown


@pytest.mark.parametrize(
    ("value", "step", "shown", "by"),
    [
        ("81.84", "0.1", "81.8 ± 0.1 mm", "1.8 mm over"),
        ("81.84", "0.01", "81.84 ± 0.06 mm", "1.84 mm over"),
        ("79.96", "0.5", "80.0 ± 0.1 mm", "on the limit itself"),
    ],
)
def test_a_value_that_is_read_to_a_step_has_the_digits_of_the_step(value: str, step: str, shown: str, by: str) -> None:
    # accuracy 0.05 as a half-width: U = 2 × 0.05 ÷ √3 = 0.058, rounded up to the step's place (JCGM 100, 7.2.6).
    stated = (
        f"instruments: {{calliper: {{accuracy: 0.05}}}}\ncar: {{width_mm: {{value: {value}, instrument: calliper}}}}"
    )
    check = check_of(f"quantity: width_mm, at_most: 80, read_to: {step}", stated)
    assert (has(check), margin(check)) == (shown, by)


def test_a_ratio_that_is_read_to_a_step_has_the_digits_of_the_step() -> None:
    car = "car: {spur_teeth: 84, pinion_teeth: 39, internal_ratio: 1.95}"
    assert has(check_of("quantity: final_drive_ratio, at_least: 4, read_to: 0.01", car)) == "4.20"


@given(st.decimals("1200", "1500", places=3), st.decimals("0.01", "20", places=2), st.sampled_from(["0", "1", "0.5"]))
def test_value_uncertainty_and_margin_of_a_row_have_the_same_digits(
    value: object, accuracy: object, resolution: str
) -> None:
    stated = (
        f"instruments: {{scale: {{accuracy: {accuracy}, resolution: {resolution}}}}}\n"
        f"car: {{mass_g: {{value: {value}, instrument: scale}}}}"
    )
    check = check_of("quantity: mass_g, at_least: 1350", stated)
    number, _, uncertainty, _ = has(check).split(" ")
    decimals = {len(text.partition(".")[2]) for text in (number, uncertainty)}
    assert len(decimals) == 1
    by = margin(check).split(" ")[0]
    if by.replace(".", "").isdigit() and by.strip("0."):
        assert len(by.partition(".")[2]) >= decimals.pop()


def test_a_window_around_a_nominal_value_has_the_digits_of_the_value_beside_it() -> None:
    rule = "quantity: mass_g, nominal: 36.6, tolerance: {percent: 4}"
    stated = "instruments: {scale: {accuracy: %s}}\ncar: {mass_g: {value: %s, instrument: scale}}"
    # 36.6 × 0.96 = 35.136 and 36.6 × 1.04 = 38.064.
    assert asks(check_of(rule, stated % ("0.2", "37"))) == "35.14 to 38.06 g (36.6 ± 4 %)"
    assert asks(check_of(rule, stated % ("2", "37"))) == "35.1 to 38.1 g (36.6 ± 4 %)"
    # Near the limit it is told whole, so that no car seems to keep to what it breaks.
    assert asks(check_of(rule, stated % ("0.2", "35.14"))) == "35.136 to 38.064 g (36.6 ± 4 %)"


@given(st.lists(st.floats(0.001, 1e6), min_size=2, max_size=12))
def test_shares_make_up_a_hundred(parts: list[float]) -> None:
    shares = shares_of_hundred(parts)
    assert sum(shares) == 100
    assert all(abs(share - 100 * part / sum(parts)) < 1 + 1e-9 for share, part in zip(shares, parts, strict=True))


def test_a_close_call_is_explained_with_its_chance() -> None:
    stated = "instruments: {scale: {accuracy: 1.5}}\ncar: {mass_g: {value: 1351, instrument: scale}}"
    # u = 1.5 ÷ √3 = 0.866; Φ(1 ÷ 0.866) = 0.876 (JCGM 106 7.3)
    assert explanation(check_of("quantity: mass_g, at_least: 1350", stated)) == (
        "± 1.7 g is from accuracy of scale",
        "close call: the limit lies within the ± of the reading; the chance that the true value is within is 88 %",
    )


def test_a_clear_breach_is_said_to_be_beyond_doubt() -> None:
    stated = "instruments: {scale: {accuracy: 1.5}}\ncar: {mass_g: {value: 1340, instrument: scale}}"
    assert explanation(check_of("quantity: mass_g, at_least: 1350", stated))[1:] == (
        "beyond doubt: the limit is broken by more than the uncertainty; the chance that the true value is within is under 0.1 %",
    )


def test_a_pass_by_the_benefit_of_the_doubt_says_so() -> None:
    stated = "instruments: {scale: {accuracy: 1.5}}\ncar: {mass_g: {value: 1349, instrument: scale}}"
    check = check_of("quantity: mass_g, at_least: 1350, decision: benefit-of-doubt", stated)
    assert (check.verdict.value, margin(check)) == ("legal", "1.0 g short")
    assert explanation(check)[-1] == (
        "the rule gives the benefit of the doubt, so a reading beyond the limit by less than that passes"
    )


def test_a_value_taken_as_read_says_so_and_a_counted_one_does_not() -> None:
    assert explanation(check_of("quantity: mass_g, at_least: 1350", "car: {mass_g: 1351}")) == (
        "taken as read: no instrument is named, so its uncertainty is not known",
    )
    gears = "car: {spur_teeth: 96, pinion_teeth: 42, internal_ratio: 1.9}"
    assert explanation(check_of("quantity: final_drive_ratio, at_least: 4.2", gears)) == ("96 ÷ 42 × 1.9 = 4.343",)


def test_an_internal_ratio_by_its_teeth_is_shown_by_its_teeth() -> None:
    gears = 'car: {spur_teeth: 106, pinion_teeth: 45, internal_ratio: "40/21"}'
    assert explanation(check_of("quantity: final_drive_ratio, at_least: 4.2", gears)) == (
        "106 ÷ 45 × (40 ÷ 21) = 4.487",
    )


def test_a_corrected_winding_says_from_which_temperature_by_how_much_and_with_which_constant() -> None:
    run = "{date: 2026-03-07, winding: {ab_mohm: 21.2, bc_mohm: 21.3, ca_mohm: 21.1, winding_c: 36}}"
    check = check_of("quantity: winding_mean_mohm, at_least: 20.544", f"motor: {{bench_runs: [{run}]}}")
    # 255 ÷ 271 − 1 = −5.904 % (IEC 60034-1, k = 235)
    assert explanation(check) == (
        "(21.2 + 21.3 + 21.1) ÷ 3 × (235 + 20) ÷ (235 + 36) = 19.9483 mΩ",
        "corrected from 36 °C to 20 °C: 21.20 → 19.95 mΩ, -5.90 % (copper, k = 235, IEC 60034-1)",
        "read on the bench run of 7 March 2026",
        "taken as read: no instrument is named, so its uncertainty is not known",
    )


def test_the_ruleset_of_a_meter_tells_where_the_uncertainty_comes_from_the_largest_share_first() -> None:
    stated = (
        "instruments: {meter: {accuracy_percent: 4, resolution: 0.1}, probe: {accuracy: 3}}\nmotor:\n  bench_runs:\n"
        "    - date: 2026-03-07\n"
        "      winding: {ab_mohm: 21.2, bc_mohm: 21.3, ca_mohm: 21.1, winding_c: 36, instrument: meter, thermometer: probe}"
    )
    lines = explanation(check_of("quantity: winding_mean_mohm, at_least: 20.544", stated))
    # accuracy 19.948 × 0.04 ÷ √3 = 0.4607; temperature 19.948 × (3 ÷ √3) ÷ 271 = 0.1275; steps 0.1 ÷ √12 ÷ √3 × 0.941 = 0.0157;
    # copper 19.948 × (1 ÷ √3) ÷ 271 = 0.0425:
    # of the sum of their squares, 0.2305, that is 92.1 %, 7.1 %, 0.1 % and 0.8 %, and twice its root is 0.96, which is 1.0 (JCGM 100, 5.1.2 and 6.2)
    assert lines[3] == (
        "± 1.0 mΩ is from accuracy of meter 92 %, accuracy of probe 7 %, temperature of the copper beside the thermometer 1 %"
    )


@pytest.mark.parametrize(
    ("probability", "said"),
    [
        (0.0, "under 0.1 %"), (0.0009, "under 0.1 %"), (0.005, "0.5 %"), (0.5, "50 %"), (0.876, "88 %"),
        (0.995, "99.5 %"), (0.9991, "over 99.9 %"), (1.0, "over 99.9 %"),
    ],
)  # fmt: skip
def test_a_chance_is_never_said_to_be_certain(probability: float, said: str) -> None:
    assert percent(probability) == said


@given(
    low=st.integers(0, 1000),
    width=st.integers(0, 500),
    value=st.integers(1, 4000),
    digits=st.integers(0, 3),
    strict=st.booleans(),
)
def test_the_margins_word_is_short_below_over_above_and_to_spare_within(
    low: int, width: int, value: int, digits: int, strict: bool
) -> None:
    scale = 10**digits
    number, least, most = value / scale, (low + 1) / scale, (low + 1 + width + strict) / scale
    limit = f"above: {least}, below: {most}" if strict else f"between: [{least}, {most}]"
    check = check_of(f"quantity: extra.wing_mm, {limit}", f"extra: {{wing_mm: {number}}}")
    word = margin(check)
    if number < least:
        assert word.endswith(" mm short")
    elif number > most:
        assert word.endswith(" mm over")
    elif number in (least, most):
        assert word == ("on the limit, which is not enough" if strict else "on the limit itself")
    else:
        assert word.endswith(" mm to spare")
    assert (check.verdict.value == "legal") is (word.endswith("to spare") or word == "on the limit itself")
    if word[0].isdigit():
        assert float(word.partition(" ")[0]) == pytest.approx(min(abs(number - least), abs(most - number)), abs=1e-9)


@pytest.mark.parametrize(
    ("probability", "text"),
    [
        (0.0049, "0.5 %"),
        (0.01, "1 %"),
        (0.014, "1 %"),
        (0.5, "50 %"),
        (0.99, "99 %"),
        (0.9949, "99.5 %"),
        (1.0, "over 99.9 %"),
        (0.001, "0.1 %"),
        (0.0009, "under 0.1 %"),
        (0.999, "99.9 %"),
    ],
)
def test_a_chance_has_a_digit_more_where_it_is_nearly_none_or_nearly_certain(probability: float, text: str) -> None:
    assert percent(probability) == text


@pytest.mark.parametrize(
    ("mass", "told"),
    [
        (1353, ["close call: the limit lies within the ± of the reading; the chance that the true value is within is 96 %",
                "the rule asks that the limit is met with the uncertainty counted"]),
        (1360, []),
        (1340, ["beyond doubt: the limit is broken by more than the uncertainty; the chance that the true value is within is"
                " under 0.1 %"]),
    ],
)  # fmt: skip
def test_what_must_be_shown_says_why_it_is_not(mass: int, told: list[str]) -> None:
    rule = "quantity: mass_g, at_least: 1350, decision: must-show, instrument: scale"
    lines = explanation(check_of(rule, f"car: {{mass_g: {mass}}}", top="instruments: {scale: {accuracy: 3}}"))
    assert [line for line in lines if not line.startswith("±")] == told
