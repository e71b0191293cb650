"""How a new file names the files around it: its motor, its garage, and the schema that an editor can use."""

import os
from pathlib import Path

from speclint.errors import UsageError
from speclint.files import Folder
from speclint.problems import NO_ACCESS


def named_from(folder: Folder, file: str, kind: str, reference: str) -> str:
    """The way from a new file to a motor or a garage that is given from the current folder.

    Raises:
        UsageError: it is not there, is of another kind, or lies where the new file must not name it.
    """
    shown = folder.shown(reference)
    source = folder.read(shown)
    if source.problem is not None and source.problem.id in NO_ACCESS:
        raise UsageError(f"{reference}: {source.problem.message}; start one with `speclint start {kind} {reference}`")
    if source.declares != kind:
        raise UsageError(f"{reference} does not say `format: {kind}/1`, so it is no {kind}")
    outside = folder.outside(file, shown)
    if outside:
        raise UsageError(f"the {kind} {reference} lies outside {outside.replace('this file', 'the new file')}")
    return _way(folder.full(file), folder.full(shown))


def schema_for(folder: Folder, file: str, kind: str) -> str:
    """The way from a new file to its schema in a folder `schemas` beside it or above it; "" where there is none."""
    target = Path(folder.full(file))
    for above in target.parents:
        schema = above / "schemas" / f"{kind}-1.schema.json"
        if schema.is_file():
            return _way(str(target), str(schema))
        if (above / ".git").exists():
            break
    return ""


def _way(file: str, target: str) -> str:
    return os.path.relpath(target, Path(file).parent).replace(os.sep, "/")
