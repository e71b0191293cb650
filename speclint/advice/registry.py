"""The one list of advice, and what of it a car or a ruleset gets."""

from collections.abc import Iterator, Sequence
from typing import Any, Final

from speclint.advice.battery import BATTERY
from speclint.advice.gears import GEARS
from speclint.advice.limits import LIMITS
from speclint.advice.model import Advice, AdviceSort, C, CarCase, RulesetCase
from speclint.advice.readings import READINGS
from speclint.advice.retests import RETESTS
from speclint.advice.rulebooks import RULEBOOKS
from speclint.advice.running import RUNNING
from speclint.advice.seasons import SEASONS
from speclint.advice.shaft import SHAFT
from speclint.advice.windings import WINDINGS
from speclint.places import Place

CAR_ADVICE: Final[tuple[AdviceSort[CarCase], ...]] = (
    *SHAFT, *RETESTS, *WINDINGS, *RUNNING, *BATTERY, *GEARS, *READINGS,
)  # fmt: skip
"""Every sort of advice on a car."""

RULESET_ADVICE: Final[tuple[AdviceSort[RulesetCase], ...]] = (*LIMITS, *RULEBOOKS, *SEASONS)
"""Every sort of advice on a ruleset."""

ADVICE_SORTS: Final[tuple[AdviceSort[Any], ...]] = (*CAR_ADVICE, *RULESET_ADVICE)
"""Every sort of advice there is."""


def advice_on_car(case: CarCase) -> Iterator[Advice]:
    """All advice on a car, in the order of the registry; none on a value that is a slip of the pen, as it is none."""
    slips = [oddity.document.place(oddity.path) for oddity in case.oddities if oddity.slip]
    given = _given(CAR_ADVICE, case)
    return given if not slips else (one for one in given if not any(_is_about(one.place, slip) for slip in slips))


def advice_on_ruleset(case: RulesetCase) -> Iterator[Advice]:
    """All advice on a sound ruleset, in the order of the registry.

    Of a version that a later one has succeeded only the calendar is looked at: it is kept for old results as it was.
    """
    start = case.ruleset.in_force.start
    begins = [one.in_force.start for one in case.library.versions(case.ruleset.id).values()]
    succeeded = start is not None and any(other is not None and other > start for other in begins)
    return _given(SEASONS if succeeded else RULESET_ADVICE, case)


def _given(sorts: Sequence[AdviceSort[C]], case: C) -> Iterator[Advice]:
    for sort in sorts:
        for message, place in sort.find(case):
            yield Advice(sort.id, message, place, sort.source)


def _is_about(place: Place, slip: Place) -> bool:
    """Whether advice at a place rests on the value that is a slip."""
    return place.file == slip.file and (slip.pointer == place.pointer or slip.pointer.startswith(f"{place.pointer}/"))
