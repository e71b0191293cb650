"""Bench runs in their order, the rebuilds between them, and the two that a person means."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Final

from speclint.comparison.recorded import RunRecord
from speclint.models.bench import BenchRun
from speclint.models.motors import Motor, Rebuild
from speclint.moments import day_text, moment
from speclint.quantities.rebuilds import REBUILDS_BY_KIND
from speclint.readings.instruments import Instrument


@dataclass(frozen=True, slots=True)
class ComparedRun:
    """One bench run: `number` counts from the oldest, which is 1; `rebuilds_before` are those that it came after."""

    motor: Motor
    record: BenchRun
    number: int
    rebuilds_before: tuple[Rebuild, ...]
    instruments: Mapping[str, Instrument]

    @property
    def day(self) -> date:
        """The day of the run."""
        return self.record.when.day

    @property
    def title(self) -> str:
        """The run for people, with its time of day where it has one."""
        at = self.record.when.at
        return day_text(self.day) if at is None else f"{day_text(self.day)}, {at:%H:%M}"

    @property
    def readings(self) -> RunRecord:
        """What was recorded."""
        return RunRecord(self.motor.document, self.record.path, self.day, self.instruments)

    @property
    def rotor(self) -> str:
        """The kind of rotor that was in the motor, "" where the run does not name it."""
        return self.record.rotor or ""

    def era(self, family: str) -> int:
        """How many rebuilds before this run made earlier readings of the family stale."""
        return sum(1 for rebuild in self.rebuilds_before if family in ended_by(rebuild))


def ended_by(rebuild: Rebuild) -> frozenset[str]:
    """The families of readings that a rebuild makes stale."""
    return frozenset(family for kind in rebuild.did for family in REBUILDS_BY_KIND[kind].ends)


def runs_of(motor: Motor, instruments: Mapping[str, Instrument], until: date | None = None) -> tuple[ComparedRun, ...]:
    """The bench runs of a motor, the oldest first.

    A run and a rebuild of one day of which one has no time of day have no order; the run then counts as made before.
    """
    oldest_first = [run for run in reversed(motor.bench_runs) if until is None or run.when.day <= until]
    rebuilds = tuple(reversed(motor.rebuilds))
    return tuple(
        ComparedRun(
            motor,
            record,
            i,
            tuple(rebuild for rebuild in rebuilds if record.when.certainly_after(rebuild.when)),
            instruments,
        )
        for i, record in enumerate(oldest_first, 1)
    )


def between(old: ComparedRun, new: ComparedRun) -> tuple[Rebuild, ...]:
    """The rebuilds after one run and before a later one, the oldest first."""
    return tuple(rebuild for rebuild in new.rebuilds_before if rebuild not in old.rebuilds_before)


@dataclass(frozen=True, slots=True)
class RunPair:
    """Two runs to hold against each other, the older first as a rule; `why` says why these."""

    old: ComparedRun
    new: ComparedRun
    why: str


def around_last_rebuild(runs: tuple[ComparedRun, ...], motor: Motor) -> RunPair | str:
    """The last run before the last rebuild and the first after it; in words why there are no two.

    Where no run follows the last rebuild, the rebuild before it is taken, and so on; where there is no rebuild with
    a run on either side, the two newest runs.
    """
    if len(runs) < 2:
        available = "there is no bench run" if not runs else "there is one bench run only"
        return f"{available}, and a comparison takes two: measure the motor again and log the run"
    for skipped, rebuild in enumerate(motor.rebuilds):
        before = [run for run in runs if rebuild not in run.rebuilds_before]
        after = [run for run in runs if rebuild in run.rebuilds_before]
        if before and after:
            rebuild_text = "the last rebuild" if not skipped else "the last rebuild with bench runs on both sides"
            return RunPair(before[-1], after[0], f"the runs around {rebuild_text}, of {day_text(rebuild.when.day)}")
    return RunPair(runs[-2], runs[-1], "the two newest runs, as no rebuild lies between two runs")


_BY_NUMBER: Final = 6
"""No more digits than this are a run's number; a day is written with hyphens."""


def _is_number(text: str) -> bool:
    return text.isascii() and text.isdigit() and len(text) <= _BY_NUMBER


def looks_like_run(text: str) -> bool:
    """Whether a word of the command line can mean a run: a number, a day, or a day with a time."""
    if _is_number(text):
        return True
    try:
        moment(text)
    except ValueError:
        return False
    return True


def chosen(runs: tuple[ComparedRun, ...], text: str) -> ComparedRun | str:
    """The run that a person names by its number, its day, or its day and time; in words why there is no such one."""
    run_list = "; ".join(f"{run.number}: {run.title}" for run in runs) or "none"
    if _is_number(text):
        matching = [run for run in runs if run.number == int(text)]
    else:
        wanted = moment(text)
        matching = [run for run in runs if run.day == wanted.day and wanted.at in (None, run.record.when.at)]
    if len(matching) == 1:
        return matching[0]
    if matching:
        return f"{text} is the day of several runs; give the number or the time. The runs are {run_list}"
    return f"there is no bench run {text}. The runs are {run_list}"
