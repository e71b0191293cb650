"""What README.md holds for a reader to type, and what it says will come of it."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

README: Final = Path(__file__).resolve().parents[2] / "README.md"

TEAM_GUIDE: Final = README.parent / "examples" / "team-repo" / "README.md"

RACER_GUIDE: Final = README.parent / "examples" / "README.md"
ORGANISER_GUIDE: Final = README.parent / "rulesets" / "README.md"
"""It writes all of its files itself."""

LEFT_OUT: Final = "…"
"""A line of its own where README.md leaves out lines of an output."""

_FENCED: Final = re.compile(
    r"(?:^<!-- file: (?P<file>\S+) -->\n)?^```(?P<kind>\w+)\n(?P<body>.*?)^```$", re.MULTILINE | re.DOTALL
)


@dataclass(frozen=True, slots=True)
class Block:
    """A fenced block: `kind` is the word after its fence, `file` the name that its text is to be kept under."""

    kind: str
    body: str
    file: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Step:
    """A command, and the output beneath it."""

    command: str
    output: str


@dataclass(frozen=True, slots=True)
class SetupCommands:
    """The two commands that do all their own setting up: one runs the main job, one the tests."""

    first: str
    tests: str


def blocks(text: str) -> tuple[Block, ...]:
    """Every fenced block, in reading order; `start` and `end` are the offsets of its body."""
    return tuple(
        Block(match["kind"], match["body"], match["file"] or "", match.start("body"), match.end("body"))
        for match in _FENCED.finditer(text)
    )


def steps(body: str) -> Iterator[Step]:
    """The commands of a console block; each begins with `$ `, and what follows to the next is its output."""
    for part in re.split(r"^\$ ", body, flags=re.MULTILINE)[1:]:
        command, _, output = part.partition("\n")
        yield Step(command, output)


def setup_commands() -> SetupCommands:
    """The commands of the two `sh` blocks."""
    first, tests = (block.body.strip() for block in blocks(README.read_text(encoding="utf-8")) if block.kind == "sh")
    return SetupCommands(first, tests)


def agree(written: str, real: str) -> bool:
    """Whether an output is as it is written, lines apart that are left out; to leave out all of it shows nothing."""
    if written == f"{LEFT_OUT}\n":
        return False
    parts = [re.escape(part) for part in re.split(rf"^{LEFT_OUT}\n", written, flags=re.MULTILINE)]
    return re.fullmatch(r"(?:.*\n)+".join(parts), real) is not None
