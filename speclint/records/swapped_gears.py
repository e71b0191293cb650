"""A pinion that is larger than its spur: the two counts were written the wrong way round."""

from collections.abc import Iterator
from typing import NamedTuple

from speclint.models.setups import Setup
from speclint.places import Path
from speclint.records.asked import Asked


class SwappedGears(NamedTuple):
    """Where the two counts stand, and what is wrong with them."""

    spur: Path
    pinion: Path
    message: str


def swapped_gears(setup: Setup, asked: Asked) -> Iterator[SwappedGears]:
    """Spur and pinion of the car, and of each track run, that turn the wheels faster than the motor.

    Args:
        setup: the setup.
        asked: the limits of its classes; one that asks for such gears makes them no slip.
    """
    gears = setup.gears
    fitted: tuple[tuple[Path, int | None, int | None], ...] = ((("car",), gears.spur_teeth, gears.pinion_teeth),)
    for path, spur, pinion in (*fitted, *((run.path, run.spur_teeth, run.pinion_teeth) for run in setup.track_runs)):
        if spur is not None and pinion is not None and pinion > spur:
            if any(limit < 1 for limit in asked("spur_pinion_ratio")):
                return
            yield SwappedGears(
                (*path, "spur_teeth"),
                (*path, "pinion_teeth"),
                f"a pinion of {pinion} teeth on a spur of {spur} turns the wheels faster than the motor: the two counts are"
                f" swapped, so write spur_teeth: {pinion} and pinion_teeth: {spur}",
            )
