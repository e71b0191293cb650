"""What speclint ships beside its code: schemas, rulesets and examples, in an installed wheel, a checkout or an archive.

Files are read as such where there are any: `importlib.resources` costs as much time as all else that a small check imports.
"""

import os
from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable
    from pathlib import Path

_PACKAGE: Final = os.path.dirname(os.path.realpath(__file__))
_SHIPPED: Final = os.path.join(_PACKAGE, "_shipped")


def _folder(name: str) -> str:
    # A wheel has its resources inside the package, where no other project's folder of that name can be met.
    installed = os.path.join(_SHIPPED, name)
    return installed if os.path.isdir(installed) else os.path.join(os.path.dirname(_PACKAGE), name)


def schemas_folder() -> "Path":
    """The folder of the schema files."""
    from pathlib import Path

    return Path(_folder("schemas"))


def schema_text(name: str) -> str:
    """The text of a schema by name, such as `setup-1`.

    Raises:
        OSError: the installation is not complete.
    """
    return _text("schemas", f"{name}.schema.json")


def ruleset_texts() -> tuple[tuple[str, str], ...]:
    """Each ruleset that comes with speclint: its path within the folder, with "/", and its text."""
    top = _folder("rulesets")
    if not os.path.isdir(top):
        return tuple(sorted(_archived(_in_archive("rulesets"))))
    names = [
        os.path.relpath(os.path.join(folder, name), top)
        for folder, _, names in os.walk(top)
        for name in names
        if name.endswith(".yaml")
    ]
    return tuple((name.replace(os.sep, "/"), _text("rulesets", name)) for name in sorted(names))


def example_text(name: str) -> str:
    """The text of an example by its path within the folder, with "/".

    Raises:
        OSError: there is none of this name, or the installation is not complete.
    """
    return _text("examples", *name.split("/"))


def _text(folder: str, *parts: str) -> str:
    try:
        with open(os.path.join(_folder(folder), *parts), encoding="utf-8-sig") as file:
            return file.read()
    except (FileNotFoundError, NotADirectoryError):
        return _in_archive(folder, *parts).read_text(encoding="utf-8-sig")


def _in_archive(*parts: str) -> "Traversable":
    """What a package has that is imported from an archive."""
    from importlib.resources import files

    return files("speclint").joinpath("_shipped", *parts)


def _archived(folder: "Traversable", above: str = "") -> Iterator[tuple[str, str]]:
    """The YAML files below a folder of an archive, by their paths."""
    for entry in folder.iterdir() if folder.is_dir() else ():
        if entry.is_dir():
            yield from _archived(entry, f"{above}{entry.name}/")
        elif entry.name.endswith(".yaml"):
            yield f"{above}{entry.name}", entry.read_text(encoding="utf-8-sig")
