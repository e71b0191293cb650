"""Changes and their uncertainty: against a general uncertainty library, and the laws that any comparison keeps."""

import math
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm
from uncertainties import UFloat, ufloat

from speclint.comparison.common_conditions import MAGNET_HALF_WIDTH_K, MAGNET_LAG
from speclint.comparison.differences import Conclusion, compare
from speclint.comparison.runs import RunPair
from speclint.documents.parse import parse
from speclint.models.motors import motor_of
from speclint.physics.assumptions import BENCH_FRICTION_SHARE, assumption
from speclint.readings.copper import COPPER_HALF_WIDTH_K
from speclint.readings.measured import uncertainty_of, value_of
from tests.comparison.bench_motors import BENCH, ONE_WINDING, compared, motor, run, runs

R3, R12 = math.sqrt(3), math.sqrt(12)


def decimals(low: float, high: float, places: int) -> st.SearchStrategy[float]:
    return st.floats(low, high).map(lambda value: round(value, places))


RUNS = st.fixed_dictionaries(
    {
        "supply_v": decimals(3.5, 4.2, 2),
        "current_a": decimals(1.5, 6, 2),
        "kv_rpm_per_v": st.integers(1500, 4000),
        "can_c": st.integers(15, 60),
        "ohm": decimals(10, 40, 1),
        "winding_c": st.integers(15, 60),
    }
)


def written(date: str, keys: dict[str, Any], **more: Any) -> dict[str, Any]:
    winding = {f"{pair}_mohm": keys["ohm"] for pair in ("ab", "bc", "ca")} | {
        "winding_c": keys["winding_c"],
        "instrument": "meter",
        "thermometer": "thermometer",
    }
    stated = {key: keys[key] for key in ("supply_v", "current_a", "kv_rpm_per_v", "can_c")}
    return run(date, **stated, winding=winding, **more)


INSTRUMENTS = {
    "motor-bench": {"accuracy_percent": 0.5},
    "meter": {"accuracy_percent": 0.25, "resolution": 0.1},
    "thermometer": {"accuracy": 1, "resolution": 1},
}


class Reference:
    """The same model over again, with the variables of a general uncertainty library that know their correlations."""

    def __init__(self) -> None:
        # One error for each unit of the bench, in standard uncertainties of the relative error.
        self.volts, self.amperes, self.speed = (ufloat(0, 0.005 / R3) for _ in range(3))
        self.meter, self.thermometer = ufloat(0, 0.0025 / R3), ufloat(0, 1 / R3)
        share, flux = BENCH_FRICTION_SHARE, assumption("magnet_per_k")
        self.share = ufloat(share.value, (share.high - share.low) / R12)
        self.flux = ufloat(flux.value, (flux.high - flux.low) / R12)
        self.lag = ufloat(0, MAGNET_LAG / R3)

    def at(self, keys: dict[str, Any], common_v: float) -> dict[str, UFloat]:
        last = {"supply_v": 0.01, "current_a": 0.01, "kv_rpm_per_v": 1}
        for key, value in (("supply_v", keys["supply_v"]), ("current_a", keys["current_a"])):
            places = len(repr(value).partition(".")[2])
            last[key] = 10.0**-places
        volts = keys["supply_v"] * (1 + self.volts) + ufloat(0, last["supply_v"] / R12)
        amperes = keys["current_a"] * (1 + self.amperes) + ufloat(0, last["current_a"] / R12)
        speed = keys["kv_rpm_per_v"] * (1 + self.speed) + ufloat(0, 1 / R12)
        # Clamped anew, the same motor reads otherwise: 0.3 % of the speed, 2 % of the current, 0.2 % of each pair of leads.
        speed, amperes = speed + ufloat(0, 0.003 * keys["kv_rpm_per_v"]), amperes + ufloat(0, 0.02 * keys["current_a"])
        lines = [keys["ohm"] * (1 + self.meter) + ufloat(0, 0.1 / R12) for _ in range(3)]
        lines = [line + ufloat(0, 0.002 * keys["ohm"]) for line in lines]
        warmth = keys["winding_c"] + self.thermometer + ufloat(0, 1 / R12) + ufloat(0, COPPER_HALF_WIDTH_K / R3)
        can_c = keys["can_c"] + ufloat(0, 1 / R12)
        magnet_c = can_c + self.lag * (keys["can_c"] - 20) + ufloat(0, MAGNET_HALF_WIDTH_K / R3)
        mean = sum(lines) / 3
        drop = amperes * (mean * (235 + can_c) / (235 + warmth) / 1000) / volts
        constant = speed / (1 - drop) * (1 + self.flux * (magnet_c - 20))
        at_common = amperes * (self.share + (1 - self.share) * common_v / volts)
        cold = mean * 255 / (235 + warmth)
        return {
            "kv_rpm_per_v": constant * (1 - at_common * cold / 1000 / common_v),
            "torque_mnm_per_a": 60e3 / (2 * math.pi) / constant,
            "current_a": at_common,
            "winding_mean_mohm": cold,
        }


@settings(max_examples=60, deadline=None)
@given(first=RUNS, second=RUNS)
def test_differences_and_their_uncertainty_agree_with_a_general_library(
    first: dict[str, Any], second: dict[str, Any]
) -> None:
    found = compared(
        motor(
            written("2026-03-01", first),
            written("2026-03-03", second),
            rebuilds=[{"date": "2026-03-02", "did": ["rotor-swap"]}],
        ),
        INSTRUMENTS,
    )
    reference = Reference()
    common = (first["supply_v"] + second["supply_v"]) / 2
    one, other = reference.at(first, common), reference.at(second, common)
    for name in one:
        change = found.change(name)
        expected = other[name] - one[name]
        assert change.difference is not None
        assert change.expanded_uncertainty is not None
        scale = abs(one[name].nominal_value)
        assert float(value_of(change.difference)) == pytest.approx(expected.nominal_value, abs=1e-9 * scale)
        assert uncertainty_of(change.difference) == pytest.approx(expected.std_dev, rel=1e-6, abs=1e-9 * scale)
        # Four tell of themselves: speed, current, and mean and spread of the winding. All of them 0.95, so each 0.95^(1/4).
        factor = norm.ppf(0.5 + 0.5 * 0.95**0.25)
        assert change.expanded_uncertainty == pytest.approx(factor * expected.std_dev, rel=1e-6, abs=1e-9 * scale)


@settings(max_examples=60, deadline=None)
@given(first=RUNS, second=RUNS)
def test_swapping_the_runs_turns_every_sign_and_nothing_else(first: dict[str, Any], second: dict[str, Any]) -> None:
    of = motor(written("2026-03-01", first), written("2026-03-02", second))
    there, back = compared(of, INSTRUMENTS), compared(of, INSTRUMENTS, first=2, second=1)
    for one, other in zip(there.changes, back.changes, strict=True):
        assert one.conclusion is other.conclusion
        assert one.expanded_uncertainty == (
            None if other.expanded_uncertainty is None else pytest.approx(other.expanded_uncertainty, rel=1e-9)
        )
        if one.difference is not None and other.difference is not None:
            assert value_of(one.difference) == -value_of(other.difference)
            assert one.sign == (None if other.sign is None else -other.sign)


@settings(max_examples=40, deadline=None)
@given(keys=RUNS)
def test_the_same_run_twice_shows_no_change(keys: dict[str, Any]) -> None:
    found = compared(motor(written("2026-03-01", keys)), INSTRUMENTS, second=1)
    told = [change for change in found.changes if change.difference is not None]
    assert len(told) == 5
    assert all(value_of(change.difference) == 0 for change in told if change.difference is not None)
    assert all(change.conclusion is Conclusion.NO_CHANGE for change in told)


@settings(max_examples=60, deadline=None)
@given(
    first=RUNS, second=RUNS, repeats=st.integers(1, 4), spread=st.integers(0, 40),
    width=decimals(0.1, 2, 2), more=decimals(0, 3, 2), step=st.sampled_from([0.001, 0.01, 0.1]), coarser=st.integers(1, 9),
)  # fmt: skip
def test_a_larger_uncertainty_never_turns_no_change_shown_into_changed(
    first: dict[str, Any],
    second: dict[str, Any],
    repeats: int,
    spread: int,
    width: float,
    more: float,
    step: float,
    coarser: int,
) -> None:
    def of(accuracy: float, resolution: float, other: str) -> Any:
        readings = [first["kv_rpm_per_v"] + spread * i for i in range(repeats)]
        speed = (
            {"readings": readings, "instrument": "one"} if repeats > 1 else {"value": readings[0], "instrument": "one"}
        )
        after = {"value": second["kv_rpm_per_v"], "instrument": other}
        runs = (
            written("2026-03-01", {**first, "kv_rpm_per_v": speed}),
            written("2026-03-02", {**second, "kv_rpm_per_v": after}),
        )
        described = {"accuracy_percent": accuracy, "resolution": resolution}
        return compared(motor(*runs), {**INSTRUMENTS, "one": described, "two": described})

    for other in ("one", "two"):
        fine = of(width, step, other).change("kv_rpm_per_v")
        coarse = of(round(width + more, 2), round(step * coarser, 4), other).change("kv_rpm_per_v")
        assert fine.expanded_uncertainty is not None
        assert coarse.expanded_uncertainty is not None
        assert coarse.expanded_uncertainty >= fine.expanded_uncertainty * (1 - 1e-12)
        if fine.conclusion is Conclusion.NO_CHANGE:
            assert coarse.conclusion is Conclusion.NO_CHANGE


def test_one_bench_sees_smaller_changes_than_two() -> None:
    def change(*names: str) -> Any:
        first, second = (
            run(f"2026-03-0{i}", instrument=name, kv_rpm_per_v=kv)
            for i, (name, kv) in enumerate(zip(names, (2450, 2415), strict=True), 1)
        )
        return compared(motor(first, second), {"one": {"accuracy_percent": 1}, "two": {"accuracy_percent": 1}}).change(
            "kv_rpm_per_v"
        )

    same, apart = change("one", "one"), change("one", "two")
    # 1 % of 2450 is a half-width of 24.5, a standard uncertainty of 14.1; of both and doubled, 39.7 rpm/V. It cancels on one bench.
    assert same.expanded_uncertainty < 32
    assert apart.expanded_uncertainty > 39.7
    assert same.shares == ("one",)
    assert apart.shares == ()
    assert same.conclusion is Conclusion.CHANGED
    assert apart.conclusion is Conclusion.NO_CHANGE


def test_a_bench_that_was_calibrated_between_the_runs_is_another_one_before() -> None:
    def expanded_uncertainty(calibrated_on: str) -> float:
        described = {"motor-bench": {"accuracy_percent": 1, "calibrated_on": calibrated_on}}
        found = (
            compared(motor(run("2026-03-01"), run("2026-03-20")), described).change("kv_rpm_per_v").expanded_uncertainty
        )
        assert found is not None
        return found

    assert expanded_uncertainty("2026-03-10") > 1.5 * expanded_uncertainty("2026-02-10")
    assert expanded_uncertainty("2026-02-10") == pytest.approx(expanded_uncertainty("2026-04-01"), rel=1e-9)
    assert expanded_uncertainty("2026-03-01") == pytest.approx(expanded_uncertainty("2026-02-10"), rel=1e-9), (
        "calibrated on the day, before the run"
    )


def test_an_error_of_the_voltmeter_is_not_one_of_the_ammeter() -> None:
    # A bench that reads 1 % high in volts and amperes alike would leave their quotient alone; nothing says that it does.
    (change,) = [
        one
        for one in compared(
            motor(
                run("2026-03-01", kv_rpm_per_v=None, speed_rpm=9065),
                run("2026-03-02", kv_rpm_per_v=None, speed_rpm=9065),
            ),
            BENCH,
        ).changes
        if one.quantity.name == "kv_rpm_per_v"
    ]
    assert change.first is not None
    relative = (uncertainty_of(change.first) or 0) / float(value_of(change.first))
    assert relative > 0.005 / R3 * math.sqrt(2) * 0.98


@pytest.mark.parametrize(
    "described",
    [
        {},
        {"motor-bench": {"note": "nobody knows"}},
        {"motor-bench": {"resolution": 5, "unit": "rpm/V"}},
        {"motor-bench": {"resolution": 5, "unit": "V"}},
    ],
)
def test_one_bench_tells_of_itself_with_the_usual_scatter_and_says_that_it_is_assumed(
    described: dict[str, Any],
) -> None:
    # What it shows too much cancels, known or not; its last digit is always seen.
    of = motor(run("2026-03-01"), run("2026-03-02", kv_rpm_per_v=2300))
    found = compared(of, described)
    assert found.change("kv_rpm_per_v").conclusion is Conclusion.CHANGED
    assert found.assumptions[0].startswith(
        "scatter between two clampings as is usual: speed 0.3 %, current 2 %, winding 0.2 % (estimates)"
    )


def test_a_stated_repeatability_takes_the_place_of_the_usual_scatter() -> None:
    of = motor(run("2026-03-01", winding=None), run("2026-03-02", winding=None, kv_rpm_per_v=2300))
    stated = {
        "per_unit": {"rpm_per_v": {"repeatability_percent": 3}, "a": {"repeatability": 0.1}, "v": {"accuracy": 1}}
    }
    found = compared(of, {"motor-bench": stated})
    change = found.change("kv_rpm_per_v")
    assert change.conclusion is Conclusion.NO_CHANGE
    assert found.assumptions == ()
    # 3 % of 2450 and of 2300 are 73.5 and 69 rpm/V, which outweighs all else.
    assert uncertainty_of(change.difference or Fraction(0)) == pytest.approx(math.hypot(73.5, 69), rel=0.01)


def test_runs_without_a_named_instrument_count_as_of_one_bench_and_that_is_said() -> None:
    unnamed = compared(motor(run("2026-03-01", instrument=None), run("2026-03-02", instrument=None, kv_rpm_per_v=2300)))
    assert unnamed.change("kv_rpm_per_v").conclusion is Conclusion.CHANGED
    assert unnamed.assumptions[-1].startswith("readings without an instrument count as read on one bench")
    half = compared(motor(run("2026-03-01"), run("2026-03-02", instrument=None, kv_rpm_per_v=2300))).change(
        "kv_rpm_per_v"
    )
    assert half.conclusion is Conclusion.CANNOT_TELL
    assert half.reason == (
        "the runs were read on different instruments, and the accuracy of the one that is not named is not stated"
    )


def test_two_benches_need_their_accuracy() -> None:
    of = motor(run("2026-03-01", instrument="one"), run("2026-03-02", instrument="two", kv_rpm_per_v=2000))
    found = compared(of, {"one": {"accuracy_percent": 1}, "two": {"resolution": 1, "unit": "rpm/V"}}).change(
        "kv_rpm_per_v"
    )
    assert found.conclusion is Conclusion.CANNOT_TELL
    assert found.reason == "the runs were read on different instruments, and the accuracy of two is not stated"


def test_the_digits_that_were_written_stand_for_a_resolution_that_is_not_stated() -> None:
    def standard_uncertainty(first: str, second: str) -> float:
        text = f"""{{"format": "motor/1", "bench_runs": [{{"date": "2026-03-01", "instrument": "motor-bench", "pole_difference_percent": {first}}},
        {{"date": "2026-03-02", "instrument": "motor-bench", "pole_difference_percent": {second}}}]}}\n"""
        document, _ = parse("motor.yaml", text)
        assert document is not None
        old, new = runs(motor_of(document))
        found = compare(RunPair(old, new, "test")).change("pole_difference_percent").difference
        assert found is not None
        return uncertainty_of(found) or 0.0

    # Two steps of 0.1 / sqrt(12) each, and 0.3 for each clamping.
    assert standard_uncertainty("4.0", "4.0") == pytest.approx(math.hypot(0.1 / R12, 0.3) * math.sqrt(2))
    assert standard_uncertainty("4.00", "4.00") == pytest.approx(math.hypot(0.01 / R12, 0.3) * math.sqrt(2))
    assert standard_uncertainty("4", "4") == pytest.approx(math.hypot(1 / R12, 0.3) * math.sqrt(2))


def test_a_missing_value_is_named_with_its_run() -> None:
    found = compared(motor(run("2026-03-01", supply_v=None), run("2026-03-02", current_a=None)))
    assert found.change("kv_rpm_per_v").conclusion is Conclusion.CANNOT_TELL
    assert found.change("kv_rpm_per_v").reason == "1 March 2026: add supply_v"
    assert "2 March 2026: add current_a" in found.change("current_a").reason
    assert found.change("winding_mean_mohm").conclusion is Conclusion.NO_CHANGE


def test_only_one_winding_is_needed_for_the_other_to_be_compared() -> None:
    named = {**ONE_WINDING, "instrument": "motor-bench", "thermometer": "thermometer"}
    found = compared(
        motor(run("2026-03-01", winding=named), run("2026-03-02", winding=named)), {**BENCH, **INSTRUMENTS}
    )
    assert found.change("winding_mean_mohm").conclusion is Conclusion.NO_CHANGE
