"""What is wrong with a document's shape, weighed: which faults are told, and in which order."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from speclint.documents.tree import Document
from speclint.places import Path
from speclint.problems import Problem
from speclint.structure.shapes.limit import LIMIT_KEYS

__all__ = ["Fault", "told"]

_WEIGHTS: Final = (
    "unknown-key", "missing-key", "wrong-type", "not-a-choice", "wrong-form", "out-of-range", "wrong-count",
)  # fmt: skip
"""Problems of one value from the most telling to the least."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong: at a path, or with a key of it; `near` is the key that an unknown one was meant to be."""

    id: str
    path: Path
    message: str
    near: str = ""

    @property
    def weight(self) -> tuple[int, bool]:
        """Less is weightier; an unknown key whose meaning is clear weighs most of its sort."""
        return _WEIGHTS.index(self.id), not self.near


def told(document: Document, faults: Iterable[Fault], others: Iterable[Problem], most: int) -> tuple[Problem, ...]:
    """Faults as problems of a document, beside others that were found already, in the order of the text.

    Where there are more than `most`, the weightiest are kept and a last one says how many were left out.
    """
    weighed = [
        (fault.weight, Problem(fault.id, fault.message, document.place(fault.path, of_key=True)))
        for fault in _settled(faults)
    ]
    weighed.extend(((len(_WEIGHTS), True), problem) for problem in others)
    weighed.sort(key=lambda pair: (pair[0], pair[1].place, pair[1].message))
    kept = sorted((problem for _, problem in weighed[:most]), key=lambda problem: (problem.place, problem.message))
    left_out = [problem for _, problem in weighed[most:]]
    if left_out:
        count = f"{len(left_out)} more problem{'s' if len(left_out) > 1 else ''}"
        last = max(problem.place for _, problem in weighed)
        kept.append(Problem(left_out[0].id, f"and {count} in this file: mend these first", last._replace(pointer="")))
    return tuple(kept)


def _settled(faults: Iterable[Fault]) -> list[Fault]:
    """One fault for each place, and none that another one explains."""
    best: dict[Path, Fault] = {}
    for fault in faults:
        other = best.get(fault.path)
        if other is None or fault.weight < other.weight:
            best[fault.path] = fault
    meant = {(*fault.path[:-1], fault.near) for fault in best.values() if fault.near}
    meant |= {fault.path[:-1] for fault in best.values() if fault.near in LIMIT_KEYS}
    return [fault for path, fault in best.items() if fault.id != "missing-key" or path not in meant]
