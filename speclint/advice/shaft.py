"""The rotor on its shaft: end play, and the shims that set it and the magnet's place."""

import math
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import combinations
from typing import Final, NamedTuple

from speclint.advice.model import AdviceSort, CarCase, Observation
from speclint.models.motors import Motor
from speclint.readings.digits import plain_text, reading_text
from speclint.readings.exact import decimal_text, exact
from speclint.readings.measured import Number, expanded_of, value_of

# Just free, not loose: common practice, from memory.
LEAST_PLAY_MM: Final = Fraction(1, 10)
MOST_PLAY_MM: Final = Fraction(3, 10)
_AIM_MM: Final = (LEAST_PLAY_MM + MOST_PLAY_MM) / 2

_ENDS: Final = {"drive_end": "drive end", "sensor_end": "sensor end"}
_MOST_TAKEN, _MOST_ADDED = 2, 3


class Shimming(NamedTuple):
    """A change of shims: thicknesses in mm taken out and added at one end, and the end play that it leaves."""

    end: str
    taken: tuple[Fraction, ...]
    added: tuple[Fraction, ...]
    play: Fraction

    def __str__(self) -> str:
        where = _ENDS[self.end]
        if not self.taken:
            action = f"add {_shims(self.added, 'a')} from the parts box at the {where}"
        elif not self.added:
            action = f"take {_shims(self.taken)} out at the {where}"
        else:
            action = f"swap {_shims(self.taken)} at the {where} for {_shims(self.added, 'one of')} from the parts box"
        return f"{action}, which leaves {plain_text(self.play)} mm"


def best_shimming(play: Fraction, fitted: Mapping[str, Sequence[Fraction]], box: Sequence[Fraction]) -> Shimming | None:
    """The change of shims that makes the rotor just free again, or None where the parts at hand make none.

    Of several it is the one that handles the fewest shims, then comes nearest to the middle of what is just free,
    then leaves the two ends most alike.

    Args:
        play: the end play in mm as it is.
        fitted: the shims in mm at `drive_end` and at `sensor_end`.
        box: the shims in mm at hand.
    """
    best, best_rank = None, None
    addable = tuple(_choices(_few_of_each(box), _MOST_ADDED))
    for index, end in enumerate(_ENDS):
        far_end = next(name for name in _ENDS if name != end)
        for taken in _choices(fitted.get(end, ()), _MOST_TAKEN):
            for added in addable:
                left = play + sum(taken) - sum(added)
                if (
                    not (taken or added)
                    or not LEAST_PLAY_MM <= left <= MOST_PLAY_MM
                    or not set(taken).isdisjoint(added)
                ):
                    continue
                near_sum = sum(fitted.get(end, ())) - sum(taken) + sum(added)
                uneven = abs(near_sum - sum(fitted.get(far_end, ())))
                rank = (len(taken) + len(added), abs(left - _AIM_MM), uneven, index)
                if best_rank is None or rank < best_rank:
                    best, best_rank = Shimming(end, taken, added, left), rank
    return best


def _too_small(case: CarCase) -> Iterator[Observation]:
    motor, play = case.car.motor, _play(case, below=0.1)
    if motor is not None and play is not None and value_of(play) + _blur(play) < LEAST_PLAY_MM:
        yield _out_of_play(motor, play, "it may bind once the motor is warm", case.shims_mm or ())


def _too_large(case: CarCase) -> Iterator[Observation]:
    motor, play = case.car.motor, _play(case, above=0.3)
    if motor is not None and play is not None and value_of(play) - _blur(play) > MOST_PLAY_MM:
        yield _out_of_play(motor, play, "it hammers the bearings and wanders past the sensors", case.shims_mm or ())


def _out_of_play(motor: Motor, play: Number, harm: str, box: Sequence[Fraction]) -> Observation:
    return Observation(
        f"end play is {reading_text(play, 'mm')}, where a rotor that is just free has about 0.1 to 0.3 mm: {harm};"
        f" {_mend(motor, value_of(play), box)}",
        motor.document.place((*motor.prefix, "end_play_mm")),
    )


def _on_the_sensor_side(case: CarCase) -> Iterator[Observation]:
    motor = case.car.motor
    if motor is None or not motor.shims_mm.sensor_end:
        return
    at_sensors = motor.shims_mm.sensor_end
    at_drive = sum(motor.shims_mm.drive_end or (), Fraction(0))
    excess = sum(at_sensors) - at_drive
    if excess <= 0:
        return
    moved = min(_choices(at_sensors, _MOST_ADDED), key=lambda chosen: (abs(excess - 2 * sum(chosen)), len(chosen)))
    mend = "ask the officials before anybody opens it" if motor.sealed else "look where the magnet sits"
    if moved and not motor.sealed:
        mend += f"; moving {_shims(moved)} to the drive end brings it back and leaves the end play as it is"
    yield Observation(
        f"{plain_text(Fraction(sum(at_sensors)))} mm of shims at the sensor end and {plain_text(at_drive)} mm at the"
        " drive end push the magnet away from the sensors and out of the middle of the stator, which matters more"
        f" than the end play does: unless the maker's instructions ask for it, {mend}",
        motor.document.place((*motor.prefix, "shims_mm", "sensor_end")),
    )


def _play(case: CarCase, *, below: float = -math.inf, above: float = math.inf) -> Number | None:
    """The end play in mm, where it may lie outside; a reading with an instrument is worked out first."""
    motor = case.car.motor
    stated = motor.end_play_mm if motor is not None else None
    if stated is None or (stated.instrument is None and below <= stated.mean <= above):
        return None
    return case.number("end_play_mm")


def _blur(play: Number) -> Fraction:
    return exact(expanded_of(play) or 0)


def _mend(motor: Motor, play: Fraction, box: Sequence[Fraction]) -> str:
    if motor.sealed:
        return "the motor is sealed, so leave it closed and show it to the officials"
    fitted = {"drive_end": motor.shims_mm.drive_end or (), "sensor_end": motor.shims_mm.sensor_end or ()}
    shimming = best_shimming(play, fitted, box)
    if shimming is not None:
        return str(shimming)
    away = _AIM_MM - play
    need = f"{decimal_text(abs(away), 2)} mm of shims"
    lacking = ", which the parts box does not make up" if box and away < 0 else ""
    return f"take about {need} out" if away > 0 else f"add about {need}{lacking}"


def _choices(shims: Sequence[Fraction], most: int) -> Iterator[tuple[Fraction, ...]]:
    """Every different way to take up to so many of the shims, none among them."""
    for count in range(min(most, len(shims)) + 1):
        yield from sorted(set(combinations(sorted(shims), count)))


def _few_of_each(shims: Sequence[Fraction]) -> tuple[Fraction, ...]:
    """The shims, but no more of one thickness than can be used at once: a box of a hundred holds few that differ."""
    return tuple(shim for shim in sorted(set(shims)) for _ in range(min(shims.count(shim), _MOST_ADDED)))


def _shims(thicknesses: Sequence[Fraction], article: str = "the") -> str:
    if len(thicknesses) > 1:
        return f"shims of {' and '.join(plain_text(thickness) for thickness in thicknesses)} mm"
    size = f"{plain_text(thicknesses[0])} mm"
    return f"{article} {size}" if article == "one of" else f"{article} {size} shim"


_PLAY: Final = """format: setup/1
name: end play
motor:
  shims_mm: {drive_end: [0.2], sensor_end: []}
  end_play_mm: PLAY
parts_box: {shims_mm: [0.05, 0.1, 0.2]}
"""

SHAFT: Final[tuple[AdviceSort[CarCase], ...]] = (
    AdviceSort(
        id="end-play-too-small",
        title="end play too small",
        because="A rotor without room along its shaft binds when the motor warms up, and the motor runs hot.",
        example=(_PLAY.replace("PLAY", "0.02"),),
        find=_too_small,
    ),
    AdviceSort(
        id="end-play-too-large",
        title="end play too large",
        because="A rotor that slides back and forth wears its bearings, and the sensors see its magnet come and go.",
        example=(_PLAY.replace("PLAY", "0.45"),),
        find=_too_large,
    ),
    AdviceSort(
        id="shims-on-sensor-side",
        title="shims on the sensor side",
        because="The magnet belongs in the middle of the stator, as near to the sensors as the maker meant it.",
        example=("format: setup/1\nmotor:\n  shims_mm: {drive_end: [0.1], sensor_end: [0.2, 0.1]}\n",),
        find=_on_the_sensor_side,
    ),
)
