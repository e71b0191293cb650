"""A key with no value is still to be measured: the same as a key that is not there, and never a problem."""

import copy
import json
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from speclint.check.pipeline import check, gathered
from speclint.documents.parse import parse
from speclint.files import FileText, Folder
from speclint.findings import Tally
from speclint.workspace.loaded import load
from speclint.workspace.overrides import Overrides
from tests.console import lay_out_rulesets

ROOT = Path(__file__).parents[2]


def example(name: str) -> dict[str, Any]:
    document, problems = parse(name, (ROOT / "examples" / name).read_text(encoding="utf-8"))
    assert document is not None, problems
    data: dict[str, Any] = document.data
    return data


def whole_car() -> dict[str, Any]:
    """A car with its motor, its instruments and its tracks in one file."""
    car = example("cars/car-12-carpet.yaml")
    car.pop("garage")
    garage = example("garage.yaml")
    car["motor"] = {key: value for key, value in example("motors/00417.yaml").items() if key != "format"}
    for key in ("instruments", "parts_box"):
        car[key] = garage[key]
    car["entries"] = [{**entry, "track": None} for entry in car["entries"]]
    return car


def optional_paths(data: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Every key that may be left out; what a list or an entry cannot be without is none."""
    if isinstance(data, dict):
        for key, value in data.items():
            is_chosen_name = path == ("instruments",)
            if not is_chosen_name and key not in {
                "format",
                "date",
                "did",
                "ruleset",
                "class",
                "on",
                "value",
                "readings",
            }:
                yield (*path, key)
            yield from optional_paths(value, (*path, key))
    elif isinstance(data, list):
        for i, value in enumerate(data):
            yield from optional_paths(value, (*path, i))


def with_key(data: dict[str, Any], path: tuple[str | int, ...], *, empty: bool) -> dict[str, Any]:
    changed: Any = copy.deepcopy(data)
    holder = changed
    for step in path[:-1]:
        holder = holder[step]
    if empty:
        holder[path[-1]] = None
    else:
        del holder[path[-1]]
    result: dict[str, Any] = changed
    return result


def findings(data: dict[str, Any], folder: Path) -> Tally:
    (folder / "car.yaml").write_text(json.dumps(data), encoding="utf-8")
    lay_out_rulesets(folder)
    reader = Folder(str(folder))
    return gathered(check(reader.find(("car.yaml",)).files, reader, Overrides(today=date(2026, 3, 14))))


def told(found: Tally) -> list[tuple[str, str, str]]:
    return [
        (check.rule.id, check.verdict.value, str(None if check.fact is None else check.fact.value))
        for entry in found.entries
        for check in entry.checks
    ]


@pytest.mark.slow
def test_an_empty_key_gives_what_a_missing_one_gives(tmp_path: Path) -> None:
    car = whole_car()
    assert findings(car, tmp_path).problems == ()
    for path in optional_paths(car):
        empty = findings(with_key(car, path, empty=True), tmp_path)
        missing = findings(with_key(car, path, empty=False), tmp_path)
        assert {problem.id for problem in empty.problems} == {problem.id for problem in missing.problems}, path
        assert told(empty) == told(missing), path


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("format: setup/1\nentries:\n  - {ruleset: , class: stock-17, on: 2026-03-14}\n", "`ruleset` is empty; write"),
        ("format: motor/1\nbench_runs:\n  - date:\n", "`date` is empty; write"),
        ("format: motor/1\nbench_runs:\n  -\n", "is empty; write"),
        (
            "format: motor/1\nrebuilds:\n  - {date: 2026-03-11, did: [clean, ]}\nbench_runs: [{date: 2026-03-11, timing_deg: [38, , 39]}]\n",
            "",
        ),
        (
            "format: ruleset/1\nid: a\nversion: '1'\nin_force: {from: 2026-01-01}\nclasses: {b: {rules: [{id: c, quantity: mass_g, at_least: }]}}\n",
            "`at_least` is empty; write",
        ),
    ],
)
def test_what_cannot_be_left_out_cannot_be_empty_and_a_limit_cannot(text: str, message: str) -> None:
    problems = load(FileText("new.yaml", text)).problems
    assert problems
    assert any(message in problem.message for problem in problems), [problem.message for problem in problems]


def test_a_garage_may_be_all_empty() -> None:
    text = "format: garage/1\ninstruments:\n  scale:\n  bench: {per_unit: {a: , v: {accuracy: }}, unit: , calibrated_on: }\nparts_box: {pinions_teeth: , rotors: }\ntracks: {hall: }\npins:\n"
    assert load(FileText("garage.yaml", text)).problems == ()
