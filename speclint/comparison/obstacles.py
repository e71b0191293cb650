"""Why two runs cannot be held against each other, and what a person does about it."""

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from speclint.comparison.common_conditions import CommonValues, Conditions, supply_of
from speclint.comparison.runs import ComparedRun
from speclint.comparison.uncertainty import expanded_uncertainty_of
from speclint.quantities.rebuilds import BALANCE, CURRENT, SPEED, TIMING
from speclint.readings.digits import plain_text
from speclint.readings.measured import value_of

MOST_VOLTAGE_RATIO: Final = Fraction(5, 4)
"""Beyond this ratio of supply voltages the split of the no-load torque decides more than the readings do."""

SAME_VOLTAGE_RATIO: Final = Fraction(51, 50)
"""Up to this ratio the drop I₀·R is alike in both runs, so that speeds per volt can be compared as read."""

TIMING_SLACK_DEG: Final = Fraction(1)
"""What a timing ring is set again to by its marks (common practice)."""

_MOVES_ROTOR: Final = frozenset({"rotor-swap", "stator-swap"})
_MOVES_TIMING: Final = frozenset({"timing-change", "rotor-swap", "stator-swap", "rewind"})


@dataclass(frozen=True, slots=True)
class Obstacle:
    """Why readings of some families cannot be held against each other, and what to do about it."""

    families: frozenset[str]
    message: str


def obstacles_between(
    first: CommonValues, second: CommonValues, did: frozenset[str], conditions: Conditions
) -> list[Obstacle]:
    """Everything that hinders a comparison of two runs, given the kinds of rebuild between them."""
    obstacles = []
    rotors = first.run.rotor, second.run.rotor
    if all(rotors) and rotors[0] != rotors[1] and not did & _MOVES_ROTOR:
        obstacles.append(
            Obstacle(
                frozenset({TIMING, SPEED, CURRENT, BALANCE}),
                f"the runs name different rotors, {rotors[0]} and {rotors[1]}, and no rotor swap is logged between them:"
                " log it with its date, or correct the run",
            )
        )
    timing = first.by_name["timing_mean_deg"], second.by_name["timing_mean_deg"]
    if timing[0].number is not None and timing[1].number is not None and not did & _MOVES_TIMING:
        moved = timing[1].number - timing[0].number
        if abs(value_of(moved)) > TIMING_SLACK_DEG and float(abs(value_of(moved))) > expanded_uncertainty_of(moved):
            shown = [plain_text(value_of(level.number)) for level in timing if level.number is not None]
            obstacles.append(
                Obstacle(
                    frozenset({SPEED, CURRENT}),
                    f"the timing was {shown[0]}° in one run and {shown[1]}° in the other, and no timing change is logged:"
                    " set it as it was and measure again, or log the change",
                )
            )
    obstacles.extend(_voltages(first.run, second.run, conditions))
    return obstacles


def _voltages(first: ComparedRun, second: ComparedRun, conditions: Conditions) -> list[Obstacle]:
    first_v, second_v = supply_of(first), supply_of(second)
    if first_v is None or second_v is None:
        return []
    ratio = max(first_v, second_v) / min(first_v, second_v)
    volts = f"{plain_text(first_v)} and {plain_text(second_v)}"
    if ratio > MOST_VOLTAGE_RATIO:
        return [
            Obstacle(
                frozenset({SPEED, CURRENT}),
                f"the supply voltages, {volts} V, are too far apart for the model of the no-load losses: measure both at"
                " one voltage, below the maker's no-load limit",
            )
        ]
    if not conditions.drop_known and ratio > SAME_VOLTAGE_RATIO:
        return [
            Obstacle(
                frozenset({SPEED}),
                f"the supply voltages differ, {volts} V, and without current and winding of both runs the voltage that is"
                " lost in the winding is not known: add them, or measure at one voltage",
            )
        ]
    return []
