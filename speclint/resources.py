"""What speclint ships beside its code: schemas, rulesets and examples, in an installed wheel or in a checkout."""

import os
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from pathlib import Path

_PACKAGE: Final = os.path.dirname(os.path.realpath(__file__))
_SHIPPED: Final = os.path.join(_PACKAGE, "_shipped")


def _folder(name: str) -> str:
    # A wheel has its resources inside the package, where no other project's folder of that name can be met.
    installed = os.path.join(_SHIPPED, name)
    return installed if os.path.isdir(installed) else os.path.join(os.path.dirname(_PACKAGE), name)


def schema_path(name: str) -> "Path":
    """The file of a schema by name, such as `setup-1`."""
    return schemas_folder() / f"{name}.schema.json"


def schemas_folder() -> "Path":
    """The folder of the schema files."""
    from pathlib import Path

    return Path(_folder("schemas"))


def schema_text(name: str) -> str:
    """The text of a schema by name, such as `setup-1`.

    Raises:
        OSError: the installation is not complete.
    """
    return _text(os.path.join(_folder("schemas"), f"{name}.schema.json"))


def ruleset_texts() -> tuple[tuple[str, str], ...]:
    """Each ruleset that comes with speclint: its path within the folder, with "/", and its text."""
    top = _folder("rulesets")
    texts = [
        os.path.relpath(os.path.join(folder, name), top)
        for folder, _, names in os.walk(top)
        for name in names
        if name.endswith(".yaml")
    ]
    return tuple((name.replace(os.sep, "/"), _text(os.path.join(top, name))) for name in sorted(texts))


def example_text(name: str) -> str:
    """The text of an example by its path within the folder, with "/".

    Raises:
        OSError: there is none of this name, or the installation is not complete.
    """
    return _text(os.path.join(_folder("examples"), *name.split("/")))


def _text(path: str) -> str:
    with open(path, encoding="utf-8-sig") as file:
        return file.read()
