"""When another bench run is due: after a rotor swap or another rebuild, or because the one there is does not count."""

from collections.abc import Iterator
from typing import Final

from speclint.advice.model import AdviceSort, CarCase, Observation
from speclint.models.bench import BenchRun
from speclint.models.motors import Motor, Rebuild
from speclint.moments import day_text
from speclint.plain import listed
from speclint.quantities import rebuilds
from speclint.quantities.rebuilds import REBUILDS_BY_KIND
from speclint.rules.checks import Verdict

_SPIN_CAUTION: Final = "clamp the motor, take the pinion off and stay below the maker's no-load voltage"

_KEYS: Final = {
    rebuilds.TIMING: ("timing", ("timing_deg",)),
    rebuilds.SPEED: ("speed", ("kv_rpm_per_v", "speed_rpm")),
    rebuilds.CURRENT: ("current", ("current_a",)),
    rebuilds.BALANCE: ("balance", ("sensor_spread_percent", "pole_difference_percent")),
    rebuilds.WINDING: ("winding", ("winding",)),
}


def _retest_after_swap(case: CarCase) -> Iterator[Observation]:
    motor, swap = case.car.motor, _last_swap(case)
    if motor is None or swap is None or _runs_after(motor, swap):
        return
    day = swap.when.day
    same_day = any(run.when.day == day for run in motor.bench_runs)
    unsure = f' (for one later on {day_text(day)}, give both a time, as in "{day} 19:30")' if same_day else ""
    yield Observation(
        f"the rotor was swapped on {day_text(day)}, and no bench run has been made since{unsure}: the rotor is part of"
        f" the timing, so measure timing, speed and current again; {_SPIN_CAUTION}",
        motor.document.place(swap.path),
    )


def _timing_after_swap(case: CarCase) -> Iterator[Observation]:
    motor, swap = case.car.motor, _last_swap(case)
    if motor is None or swap is None:
        return
    runs = _runs_after(motor, swap)
    if not runs or any(run.timing_deg is not None for run in runs):
        return
    yield Observation(
        f"the bench run of {day_text(runs[0].when.day)} is the first after the rotor swap of"
        f" {day_text(swap.when.day)} and says nothing of the timing: the rotor is part of it, so the mark on the end"
        f" bell no longer tells; measure it as well; {_SPIN_CAUTION}"
        if len(runs) == 1
        else f"none of the {len(runs)} bench runs since the rotor swap of {day_text(swap.when.day)} says anything of"
        " the timing: the rotor is part of it, so the mark on the end bell no longer tells; measure it as well;"
        f" {_SPIN_CAUTION}",
        motor.document.place(runs[0].path),
    )


def _retest_after_rebuild(case: CarCase) -> Iterator[Observation]:
    motor = case.car.motor
    if motor is None or not motor.rebuilds or not motor.bench_runs:
        return
    newest = motor.bench_runs[0]
    later = [
        rebuild
        for rebuild in motor.rebuilds
        if rebuild.when.day <= case.on and not newest.when.certainly_after(rebuild.when)
    ]
    kinds = [REBUILDS_BY_KIND[kind] for rebuild in later for kind in rebuild.did]
    if not kinds or any(kind.kind == "rotor-swap" for kind in kinds) or _said_by_a_rule(case):
        return
    ended = frozenset[str]().union(*(kind.ends for kind in kinds))
    stale = [
        name
        for family, (name, keys) in _KEYS.items()
        if family in ended and any(getattr(newest, key) is not None for key in keys)
    ]
    if not stale:
        return
    done = next(kind for kind in kinds if kind.ends)
    yield Observation(
        f"the bench run of {day_text(newest.when.day)} is from before the {done.title} of"
        f" {day_text(later[-1].when.day)}, so its {listed(stale)} no longer {'count' if len(stale) > 1 else 'counts'}: measure again when you can;"
        f" {_SPIN_CAUTION}",
        motor.document.place(newest.path),
    )


def _only_later_runs(case: CarCase) -> Iterator[Observation]:
    motor = case.car.motor
    if motor is None or not motor.bench_runs or motor.bench_runs[-1].when.day <= case.on:
        return
    lacking = any(
        check.verdict is Verdict.NOT_SHOWN and check.fact is not None and check.fact.quantity.family
        for check in case.checks
    )
    if not lacking:
        return
    first = motor.bench_runs[-1]
    yield Observation(
        f"the oldest bench run is of {day_text(first.when.day)}, after the race day of {day_text(case.on)}, and a run"
        " counts only for its own day and later ones: correct the date if it is wrong",
        motor.document.place((*first.path, "date")),
    )


def _last_swap(case: CarCase) -> Rebuild | None:
    motor = case.car.motor
    if motor is None or not motor.rebuilds:
        return None
    return next((rebuild for rebuild in motor.rebuilds_until(case.on) if "rotor-swap" in rebuild.did), None)


def _runs_after(motor: Motor, rebuild: Rebuild) -> list[BenchRun]:
    """The bench runs that came after a rebuild, whatever the day: what has been measured has been measured."""
    return [run for run in motor.bench_runs if run.when.certainly_after(rebuild.when)]


def _said_by_a_rule(case: CarCase) -> bool:
    """Whether a check is not shown because the reading that it needs is stale."""
    return any(
        check.verdict is Verdict.NOT_SHOWN and check.fact is not None and check.fact.record is not None
        for check in case.checks
    )


_SWAPPED: Final = """format: setup/1
entries: [{ruleset: coastal-league, class: stock-17, on: 2026-03-21}]
motor:
  bench_runs:
    - {date: 2026-03-10, rotor: standard, timing_deg: [37.9, 38.1, 38.3]}
  rebuilds:
    - {date: 2026-03-12, did: [rotor-swap]}
"""

RETESTS: Final[tuple[AdviceSort[CarCase], ...]] = (
    AdviceSort(
        id="retest-after-rotor-swap",
        title="bench run due after a rotor swap",
        because="The magnet is half of the motor: speed, current and timing are not what they were.",
        example=(_SWAPPED,),
        find=_retest_after_swap,
    ),
    AdviceSort(
        id="timing-after-rotor-swap",
        title="timing not measured after a rotor swap",
        because="The sensors see the magnet, so the rotor is part of the timing, whatever the mark on the end bell says.",
        example=(
            _SWAPPED.replace("  rebuilds", "    - {date: 2026-03-13, rotor: torque, current_a: 3.9}\n  rebuilds"),
        ),
        find=_timing_after_swap,
    ),
    AdviceSort(
        id="retest-after-rebuild",
        title="bench run due after a rebuild",
        because="A reading from before a rebuild is one of another motor, as far as the rebuild changed it.",
        example=(_SWAPPED.replace("rotor-swap", "timing-change"),),
        find=_retest_after_rebuild,
    ),
    AdviceSort(
        id="bench-run-too-late",
        title="every bench run is later than the race",
        because="A bench run shows what the motor was on its day, not before.",
        example=(
            """format: setup/1
entries: [{ruleset: coastal-league, class: pan-12, on: 2026-03-21}]
motor:
  bench_runs:
    - {date: 2026-03-22, timing_deg: [37.9, 38.1, 38.3]}
""",
        ),
        find=_only_later_runs,
    ),
)
