"""Motors side by side: the newest readings of each that still count, to choose among motors of one spec."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import Enum
from fractions import Fraction
from typing import Final

from speclint.comparison.common_conditions import Conditions, common_conditions, levels_of, supply_of
from speclint.comparison.compared import COMPARED, Compared, Level
from speclint.comparison.differences import Change, Word, change_of
from speclint.comparison.equivalent import Race
from speclint.comparison.obstacles import MOST_VOLTAGE_RATIO
from speclint.comparison.runs import Run, ended_by, runs_of
from speclint.models.motors import Motor
from speclint.moments import day_text
from speclint.quantities.model import Home, Key
from speclint.quantities.rebuilds import REBUILDS_BY_KIND
from speclint.quantities.registry import quantity
from speclint.readings.exact import exact
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


class Standing(Enum):
    """How a motor stands to the rules on motors, the uncertainty of its winding counted."""

    SURE = "legal, uncertainty counted"
    AS_READ = "legal as read"
    NOT_JUDGED = "not judged"
    NOT_SHOWN = "not shown"
    ILLEGAL = "illegal"


@dataclass(frozen=True, slots=True)
class Entrant:
    """One motor to choose from: `races` are what it is judged by, with its own facts."""

    name: str
    motor: Motor
    instruments: Mapping[str, Instrument]
    races: tuple[Race, ...]


@dataclass(frozen=True, slots=True)
class Seen:
    """The newest reading of one quantity that still counts, or why there is none."""

    level: Level
    run: Run | None
    reason: str


@dataclass(frozen=True, slots=True)
class Candidate:
    """One motor with its readings at common conditions; `checks` are those of the rules on motors that bind it."""

    name: str
    file: str
    turns: Fraction | None
    seen: Mapping[str, Seen]
    standing: Standing
    checks: tuple[tuple[str, Check], ...]

    def value(self, name: str) -> Number | None:
        """A quantity at common conditions, None where there is none."""
        return self.seen[name].level.number


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
    differences: Mapping[str, tuple[tuple[Candidate, Change], ...]]
    conditions: Conditions
    one_spec: bool
    obstacles: tuple[str, ...]


def rank(entrants: Sequence[Entrant], on: date) -> Ranking:
    """Motors side by side as of a day."""
    runs = {id(one): runs_of(one.motor, one.instruments, on) for one in entrants}
    newest = [own[-1] for own in runs.values() if own]
    stating = [run for run in newest if supply_of(run) is not None]
    conditions = common_conditions(stating) if stating else Conditions(None, drop_known=False)
    candidates = [_candidate(one, runs[id(one)], conditions, on) for one in entrants]
    ordered = tuple(sorted(candidates, key=_order))
    may = [one for one in ordered if one.standing in _MAY_BE_CHOSEN and one.value("winding_mean_mohm") is not None]
    sure = [one for one in may if one.standing is may[0].standing] if may else []
    pick = sure[0] if sure else None
    differences = {name: _against_least(name, ordered) for name in LESS_IS_BETTER}
    turns = {one.turns for one in ordered}
    return Ranking(
        candidates=ordered,
        pick=pick,
        level_with=tuple(one for one in sure[1:] if pick is not None and not _shown(pick, one, "winding_mean_mohm")),
        differences=differences,
        conditions=conditions,
        one_spec=len(turns) == 1 and None not in turns,
        obstacles=tuple(_obstacles(stating)),
    )


_MAY_BE_CHOSEN: Final = frozenset({Standing.SURE, Standing.AS_READ, Standing.NOT_JUDGED})
_STANDINGS: Final = tuple(Standing)
_BY_NAME: Final = {one.name: one for one in COMPARED}


def _candidate(entrant: Entrant, runs: tuple[Run, ...], conditions: Conditions, on: date) -> Candidate:
    motor = entrant.motor
    turns = motor.data.get("turns")
    checks = tuple(
        (race.label, check)
        for race in entrant.races
        for check in judge(race.book, race.facts, race.place)
        if _is_of_motor(check)
    )
    seen = {one.name: _newest(one, motor, runs, conditions, on) for one in COMPARED}
    return Candidate(
        entrant.name,
        motor.document.file,
        None if turns is None else exact(turns),
        seen,
        _standing([check for _, check in checks], judged=bool(entrant.races)),
        checks,
    )


def _newest(one: Compared, motor: Motor, runs: tuple[Run, ...], conditions: Conditions, on: date) -> Seen:
    """The newest reading of a quantity, if no rebuild after it has ended it."""
    lacking: Seen | None = None
    for run in reversed(runs):
        level = levels_of(run, conditions).by_name[one.name]
        if level.number is None:
            lacking = lacking or Seen(level, run, f"not stated: add {', '.join(level.missing) or 'supply_v'}")
            continue
        for rebuild in motor.rebuilds_until(on):
            if rebuild not in run.rebuilds_before and one.family in ended_by(rebuild):
                kind = next(kind for kind in rebuild.data["did"] if one.family in REBUILDS_BY_KIND[kind].ends)
                what = f"the {REBUILDS_BY_KIND[kind].title} of {day_text(rebuild.when.day)}"
                return Seen(Level(None), run, f"not measured since {what}")
        return Seen(level, run, "")
    return lacking or Seen(Level(None), None, "no bench run")


def _is_of_motor(check: Check) -> bool:
    """Whether a rule is on the motor as it is built or measured, so that the motor alone can meet it."""
    return check.rule.quantity is not None and _rests_on_motor(check.rule.quantity)


def _rests_on_motor(name: str) -> bool:
    known = quantity(name)
    if known is None:
        return False
    keys = [known.key, *known.inputs, *known.principal]
    return any(isinstance(one, Key) and one.home in (Home.MOTOR, Home.BENCH, Home.SHEET) for one in keys) or any(
        isinstance(one, str) and _rests_on_motor(one) for one in known.inputs
    )


def _standing(checks: Sequence[Check], *, judged: bool) -> Standing:
    verdicts = {check.verdict for check in checks}
    if not judged:
        return Standing.NOT_JUDGED
    if Verdict.ILLEGAL in verdicts:
        return Standing.ILLEGAL
    if Verdict.NOT_SHOWN in verdicts:
        return Standing.NOT_SHOWN
    windings = [check for check in checks if check.rule.quantity in _WINDINGS and check.verdict is Verdict.LEGAL]
    return Standing.SURE if all(_surely(check) for check in windings) else Standing.AS_READ


def _surely(check: Check) -> bool:
    """Whether a limit is met by the expanded uncertainty or more."""
    outcome = check.outcome
    if outcome is None or outcome.expanded_uncertainty is None or check.fact is None or not check.fact.complete:
        return False
    return float(outcome.margin) >= outcome.expanded_uncertainty


def _order(one: Candidate) -> tuple[int, bool, Fraction, str]:
    winding = one.value("winding_mean_mohm")
    return (
        _STANDINGS.index(one.standing), winding is None, value_of(winding) if winding is not None else Fraction(0), one.file
    )  # fmt: skip


def _shown(one: Candidate, other: Candidate, name: str) -> bool:
    return _difference(one, other, name).word is Word.CHANGED


def _difference(one: Candidate, other: Candidate, name: str) -> Change:
    return change_of(_BY_NAME[name], one.seen[name].level, other.seen[name].level, (one.name, other.name))


def _against_least(name: str, candidates: tuple[Candidate, ...]) -> tuple[tuple[Candidate, Change], ...]:
    """The motor with the least of a quantity at the front, against itself; then the others against it."""
    known = [(value_of(value), i, one) for i, one in enumerate(candidates) if (value := one.value(name)) is not None]
    if not known:
        return ()
    least = min(known, key=lambda entry: entry[:2])[2]
    return ((least, _difference(least, least, name)), *(
        (one, _difference(least, one, name)) for _, _, one in known if one is not least
    ))  # fmt: skip


def _obstacles(runs: Sequence[Run]) -> list[str]:
    supplies = [supply for run in runs if (supply := supply_of(run)) is not None]
    if supplies and max(supplies) > min(supplies) * MOST_VOLTAGE_RATIO:
        return [
            "the supply voltages of the runs are too far apart for speed and current to be compared: measure all motors at"
            " one voltage, below the makers' no-load limits"
        ]
    return []
