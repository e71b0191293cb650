"""Motors side by side: the newest readings of each that still count, to choose among motors of one spec."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import Enum
from fractions import Fraction
from typing import Final

from speclint.comparison.common_conditions import Conditions, common_conditions, common_values_of, supply_of
from speclint.comparison.compared import COMPARED, COMPARED_BY_NAME, CommonValue, ComparedQuantity
from speclint.comparison.differences import Conclusion, QuantityChange, change_of
from speclint.comparison.equivalent import EntryRules
from speclint.comparison.obstacles import MOST_VOLTAGE_RATIO
from speclint.comparison.runs import ComparedRun, ended_by, runs_of
from speclint.comparison.uncertainty import tails_for
from speclint.models.motors import Motor
from speclint.moments import day_text
from speclint.quantities.model import Home, Key
from speclint.quantities.rebuilds import REBUILDS_BY_KIND
from speclint.quantities.registry import quantity
from speclint.readings.instruments import Instrument
from speclint.readings.measured import Number, value_of
from speclint.rules.checks import Check, Verdict
from speclint.rules.judge import judge

LESS_IS_BETTER: Final = (
    "winding_mean_mohm",
    "timing_spread_deg",
    "pole_difference_percent",
    "sensor_spread_percent",
    "current_a",
)
"""What a motor is chosen by, the first counting most (common practice): a lower winding pulls harder at one voltage,
even sensors and poles run cooler and truer, less current without load is less friction and iron loss."""

_WINDINGS: Final = frozenset({"winding_mean_mohm", "winding_lowest_mohm"})


class Legality(Enum):
    """How a motor stands to the rules on motors, the uncertainty of its winding counted."""

    SURE = "legal, uncertainty counted"
    AS_READ = "legal as read"
    NOT_JUDGED = "not judged"
    NOT_SHOWN = "not shown"
    ILLEGAL = "illegal"


@dataclass(frozen=True, slots=True)
class MotorToRank:
    """One motor to choose from: `entries` are what it is judged by, with its own facts."""

    name: str
    motor: Motor
    instruments: Mapping[str, Instrument]
    entries: tuple[EntryRules, ...]


@dataclass(frozen=True, slots=True)
class NewestValue:
    """The newest reading of one quantity that still counts, or why there is none."""

    level: CommonValue
    run: ComparedRun | None
    reason: str


@dataclass(frozen=True, slots=True)
class Candidate:
    """One motor with its readings at common conditions; `checks` are those of the rules on motors that bind it."""

    name: str
    file: str
    turns: Fraction | None
    newest_values: Mapping[str, NewestValue]
    legality: Legality
    checks: tuple[tuple[str, Check], ...]

    def value(self, name: str) -> Number | None:
        """A quantity at common conditions, None where there is none."""
        return self.newest_values[name].level.number


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranking:
    """Motors side by side, the first choice at the front.

    Attributes:
        candidates: all motors: those that are surely legal first, then by their winding.
        pick: the one with the lowest winding of those that may be chosen; None where none may.
        level_with: those that may be chosen as well, whose winding is not shown to differ from the pick's.
        differences: for each quantity that motors are chosen by, every other motor against the one with the least.
        conditions: what the readings were taken to.
        one_spec: whether all have the same turns.
        obstacles: what keeps the motors from being compared, in words.
    """

    candidates: tuple[Candidate, ...]
    pick: Candidate | None
    level_with: tuple[Candidate, ...]
    differences: Mapping[str, tuple[tuple[Candidate, QuantityChange], ...]]
    conditions: Conditions
    one_spec: bool
    obstacles: tuple[str, ...]


def rank(entrants: Sequence[MotorToRank], on: date) -> Ranking:
    """Motors side by side as of a day."""
    runs = {id(motor): runs_of(motor.motor, motor.instruments, on) for motor in entrants}
    newest = [runs_of_motor[-1] for runs_of_motor in runs.values() if runs_of_motor]
    stating = [run for run in newest if supply_of(run) is not None]
    conditions = common_conditions(stating) if stating else Conditions(None, drop_known=False)
    candidates = [_candidate(motor, runs[id(motor)], conditions, on) for motor in entrants]
    ordered = tuple(sorted(candidates, key=_order))
    eligible = [
        candidate
        for candidate in ordered
        if candidate.legality in _MAY_BE_CHOSEN and candidate.value("winding_mean_mohm") is not None
    ]
    equally_legal = [candidate for candidate in eligible if candidate.legality is eligible[0].legality]
    # Any two of them could have been the ones to differ by chance.
    tails = tails_for(len(LESS_IS_BETTER) * len(ordered) * (len(ordered) - 1) // 2)
    differences = {name: _against_least(name, ordered, tails) for name in LESS_IS_BETTER}
    turns = {candidate.turns for candidate in ordered}
    return Ranking(
        candidates=ordered,
        pick=equally_legal[0] if equally_legal else None,
        level_with=tuple(
            candidate
            for candidate in equally_legal[1:]
            if _difference(equally_legal[0], candidate, "winding_mean_mohm", tails).conclusion is not Conclusion.CHANGED
        ),
        differences=differences,
        conditions=conditions,
        one_spec=len(turns) == 1 and None not in turns,
        obstacles=tuple(_obstacles(stating)),
    )


_MAY_BE_CHOSEN: Final = frozenset({Legality.SURE, Legality.AS_READ, Legality.NOT_JUDGED})
_STANDINGS: Final = tuple(Legality)


def _candidate(entrant: MotorToRank, runs: tuple[ComparedRun, ...], conditions: Conditions, on: date) -> Candidate:
    motor = entrant.motor
    checks = tuple(
        (entry.label, check)
        for entry in entrant.entries
        for check in judge(entry.book, entry.facts, entry.place)
        if _is_of_motor(check)
    )
    newest_values = {quantity.name: _newest(quantity, motor, runs, conditions, on) for quantity in COMPARED}
    return Candidate(
        entrant.name,
        motor.document.file,
        motor.turns,
        newest_values,
        _standing([check for _, check in checks], judged=bool(entrant.entries)),
        checks,
    )


def _newest(
    quantity: ComparedQuantity, motor: Motor, runs: tuple[ComparedRun, ...], conditions: Conditions, on: date
) -> NewestValue:
    """The newest reading of a quantity, if no rebuild after it has ended it."""
    lacking: NewestValue | None = None
    for run in reversed(runs):
        level = common_values_of(run, conditions).by_name[quantity.name]
        if level.number is None:
            lacking = lacking or NewestValue(level, run, f"not stated: add {', '.join(level.missing) or 'supply_v'}")
            continue
        for rebuild in motor.rebuilds_until(on):
            if rebuild not in run.rebuilds_before and quantity.family in ended_by(rebuild):
                kind = next(kind for kind in rebuild.did if quantity.family in REBUILDS_BY_KIND[kind].ends)
                rebuild_text = f"the {REBUILDS_BY_KIND[kind].title} of {day_text(rebuild.when.day)}"
                return NewestValue(CommonValue(None), run, f"not measured since {rebuild_text}")
        return NewestValue(level, run, "")
    return lacking or NewestValue(CommonValue(None), None, "no bench run")


def _is_of_motor(check: Check) -> bool:
    """Whether a rule is on the motor as it is built or measured, so that the motor alone can meet it."""
    return check.quantity is not None and _rests_on_motor(check.quantity)


def _rests_on_motor(name: str) -> bool:
    limited = quantity(name)
    if limited is None:
        return False
    keys = [limited.key, *limited.inputs, *limited.principal]
    return any(
        isinstance(source, Key) and source.home in (Home.MOTOR, Home.BENCH, Home.SHEET) for source in keys
    ) or any(isinstance(source, str) and _rests_on_motor(source) for source in limited.inputs)


def _standing(checks: Sequence[Check], *, judged: bool) -> Legality:
    verdicts = {check.verdict for check in checks}
    if not judged:
        return Legality.NOT_JUDGED
    if Verdict.ILLEGAL in verdicts:
        return Legality.ILLEGAL
    if Verdict.NOT_SHOWN in verdicts:
        return Legality.NOT_SHOWN
    windings = [check for check in checks if check.quantity in _WINDINGS and check.verdict is Verdict.LEGAL]
    return Legality.SURE if all(_surely(check) for check in windings) else Legality.AS_READ


def _surely(check: Check) -> bool:
    """Whether a limit is met by the expanded uncertainty or more."""
    outcome = check.outcome
    if outcome is None or outcome.expanded_uncertainty is None or check.fact is None or not check.fact.complete:
        return False
    return float(outcome.margin) >= outcome.expanded_uncertainty


def _order(candidate: Candidate) -> tuple[int, bool, Fraction, str]:
    winding = candidate.value("winding_mean_mohm")
    return (
        _STANDINGS.index(candidate.legality),
        winding is None,
        value_of(winding) if winding is not None else Fraction(0),
        candidate.file,
    )


def _difference(first: Candidate, second: Candidate, name: str, tails: float) -> QuantityChange:
    return change_of(
        COMPARED_BY_NAME[name],
        first.newest_values[name].level,
        second.newest_values[name].level,
        (first.name, second.name),
        tails=tails,
    )


def _against_least(
    name: str, candidates: tuple[Candidate, ...], tails: float
) -> tuple[tuple[Candidate, QuantityChange], ...]:
    """The motor with the least of a quantity at the front, against itself; then the others against it."""
    measured = [
        (value_of(value), i, candidate)
        for i, candidate in enumerate(candidates)
        if (value := candidate.value(name)) is not None
    ]
    if not measured:
        return ()
    least = min(measured, key=lambda entry: entry[:2])[2]
    return (
        (least, _difference(least, least, name, tails)),
        *(
            (candidate, _difference(least, candidate, name, tails))
            for _, _, candidate in measured
            if candidate is not least
        ),
    )


def _obstacles(runs: Sequence[ComparedRun]) -> list[str]:
    supplies = [supply for run in runs if (supply := supply_of(run)) is not None]
    if supplies and max(supplies) > min(supplies) * MOST_VOLTAGE_RATIO:
        return [
            "the supply voltages of the runs are too far apart for speed and current to be compared: measure all motors at"
            " one voltage, below the makers' no-load limits"
        ]
    return []
