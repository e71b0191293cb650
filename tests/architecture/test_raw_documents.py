"""What a document holds is read as plain data in few rooms: everything above them takes typed values."""

import ast
from pathlib import Path

PACKAGE = Path(__file__).resolve().parents[2] / "speclint"

ROOMS = frozenset({"documents", "structure", "models", "edits", "quantities"})
"""Parsing, shapes, the models themselves, writing, and the registry that says where a quantity's key stands."""

A_RULESETS_MODEL = "rulesets/load.py"
"""Where a ruleset's document becomes the values that the rest of the package knows."""


def raw_reads(path: Path) -> list[int]:
    """The lines of a module that read a document's plain data."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return [
        node.lineno
        for node in ast.walk(tree)
        if isinstance(node, ast.Attribute) and node.attr == "data" and _names_a_document(node.value)
    ]


def _names_a_document(node: ast.expr) -> bool:
    name = node.attr if isinstance(node, ast.Attribute) else node.id if isinstance(node, ast.Name) else ""
    return name.endswith(("document", "garage", "motor", "setup", "sound", "owner")) or name in {
        "run",
        "rebuild",
        "record",
    }


def test_plain_data_of_documents_is_read_in_few_rooms_only() -> None:
    reads = {
        path.relative_to(PACKAGE).as_posix(): lines
        for path in sorted(PACKAGE.rglob("*.py"))
        if path.relative_to(PACKAGE).parts[0] not in ROOMS and (lines := raw_reads(path))
    }
    assert set(reads) <= {A_RULESETS_MODEL}, reads


def test_the_search_sees_a_raw_read(tmp_path: Path) -> None:
    module = tmp_path / "module.py"
    module.write_text("name = car.setup.document.data['name']\nwhen = run.data['date']\n", encoding="utf-8")
    assert raw_reads(module) == [1, 2]
