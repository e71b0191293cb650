"""What is wrong with a document's shape, weighed: which faults are told, and in which order."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from speclint.documents.tree import Document
from speclint.forms.registry import ASKING_KEYS
from speclint.places import Path
from speclint.problems import MOST_PROBLEMS, Problem, and_more

_WEIGHTS: Final = (
    "unknown-key", "missing-key", "wrong-type", "not-a-choice", "wrong-form", "out-of-range", "wrong-count",
    "unknown-quantity",
)  # fmt: skip
"""Problems of one value from the most telling to the least."""


@dataclass(frozen=True, slots=True)
class SchemaError:
    """One thing that is wrong: at a path, or with a key of it; `near` is the key that an unknown one was meant to be."""

    id: str
    path: Path
    message: str
    near: str = ""

    @property
    def weight(self) -> tuple[int, bool]:
        """Less is weightier; an unknown key whose meaning is clear weighs most of its sort."""
        return _WEIGHTS.index(self.id), not self.near


def told(
    document: Document,
    schema_errors: Iterable[SchemaError],
    others: Iterable[Problem],
    *,
    is_whole: bool = True,
) -> tuple[Problem, ...]:
    """Faults as problems of a document, beside others that were found already, in the order of the text.

    Where there are more than `MOST_PROBLEMS`, the weightiest are kept and a last one says how many were left out, or how many
    at least, where the errors are not the whole.
    """
    weighed = [
        (
            schema_error.weight,
            Problem(schema_error.id, schema_error.message, document.place(schema_error.path, of_key=True)),
        )
        for schema_error in _settled(schema_errors)
    ]
    weighed.extend(((len(_WEIGHTS), True), problem) for problem in others)
    weighed.sort(key=lambda pair: (pair[0], pair[1].place, pair[1].message))
    kept = sorted(
        (problem for _, problem in weighed[:MOST_PROBLEMS]), key=lambda problem: (problem.place, problem.message)
    )
    left_out = [problem for _, problem in weighed[MOST_PROBLEMS:]]
    if left_out:
        last = max(problem.place for _, problem in weighed)
        kept.append(Problem(left_out[0].id, and_more(len(left_out), at_least=not is_whole), last._replace(pointer="")))
    return tuple(kept)


def _settled(schema_errors: Iterable[SchemaError]) -> list[SchemaError]:
    """One fault for each place, and none that another one explains."""
    best: dict[Path, SchemaError] = {}
    for schema_error in schema_errors:
        best_so_far = best.get(schema_error.path)
        if best_so_far is None or schema_error.weight < best_so_far.weight:
            best[schema_error.path] = schema_error
    meant = {(*schema_error.path[:-1], schema_error.near) for schema_error in best.values() if schema_error.near}
    meant |= {schema_error.path[:-1] for schema_error in best.values() if schema_error.near in ASKING_KEYS}
    return [
        schema_error for path, schema_error in best.items() if schema_error.id != "missing-key" or path not in meant
    ]
