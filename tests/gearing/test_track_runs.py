"""The setup's own track runs: what they teach the model, and which of them don't count."""

from pathlib import Path
from typing import Any

import pytest

from speclint.gearing.model_words import fit_text, learnt_text
from speclint.gearing.plan import Plan
from speclint.gearing.track_runs import MOST_RUNS, Learnt
from speclint.gearing.wording import sure_text
from tests.gearing.geared_cars import demo, planned

ENTRY = "[{ruleset: coastal-league, class: stock-17, on: 2026-03-21, track: hall}]"
RUN = "date: 2026-03-14, spur_teeth: 96, pinion_teeth: 42, minutes: 5, ambient_c: 20"


def with_runs(folder: Path, *runs: str, motor: str = "", **more: Any) -> Plan:
    text = "track_runs:\n" + "".join(f"  - {{{run}}}\n" for run in runs)
    if motor:
        more["motor"] = motor
    return planned(folder, entries=ENTRY, more=text, **more)


def learnt(plan: Plan) -> Learnt:
    assert plan.forecaster is not None
    return plan.forecaster.learnt


def left_out(plan: Plan) -> list[str]:
    return [each.reason for each in learnt(plan).left_out]


def test_three_runs_bring_the_model_nearer_and_every_residual_is_printed() -> None:
    plan = demo("car-22-track-runs")
    taught = learnt(plan)
    assert taught.fit is not None
    assert len(taught.used) == len(taught.fit.residuals) == 3
    assert taught.fit.after_k < 3.0
    assert not taught.strained
    lines = learnt_text(taught)[:3]
    assert all("before the fit" in line and "after it" in line for line in lines)
    assert "measured 70.5 °C 20 s after the stop" in lines[2]
    assert "Over 3 runs the model was off by" in fit_text(taught)[0]
    assert any("returned_mah" in line for line in fit_text(taught))


def test_what_three_runs_settle_is_a_narrower_band() -> None:
    # Car 22 with its runs against car 14, which is the same car but for 10 g, with another motor and without runs.
    taught = next(each for each in demo("car-22-track-runs").pairs if (each.pair.spur, each.pair.pinion) == (96, 43))
    plain = next(each for each in demo("car-14-close-call").pairs if (each.pair.spur, each.pair.pinion) == (96, 43))
    assert taught.outlook is not None
    assert plain.outlook is not None
    width = taught.outlook.can_c.high - taught.outlook.can_c.low
    assert width < 0.75 * (plain.outlook.can_c.high - plain.outlook.can_c.low)


def test_a_hotter_run_means_a_hotter_prediction(tmp_path: Path) -> None:
    cool, hot = (with_runs(tmp_path, f"{RUN}, can_c: {can_c}") for can_c in (52, 68))
    for one, other in zip(cool.pairs, hot.pairs, strict=True):
        assert one.outlook is not None
        assert other.outlook is not None
        assert one.outlook.can_c.median < other.outlook.can_c.median


@pytest.mark.parametrize(
    ("run", "reason"),
    [
        (RUN, "it states no can_c"),
        ("date: 2026-03-14, can_c: 60, minutes: 5", "it states no ambient_c and no spur_teeth and no pinion_teeth"),
        (f"{RUN}, can_c: 60".replace("2026-03-14", "2026-03-22"), "it is from after the day of the race"),
        (f"{RUN}, can_c: 60, track: moon", "the garage has no track moon"),
        (f"{RUN}, can_c: 149", "a can of 149 °C is out of all proportion; in °F that would be 65 °C"),
        (
            f"{RUN}, can_c: 60".replace("ambient_c: 20", "ambient_c: 68"),
            "air of 68 °C is out of all proportion; in °F that would be 20 °C",
        ),
        (f"{RUN}, can_c: 21", "a can of 21 °C in air of 20 °C says nothing of a run"),
        (
            f"{RUN}, can_c: 60".replace("minutes: 5", "minutes: 300"),
            "300 minutes are out of all proportion; in seconds that would be 5.0 minutes",
        ),
        (
            f"{RUN}, can_c: 60".replace("spur_teeth: 96, pinion_teeth: 42", "spur_teeth: 42, pinion_teeth: 96"),
            "pinion 96 on spur 42 has them the wrong way round",
        ),
    ],
)
def test_a_run_that_cannot_teach_is_left_out_with_the_reason(tmp_path: Path, run: str, reason: str) -> None:
    plan = with_runs(tmp_path, run)
    assert left_out(plan) == [reason]
    assert reason in sure_text(plan), "in the short report too: who logged a run looks for what became of it"
    assert learnt(plan).fit is None


@pytest.mark.parametrize(
    ("did", "counts"),
    [("rotor-swap", False), ("timing-change", False), ("rewind", False), ("clean", True), ("shim", True)],
)
def test_a_run_from_before_a_rebuild_that_made_another_motor_of_it_does_not_count(
    tmp_path: Path, did: str, counts: bool
) -> None:
    plan = with_runs(
        tmp_path, f"{RUN}, can_c: 60", motor=f"{{turns: 17.5, rebuilds: [{{date: 2026-03-16, did: [{did}]}}]}}"
    )
    assert (left_out(plan) == []) is counts
    if not counts:
        assert "16 March 2026, so from another motor as far as heat goes" in left_out(plan)[0]


def test_a_run_of_the_rebuild_s_own_day_counts_only_if_its_time_says_that_it_came_after(tmp_path: Path) -> None:
    motor = '{turns: 17.5, rebuilds: [{date: "2026-03-14 10:00", did: [rotor-swap]}]}'
    assert left_out(with_runs(tmp_path, f"{RUN}, can_c: 60", motor=motor)) != []
    later = f"{RUN}, can_c: 60".replace("2026-03-14", '"2026-03-14 11:00"')
    assert left_out(with_runs(tmp_path, later, motor=motor)) == []


def test_only_the_newest_runs_are_learnt_from(tmp_path: Path) -> None:
    runs = [f"{RUN}, can_c: 60".replace("2026-03-14", f"2026-03-{day:02}") for day in range(1, MOST_RUNS + 3)]
    plan = with_runs(tmp_path, *runs)
    assert [used.when.day.day for used in learnt(plan).used] == list(range(3, MOST_RUNS + 3))
    assert len(left_out(plan)) == 2
    assert "2 runs are left out, the newest that of " in sure_text(plan)


def test_of_runs_that_cannot_be_of_one_car_the_odd_one_is_left_out_with_what_was_to_be_expected(tmp_path: Path) -> None:
    plan = with_runs(tmp_path, f"{RUN}, can_c: 55", f"{RUN}, can_c: 57", f"{RUN}, can_c: 110")
    assert len(left_out(plan)) == 1
    assert left_out(plan)[0].startswith("its can of 110 °C is out of all proportion: ")
    assert len(learnt(plan).used) == 2


def test_a_car_that_was_typed_in_fahrenheit_ends_with_an_answer(tmp_path: Path) -> None:
    for can_c in (140, 150, 160):
        assert with_runs(tmp_path, f"{RUN}, can_c: {can_c}").start is not None


def test_what_the_charger_put_back_and_a_log_s_figures_are_learnt_from(tmp_path: Path) -> None:
    widths, middles = [], []
    for more in (
        "",
        ", returned_mah: 900",
        ", returned_mah: 900, current_a: 10.6, best_lap_s: 17.1, top_speed_kmh: 54",
    ):
        plan = with_runs(tmp_path, f"{RUN}, can_c: 62{more}")
        outlook = plan.pairs[-1].outlook
        assert outlook is not None
        widths.append((outlook.charge_c.high - outlook.charge_c.low) / outlook.charge_c.median)
        middles.append(outlook.charge_c.median / 3.6)
    assert widths[1] < 0.65 * widths[0]
    assert widths[2] < 1.1 * widths[1]
    assert abs(middles[1] - 880) < abs(middles[0] - 880)


def test_a_charge_that_no_pack_holds_is_not_learnt_from(tmp_path: Path) -> None:
    plan = with_runs(tmp_path, f"{RUN}, can_c: 62, returned_mah: 62000")
    assert [used.readings.returned_mah for used in learnt(plan).used] == [None]


def test_a_can_that_was_read_late_is_taken_back_to_the_stop(tmp_path: Path) -> None:
    soon, late = (with_runs(tmp_path, f"{RUN}, can_c: 60, after_s: {seconds}") for seconds in (5, 180))
    assert soon.fitted is not None and late.fitted is not None
    assert late.fitted.likely_c > soon.fitted.likely_c + 1.0


def test_a_thermometer_s_offset_is_taken_off_and_its_error_added(tmp_path: Path) -> None:
    garage = (
        "format: garage/1\ninstruments: {gun: {offset: 5, accuracy: 6, unit: C}}\n"
        "tracks: {hall: {lap_m: 90, straight_m: 22, infield_speed_kmh: 22, ambient_c: 20}}\n"
    )
    plan = with_runs(tmp_path, f"{RUN}, can_c: {{value: 65, instrument: gun}}", garage=garage)
    run = learnt(plan).used[0].readings
    assert run.can_c == 60
    # JCGM 100: a half-width of 6 is 6/√3; spot and moment count 1.5 beside it.
    assert run.reading_u_k == pytest.approx((1.5**2 + 12.0) ** 0.5)
