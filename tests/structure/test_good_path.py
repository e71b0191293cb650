"""A document without problems costs one fast look: the validator that explains is not even imported."""

import json
import subprocess
import sys
from pathlib import Path

from speclint.documents.parse import parse
from speclint.structure.validate import explainer, validate

PROGRAM = """
import json, sys
from speclint.documents.parse import parse
from speclint.structure.validate import validate
before = sorted(sys.modules)
document, _ = parse("x.yaml", {text!r})
problems = validate(document, "setup/1")
print(json.dumps({{"problems": len(problems), "before": before, "after": sorted(sys.modules)}}))
"""


def _modules(text: str) -> tuple[int, set[str], set[str]]:
    root = Path(__file__).parents[2]
    run = subprocess.run(
        [sys.executable, "-c", PROGRAM.format(text=text)], cwd=root, capture_output=True, text=True, check=True
    )
    told = json.loads(run.stdout)
    return told["problems"], set(told["before"]), set(told["after"])


def test_a_good_document_imports_neither_the_explaining_validator_nor_the_shapes() -> None:
    problems, before, after = _modules("format: setup/1\ncar: {mass_g: 1352}\n")
    assert problems == 0
    assert "jsonschema_rs" not in before
    assert "jsonschema_rs" in after
    assert not {"jsonschema", "referencing", "difflib", "speclint.structure.wording"} & after
    assert not [name for name in after if name.startswith("speclint.structure.shapes")]


def test_a_bad_document_imports_it() -> None:
    problems, before, after = _modules("format: setup/1\nmas: 1352\n")
    assert problems == 1
    assert "jsonschema" not in before
    assert "jsonschema" in after


def test_a_line_break_after_a_date_is_refused_by_both_validators() -> None:
    # ECMA 262, which JSON Schema patterns follow, knows no `$` before a last line break; Python's `re` does.
    document, _ = parse("x.yaml", 'format: setup/1\ntrack_runs: [{date: "2026-03-14\\n"}]\n')
    assert document is not None
    assert len(validate(document, "setup/1")) == 1
    assert not explainer("setup/1").is_valid(document.data)
