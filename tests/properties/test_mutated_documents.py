"""Whatever is wrong with a file, the check says something of it and of the others: it never breaks, and a bad file
never changes what is said of a good one."""

from functools import cache
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from speclint.documents.parse import parse
from speclint.findings import Tally
from speclint.reports.kinds import CHECK
from speclint.rules.wording import explanation, message
from tests.check.world import find_in, project_files
from tests.properties.strategies import Data, written
from tests.reports.report_text import kinds_of, report_text

WORLD = {
    name: text
    for name, text in project_files("examples", "rulesets").items()
    if "/setups/" not in name or name.endswith(("car-12-carpet.yaml", "car-31-pan.yaml", "car-17-poor-meter.yaml",
                                                "car-19-two-clubs.yaml", "car-40-junior.yaml"))
}  # fmt: skip
"""The demonstration, with the setups that between them use every motor that is mutated, and every kind of rule."""

STAND_INS: tuple[Any, ...] = (
    None, True, False, 0, -1, 1, 0.5, 1e15, -1e-15, 10**14, "", "x", "2026-02-30", "2026-03-14", "40/21", "00417", [], [1], ["a"],
    [[1]], {}, {"value": 1}, {"readings": [1, 2]}, {"value": 0, "instrument": "nobody"}, {"a": {"b": []}},
)  # fmt: skip


def _said(findings: Tally, but: str) -> set[tuple[object, ...]]:
    """Everything said of the entries that do not rest on a file, places aside."""
    return {
        (
            entry.file,
            entry.flat.ruleset.name,
            entry.on,
            check.rule.id,
            check.verdict,
            message(check),
            explanation(check),
        )
        for entry in findings.entries
        for check in entry.checks
        if not _rests_on(entry.file, but)
    }


def _rests_on(setup: str, file: str) -> bool:
    return setup == file or file.rpartition("/")[2] in WORLD[setup] or file.endswith("garage.yaml")


@cache
def _before() -> Tally:
    return find_in(WORLD)


@cache
def _data(name: str) -> Data:
    document, _ = parse(name, WORLD[name])
    assert document is not None
    return dict(document.data)


def _paths(data: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    inner = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    return [path, *(below for step, value in inner for below in _paths(value, (*path, step)))]


def _put(data: Any, path: tuple[str | int, ...], change: Any) -> Any:
    """The data with the value at a path changed; a change that gives nothing takes its key or item away."""
    if not path:
        return change(data)
    step, rest = path[0], path[1:]
    below = _put(data[step], rest, change)
    if isinstance(data, dict):
        return {
            key: below if key == step else value for key, value in data.items() if key != step or below is not _GONE
        }
    assert isinstance(step, int)
    kept = [] if below is _GONE else [below]
    return [*data[:step], *kept, *data[step + 1 :]]


_GONE = object()


@st.composite
def mutated(draw: st.DrawFn, name: str) -> str:
    """The text of a demonstration file with up to three of its values taken away, replaced, or written twice."""
    data: Any = _data(name)
    for _ in range(draw(st.integers(1, 3))):
        paths = [path for path in _paths(data) if path and path != ("format",)]
        assume(paths)
        path = draw(st.sampled_from(paths))
        kind = draw(st.sampled_from(["take", "replace", "twice", "swap"]))
        if kind == "take":
            data = _put(data, path, lambda _: _GONE)
        elif kind == "replace":
            stand_in = draw(st.sampled_from(STAND_INS))
            data = _put(data, path, lambda _, stand_in=stand_in: stand_in)
        elif kind == "twice" and isinstance(path[-1], int):
            data = _put(data, path[:-1], lambda items, at=path[-1]: [*items, items[at]])
        else:
            other = _at(data, draw(st.sampled_from(paths)))
            data = _put(data, path, lambda _, other=other: other)
    return written(data)


def _at(data: Any, path: tuple[str | int, ...]) -> Any:
    for step in path:
        data = data[step]
    return data


@st.composite
def damaged(draw: st.DrawFn, name: str) -> str:
    """The text of a demonstration file with lines taken away, written twice, or a character put in."""
    lines = WORLD[name].splitlines(keepends=True)
    for _ in range(draw(st.integers(1, 3))):
        at = draw(st.integers(0, len(lines) - 1))
        kind = draw(st.sampled_from(["take", "twice", "put in"]))
        if kind == "take" and len(lines) > 1:
            del lines[at]
        elif kind == "twice":
            lines.insert(at, lines[at])
        else:
            column = draw(st.integers(0, len(lines[at])))
            sign = draw(st.sampled_from("{}[]:,-#'\"&*!|>%@`0a. \t\n\u2028\U0001f600\x07"))
            lines[at] = f"{lines[at][:column]}{sign}{lines[at][column:]}"
    return "".join(lines)


SETUPS = sorted(name for name in WORLD if "/setups/" in name)
MOTORS = [
    "examples/motors/00417.yaml",
    "examples/motors/00631.yaml",
    "examples/motors/01322.yaml",
    "examples/motors/02155.yaml",
]
OTHERS = ["examples/garage.yaml", "rulesets/harbour-city-2026.2.yaml", "rulesets/pine-hall-2026.1.yaml"]


every_kind = pytest.mark.parametrize("kind", ["setups", "motors", "garage and rulesets"])


@every_kind
@settings(max_examples=12, deadline=None)
@given(data=st.data())
def test_a_check_never_breaks_on_a_mutated_document(kind: str, data: st.DataObject) -> None:
    hold_on_one(kind, data)


@pytest.mark.slow
@every_kind
@settings(max_examples=50, deadline=None)
@given(data=st.data())
def test_nor_on_many_more(kind: str, data: st.DataObject) -> None:
    hold_on_one(kind, data)


def hold_on_one(kind: str, data: st.DataObject) -> None:
    """A mutated document breaks nothing, and changes no verdict on the others."""
    names = {"setups": SETUPS, "motors": MOTORS, "garage and rulesets": OTHERS}[kind]
    name = data.draw(st.sampled_from(names))
    text = data.draw(mutated(name) | damaged(name))
    findings = find_in({**WORLD, name: text})
    for report in kinds_of(CHECK):
        report_text(report, findings)
    if "rulesets/" not in name:
        assert _said(findings, but=name) == _said(_before(), but=name)
    else:
        changed = name.rpartition("/")[2].partition("-2026")[0]
        kept = {row for row in _said(_before(), but=name) if not str(row[1]).startswith(changed)}
        assert kept <= _said(findings, but=name)


@settings(max_examples=15, deadline=None)
@given(st.permutations(sorted(WORLD)))
def test_the_order_of_the_files_changes_no_byte_of_a_report(order: list[str]) -> None:
    findings = find_in(WORLD, order=order)
    for report in kinds_of(CHECK):
        assert report_text(report, findings) == report_text(report, _before())


@settings(max_examples=15, deadline=None)
@given(st.sampled_from([*SETUPS, *MOTORS, *OTHERS]), st.randoms(use_true_random=False))
def test_the_order_of_the_keys_of_a_document_changes_nothing_that_is_said(name: str, chance: Any) -> None:
    def mixed(data: Any) -> Any:
        if isinstance(data, dict):
            keys = list(data)
            chance.shuffle(keys)
            return {key: mixed(data[key]) for key in keys}
        return [mixed(item) for item in data] if isinstance(data, list) else data

    findings = find_in({**WORLD, name: written(mixed(_data(name)))})
    assert _said(findings, but="nothing") == _said(_before(), but="nothing")


@pytest.mark.parametrize(
    "text",
    ["", "\x00", "\t", "format: setup/1", "format: setup/1\nentries: [", "format: setup/9", "&a [*a]", "- 1\n- 2", "a: 1\na: 2",
     "format: setup/1\nformat: setup/1", "format: setup/1\n---\nformat: setup/1", "{" * 50, "format: setup/1\ncar: .nan"],
)  # fmt: skip
def test_a_file_that_is_no_document_changes_no_verdict_on_the_others(text: str) -> None:
    findings = find_in({**WORLD, "examples/setups/bad.yaml": text})
    assert _said(findings, but="nothing") == _said(_before(), but="nothing")
