"""The reading that counts is the newest one on or before the race day, unless a later rebuild could have changed it.

What a rebuild can change is common practice; the table is restated here from the trade, not read from the registry.
"""

from fractions import Fraction

import pytest

from speclint.quantities.rebuilds import REBUILDS
from speclint.quantities.registry import QUANTITIES
from speclint.readings.measured import Measured
from speclint.rules.wording import message
from tests.check.world import check_of, verdict_of

WINDING = ("winding_mean_mohm", "winding_lowest_mohm", "winding_spread_percent", "winding_drift_percent")
TIMING = ("timing_mean_deg", "timing_spread_deg")
SPEED = ("kv_rpm_per_v", "no_load_speed_rpm")
CURRENT = ("current_a",)
BALANCE = ("sensor_spread_percent", "pole_difference_percent")
SHOWN = (*WINDING, *TIMING, *SPEED, *CURRENT, *BALANCE)
ENDS = {
    "rotor-swap": (*TIMING, *SPEED, *CURRENT, *BALANCE),
    "clean": (),
    "shim": (*CURRENT, *BALANCE),
    "timing-change": (*TIMING, *SPEED, *CURRENT),
    "bearing": CURRENT,
    "rewind": SHOWN,
    "stator-swap": SHOWN,
}
READINGS = (
    "timing_deg: [38, 38.2, 38.4], kv_rpm_per_v: 2450, speed_rpm: 9065, supply_v: 3.7, current_a: 3.9, sensor_spread_percent: 1.2,"
    " pole_difference_percent: 0.8, winding: {ab_mohm: 21, bc_mohm: 21, ca_mohm: 21, winding_c: 20}"
)
SHEET = "factory_sheet: {winding: {ab_mohm: 21, bc_mohm: 21, ca_mohm: 21, winding_c: 20}}"


def _motor(runs: list[str], rebuilds: list[str]) -> str:
    dated = "".join(f'    - {{date: "{run}", {READINGS}}}\n' for run in runs)
    done = "".join(f'    - {{date: "{when}", did: [{what}]}}\n' for when, what in (one.split(": ") for one in rebuilds))
    return (
        f"motor:\n  {SHEET}\n"
        + (f"  bench_runs:\n{dated}" if runs else "")
        + (f"  rebuilds:\n{done}" if rebuilds else "")
    )


def _stated(quantity: str, stated: str, on: str = "2026-03-14") -> str:
    return verdict_of(f"quantity: {quantity}, stated: true", stated, on=on)


def test_the_table_here_names_every_rebuild_and_every_quantity_of_a_bench_run() -> None:
    assert set(ENDS) == {rebuild.kind for rebuild in REBUILDS}
    assert set(SHOWN) == {known.name for known in QUANTITIES if known.family and known.name != "timing_set_deg"}


@pytest.mark.parametrize("quantity", SHOWN)
@pytest.mark.parametrize("kind", ENDS)
def test_a_rebuild_ends_what_it_can_change_and_leaves_the_rest(kind: str, quantity: str) -> None:
    stated = _motor(["2026-03-01"], [f"2026-03-02: {kind}"])
    assert _stated(quantity, stated) == ("not-shown" if quantity in ENDS[kind] else "legal")


@pytest.mark.parametrize("quantity", SHOWN)
def test_a_run_after_the_rebuild_counts_again(quantity: str) -> None:
    # The drift is reckoned from the factory sheet, which shows the winding from before it was wound anew.
    expected = "not-shown" if quantity == "winding_drift_percent" else "legal"
    assert _stated(quantity, _motor(["2026-03-01", "2026-03-03"], ["2026-03-02: rewind"])) == expected


def test_a_stale_reading_says_which_rebuild_ended_it() -> None:
    check = check_of(
        "quantity: timing_mean_deg, at_most: 40", _motor(["2026-03-01"], ["2026-03-02: rotor-swap, clean"])
    )
    assert message(check) == (
        "measured timing is not shown: the bench run of 1 March 2026 is from before the rotor swap of 2 March 2026, so it no"
        " longer shows the measured timing: measure it again"
    )


def test_a_stale_factory_sheet_says_so_too() -> None:
    check = check_of("quantity: winding_mean_mohm, at_least: 20", _motor([], ["2026-03-02: rewind"]))
    assert message(check) == (
        "winding, mean is not shown: the factory sheet is from before the rewinding of 2 March 2026, so it no longer shows"
        " the winding, mean: measure it again"
    )


def test_a_rebuild_after_the_race_day_ends_nothing_yet() -> None:
    stated = _motor(["2026-03-01"], ["2026-03-20: rotor-swap"])
    assert _stated("timing_mean_deg", stated) == "legal"
    assert _stated("timing_mean_deg", stated, on="2026-03-19") == "legal"
    assert _stated("timing_mean_deg", stated, on="2026-03-20") == "not-shown"


def test_a_run_after_the_race_day_does_not_count() -> None:
    assert _stated("timing_mean_deg", _motor(["2026-03-15"], [])) == "not-shown"
    assert _stated("timing_mean_deg", _motor(["2026-03-14"], [])) == "legal"
    assert _stated("timing_mean_deg", _motor(["2026-03-14 21:00"], [])) == "legal"
    assert _stated("bench_age_days", _motor(["2026-03-15"], [])) == "not-shown"


@pytest.mark.parametrize(
    ("run", "rebuild", "verdict"),
    [
        ("2026-03-10", "2026-03-10", "not-shown"),
        ("2026-03-10 19:30", "2026-03-10", "not-shown"),
        ("2026-03-10", "2026-03-10 19:30", "not-shown"),
        ("2026-03-10 18:00", "2026-03-10 19:30", "not-shown"),
        ("2026-03-10 19:30", "2026-03-10 19:30", "not-shown"),
        ("2026-03-10 20:00", "2026-03-10T19:30", "legal"),
        ("2026-03-11", "2026-03-10 23:59", "legal"),
    ],
)
def test_on_one_day_only_times_can_show_that_a_run_came_after_the_rebuild(run: str, rebuild: str, verdict: str) -> None:
    motor = f"motor:\n  bench_runs:\n    - date: {run}\n      timing_deg: 38\n  rebuilds:\n    - date: {rebuild}\n      did: [rotor-swap]"
    assert _stated("timing_mean_deg", motor) == verdict


def test_a_rebuild_without_a_time_is_not_passed_over_for_one_that_has_a_time() -> None:
    rebuilds = '[{date: 2026-03-10, did: [rotor-swap]}, {date: "2026-03-10 10:00", did: [clean]}]'
    motor = f'motor: {{bench_runs: [{{date: "2026-03-10 19:30", timing_deg: 38}}], rebuilds: {rebuilds}}}'
    assert _stated("timing_mean_deg", motor) == "not-shown"


def test_a_run_of_the_day_of_a_rebuild_is_told_how_to_show_that_it_came_after() -> None:
    motor = (
        "motor: {bench_runs: [{date: 2026-03-10, timing_deg: 38}], rebuilds: [{date: 2026-03-10, did: [rotor-swap]}]}"
    )
    assert "(same day: give both a time, as in 2026-03-14 19:30, if it came after)" in message(
        check_of("quantity: timing_mean_deg, at_most: 40", motor)
    )


def _timing(*runs: str) -> object:
    split = (run.split(" is ") for run in runs)
    listed = ", ".join(f'{{date: "{day}", timing_deg: {timing}}}' for day, timing in split)
    fact = check_of("quantity: timing_mean_deg, between: [0, 60]", f"motor: {{bench_runs: [{listed}]}}").fact
    assert fact is not None
    return fact.value


def test_the_newest_run_wins_wherever_it_stands() -> None:
    assert _timing("2026-03-01 is 38", "2026-03-09 is 38.5", "2026-03-05 is 38.25") == Fraction("38.5")


def test_of_one_day_the_later_time_wins() -> None:
    assert _timing("2026-03-09 19:00 is 38.5", "2026-03-09 18:00 is 38") == Fraction("38.5")


def test_of_one_day_without_times_the_last_one_written_wins() -> None:
    assert _timing("2026-03-09 is 38", "2026-03-09 is 38.5") == Fraction("38.5")
    assert _timing("2026-03-09 is 38.5", "2026-03-09 is 38") == 38


def test_the_newest_run_that_states_the_value_is_asked_and_not_one_that_lacks_it() -> None:
    runs = "[{date: 2026-03-01, timing_deg: 38, current_a: 3.9}, {date: 2026-03-05, current_a: 4.1}]"
    fact = check_of("quantity: timing_mean_deg, between: [0, 60]", f"motor: {{bench_runs: {runs}}}").fact
    assert fact is not None
    assert fact.value == 38


@pytest.mark.parametrize(
    ("run", "days"), [("2026-03-14", 0), ("2026-03-13 23:59", 1), ("2026-02-28", 14), ("2025-03-14", 365)]
)
def test_the_age_of_a_run_is_counted_in_days_of_the_calendar(run: str, days: int) -> None:
    motor = f'motor: {{bench_runs: [{{date: 2024-01-01}}, {{date: "{run}"}}]}}'
    fact = check_of("quantity: bench_age_days, at_most: 90", motor).fact
    assert fact is not None
    assert fact.value == days


def test_mean_and_spread_of_the_timing_by_hand() -> None:
    motor = "motor: {bench_runs: [{date: 2026-03-01, timing_deg: [37.8, 38.1, 38.6]}]}"
    mean = check_of("quantity: timing_mean_deg, at_most: 60", motor).fact
    spread = check_of("quantity: timing_spread_deg, at_most: 60", motor).fact
    assert mean is not None
    assert spread is not None
    assert float(mean.value) == pytest.approx(114.5 / 3)  # type: ignore[arg-type]
    assert float(spread.value) == pytest.approx(0.8)  # type: ignore[arg-type]


@pytest.mark.parametrize("decision", ["as-read", "must-show", "benefit-of-doubt"])
@pytest.mark.parametrize("timing", ["38", "[38]", "{value: 38}", "{readings: [38, 38.1, 38.2]}"])
def test_a_timing_of_one_sensor_has_no_spread(timing: str, decision: str) -> None:
    motor = f"motor: {{bench_runs: [{{date: 2026-03-01, timing_deg: {timing}}}]}}"
    check = check_of(f"quantity: timing_spread_deg, at_most: 1, decision: {decision}", motor)
    assert check.verdict.value == "not-shown"
    assert check.reason == "one value has no spread of timing: it takes a list with one value for each sensor"
    assert verdict_of("quantity: timing_mean_deg, at_most: 39", motor) == "legal"


@pytest.mark.parametrize("quantity", ["timing_mean_deg", "timing_spread_deg"])
def test_a_timing_of_two_sensors_shows_nothing_of_the_third(quantity: str) -> None:
    older = "{date: 2026-02-01, timing_deg: [38, 38, 38]}"
    motor = f"motor: {{bench_runs: [{older}, {{date: 2026-03-01, timing_deg: [38, 38.1]}}]}}"
    check = check_of(f"quantity: {quantity}, at_most: 40", motor)
    assert check.verdict.value == "not-shown"
    assert check.reason == (
        "two values are not those of three sensors: add the third, or write the mean that the bench shows as one number"
    )


def test_repeated_readings_of_the_timing_are_one_thing_read_often() -> None:
    motor = "motor: {bench_runs: [{date: 2026-03-01, timing_deg: {readings: [38, 38.1, 38.2]}}]}"
    fact = check_of("quantity: timing_mean_deg, at_most: 39", motor).fact
    assert fact is not None
    assert isinstance(fact.value, Measured)
    assert [cause.what for cause, _ in fact.value.budget()] == ["scatter of motor.bench_runs[0].timing_deg"]


SHEET = "factory_sheet: {kv_rpm_per_v: 2450, winding: {ab_mohm: 20, bc_mohm: 20, ca_mohm: 20, winding_c: 20}}"
NEW_WINDING = "winding: {ab_mohm: 22, bc_mohm: 22, ca_mohm: 22, winding_c: 20}"


@pytest.mark.parametrize("kind", ["rewind", "stator-swap"])
def test_no_drift_is_told_from_the_sheet_of_another_winding(kind: str) -> None:
    run, rebuild = f"{{date: 2026-03-03, {NEW_WINDING}}}", f"{{date: 2026-03-02, did: [{kind}]}}"
    check = check_of(
        "quantity: winding_drift_percent, between: [-15, 15]",
        f"motor: {{{SHEET}, bench_runs: [{run}], rebuilds: [{rebuild}]}}",
    )
    assert check.verdict.value == "not-shown"
    assert check.reason.startswith("the factory sheet is from before the ")
    assert check.reason.endswith("so that it shows another winding: no drift of the winding can be told from it")


def test_the_sheets_speed_counts_until_a_run_states_one_or_a_rebuild_ends_it() -> None:
    rule = "quantity: kv_rpm_per_v, at_most: 2500"
    assert verdict_of(rule, f"motor: {{{SHEET}}}") == "legal"
    assert verdict_of(rule, f"motor: {{{SHEET}, bench_runs: [{{date: 2026-03-01, kv_rpm_per_v: 2600}}]}}") == "illegal"
    swapped = f"motor: {{{SHEET}, rebuilds: [{{date: 2026-03-01, did: [rotor-swap]}}]}}"
    assert verdict_of(rule, swapped) == "not-shown"


def test_the_newest_run_is_not_passed_over_because_it_lacks_a_phase() -> None:
    old = "{date: 2026-02-01, winding: {ab_mohm: 22, bc_mohm: 22, ca_mohm: 22, winding_c: 20}}"
    new = "{date: 2026-03-01, winding: {ab_mohm: 19, bc_mohm: 19, winding_c: 20}}"
    motor = f"motor: {{bench_runs: [{old}, {new}]}}"
    for quantity in ("winding_mean_mohm", "winding_lowest_mohm", "winding_spread_percent"):
        check = check_of(f"quantity: {quantity}, at_least: 0", motor)
        assert (check.verdict.value, check.missing) == ("not-shown", ("motor.bench_runs[1].winding.ca_mohm",))
