"""Work that no verdict rests on: where speclint has a defect in it, the defect is told and the verdicts stand."""

from collections.abc import Callable
from typing import TypeVar

from speclint.findings import Defect

T = TypeVar("T")


def guarded(task: str, work: Callable[[], T], otherwise: T) -> tuple[T, tuple[Defect, ...]]:
    """What a piece of work gives, or what stands in for it, with the defect that stopped it.

    Args:
        task: names the work, as in "the advice on car-12.yaml".
        work: does it; whatever it raises is a defect of speclint's own.
        otherwise: stands in for its result.
    """
    try:
        return work(), ()
    except Exception:
        import traceback

        return otherwise, (Defect(task, traceback.format_exc()),)
