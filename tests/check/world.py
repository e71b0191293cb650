"""A world of files in memory: a test gives them by name, and gets everything that a check finds in them."""

from collections.abc import Iterable, Mapping
from datetime import date
from pathlib import Path

from speclint.check.pipeline import check, gathered
from speclint.files import ListedFile
from speclint.findings import EntryResult, Tally
from speclint.rules.checks import Check, Verdict
from speclint.workspace.overrides import Overrides
from speclint.workspace.source import NamedFiles

PROJECT = Path(__file__).resolve().parents[2]
RACE_DAY = "2026-03-14"


def find_in(
    files: Mapping[str, str],
    *,
    order: Iterable[str] | None = None,
    known_on: str | None = None,
    on: str | None = None,
    class_id: str | None = None,
    named: Iterable[str] = (),
) -> Tally:
    """Everything found in the files; `order` is that in which they are handed over, `named` are those asked for by name."""
    source = NamedFiles({name: text.encode("utf-8", "surrogatepass") for name, text in files.items()})
    overrides = Overrides(today=date.fromisoformat(RACE_DAY), known_on=_day(known_on), on=_day(on), class_id=class_id)
    names = sorted(files) if order is None else order
    listed = [ListedFile(name, kind) for name in names if (kind := source.read(name).declares)]
    return gathered(check(listed, source, overrides, named=frozenset(named)))


def _day(text: str | None) -> date | None:
    return None if text is None else date.fromisoformat(text)


def a_ruleset(*rules: str, top: str = "", id_: str = "club", version: str = "1", class_id: str = "stock") -> str:
    """A ruleset of one class; `top` is what stands beside its classes, from the first column."""
    lines = "".join(f"      - {rule}\n" for rule in rules)
    return (
        f'format: ruleset/1\nid: {id_}\nversion: "{version}"\n{top}\n'
        f"{'' if 'in_force:' in top else 'in_force: {from: 2026-01-01}'}\n"
        f"classes:\n  {class_id}:\n    rules:{' []' if not rules else ''}\n{lines}"
    )


def a_setup(
    stated: str = "", *, on: str = RACE_DAY, ruleset: str = "club", class_id: str = "stock", entry: str = ""
) -> str:
    """A setup with one entry; `entry` holds further keys of it, `stated` is the rest, from the first column."""
    more = f", {entry}" if entry else ""
    return f"format: setup/1\nentries: [{{ruleset: {ruleset}, class: {class_id}, on: {on}{more}}}]\n{stated}\n"


def entry_of(
    rules: Iterable[str], stated: str = "", *, top: str = "", on: str = RACE_DAY, entry: str = ""
) -> EntryResult:
    """The one entry of a car in a club of these rules, whose files have no problems."""
    findings = find_in({"club.yaml": a_ruleset(*rules, top=top), "car.yaml": a_setup(stated, on=on, entry=entry)})
    assert findings.problems == ()
    (result,) = findings.entries
    return result


def check_of(rule: str, stated: str = "", *, top: str = "", on: str = RACE_DAY, entry: str = "") -> Check:
    """The check of a class's only rule, written without its id."""
    (found,) = entry_of((f"{{id: it, {rule}}}",), stated, top=top, on=on, entry=entry).checks
    return found


def verdict_of(rule: str, stated: str = "", *, top: str = "", on: str = RACE_DAY, entry: str = "") -> str:
    """What becomes of a class's only rule, in a word."""
    return check_of(rule, stated, top=top, on=on, entry=entry).verdict.value


def verdicts(result: EntryResult) -> dict[str, str]:
    """What became of each rule of an entry."""
    return {check.rule.id: check.verdict.value for check in result.checks}


def problems_of(findings: Tally) -> list[str]:
    """Every problem as it is told: file, line and column, and what is wrong."""
    return [f"{problem.place}: {problem.message}" for problem in findings.problems]


def project_files(*folders: str) -> dict[str, str]:
    """The YAML files of the project's own folders, by their names from its top."""
    paths = (path for folder in folders for path in sorted((PROJECT / folder).rglob("*.yaml")))
    return {path.relative_to(PROJECT).as_posix(): path.read_text(encoding="utf-8") for path in paths}


NOT_LEGAL = frozenset(verdict.value for verdict in Verdict) - {"legal"}
