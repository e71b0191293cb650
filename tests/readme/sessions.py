"""Typing what README.md says, in a copy of what a reader has, and putting down what comes of it."""

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from difflib import SequenceMatcher
from pathlib import Path
from typing import Final

from tests.readme.blocks import LEFT_OUT, RACER_GUIDE, README, TEAM_GUIDE, agree, blocks, steps

_PROJECT: Final = README.parent
_ALIKE: Final = 0.6  # from here on two lines are taken for the same one, before and after a change
_NEXT: Final = "\x1d"  # between the outputs of two commands; no report holds one


@dataclass(frozen=True, slots=True)
class Played:
    """A console block: where it stands, what README.md says, and what really came."""

    start: int
    end: int
    written: str
    real: str

    @property
    def is_current(self) -> bool:
        """Whether README.md says what came, lines apart that it leaves out."""
        written, real = list(steps(self.written)), list(steps(self.real))
        return all(agree(step.output, came.output) for step, came in zip(written, real, strict=True))


def play(text: str, folder: Path, guide: Path = README) -> Iterator[Played]:
    """Go through the blocks in reading order: keep the files, run the commands.

    Args:
        text: that of the guide.
        folder: where to do it; it is filled with what a reader has.
        guide: README.md, or the one for racers, teams or organisers.
    """
    if guide == TEAM_GUIDE:
        shutil.copytree(guide.parent, folder, dirs_exist_ok=True)
    for name in ("examples", "rulesets", "schemas") if guide in (README, RACER_GUIDE) else ():
        shutil.copytree(_PROJECT / name, folder / name)
    subprocess.run(["git", "init", "--quiet"], cwd=folder, check=True)
    if guide == TEAM_GUIDE:
        subprocess.run(["git", "add", "--all"], cwd=folder, check=True)
    for block in blocks(text):
        if block.kind == "diff":
            _edit(folder / block.file, block.body)
        elif block.file:
            (folder / block.file).parent.mkdir(parents=True, exist_ok=True)
            (folder / block.file).write_text(block.body, encoding="utf-8")
        elif block.kind == "console":
            commands = [step.command for step in steps(block.body)]
            outputs = _run(commands, folder)
            real = "".join(f"$ {command}\n{output}" for command, output in zip(commands, outputs, strict=True))
            yield Played(block.start, block.end, block.body, real)


def _edit(file: Path, difference: str) -> None:
    """Changes a file as a reader does in an editor: the lines behind - for those behind +."""
    old, new = ("".join(line[1:] for line in difference.splitlines(keepends=True) if line[0] == sign) for sign in "-+")
    text = file.read_text(encoding="utf-8")
    assert text.count(old) == 1, f"{file.name} has not exactly one {old!r}"
    file.write_text(text.replace(old, new), encoding="utf-8")


def _run(commands: list[str], folder: Path) -> list[str]:
    """What each command writes, one after the other in one shell, so that `$?` is that of the command before."""
    script = "".join(f"{command}\nstatus=$?; printf '{_NEXT}'; (exit $status)\n" for command in commands)
    dropped = {"FORCE_COLOR", "PYTHONPATH", "COLUMNS"}
    environment = {name: value for name, value in os.environ.items() if name not in dropped}
    environment |= {"PATH": f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}", "PYTHONUTF8": "1"}
    done = subprocess.run(
        ["bash", "-c", script], cwd=folder, env=environment, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
        text=True, encoding="utf-8", check=False,
    )  # fmt: skip
    return done.stdout.split(_NEXT)[:-1]


def with_current_sessions(text: str, folder: Path, guide: Path = README) -> str:
    """The text with each console block as it really goes; what was left out of an output is left out again."""
    for played in reversed(list(play(text, folder, guide))):
        if not played.is_current:
            pairs = zip(steps(played.written), steps(played.real), strict=True)
            body = "".join(f"$ {came.command}\n{_shortened(came.output, step.output)}" for step, came in pairs)
            text = text[: played.start] + body + text[played.end :]
    return text


def _shortened(real: str, written: str) -> str:
    """Of an output the lines that are most like those written, in their order; all where none were left out."""
    shown = [line for line in written.splitlines() if line != LEFT_OUT]
    if LEFT_OUT not in written or not shown:
        return real
    lines = real.splitlines()
    kept: set[int] = set()
    start = 0
    for line in shown:
        likeness = {i: SequenceMatcher(None, line, lines[i]).ratio() for i in range(start, len(lines))}
        best = max(likeness, key=lambda i: likeness[i], default=None)
        if best is not None and likeness[best] > _ALIKE:
            kept.add(best)
            start = best + 1
    short: list[str] = []
    for i, line in enumerate(lines):
        if i in kept:
            short.append(line)
        elif short[-1:] != [LEFT_OUT]:
            short.append(LEFT_OUT)
    return "".join(f"{line}\n" for line in short)
