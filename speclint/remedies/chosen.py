"""One of the numbered remedies of a run, chosen to be put into the files."""

from collections.abc import Sequence

from speclint.errors import UsageError
from speclint.remedies.judged_entry import CarRemedies
from speclint.rules.checks import Remedy


def chosen(car_remedies: Sequence[CarRemedies], number: int) -> Remedy:
    """The remedy of this number, as the sheet counts them.

    Raises:
        UsageError: there is no such remedy, it is not plain whose it would be, or it is done on the car.
    """
    if not car_remedies:
        raise UsageError("there is nothing to apply: no setup here is illegal")
    if len(car_remedies) > 1:
        files = ", ".join(car_remedy.file for car_remedy in car_remedies)
        raise UsageError(f"--apply mends one setup at a time; these are illegal: {files}")
    (car_remedy,) = car_remedies
    if not car_remedy.remedies:
        raise UsageError(f"{car_remedy.file}: there is nothing to apply: {car_remedy.reason}")
    if not 1 <= number <= len(car_remedy.remedies):
        count = len(car_remedy.remedies)
        available = "there is 1 remedy" if count == 1 else f"there are {count} remedies"
        raise UsageError(f"{car_remedy.file}: {available}, and no number {number}")
    remedy = car_remedy.remedies[number - 1]
    if remedy.by_hand:
        raise UsageError(
            f"{car_remedy.file}: this is done on the car, not in the file: {remedy.message}; do it, measure, and write down"
            " what the instrument shows"
        )
    return remedy
