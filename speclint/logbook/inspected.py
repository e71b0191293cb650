"""What a car of an inspection needs before it is entered: which one it is, once only, and the day of its bench run."""

from typing import Any, Final

from speclint.documents.tree import Document
from speclint.errors import UsageError
from speclint.logbook.fields import RecordField, fields_of
from speclint.logbook.kinds import RecordKind
from speclint.models.inspections import NO_SETUP
from speclint.places import Path

_BENCH_RUN: Final[Path] = ("readings", "motor", "bench_runs", 0)


def complete(kind: RecordKind, values: dict[RecordField, Any], document: Document) -> None:
    """Adds the day of the inspection to what the officials read on the bench.

    Raises:
        UsageError: nothing says which car it is, or the inspection has it already.
    """
    stated = {field.path: value for field, value in values.items()}
    number, setup = stated.get(("number",)), stated.get(("setup",))
    if number is None and setup is None:
        raise UsageError(
            "say which car it is, with --number or --setup; --setup none where nobody has its setup. Nothing was written"
        )
    for i, car in enumerate(document.get(("cars",)) or ()):
        has_number = number is not None and str(car.get("number")) == str(number)
        has_setup = setup not in (None, NO_SETUP) and car.get("setup") == setup
        if (has_number or has_setup) and car.get("class") == stated.get(("class",)):
            line = document.place(("cars", i)).line
            car_name = f"number {number}" if number is not None else setup
            raise UsageError(
                f"{document.file} has {car_name} already, in line {line}, so nothing was written: put its readings there"
            )
    if any(path[: len(_BENCH_RUN)] == _BENCH_RUN for path in stated):
        date_field = next(field for field in fields_of(kind) if field.path == (*_BENCH_RUN, "date"))
        values.setdefault(date_field, document.get(("on",)))
