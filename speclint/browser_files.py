"""What a page needs that runs speclint in a browser: the installed package, its pure dependencies, and the runtime."""

import json
import os
from collections.abc import Iterator
from importlib import metadata
from importlib.resources import files as resources_of
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Final, NamedTuple

from speclint.errors import UsageError, reason_of
from speclint.resources import schemas_folder

PURE_DEPENDENCIES: Final = (
    "ruamel.yaml", "jsonschema", "jsonschema-specifications", "referencing", "attrs", "jinja2", "markupsafe",
)  # fmt: skip
"""What a check imports of other projects. The compiled parts stay at home: the pure ones beside them stand in."""

_STAND_INS: Final = {"rpds.py": "browser/stand_in_rpds.py"}
"""Modules that a browser's Python lacks, by the file of the package that takes their place there."""

RUNTIME_FILES: Final = (
    "pyodide.mjs",
    "pyodide.asm.mjs",
    "pyodide.asm.wasm",
    "python_stdlib.zip",
    "pyodide-lock.json",
    "package.json",
)
"""The files of the npm package `pyodide` that a site serves; the last one has its version and licence."""

_HOW_TO_GET_IT: Final = (
    "the page runs Python in the browser by the runtime Pyodide: get it with `npm install pyodide` in any folder, and name"
    " what that has made: --runtime node_modules/pyodide"
)


class Runtime(NamedTuple):
    """The runtime: its version, and its files by their names."""

    version: str
    files: dict[str, bytes]


def package_files() -> dict[str, bytes]:
    """What goes into the browser's Python, by the path under its folder of packages, from what is installed here.

    Raises:
        UsageError: a dependency is not installed, or not in files.
    """
    package = resources_of("speclint")
    files = dict(_tree(package, "speclint"))
    files |= {f"speclint/_shipped/schemas/{path.name}": path.read_bytes() for path in schemas_folder().glob("*.json")}
    for name in PURE_DEPENDENCIES:
        files |= _distribution(name)
    return files | {name: package.joinpath(stand_in).read_bytes() for name, stand_in in _STAND_INS.items()}


def runtime_files(folder: str) -> Runtime:
    """The runtime from where it was unpacked.

    Args:
        folder: the npm package's own folder, or the one in which npm was run.

    Raises:
        UsageError: it is not there, or not whole.
    """
    inner = Path(folder, "node_modules", "pyodide")
    top = inner if os.path.isdir(inner) else Path(folder)  # noqa: PTH112 - a name that no folder can have is none
    missing = [name for name in RUNTIME_FILES if not os.path.isfile(top / name)]  # noqa: PTH113
    if missing:
        raise UsageError(f"{folder} lacks {', '.join(missing)}: {_HOW_TO_GET_IT}")
    try:
        files = {name: (top / name).read_bytes() for name in RUNTIME_FILES}
        described = json.loads(files["package.json"])
    except OSError as error:
        raise UsageError(f"{folder} cannot be read: {reason_of(error)}") from error
    except ValueError as error:
        raise UsageError(f"{folder}/package.json is not as npm writes it: {_HOW_TO_GET_IT}") from error
    if described.get("name") != "pyodide":
        raise UsageError(f"{folder} holds another npm package, {described.get('name')}: {_HOW_TO_GET_IT}")
    return Runtime(str(described.get("version", "")), files)


def _tree(folder: Traversable, name: str) -> Iterator[tuple[str, bytes]]:
    """The sources and templates under a folder."""
    for entry in folder.iterdir():
        inner = f"{name}/{entry.name}"
        if entry.is_dir():
            if entry.name not in ("__pycache__", "_shipped"):
                yield from _tree(entry, inner)
        elif entry.name.endswith((".py", ".html", ".css", ".js")):
            yield inner, entry.read_bytes()


def _distribution(name: str) -> dict[str, bytes]:
    """The sources, data and licence of an installed project; none of its compiled parts, commands or tests."""
    try:
        listed = metadata.distribution(name).files
    except metadata.PackageNotFoundError as error:
        raise UsageError(f"{name} is not installed here, and the page needs a copy of it") from error
    kept = {
        file.as_posix(): Path(str(file.locate())).read_bytes()
        for file in listed or ()
        if ".." not in file.parts and "tests" not in file.parts and "benchmarks" not in file.parts
        if file.suffix in (".py", ".json")
        or file.name == "METADATA"
        or "licenses" in file.parts
        or file.name.startswith(("LICENSE", "COPYING"))
    }
    if not kept:
        raise UsageError(f"{name} is installed here without a list of its files, and the page needs a copy of it")
    return kept
