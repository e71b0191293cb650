"""Whose record it is: serial numbers, rotors and dates that do not go together."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any, Final

from speclint.documents.tree import Document
from speclint.models.motors import Motor
from speclint.moments import day_text, moment
from speclint.places import Path
from speclint.problems import Problem

_FAR_AHEAD_YEARS: Final = 5
"""Records this much later than the last race day of the file are a slip of the pen, not a long career."""

_TITLES: Final = {"bench_runs": "bench run", "rebuilds": "rebuild", "track_runs": "track run"}


def serial_problems(motor: Motor) -> Iterator[Problem]:
    """A factory sheet that belongs to another motor."""
    sheet = motor.data.get("factory_sheet")
    own, named = motor.data.get("serial"), sheet.get("serial") if sheet else None
    if own is not None and named is not None and _word(own) != _word(named):
        yield Problem(
            "serials-differ",
            f"the factory sheet is that of motor {named}, and this motor is {own}: correct the one that is mistyped, or"
            " take the sheet out, as its winding and ratios are those of another motor",
            motor.document.place((*motor.prefix, "factory_sheet", "serial")),
        )


def rotor_problems(motor: Motor, rotors: Sequence[Mapping[str, Any]]) -> Iterator[Problem]:
    """Bench runs with another rotor than the motor has, where no rotor swap explains it.

    A run that may be from before a swap is explained by it; so are all that are older.

    Args:
        motor: the motor.
        rotors: the rotors of the parts box, which may say that a kind and a part are the same rotor.
    """
    fitted = motor.data.get("rotor")
    if not fitted or not motor.bench_runs:
        return
    kind = fitted.get("kind")
    names = {_word(str(name)) for name in (kind, fitted.get("part")) if name is not None}
    for run in motor.bench_runs:
        named = run.data.get("rotor")
        if named is None or _word(named) in names:
            continue
        swaps = (rebuild.when for rebuild in motor.rebuilds if "rotor-swap" in rebuild.data["did"])
        if any(not run.when.certainly_after(swap) for swap in swaps):
            return
        names |= {_word(str(rotor[key])) for rotor in rotors if _same(rotor, names) for key in _NAMES if key in rotor}
        if _word(named) in names or (kind is None and not _known(named, rotors)):
            continue
        has = " ".join(str(fitted[key]) for key in _NAMES if key in fitted)
        yield Problem(
            "rotor-differs",
            f"the bench run of {day_text(run.when.day)} was with the rotor {named}, the motor has the rotor {has}, and no"
            " rotor swap after that run is recorded: add it under rebuilds, or correct the rotor",
            motor.document.place((*run.path, "rotor")),
        )
        return


def sheet_date_problems(motor: Motor) -> Iterator[Problem]:
    """Records from before the factory sheet, which is older than all."""
    sheet = motor.data.get("factory_sheet")
    written = sheet.get("date") if sheet else None
    if written is None:
        return
    made = moment(written)
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


def far_ahead_problems(document: Document, prefix: Path, last_entry: date) -> Iterator[Problem]:
    """Records of years after the last race day of the setup; the lists of records stand under the prefix."""
    limit = f"{last_entry.year + _FAR_AHEAD_YEARS:04}"
    data = document.get(prefix)
    for key in _TITLES:
        for i, record in enumerate(data.get(key) or ()):
            if record["date"][:4] > limit:
                day = moment(record["date"]).day
                yield Problem(
                    "dates-out-of-order",
                    f"this {_TITLES[key]} is dated {day_text(day)}, {day.year - last_entry.year} years after the last race"
                    f" day of the setup, {day_text(last_entry)}: correct the year",
                    document.place((*prefix, key, i, "date")),
                )


def _same(rotor: Mapping[str, Any], names: set[str]) -> bool:
    return any(_word(str(rotor[key])) in names for key in _NAMES if key in rotor)


def _known(named: str, rotors: Sequence[Mapping[str, Any]]) -> bool:
    """Whether the parts box knows a rotor of this name, so that the motor's may be told apart from it."""
    return any(_word(str(rotor[key])) == _word(named) for rotor in rotors for key in _NAMES if key in rotor)


def _word(text: str) -> str:
    return text.strip().casefold()


_NAMES: Final = ("kind", "part")
