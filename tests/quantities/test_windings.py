"""Windings as a bench run states them: mean, lowest, spread and drift, at the reference temperature.

R2 = R1 · (k + t2) ÷ (k + t1) with k = 235 for copper is IEC 60034-1's resistance method. The worked values at 25 °C take the
minimum windings of a UK indoor series of 2019-20, 35.4 and 20.6 mΩ, to other temperatures; they were computed with
α25 = 0.0038543 (k = 234.5), so they agree to the digits printed.
"""

import math
from fractions import Fraction

import pytest

from speclint.documents.parse import parse
from speclint.models.setups import setup_of
from speclint.quantities.facts import Fact
from speclint.readings.instruments import reading
from speclint.readings.measured import Measured, uncertainty_of, value_of
from tests.check.world import a_ruleset, check_of, entry_of, find_in, verdict_of, verdicts

AT_25 = "reference_temperature_c: 25"


def _run(ab: object, bc: object, ca: object, winding_c: object, more: str = "") -> str:
    winding = f"ab_mohm: {ab}, bc_mohm: {bc}, ca_mohm: {ca}, winding_c: {winding_c}{more}"
    return f"motor: {{bench_runs: [{{date: 2026-03-01, winding: {{{winding}}}}}]}}"


def _fact(quantity: str, stated: str, top: str = "") -> Fact:
    fact = check_of(f"quantity: {quantity}, between: [-99999, 99999]", stated, top=top).fact
    assert fact is not None
    return fact


def _value(quantity: str, stated: str, top: str = "") -> Fraction:
    value = _fact(quantity, stated, top).value
    assert isinstance(value, Fraction | Measured)
    return value_of(value)


@pytest.mark.parametrize(
    ("reading", "at_c", "printed"),
    [
        (37.5, 40, "35.45"), (37.4, 40, "35.36"),  # passes and fails the minimum of 35.4
        (36.5, 40, "34.51"), (34.9, 18, "35.87"), (35.9, 31, "35.09"),  # R1 of the same page
        (37.45, 40, "35.4"), (21.79, 40, "20.6"), (34.04, 15, "35.4"), (19.81, 15, "20.6"),
    ],
)  # fmt: skip
def test_a_winding_is_taken_to_the_reference_temperature(reading: float, at_c: int, printed: str) -> None:
    found = _value("winding_lowest_mohm", _run(reading, reading, reading, at_c), AT_25)
    digits = len(printed.partition(".")[2])
    assert f"{float(found):.{digits}f}" == printed


@pytest.mark.parametrize(("reading", "verdict"), [(37.5, "legal"), (37.4, "illegal")])
def test_the_published_minimum_is_decided_at_its_temperature(reading: float, verdict: str) -> None:
    stated = _run(reading, reading, reading, 40)
    assert verdict_of("quantity: winding_lowest_mohm, at_least: 35.4", stated, top=AT_25) == verdict


def test_mean_lowest_and_spread_by_hand() -> None:
    stated = _run(21.3, 21.0, 21.6, 20)
    assert _value("winding_mean_mohm", stated) == Fraction("21.3")
    assert _value("winding_lowest_mohm", stated) == 21
    assert _value("winding_spread_percent", stated) == Fraction("0.6") / Fraction("21.3") * 100


def test_a_warmer_winding_has_the_same_spread() -> None:
    assert _value("winding_spread_percent", _run(21.3, 21.0, 21.6, 20)) == _value(
        "winding_spread_percent", _run(21.3, 21.0, 21.6, 60)
    )


def test_a_spread_needs_no_temperature() -> None:
    stated = "motor: {bench_runs: [{date: 2026-03-01, winding: {ab_mohm: 21.3, bc_mohm: 21, ca_mohm: 21.6}}]}"
    assert verdict_of("quantity: winding_spread_percent, at_most: 3", stated) == "legal"


@pytest.mark.parametrize(
    ("reading", "at_c", "sheet_c", "percent"),
    [
        (20, 20, 20, Fraction(0)),
        (21, 20, 20, Fraction(5)),
        # The same copper, warmer: 20 × (235 + 37) ÷ (235 + 20) = 21.3333 mΩ; no drift at all.
        (Fraction(64, 3), 37, 20, Fraction(0)),
        # 20 mΩ at 37 °C beside 20 mΩ at 20 °C: 255 ÷ 272 − 1 = −6.25 %
        (20, 37, 20, Fraction("-6.25")),
        (20, 20, 37, Fraction(272 * 100, 255) - 100),
    ],
)
def test_drift_is_the_change_from_the_factory_sheet_at_one_temperature(
    reading: Fraction | int, at_c: int, sheet_c: int, percent: Fraction
) -> None:
    ohms = f"{float(reading):.12g}"
    sheet = f"factory_sheet: {{winding: {{ab_mohm: 20, bc_mohm: 20, ca_mohm: 20, winding_c: {sheet_c}}}}}"
    stated = _run(ohms, ohms, ohms, at_c).replace("motor: {", f"motor: {{{sheet}, ")
    assert float(_value("winding_drift_percent", stated)) == pytest.approx(float(percent), abs=1e-9)


def test_the_factory_sheet_is_a_reading_like_any_other_but_older_than_all() -> None:
    sheet = "factory_sheet: {winding: {ab_mohm: 20, bc_mohm: 20.3, ca_mohm: 20, winding_c: 20}}"
    alone = f"motor: {{{sheet}}}"
    assert _value("winding_mean_mohm", alone) == Fraction("20.1")
    assert _value("winding_lowest_mohm", alone) == 20
    with_run = _run(22, 22, 22, 20).replace("motor: {", f"motor: {{{sheet}, ")
    assert _value("winding_mean_mohm", with_run) == 22
    assert _fact("winding_mean_mohm", alone).record is not None


def test_a_bench_run_that_does_not_state_all_phases_leaves_no_factory_sheet_standing() -> None:
    sheet = "factory_sheet: {winding: {ab_mohm: 20, bc_mohm: 20.3, ca_mohm: 20, winding_c: 20}}"
    stated = f"motor: {{{sheet}, bench_runs: [{{date: 2026-03-01, winding: {{ab_mohm: 22, winding_c: 20}}}}]}}"
    fact = _fact("winding_mean_mohm", stated)
    assert fact.value is None
    assert fact.missing == ("motor.bench_runs[0].winding.bc_mohm", "motor.bench_runs[0].winding.ca_mohm")


def test_the_newest_run_is_not_passed_over_because_it_lacks_the_temperature() -> None:
    old = "{date: 2026-02-01, winding: {ab_mohm: 22, bc_mohm: 22, ca_mohm: 22, winding_c: 20}}"
    new = "{date: 2026-03-01, winding: {ab_mohm: 19, bc_mohm: 19, ca_mohm: 19}}"
    check = check_of("quantity: winding_mean_mohm, at_least: 20", f"motor: {{bench_runs: [{old}, {new}]}}")
    assert (check.verdict.value, check.missing) == ("not-shown", ("motor.bench_runs[1].winding.winding_c",))


def test_the_worked_example_of_a_corrected_winding_with_its_uncertainty() -> None:
    """10.30 ± 0.05 mΩ at 35 ± 1 °C is 9.918 mΩ at 25 °C with u = 0.0606; p = 0.974 above 9.80 (check values, section 3)."""
    phase = "{value: 10.30, standard_uncertainty: 0.05}"
    stated = _run(phase, phase, phase, "{value: 35, standard_uncertainty: 1}")
    check = check_of("quantity: winding_lowest_mohm, at_least: 9.80", stated, top=AT_25)
    assert check.fact is not None
    assert isinstance(check.fact.value, Measured)
    assert check.outcome is not None
    # With k = 235 for 234.5 the value moves by 0.0008 and u by 0.0001.
    assert float(check.fact.value.value) == pytest.approx(9.91781, abs=1.0e-3)
    assert check.fact.value.standard_uncertainty == pytest.approx(0.060599, abs=2e-4)
    assert check.outcome.probability == pytest.approx(0.97406, abs=2e-3)
    assert check.close_call


def test_three_phases_of_one_meter_share_its_accuracy_but_not_its_steps() -> None:
    meters = "instruments: {a: {accuracy: 0.3}, r: {resolution: 0.3}}\n"
    accuracy = _fact("winding_mean_mohm", meters + _run(21, 21, 21, 20, ", instrument: a")).value
    resolution = _fact("winding_mean_mohm", meters + _run(21, 21, 21, 20, ", instrument: r")).value
    assert isinstance(accuracy, Measured)
    assert isinstance(resolution, Measured)
    # The copper is anywhere within 1 K of where the thermometer touches: 21 ÷ (235 + 20) mΩ for each K.
    gap = 21 / 255 / 3**0.5
    assert accuracy.standard_uncertainty == pytest.approx(math.hypot(0.3 / 3**0.5, gap))
    assert resolution.standard_uncertainty == pytest.approx(math.hypot(0.3 / 12**0.5 / 3**0.5, gap))


@pytest.mark.parametrize("known", ["accuracy: 0.3", "accuracy_percent: 0.5", "accuracy: 0.1, accuracy_percent: 1"])
@pytest.mark.parametrize("phases", [(21, 21, 21), (21, 21.1, 21.3)])
def test_a_common_accuracy_cancels_in_a_spread_and_shows_nothing_of_it(
    known: str, phases: tuple[float, float, float]
) -> None:
    setup = f"instruments: {{a: {{{known}}}}}\n" + _run(*phases, 20, ", instrument: a")
    fact = _fact("winding_spread_percent", setup)
    assert isinstance(fact.value, Fraction)
    assert not fact.complete
    assert verdict_of("quantity: winding_spread_percent, at_most: 5, decision: must-show", setup) == "not-shown"
    steps = setup.replace("{a: {", "{a: {resolution: 0.01, ")
    assert verdict_of("quantity: winding_spread_percent, at_most: 5, decision: must-show", steps) == "legal"


@pytest.mark.parametrize("known", ["accuracy_percent: 1", "accuracy: 0.5"])
def test_a_common_accuracy_cancels_in_a_spread_of_timing_too(known: str) -> None:
    run = "{date: 2026-03-10, instrument: a, timing_deg: [38, 38, 38]}"
    setup = f"instruments: {{a: {{unit: deg, {known}}}}}\nmotor: {{bench_runs: [{run}]}}"
    check = check_of("quantity: timing_spread_deg, at_most: 1, decision: must-show", setup)
    assert check.verdict.value == "not-shown"
    assert check.fact is not None
    assert check.fact.value == 0


def test_an_uncertainty_that_is_stated_for_the_windings_temperature_is_that_of_its_copper() -> None:
    value = _fact("winding_mean_mohm", _run(21, 21, 21, "{value: 20, standard_uncertainty: 0.5}")).value
    assert isinstance(value, Measured)
    assert value.standard_uncertainty == pytest.approx(21 / 255 * 0.5)


def test_two_files_that_use_one_name_mean_two_instruments() -> None:
    files = {
        "motor.yaml": "format: motor/1\ninstruments: {meter: {accuracy: 1, unit: mohm}}\nbench_runs:\n"
        "  - {date: 2026-03-10, winding: {ab_mohm: 21, bc_mohm: 21, ca_mohm: 21, winding_c: 20, instrument: meter}}\n",
        "car.yaml": "format: setup/1\nmotor: motor.yaml\ninstruments: {meter: {accuracy: 0.01, unit: mohm}}\n"
        "entries: [{ruleset: club, class: stock, on: 2026-03-14}]\n",
        "club.yaml": a_ruleset("{id: winding, quantity: winding_mean_mohm, at_least: 20.5, decision: must-show}"),
    }
    (entry,) = find_in(files).entries
    value = entry.checks[0].fact.value if entry.checks[0].fact is not None else None
    assert isinstance(value, Measured)
    # The motor's own meter, ± 1 mΩ, and not the setup's of the same name.
    assert value.standard_uncertainty == pytest.approx(math.hypot(1 / 3**0.5, 21 / 255 / 3**0.5))
    assert entry.checks[0].verdict.value == "not-shown"


def test_the_errors_of_two_instruments_of_one_name_in_two_files_do_not_cancel() -> None:
    readings = []
    for file in ("first.yaml", "second.yaml"):
        document, _ = parse(file, "instruments: {meter: {accuracy: 1}}")
        assert document is not None
        readings.append(reading((Fraction(10),), setup_of(document).instruments["meter"], key=file))
    assert uncertainty_of(readings[0] - readings[1]) == pytest.approx(2**0.5 / 3**0.5)


def test_one_rule_may_judge_the_reading_as_it_is_beside_one_that_corrects_it() -> None:
    rules = (
        "{id: cold, quantity: winding_mean_mohm, at_least: 36, instrument: meter}",
        "{id: raw, quantity: winding_mean_mohm, at_least: 36, instrument: meter, uncorrected: true}",
        "{id: warm, quantity: winding_mean_mohm, at_least: 36, instrument: meter, reference_temperature_c: 40}",
    )
    top = "instruments: {meter: {accuracy: 0.1, unit: mohm}}"
    # 37 mΩ at 40 °C are 37 × 255 ÷ 275 = 34.31 mΩ at 20 °C (IEC 60034-1).
    assert verdicts(entry_of(rules, _run(37, 37, 37, 40), top=top)) == {
        "cold": "illegal",
        "raw": "legal",
        "warm": "legal",
    }


def test_what_a_ruleset_makes_of_windings_is_corrected_as_they_are() -> None:
    top = (
        "quantities: {extra.both_mohm: {kind: measured, unit: mohm, sum_of: [winding_mean_mohm, winding_lowest_mohm]}}\n"
        "reference_temperature_c: 20"
    )
    rule = "quantity: extra.both_mohm, at_least: 73.9"
    assert verdict_of(rule, _run(37, 37, 37, 40), top=top) == "illegal"
    # A rule may name another temperature, as for a winding itself.
    assert verdict_of(f"{rule}, reference_temperature_c: 40", _run(37, 37, 37, 40), top=top) == "legal"


def test_a_sum_without_a_winding_has_no_temperature_to_be_corrected_to() -> None:
    top = "quantities: {extra.all_g: {kind: measured, sum_of: [mass_g, extra.pack_g]}}"
    rule = "{id: it, quantity: extra.all_g, at_least: 1, reference_temperature_c: 25}"
    (problem,) = find_in({"club.yaml": a_ruleset(rule, top=top)}).problems
    assert problem.message.startswith(
        "a reference temperature is what a winding is corrected to, and extra.all_g does not"
    )
