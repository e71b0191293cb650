"""What track runs say: heat, and when the motor wants cleaning."""

from collections.abc import Iterator
from datetime import date
from typing import Final

from speclint.advice.model import AdviceSort, CarCase, Observation
from speclint.models.stated import mean_of_stated
from speclint.models.track_runs import TrackRun
from speclint.moments import day_text
from speclint.plain import capitalised, counted

# A published chart asks for 160 to 175 °F after five minutes, which is 71 to 79 °C.
WARM_C: Final = 71
HOT_C: Final = 79
_NEAR_C: Final = 5

# Common practice, from memory: once or twice a season of club racing for a motor that stays dry and free of dust.
RUNS_BETWEEN_CLEANINGS: Final = 20
DAYS_BETWEEN_CLEANINGS: Final = 90

_LEAST_MINUTES: Final = 3
_LEAST_RISE_C: Final = 3

_READING: Final = (
    "read the can as soon as the car stops, at several spots, and count the highest; an infrared thermometer reads a shiny"
    " can far too cool"
)


def _over(case: CarCase) -> Iterator[Observation]:
    warmest = _newest_warm(case)
    if warmest is None:
        return
    run, seen, limit = warmest
    if seen <= (HOT_C if limit is None else limit):
        return
    asks = (
        f"the maker's limit of {limit:g} °C"
        if limit is not None
        else f"the {WARM_C} to {HOT_C} °C that common practice allows"
    )
    yield Observation(
        f"the can was at {seen:g} °C after the run of {day_text(run.when.day)}, over {asks}: let it cool before anybody"
        " touches it, take a shorter gear (a smaller pinion) or less timing, and do not run it longer than that;"
        f" magnets and solder suffer first. {capitalised(_READING)}",
        case.car.setup.document.place((*run.path, "can_c")),
    )


def _near(case: CarCase) -> Iterator[Observation]:
    warmest = _newest_warm(case)
    if warmest is None:
        return
    run, seen, limit = warmest
    low, high = (WARM_C, HOT_C) if limit is None else (limit - _NEAR_C, limit)
    if not low <= seen <= high:
        return
    asks = f"the maker's limit of {limit:g} °C" if limit is not None else f"the {HOT_C} °C that common practice ends at"
    yield Observation(
        f"the can was at {seen:g} °C after the run of {day_text(run.when.day)}, {high - seen:g} °C below {asks}: no taller"
        f" gear, and none on a warmer day; {_READING}",
        case.car.setup.document.place((*run.path, "can_c")),
    )


def _too_cool(case: CarCase) -> Iterator[Observation]:
    for run in case.car.setup.track_runs:
        seen, air, minutes = mean_of_stated(run.can_c), mean_of_stated(run.ambient_c), run.minutes
        if seen is None or air is None or minutes is None or minutes < _LEAST_MINUTES or seen - air >= _LEAST_RISE_C:
            continue
        rise = (
            f"{seen - air:g} °C above"
            if seen > air
            else "no warmer than"
            if seen == air
            else f"{air - seen:g} °C below"
        )
        yield Observation(
            f"after {minutes:g} min the can reads {seen:g} °C, {rise} the air: it was read too late, or off a"
            f" shiny surface; {_READING}, so put a dull sticker on it or use a contact thermometer",
            case.car.setup.document.place((*run.path, "can_c")),
        )
        return


def _cleaning(case: CarCase) -> Iterator[Observation]:
    runs = case.car.setup.track_runs
    motor = case.car.motor
    if not runs or motor is None or motor.sealed:
        return
    if len(runs) < RUNS_BETWEEN_CLEANINGS and not motor.rebuilds:
        return
    cleaned = next((rebuild for rebuild in motor.rebuilds_until(case.on) if "clean" in rebuild.did), None)
    if len(runs) < RUNS_BETWEEN_CLEANINGS and (
        cleaned is None or (case.on - cleaned.when.day).days < DAYS_BETWEEN_CLEANINGS
    ):
        return
    since = date.min if cleaned is None else cleaned.when.day
    dirty = sum(1 for run in runs if since < run.when.day <= case.on)
    days = 0 if cleaned is None or not dirty else (case.on - cleaned.when.day).days
    if dirty < RUNS_BETWEEN_CLEANINGS and days < DAYS_BETWEEN_CLEANINGS:
        return
    runs_text = counted(dirty, "track run")
    last = (
        "with no cleaning recorded" if cleaned is None else f"since the last cleaning on {day_text(cleaned.when.day)}"
    )
    spent = f" and {days} days" if days >= DAYS_BETWEEN_CLEANINGS else ""
    yield Observation(
        f"{runs_text}{spent} {last}: clean the motor, mark the end bell first so that the timing goes back where it"
        " was, a drop of oil for the bearings, and record it as `did: [clean]`; the magnet is strong and brittle, so"
        " draw the rotor out slowly and keep steel away",
        motor.document.place((*motor.prefix, "rebuilds") if cleaned is None else cleaned.path),
    )


def _newest_warm(case: CarCase) -> tuple[TrackRun, float, float | None] | None:
    """The newest run until the day, if it was warm: the run, the can's temperature, and the maker's limit."""
    limit = case.car.motor.limit_c if case.car.motor is not None else None
    read = [run for run in case.car.setup.track_runs if run.can_c is not None and run.when.day <= case.on]
    if not read:
        return None
    newest = max(read, key=lambda run: (run.when.newest_first, run.path))
    seen = mean_of_stated(newest.can_c)
    # A reading in Fahrenheit is told as such.
    is_implausible = any(value.path == (*newest.path, "can_c") for value in case.implausible)
    if seen is None or is_implausible or seen < (WARM_C if limit is None else limit - _NEAR_C):
        return None
    return newest, seen, limit


_RUN: Final = """format: setup/1
entries: [{ruleset: coastal-league, class: stock-17, on: 2026-03-21}]
motor: {limit_c: 90}
track_runs:
  - {date: 2026-03-20, minutes: 5, ambient_c: 19, can_c: 61}
"""
_MANY: Final = _RUN + "".join(
    f"  - {{date: 2026-03-{day:02}, minutes: 5, ambient_c: 19, can_c: 60}}\n"
    for day in reversed(range(1, RUNS_BETWEEN_CLEANINGS))
)

RUNNING: Final[tuple[AdviceSort[CarCase], ...]] = (
    AdviceSort(
        id="can-over-limit",
        title="motor too hot",
        because="Past its limit a motor loses magnetism for good, and its solder and insulation give way.",
        source="common practice, 71 to 79 °C after five minutes",
        example=(_RUN.replace("can_c: 61", "can_c: 94"),),
        find=_over,
    ),
    AdviceSort(
        id="can-near-limit",
        title="motor near its limit",
        because="A warmer day, a longer run or a tooth more is enough to cook it.",
        source="common practice, 71 to 79 °C after five minutes",
        example=(_RUN.replace("can_c: 61", "can_c: 87"),),
        find=_near,
    ),
    AdviceSort(
        id="can-too-cool",
        title="can temperature that cannot be right",
        because="A motor that was raced is warm; a thermometer that misses it hides a hot one.",
        example=(_RUN.replace("can_c: 61", "can_c: 20"),),
        find=_too_cool,
    ),
    AdviceSort(
        id="cleaning-due",
        title="cleaning due",
        because="Dust and fluff brake the rotor and keep the heat in.",
        example=(_MANY,),
        find=_cleaning,
    ),
)
