"""Gears that do not mesh, do not fit, or hang on a rounded ratio."""

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from speclint.advice.model import AdviceSort, CarCase, Observation
from speclint.forms.size import Size
from speclint.models.car_parts import Gears
from speclint.moments import day_text
from speclint.readings.exact import decimal_text, exact, to_float
from speclint.readings.measured import Number, value_of

INCH_MM: Final = 25.4
_MESH_SHARE: Final = 0.02
"""How far two pitches may differ and still be sold as meshing: 64 dp is a module of 0.397 mm, and runs with 0.4."""

_USUAL_MODULES_MM: Final = (INCH_MM / 48, INCH_MM / 64)
_MOST_SHIFT_MM: Final = 10
"""How far a motor mount moves at most, in mm between the axes (common practice, from memory)."""

_ON_RATIO: Final = frozenset({"final_drive_ratio", "rollout_mm"})


def _mixed_pitch(case: CarCase) -> Iterator[Observation]:
    gears = case.car.setup.gears
    pitch, module = gears.gear_pitch_dp, gears.gear_module_mm
    if pitch is None or module is None or abs(INCH_MM / pitch / module - 1) <= _MESH_SHARE:
        return
    yield Observation(
        f"{pitch:g} dp is a module of {INCH_MM / pitch:.3f} mm, and the gears are given as module {module:g} mm too:"
        " such gears do not mesh, they eat each other. State the one that is printed on both gears",
        case.car.setup.document.place(("car", "gear_module_mm")),
    )


def _other_car(case: CarCase) -> Iterator[Observation]:
    """Track runs with gears, or an internal ratio, that this car can hardly have had."""
    setup = case.car.setup
    gears = setup.gears
    for run in setup.track_runs:
        day, internal = day_text(run.when.day), run.internal_ratio
        if internal is not None and gears.internal_ratio is not None and internal != gears.internal_ratio:
            yield Observation(
                f"the run of {day} states an internal ratio of {run.internal_written}, and this car has {gears.internal_written}: it"
                " is built into the chassis, so gears of another car say nothing about this one; correct it, or move"
                " the run",
                setup.document.place((*run.path, "internal_ratio")),
            )
        if gears.spur_teeth is None or gears.pinion_teeth is None or run.spur_teeth is None or run.pinion_teeth is None:
            continue
        run_sum, car_sum = run.spur_teeth + run.pinion_teeth, gears.spur_teeth + gears.pinion_teeth
        if run_sum == car_sum or gears.pinion_teeth > gears.spur_teeth or run.pinion_teeth > run.spur_teeth:
            continue
        shift = _axis_shift_mm(run_sum, car_sum, gears)
        if shift > _MOST_SHIFT_MM:
            yield Observation(
                f"the run of {day} was on {run.spur_teeth} and {run.pinion_teeth} teeth, {run_sum} together, and the car"
                f" has {car_sum}: their axes lie about {shift:.0f} mm nearer or farther, which no motor mount spans;"
                " correct the count, or move the run to the car that it was",
                setup.document.place((*run.path, "spur_teeth")),
            )


def _rounded_ratio(case: CarCase) -> Iterator[Observation]:
    """Gearings so near to their limit that the rounding of a printed internal ratio decides."""
    internal = case.car.setup.gears.internal_written
    # A whole number is direct drive or made up; teeth, as "40/21", are exact.
    if not isinstance(internal, float):
        return
    # Printed ratios have two decimals, and a last zero is often left off: 1.9 is 1.90, which may be 40/21.
    decimals = max(2, len(repr(internal).partition(".")[2]))
    limit_share = 0.5 * 10.0**-decimals / internal
    for check in case.checks:
        if check.outcome is None or check.fact is None or check.quantity not in _ON_RATIO:
            continue
        outcome, value, limit = check.outcome, check.fact.value, check.limit
        # Floats first: most gearings are far from their limit.
        if not isinstance(value, Number) or not isinstance(limit, Size):
            continue
        size = to_float(value_of(value))
        if abs(to_float(outcome.margin)) >= limit_share * size:
            continue
        spread = value_of(value) * Fraction(1, 2 * 10**decimals) / exact(internal)
        low, high = value_of(value) - spread, value_of(value) + spread
        yield Observation(
            f"the internal ratio is written {internal}, which may be rounded: the {check.fact.quantity.title} is then"
            f" anything from {decimal_text(low, 3)} to {decimal_text(high, 3)}, and the limit is"
            f' {decimal_text(outcome.limit, limit.places)}. Write it by its teeth, as in "40/21"; the chassis manual'
            " or a count tells them",
            case.car.setup.document.place(("car", "internal_ratio")),
        )
        return


def _axis_shift_mm(run_sum: int, car_sum: int, gears: Gears) -> float:
    """How far apart the sums of teeth of a run and of the car put their axes, in mm, if the run was in a usual pitch."""
    module = gears.gear_module_mm or (INCH_MM / gears.gear_pitch_dp if gears.gear_pitch_dp else _USUAL_MODULES_MM[0])
    return min(abs(run_sum * run_module - car_sum * module) / 2 for run_module in (module, *_USUAL_MODULES_MM))


_CAR: Final = """format: setup/1
entries: [{ruleset: harbour-city, class: stock-17, on: 2026-03-14}]
car: {internal_ratio: 1.9, spur_teeth: 96, pinion_teeth: 42, gear_pitch_dp: 64}
track_runs:
  - {date: 2026-03-13, spur_teeth: 96, pinion_teeth: 41}
"""

GEARS: Final[tuple[AdviceSort[CarCase], ...]] = (
    AdviceSort(
        id="gear-pitch-mixed",
        title="gears of two pitches",
        because="Gears mesh only where their pitches are the same, and inch and metric sizes hardly ever are.",
        source="module = 25.4 ÷ diametral pitch",
        example=(_CAR.replace("gear_pitch_dp: 64", "gear_pitch_dp: 48, gear_module_mm: 0.5"),),
        find=_mixed_pitch,
    ),
    AdviceSort(
        id="gears-of-another-car",
        title="track run with gears of another car",
        because="A gearing is worth what its chassis is: heat and speed of one car do not carry over to another.",
        source="centre distance = module × sum of teeth ÷ 2",
        example=(_CAR.replace("pinion_teeth: 41", "pinion_teeth: 41, internal_ratio: 2.6"),),
        find=_other_car,
    ),
    AdviceSort(
        id="internal-ratio-rounded",
        title="a rounded ratio decides",
        because="Internal ratios are tooth counts; their printed decimals are rounded, and near a limit that matters.",
        source="arithmetic",
        example=(_CAR.replace("1.9, spur_teeth: 96, pinion_teeth: 42", "1.9, spur_teeth: 84, pinion_teeth: 38"),),
        find=_rounded_ratio,
    ),
)
