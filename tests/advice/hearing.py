"""Runs the whole check on documents that a test writes down, beside the rulesets that come with speclint."""

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Final

from speclint.check.pipeline import check, gathered
from speclint.files import Folder
from speclint.findings import Tally
from speclint.workspace.overrides import Overrides
from tests.console import lay_out_rulesets

TODAY: Final = date(2026, 3, 21)


def findings_of(folder: Path, documents: Mapping[str, str] | Sequence[str], today: date = TODAY) -> Tally:
    """What is found in these documents, by the names they are given, else `car-0.yaml` and so on.

    One that says of itself that it is not in git is not.
    """
    named = documents if isinstance(documents, Mapping) else {f"car-{i}.yaml": text for i, text in enumerate(documents)}
    lay_out_rulesets(folder)
    (folder / ".git").mkdir(exist_ok=True)  # rulesets above the current folder count within a repository
    folder = folder / "team"
    for name, text in named.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    reader = Folder(str(folder))
    missing = frozenset(name for name, text in named.items() if "not in git" in text)
    return gathered(
        check(
            reader.find((".",)).files,
            reader,
            Overrides(today=today),
            untracked=lambda files: missing & frozenset(files),
        )
    )


def told(findings: Tally) -> list[tuple[str, str]]:
    """Every piece of advice: its id and its message, of documents that are sound otherwise."""
    assert findings.problems == ()
    return [(one.id, one.message) for one in findings.advice]
