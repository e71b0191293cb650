"""What the project's folder holds, and what no file in it may say."""

import re
import tomllib
from pathlib import Path

import pytest

import speclint
from tests.conftest import THOROUGH
from tests.packaging.tree import PROJECT, tracked_files

TOP_LEVEL = {
    "README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE", "pyproject.toml", "speclint", "schemas", "rulesets", "tests",
    "examples",
}  # fmt: skip

UNWANTED = {
    "a path of one machine": r"(?<![\w.])/(?:tmp|work|home|root|Users|mnt|var|opt)/\w|\b[A-Z]:\\(?!\\)",
    "a registry's host": r"\b(?:pypi|pythonhosted|npmjs|debian|crates|rubygems)\.(?:org|io|com|net)\b",
}
"""Patterns by what they find; this file, which holds them, is left out."""


@pytest.fixture(scope="module")
def tracked() -> list[str]:
    names = tracked_files()
    if not names:
        pytest.skip("not in a git repository")
    return names


def test_the_top_level_holds_only_what_belongs_there(tracked: list[str]) -> None:
    top = {name.split("/")[0] for name in tracked}
    assert {name for name in top if not name.startswith(".")} <= TOP_LEVEL
    assert top >= TOP_LEVEL, "something is missing"


@pytest.mark.parametrize("what", UNWANTED)
def test_no_file_says(what: str, tracked: list[str]) -> None:
    pattern = re.compile(UNWANTED[what])
    found = []
    for name in tracked:
        path = PROJECT / name
        if path == Path(__file__).resolve():
            continue
        text = path.read_bytes().decode("utf-8", "replace")
        found += [f"{name}:{text.count(chr(10), 0, match.start()) + 1}: {match[0]}" for match in pattern.finditer(text)]
    assert found == []


def test_no_module_is_much_longer_than_a_person_reads_at_once(tracked: list[str]) -> None:
    too_long = {
        name: lines
        for name in tracked
        if name.startswith("speclint/") and name.endswith(".py")
        if (lines := (PROJECT / name).read_text(encoding="utf-8").count("\n")) > 400
    }
    assert too_long == {}


def test_the_version_is_the_same_wherever_it_stands() -> None:
    project = tomllib.loads((PROJECT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    changes = (PROJECT / "CHANGELOG.md").read_text(encoding="utf-8")
    newest = re.search(r"^## (\S+?),? ", changes, re.MULTILINE)
    assert newest is not None
    assert project["version"] == speclint.__version__ == newest[1]


def test_where_the_tests_are_that_take_longer_is_where_tests_are() -> None:
    assert [name for name in THOROUGH if not (PROJECT / "tests" / name).exists()] == []


def test_the_map_names_every_room_of_the_package(tracked: list[str]) -> None:
    rooms = {name.split("/")[1].removesuffix(".py") for name in tracked if re.match(r"speclint/[^/]+(\.py$|/)", name)}
    text = (PROJECT / "DEVELOPERS.md").read_text(encoding="utf-8")
    missing = {room for room in rooms - {"__init__", "__main__", "py.typed", "_shipped"} if f"`{room}`" not in text}
    assert missing == set()
