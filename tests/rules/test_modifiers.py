"""What stands beside a limit: conditions, steps, decision rules, instruments and readings as they are."""

import math

import pytest

from speclint.rules.wording import explanation, margin, message
from tests.check.world import a_ruleset, a_setup, check_of, find_in, verdict_of, verdicts

SCALE = "instruments: {scale: {accuracy: 3}}"
"""A half-width of 3 g: u = 3 ÷ √3 = 1.732 g, U = 3.464 g (JCGM 100 4.3.7)."""


# --- when


@pytest.mark.parametrize(
    ("when", "entry", "stated", "verdict"),
    [
        ("{entry.venue: indoor}", "venue: indoor", "", "illegal"),
        ("{entry.venue: indoor}", "venue: outdoor", "", "not-applicable"),
        ("{entry.round: [1, 2, 3]}", "round: 2", "", "illegal"),
        ("{entry.round: [1, 2, 3]}", "round: 4", "", "not-applicable"),
        ("{entry.junior: true}", "junior: true", "", "illegal"),
        ("{entry.junior: true}", "junior: false", "", "not-applicable"),
        ("{motor_turns: 17.5}", "", "motor: {turns: 17.5}", "illegal"),
        ("{motor_turns: 17.5}", "", "motor: {turns: 13.5}", "not-applicable"),
        ("{battery_hard_case: false}", "", "battery: {hard_case: false}", "illegal"),
        ("{entry.venue: indoor, motor_turns: [13.5, 17.5]}", "venue: indoor", "motor: {turns: 13.5}", "illegal"),
        ("{entry.venue: indoor, motor_turns: [13.5, 17.5]}", "venue: indoor", "motor: {turns: 21.5}", "not-applicable"),
        ("{extra.chassis: short}", "", "extra: {chassis: short}", "illegal"),
    ],
)
def test_a_rule_applies_only_where_all_its_conditions_match(when: str, entry: str, stated: str, verdict: str) -> None:
    rule = f"quantity: mass_g, at_least: 1350, when: {when}"
    assert verdict_of(rule, f"car: {{mass_g: 1300}}\n{stated}", entry=entry) == verdict


def test_a_rule_that_does_not_apply_says_where_it_would() -> None:
    check = check_of("quantity: mass_g, at_least: 1350, when: {entry.round: [1, 2]}", entry="round: 3")
    assert message(check) == "mass: applies where round is 1 or 2"


def test_an_inspection_may_have_a_condition_as_well() -> None:
    assert verdict_of("inspect: the plug, when: {entry.venue: indoor}", entry="venue: indoor") == "to-inspect"
    assert verdict_of("inspect: the plug, when: {entry.venue: indoor}", entry="venue: outdoor") == "not-applicable"
    assert verdict_of("inspect: the plug, when: {entry.venue: indoor}") == "not-shown"


# --- read_to


@pytest.mark.parametrize(
    ("mass", "limit", "verdict"),
    [
        (1349.5, "at_least: 1350", "legal"),  # read to the gram: 1350, half away from zero
        (1349.4, "at_least: 1350", "illegal"),
        (1350.4, "at_most: 1350", "legal"),
        (1350.5, "at_most: 1350", "illegal"),
        (1350.4, "equals: 1350", "legal"),
        (1350.4, "one_of: [1350]", "legal"),
        (1350.4, "none_of: [1350]", "illegal"),
        (1350.4, "above: 1350", "illegal"),
    ],
)
def test_a_value_is_read_to_the_rulebooks_step_before_it_is_compared(mass: float, limit: str, verdict: str) -> None:
    assert verdict_of(f"quantity: mass_g, {limit}, read_to: 1", f"car: {{mass_g: {mass}}}") == verdict


def test_a_half_goes_away_from_zero_below_zero_too() -> None:
    winding = "{ab_mohm: %s, bc_mohm: %s, ca_mohm: %s, winding_c: 20}"
    stated = (
        f"motor:\n  factory_sheet: {{winding: {winding % (20, 20, 20)}}}\n"
        f"  bench_runs: [{{date: 2026-03-01, winding: {winding % (19.9, 19.9, 19.9)}}}]"
    )
    # 19.9 ÷ 20 − 1 is −0.5 % exactly: −1 % when read to 1 %.
    assert verdict_of("quantity: winding_drift_percent, at_least: -0.9, read_to: 1", stated) == "illegal"
    assert verdict_of("quantity: winding_drift_percent, at_least: -1, read_to: 1", stated) == "legal"
    assert verdict_of("quantity: winding_drift_percent, at_least: -0.9", stated) == "legal"


def test_a_step_is_applied_to_the_exact_value() -> None:
    # 97 ÷ 41 × 1.9 = 4.49512…, which is 4.50 to the hundredth and 4.495 to the thousandth.
    gears = "car: {spur_teeth: 97, pinion_teeth: 41, internal_ratio: 1.9}"
    assert verdict_of("quantity: final_drive_ratio, at_least: 4.5", gears) == "illegal"
    assert verdict_of("quantity: final_drive_ratio, at_least: 4.5, read_to: 0.01", gears) == "legal"
    assert verdict_of("quantity: final_drive_ratio, at_least: 4.5, read_to: 0.001", gears) == "illegal"


def test_a_step_is_told_with_the_value_before_it() -> None:
    gears = "car: {spur_teeth: 76, pinion_teeth: 46, internal_ratio: 1, tyre_diameter_mm: 42}"
    check = check_of("quantity: rollout_mm, at_most: 80.0, read_to: 0.5", gears)
    assert (check.verdict.value, margin(check)) == ("legal", "on the limit itself")
    assert explanation(check)[:2] == (
        "π × 42 mm ÷ (76 ÷ 46 × 1) = 79.8626 mm",
        "79.8626 mm is read to 0.5 mm, as the rule says: 80.0 mm",
    )


# --- uncorrected

WARM = (
    "motor: {bench_runs: [{date: 2026-03-01, winding: {ab_mohm: 21.2, bc_mohm: 21.3, ca_mohm: 21.1, winding_c: 36}}]}"
)
"""21.2 mΩ at 36 °C is 21.2 × 255 ÷ 271 = 19.948 mΩ at 20 °C (IEC 60034-1, k = 235)."""


def test_a_warm_winding_is_corrected_before_it_is_judged() -> None:
    check = check_of("quantity: winding_mean_mohm, at_least: 20.5", WARM)
    assert (check.verdict.value, message(check)) == (
        "illegal",
        "winding, mean is 19.95 mΩ; the rule asks at least 20.5 mΩ: 0.55 mΩ short",
    )


def test_an_uncorrected_rule_judges_the_reading_as_it_is() -> None:
    check = check_of("quantity: winding_mean_mohm, at_least: 20.5, uncorrected: true", WARM)
    assert (check.verdict.value, message(check)) == (
        "legal",
        "winding, mean is 21.2 mΩ; the rule asks at least 20.5 mΩ: 0.7 mΩ to spare",
    )
    assert explanation(check)[0] == "(21.2 + 21.3 + 21.1) ÷ 3 = 21.2 mΩ"


def test_an_uncorrected_rule_needs_no_temperature() -> None:
    cold = "motor: {bench_runs: [{date: 2026-03-01, winding: {ab_mohm: 21.2, bc_mohm: 21.3, ca_mohm: 21.1}}]}"
    assert verdict_of("quantity: winding_mean_mohm, at_least: 20.5", cold) == "not-shown"
    assert verdict_of("quantity: winding_mean_mohm, at_least: 20.5, uncorrected: true", cold) == "legal"
    assert verdict_of("quantity: winding_lowest_mohm, at_least: 21.1, uncorrected: true", cold) == "legal"


def test_an_uncorrected_drift_compares_the_readings_as_they_are() -> None:
    sheet = "factory_sheet: {winding: {ab_mohm: 20, bc_mohm: 20, ca_mohm: 20, winding_c: 20}}"
    stated = WARM.replace("motor: {", f"motor: {{{sheet}, ")
    corrected = check_of("quantity: winding_drift_percent, between: [-5, 5]", stated)
    raw = check_of("quantity: winding_drift_percent, between: [-5, 5], uncorrected: true", stated)
    assert (corrected.verdict.value, raw.verdict.value) == ("legal", "illegal")
    assert explanation(corrected)[:2] == (
        "(21.2 + 21.3 + 21.1) ÷ (20 + 20 + 20) × (235 + 20) ÷ (235 + 36) − 1 = -0.3 %",
        "both at 20 °C for copper (k = 235, IEC 60034-1)",
    )
    assert explanation(raw)[0] == "(21.2 + 21.3 + 21.1) ÷ (20 + 20 + 20) − 1 = 6 %"


def test_the_reference_temperature_is_that_of_the_ruleset() -> None:
    # 21.2 × (235 + 25) ÷ (235 + 36) = 20.34
    assert verdict_of("quantity: winding_mean_mohm, at_least: 20.3", WARM) == "illegal"
    assert verdict_of("quantity: winding_mean_mohm, at_least: 20.3", WARM, top="reference_temperature_c: 25") == "legal"


# --- decision


@pytest.mark.parametrize(
    ("mass", "as_read", "must_show", "benefit"),
    [
        (1344, "illegal", "illegal", "illegal"),
        (1347, "illegal", "illegal", "legal"),
        (1350, "legal", "not-shown", "legal"),
        (1353, "legal", "not-shown", "legal"),
        (1354, "legal", "legal", "legal"),
    ],
)
def test_a_decision_rule_says_whom_the_uncertainty_counts_against(
    mass: int, as_read: str, must_show: str, benefit: str
) -> None:
    stated = f"car: {{mass_g: {{value: {mass}, instrument: scale}}}}\n{SCALE}"
    for decision, verdict in (("as-read", as_read), ("must-show", must_show), ("benefit-of-doubt", benefit)):
        assert verdict_of(f"quantity: mass_g, at_least: 1350, decision: {decision}", stated) == verdict


def test_the_rules_decision_goes_before_the_rulesets_and_that_before_its_base() -> None:
    stated = f"car: {{mass_g: {{value: 1352, instrument: scale}}}}\n{SCALE}"

    def verdict(rule: str, club: str, base: str) -> dict[str, str]:
        files = {
            "base.yaml": a_ruleset(f"{{id: it, quantity: mass_g, at_least: 1350{rule}}}", top=base, id_="league"),
            "club.yaml": a_ruleset(top=f"based_on: league@1\n{club}", class_id="other"),
            "car.yaml": a_setup(stated),
        }
        findings = find_in(files)
        assert findings.problems == ()
        return verdicts(findings.entries[0])

    assert verdict("", "", "") == {"it": "legal"}
    assert verdict("", "", "decision: must-show") == {"it": "not-shown"}
    assert verdict("", "decision: as-read", "decision: must-show") == {"it": "legal"}
    assert verdict(", decision: must-show", "decision: as-read", "decision: as-read") == {"it": "not-shown"}


def test_without_an_instrument_a_rule_that_must_be_shown_is_not() -> None:
    check = check_of("quantity: mass_g, at_least: 1350, decision: must-show", "car: {mass_g: 1400}")
    assert message(check) == (
        "mass is not shown: the limit is met as read, but the rule asks to be shown so with the uncertainty counted: name"
        " the instrument of the reading, and describe it under instruments"
    )
    assert verdict_of("quantity: mass_g, at_least: 1350, decision: must-show", "car: {mass_g: 1349}") == "illegal"


def test_what_is_counted_is_shown_without_an_instrument() -> None:
    gears = "car: {spur_teeth: 84, pinion_teeth: 39, internal_ratio: 1.95}"
    assert verdict_of("quantity: final_drive_ratio, at_least: 4.2, decision: must-show", gears) == "legal"
    assert verdict_of("quantity: motor_turns, equals: 17.5, decision: must-show", "motor: {turns: 17.5}") == "legal"
    assert verdict_of("quantity: extra.wheels, at_most: 4, decision: must-show", "extra: {wheels: 4}") == "legal"


@pytest.mark.parametrize("said", ["standard_uncertainty: 0", "instrument: scale"])
def test_an_uncertainty_of_nothing_shows_nothing(said: str) -> None:
    stated = f"car: {{mass_g: {{value: 1350, {said}}}}}\ninstruments: {{scale: {{accuracy: 0, resolution: 0}}}}"
    assert verdict_of("quantity: mass_g, at_least: 1350, decision: must-show", stated) == "not-shown"


def test_one_reading_without_an_instrument_leaves_the_whole_unshown() -> None:
    # The thermometer is not described: of the uncertainty of the corrected resistance only a least value is known.
    run = "{date: 2026-03-01, winding: {ab_mohm: 21, bc_mohm: 21, ca_mohm: 21, winding_c: 20, instrument: meter}}"
    stated = f"instruments: {{meter: {{accuracy: 0.01}}}}\nmotor: {{bench_runs: [{run}]}}"
    check = check_of("quantity: winding_mean_mohm, at_least: 20, decision: must-show", stated)
    assert check.verdict.value == "not-shown"
    assert "not every reading names its instrument, so the ± may be larger" in explanation(check)
    assert (
        verdict_of("quantity: winding_mean_mohm, at_least: 20, decision: must-show, uncorrected: true", stated)
        == "legal"
    )


# --- instrument


def _uncertainty(rule: str, stated: str, top: str) -> float | None:
    outcome = check_of(rule, stated, top=top).outcome
    assert outcome is not None
    return outcome.expanded_uncertainty


def test_a_rules_instrument_counts_where_the_reading_names_none() -> None:
    top = "instruments: {tech: {accuracy: 6}}"
    rule = "quantity: mass_g, at_least: 1350, instrument: tech"
    plain, own = "car: {mass_g: 1360}", f"car: {{mass_g: {{value: 1360, instrument: scale}}}}\n{SCALE}"
    assert _uncertainty("quantity: mass_g, at_least: 1350", plain, top) is None
    assert _uncertainty(rule, plain, top) == pytest.approx(2 * 6 / 3**0.5)
    assert _uncertainty(rule, own, top) == pytest.approx(2 * 3 / 3**0.5)


def test_a_rules_instrument_reaches_what_is_computed_from_the_reading() -> None:
    top = "instruments: {tech: {accuracy: 0.06}}"
    stated = "car: {spur_teeth: 80, pinion_teeth: 40, internal_ratio: 1, tyre_diameter_mm: 42}\nbattery: {cells: 2, voltage_v: 8.4}"
    rollout = _uncertainty("quantity: rollout_mm, at_most: 80, instrument: tech", stated, top)
    assert rollout == pytest.approx(2 * 0.06 / 3**0.5 * 3.141592653589793 / 2)
    cell = _uncertainty("quantity: cell_voltage_v, at_most: 4.2, instrument: tech", stated, top)
    assert cell == pytest.approx(2 * 0.06 / 3**0.5 / 2)


def test_a_rules_meter_does_not_stand_in_for_the_thermometer() -> None:
    top = "instruments: {tech: {accuracy_percent: 0.5}}"
    run = "{date: 2026-03-01, winding: {ab_mohm: 21, bc_mohm: 21, ca_mohm: 21, winding_c: 20}}"
    check = check_of(
        "quantity: winding_mean_mohm, at_least: 20, instrument: tech", f"motor: {{bench_runs: [{run}]}}", top=top
    )
    assert check.outcome is not None
    # 1 K between the copper and whatever was read counts all the same.
    gap = 21 / 255 / 3**0.5
    assert check.outcome.expanded_uncertainty == pytest.approx(2 * math.hypot(21 * 0.005 / 3**0.5, gap))
    assert check.fact is not None
    assert not check.fact.complete


def test_a_known_offset_is_taken_off_and_told() -> None:
    stated = "instruments: {scale: {accuracy: 1, offset: 3}}\ncar: {mass_g: {value: 1352, instrument: scale}}"
    check = check_of("quantity: mass_g, at_least: 1350", stated)
    assert message(check) == "mass is 1349.0 ± 1.2 g; the rule asks at least 1350 g: 1.0 g short"
    assert explanation(check)[0] == "scale shows 3 g too much, which is taken off"


def test_an_instrument_that_shows_too_little_has_its_offset_added() -> None:
    stated = "instruments: {scale: {accuracy: 1, offset: -3}}\ncar: {mass_g: {value: 1348, instrument: scale}}"
    check = check_of("quantity: mass_g, at_least: 1350", stated)
    assert check.verdict.value == "legal"
    assert explanation(check)[0] == "scale shows 3 g too little, which is added"


def test_repeated_readings_count_by_their_mean_and_are_told() -> None:
    check = check_of("quantity: mass_g, at_least: 1350", "car: {mass_g: {readings: [1349, 1350, 1352]}}")
    assert check.verdict.value == "legal"
    assert explanation(check)[0] == "mean of 1349, 1350 and 1352 g"


def test_a_reading_that_an_offset_brings_to_nothing_is_told_and_not_divided_by() -> None:
    run = "{date: 2026-03-01, winding: {ab_mohm: 5, bc_mohm: 5, ca_mohm: 5, instrument: meter}}"
    stated = f"instruments: {{meter: {{offset: 5}}}}\nmotor: {{bench_runs: [{run}]}}"
    check = check_of("quantity: winding_spread_percent, at_most: 1", stated)
    assert message(check) == (
        "spread of the winding is not shown: with the instrument's offset taken off, no reading in mΩ can be this low:"
        " correct it, or the offset"
    )


@pytest.mark.parametrize("limit", ["at_most: 9999", "at_least: -9999", "none_of: [5]", "stated: true"])
@pytest.mark.parametrize(
    ("quantity", "stated"),
    [
        ("mass_g", "car: {mass_g: {value: 1350, instrument: off}}"),
        ("cell_voltage_v", "battery: {cells: 2, voltage_v: {value: 8.4, instrument: off}}"),
        ("winding_mean_mohm", "motor: {bench_runs: [{date: 2026-03-01, winding: {ab_mohm: 21, bc_mohm: 21, ca_mohm: 21,"
                              " winding_c: {value: 20, instrument: off}}}]}"),
        ("winding_spread_percent", "motor: {bench_runs: [{date: 2026-03-01, winding: {ab_mohm: 21, bc_mohm: 21, ca_mohm: 21,"
                                   " instrument: off}}]}"),
    ],
)  # fmt: skip
def test_an_offset_that_leaves_less_than_nothing_shows_nothing(quantity: str, stated: str, limit: str) -> None:
    stated = f"{stated}\ninstruments: {{off: {{offset: 4000, accuracy: 1}}}}"
    assert verdict_of(f"quantity: {quantity}, {limit}", stated) == "not-shown"


@pytest.mark.parametrize(
    ("rule", "value", "off", "verdict"),
    [
        ("at_least: 1350", 1349, 2, "legal"),
        ("at_least: 1350", 1300, 100, "legal"),
        ("at_least: 1350", 1300, 1000, "not-shown"),
        ("at_least: 1350", 300, 800, "illegal"),
        ("at_least: 1350", 1351, 1000, "legal"),
        ("between: [1300, 1500]", 1250, 100, "legal"),
        ("between: [1300, 1500]", 1250, 300, "not-shown"),
        ("between: [1399, 1400]", 1398, 50, "legal"),
        ("equals: 1400", 1398, 50, "legal"),
        ("equals: 1400", 1398, 500, "not-shown"),
    ],
)
def test_the_benefit_of_a_doubt_that_shows_nothing_makes_no_car_legal(
    rule: str, value: int, off: int, verdict: str
) -> None:
    """The accuracy is a half-width, so that U is 2/√3 of it (JCGM 100 4.3.7)."""
    car = f"car: {{mass_g: {{value: {value}, instrument: scale}}}}"
    check = check_of(
        f"quantity: mass_g, {rule}, decision: benefit-of-doubt", car, top=f"instruments: {{scale: {{accuracy: {off}}}}}"
    )
    assert check.verdict.value == verdict
