"""What nothing in the package names is dead: a test that calls it shows nothing about what people run."""

import ast
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Final

PACKAGE: Final = Path(__file__).resolve().parents[2] / "speclint"

CALLED_FROM_OUTSIDE: Final = {
    "format_commands": "click calls it",
    "format_options": "click calls it",
    "writable": "io calls it",
    "persistent_id": "pickle calls it",
    "persistent_load": "pickle calls it",
    "discard": "a stand-in has what it stands in for",
    "push_front": "a stand-in has what it stands in for",
    "code_actions": "the language server calls it",
    "asking_shapes": "the guide's table of limits is made of it",
}


def _defined(tree: ast.Module) -> Iterator[str]:
    for part in ast.walk(tree):
        if isinstance(part, ast.FunctionDef | ast.ClassDef):
            yield part.name
    for statement in tree.body:
        targets = (
            statement.targets
            if isinstance(statement, ast.Assign)
            else [statement.target]
            if isinstance(statement, ast.AnnAssign)
            else []
        )
        yield from (target.id for target in targets if isinstance(target, ast.Name))


def test_every_name_is_used_where_it_is_run() -> None:
    texts = {path: path.read_text(encoding="utf-8") for path in PACKAGE.rglob("*") if path.suffix in (".py", ".html")}
    named = Counter(word for text in texts.values() for word in re.findall(r"\w+", text))
    dead = {
        name: path.relative_to(PACKAGE).as_posix()
        for path, text in texts.items()
        if path.suffix == ".py"
        for name in _defined(ast.parse(text))
        if named[name] == 1 and not name.startswith("__") and name not in CALLED_FROM_OUTSIDE
    }
    assert dead == {}
