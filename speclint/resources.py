"""What speclint ships beside its code: schemas and rulesets, in an installed wheel or in a checkout."""

from pathlib import Path
from typing import Final

_PACKAGE: Final = Path(__file__).resolve().parent
_SHIPPED: Final = _PACKAGE / "_shipped"


def _folder(name: str) -> Path:
    # A wheel has its resources inside the package, where no other project's folder of that name can be met.
    installed = _SHIPPED / name
    return installed if installed.is_dir() else _PACKAGE.parent / name


def schemas_folder() -> Path:
    """The folder of the schema files."""
    return _folder("schemas")


def rulesets_folder() -> Path:
    """The folder of the rulesets that come with speclint."""
    return _folder("rulesets")


def schema_path(name: str) -> Path:
    """The file of a schema by name, such as `setup-1`."""
    return schemas_folder() / f"{name}.schema.json"


def schema_text(name: str) -> str:
    """The text of a schema by name, such as `setup-1`.

    Raises:
        OSError: the installation is not complete.
    """
    return schema_path(name).read_text(encoding="utf-8")


def ruleset_paths() -> tuple[Path, ...]:
    """The files of the rulesets that come with speclint, in the order of their names."""
    folder = rulesets_folder()
    return tuple(sorted(path for path in folder.rglob("*.yaml") if path.is_file())) if folder.is_dir() else ()


def ruleset_texts() -> tuple[tuple[str, str], ...]:
    """Each ruleset that comes with speclint: its path within the folder, with "/", and its text."""
    folder = rulesets_folder()
    return tuple(
        (path.relative_to(folder).as_posix(), path.read_text(encoding="utf-8-sig")) for path in ruleset_paths()
    )
