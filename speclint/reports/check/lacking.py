"""What is lacking, as YAML to paste: by file, keys without values and what to measure beside them."""

import re
from collections.abc import Iterable, Iterator
from typing import Final, NamedTuple

from speclint.findings import EntryResult
from speclint.places import Path
from speclint.rules.checks import Verdict

_INDENT: Final = "  "
_STEP: Final = re.compile(r"([^.\[\]]+)|\[(\d+)\]")
_IN_FILE: Final = " in "
_RECORDS: Final = ("bench_runs", "track_runs", "rebuilds")


class Lacking(NamedTuple):
    """The keys that one file lacks; `lines` are YAML, comments among them."""

    file: str
    lines: tuple[str, ...]


def lacking(result: EntryResult) -> tuple[Lacking, ...]:
    """The keys to add so that every check of an entry can be decided, each once."""
    files: dict[str, dict[Path, str]] = {}
    for check in result.checks:
        if check.verdict is Verdict.NOT_SHOWN:
            for name in check.missing:
                dotted, _, file = name.partition(_IN_FILE)
                keys = files.setdefault(file or result.file, {})
                keys.setdefault(_path(dotted), check.measure)
    return tuple(Lacking(file, tuple(_yaml(result, keys))) for file, keys in files.items())


def _path(dotted: str) -> Path:
    """The path of a key from its name in a sentence; a record that is not there yet is the first of its list."""
    path: list[str | int] = []
    for key, index in _STEP.findall(dotted):
        if path and path[-1] in _RECORDS and key:
            path.append(_NEW)
        path.append(int(index) if index else key)
    return tuple(path)


_NEW: Final = -1
"""Stands for a record that has to be made."""


def _yaml(result: EntryResult, keys: dict[Path, str]) -> Iterator[str]:
    """Keys as a block, those of one mapping under it; of an item of a list a comment says which it is."""
    shown: Path = ()
    last_measure = ""
    for path in _together(keys):
        measure, parent = keys[path], path[:-1]
        shared = 0
        while shared < min(len(parent), len(shown)) and parent[shared] == shown[shared]:
            shared += 1
        for depth in range(shared, len(parent)):
            yield from _opened(result, parent, depth)
        indent = _INDENT * len(parent)
        if measure and measure != last_measure:
            yield f"{indent}# {measure}"
        last_measure = measure
        yield f"{indent}{path[-1]}:"
        shown = parent


def _together(paths: Iterable[Path]) -> list[Path]:
    """Paths in their order, but those of one section behind each other: a section stands once in a file."""
    first: dict[Path, int] = {}
    listed = list(paths)
    for path in listed:
        for depth in range(1, len(path) + 1):
            first.setdefault(path[:depth], len(first))
    return sorted(listed, key=lambda path: [first[path[:depth]] for depth in range(1, len(path) + 1)])


def _opened(result: EntryResult, parent: Path, depth: int) -> Iterator[str]:
    step = parent[depth]
    indent = _INDENT * depth
    if step == _NEW:
        yield f"{indent}- date:"
    elif isinstance(step, int):
        yield f"{indent}# in {_item(result, parent[: depth + 1])}"
    else:
        yield f"{indent}{step}:"


def _item(result: EntryResult, path: Path) -> str:
    """An item of a list as a person finds it: by its day."""
    motor = result.facts.car.motor
    for run in motor.bench_runs if motor is not None else ():
        if run.path[-2:] == path[-2:]:
            return f"the bench run of {run.when.day}"
    if path[0] == "entries":
        return f"the entry of {result.on}"
    return f"item {int(path[-1]) + 1}"
