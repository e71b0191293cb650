"""All advice on cars, and what of it a car gets."""

from collections.abc import Iterator
from typing import Final

from speclint.advice.battery import BATTERY
from speclint.advice.gears import GEARS
from speclint.advice.instruments import INSTRUMENTS
from speclint.advice.model import Advice, AdviceSort, CarCase, given
from speclint.advice.readings import READINGS
from speclint.advice.retests import RETESTS
from speclint.advice.running import RUNNING
from speclint.advice.shaft import SHAFT
from speclint.advice.windings import WINDINGS
from speclint.places import Place

CAR_ADVICE: Final[tuple[AdviceSort[CarCase], ...]] = (
    *SHAFT, *RETESTS, *WINDINGS, *RUNNING, *BATTERY, *GEARS, *INSTRUMENTS, *READINGS,
)  # fmt: skip
"""Every sort of advice on a car."""


def advice_on_car(case: CarCase) -> Iterator[Advice]:
    """All advice on a car, in the order of the registry; none on a value that is a slip of the pen, as it is none."""
    slips = [
        implausible_value.document.place(implausible_value.path)
        for implausible_value in case.implausible
        if implausible_value.slip
    ]
    advice = given(CAR_ADVICE, case)
    if not slips:
        return advice
    return (finding for finding in advice if not any(_is_about(finding.place, slip) for slip in slips))


def _is_about(place: Place, slip: Place) -> bool:
    """Whether advice at a place rests on the value that is a slip."""
    return place.file == slip.file and (slip.pointer == place.pointer or slip.pointer.startswith(f"{place.pointer}/"))
