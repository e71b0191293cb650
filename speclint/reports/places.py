"""Places in files, and what is wrong there, as all JSON reports write them."""

from typing import Any, Final

from speclint import __version__
from speclint.places import Place
from speclint.problems import PROBLEM_SORTS, Problem, ProblemKind
from speclint.reports.fields import Field, Record, constant, field, part, record

WHERE: Final[Record[Place]] = record(
    "where", "A place in a file.",
    field("file", "text", "The file, with / between folders.", "setups/car-12.yaml", lambda place: place.file),
    field("line", "integer", "Line, from 1.", 12, lambda place: place.line, minimum=1),
    field("column", "integer", "Column in code points, from 1.", 3, lambda place: place.column, minimum=1),
    field("pointer", "string", "JSON pointer (RFC 6901) to the value; empty for the whole document.",
          "/car/pinion_teeth", lambda place: place.pointer, pattern="^(/[^\\x00]*)?$"),
)  # fmt: skip

PROBLEM: Final[Record[Problem]] = record(
    "problem", "Something wrong with a file itself.",
    field("id", "text", "The sort of problem; `speclint explain` says more of it.", "unknown-key",
          lambda problem: problem.id, enum=[sort.id for sort in PROBLEM_SORTS]),
    field("kind", ProblemKind, "Which reader found it.", "schema", lambda problem: problem.kind),
    field("message", "text", "What is wrong and what to do.", "`pinion_tooth` is not a key of `car`.",
          lambda problem: problem.message),
    part("where", WHERE, "Where it stands.", lambda problem: problem.place),
)  # fmt: skip

_TOOL: Final[Record[str]] = record(
    "tool",
    "What wrote the report.",
    constant("name", "speclint", "Its name."),
    field("version", "text", "Its version.", "0.1.0", lambda version: version),
)


def head(format_: str) -> tuple[Field[Any], ...]:
    """What every JSON report begins with: what it is, and what wrote it."""
    return (
        constant("format", format_, "What this file is."),
        part("tool", _TOOL, "What wrote the report.", lambda _: __version__),
    )
