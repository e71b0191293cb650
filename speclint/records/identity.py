"""Whose record it is: serial numbers, rotors and dates that do not go together."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import Final

from speclint.documents.tree import Document
from speclint.models.bench import BenchRun
from speclint.models.motors import Motor, Rebuild
from speclint.models.rotors import Rotor
from speclint.models.track_runs import TrackRun
from speclint.moments import day_text
from speclint.problems import Problem

_FAR_AHEAD_YEARS: Final = 5
"""Records this much later than the last race day of the file are a slip of the pen, not a long career."""

_TITLES: Final = {"bench_runs": "bench run", "rebuilds": "rebuild", "track_runs": "track run"}


def serial_problems(motor: Motor) -> Iterator[Problem]:
    """A factory sheet that belongs to another motor."""
    sheet = motor.factory_sheet
    serial, named = motor.serial, sheet.serial if sheet is not None else None
    if serial is not None and named is not None and _word(serial) != _word(named):
        yield Problem(
            "serials-differ",
            f"the factory sheet is that of motor {named}, and this motor is {serial}: correct the one that is mistyped, or"
            " take the sheet out, as its winding and ratios are those of another motor",
            motor.document.place((*motor.prefix, "factory_sheet", "serial")),
        )


def rotor_problems(motor: Motor, rotors: Sequence[Rotor]) -> Iterator[Problem]:
    """Bench runs with another rotor than the motor has, where no rotor swap explains it.

    A run that may be from before a swap is explained by it; so are all that are older.

    Args:
        motor: the motor.
        rotors: the rotors of the parts box, which may say that a kind and a part are the same rotor.
    """
    fitted = motor.rotor
    if fitted is None:
        return
    names = {_word(name) for name in fitted.names}
    for run in motor.bench_runs:
        named = run.rotor
        if named is None or _word(named) in names:
            continue
        swaps = (rebuild.when for rebuild in motor.rebuilds if "rotor-swap" in rebuild.did)
        if any(not run.when.certainly_after(swap) for swap in swaps):
            return
        names |= {_word(name) for rotor in rotors if _is_named(rotor, names) for name in rotor.names}
        in_the_box = any(_is_named(rotor, {_word(named)}) for rotor in rotors)
        if _word(named) in names or (fitted.kind is None and not in_the_box):
            continue
        yield Problem(
            "rotor-differs",
            f"the bench run of {day_text(run.when.day)} was with the rotor {named}, the motor has the rotor {' '.join(fitted.names)}, and no"
            " rotor swap after that run is recorded: add it under rebuilds, or correct the rotor",
            motor.document.place((*run.path, "rotor")),
        )
        return


def sheet_date_problems(motor: Motor) -> Iterator[Problem]:
    """Records from before the factory sheet, which is older than all."""
    made = motor.factory_sheet.made if motor.factory_sheet is not None else None
    if made is None:
        return
    records = motor.records
    before = [record for record in records if made.certainly_after(record.when)]
    if len(before) == 1 < len(records):
        yield Problem(
            "dates-out-of-order",
            f"this {_TITLES[str(before[0].path[-2])]} is dated {day_text(before[0].when.day)}, before the factory sheet of"
            f" {day_text(made.day)}, which is older than all: correct one of the two dates",
            motor.document.place((*before[0].path, "date")),
        )
    elif before:
        oldest = min(record.when.day for record in before)
        yield Problem(
            "dates-out-of-order",
            f"the factory sheet is dated {day_text(made.day)}, after records of {day_text(oldest)} and later, and it is"
            " older than all: correct its date",
            motor.document.place((*motor.prefix, "factory_sheet", "date")),
        )


def far_ahead_problems(
    document: Document, records: Iterable[BenchRun | Rebuild | TrackRun], last_entry: date
) -> Iterator[Problem]:
    """Records of one document that are years after the last race day of the setup."""
    for record in records:
        day = record.when.day
        if day.year > last_entry.year + _FAR_AHEAD_YEARS:
            yield Problem(
                "dates-out-of-order",
                f"this {_TITLES[str(record.path[-2])]} is dated {day_text(day)}, {day.year - last_entry.year} years after"
                f" the last race day of the setup, {day_text(last_entry)}: correct the year",
                document.place((*record.path, "date")),
            )


def _is_named(rotor: Rotor, names: set[str]) -> bool:
    """Whether a rotor's kind or part is among these words."""
    return any(_word(name) in names for name in rotor.names)


def _word(text: str) -> str:
    return text.strip().casefold()
