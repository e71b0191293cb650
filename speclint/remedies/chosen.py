"""One of the numbered remedies of a run, chosen to be put into the files."""

from collections.abc import Sequence

from speclint.errors import UsageError
from speclint.remedies.case import Mending
from speclint.rules.checks import Remedy


def chosen(mendings: Sequence[Mending], number: int) -> Remedy:
    """The remedy of this number, as the sheet counts them.

    Raises:
        UsageError: there is no such remedy, it is not plain whose it would be, or it is done on the car.
    """
    if not mendings:
        raise UsageError("there is nothing to apply: no setup here is illegal")
    if len(mendings) > 1:
        files = ", ".join(mending.file for mending in mendings)
        raise UsageError(f"--apply mends one setup at a time; these are illegal: {files}")
    (mending,) = mendings
    if not mending.sets:
        raise UsageError(f"{mending.file}: there is nothing to apply: {mending.trouble}")
    if not 1 <= number <= len(mending.sets):
        count = len(mending.sets)
        known = "there is 1 remedy" if count == 1 else f"there are {count} remedies"
        raise UsageError(f"{mending.file}: {known}, and no number {number}")
    remedy = mending.sets[number - 1]
    if remedy.by_hand:
        raise UsageError(
            f"{mending.file}: this is done on the car, not in the file: {remedy.message}; do it, measure, and write down"
            " what the instrument shows"
        )
    return remedy
