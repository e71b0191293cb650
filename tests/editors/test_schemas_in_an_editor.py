"""The schemas in an editor: what the YAML server of many editors shows by them, asked as an editor asks it.

It is the npm package yaml-language-server; SPECLINT_YAML_SERVER names its program, which .ci/run installs.
"""

import os
import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from speclint.quantities.model import Home
from speclint.quantities.registry import BY_NAME, QUANTITIES
from tests.console import ROOT, Console
from tests.editors.client import Client

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(
        "SPECLINT_YAML_SERVER" not in os.environ, reason="needs the YAML server of editors; .ci/run has it"
    ),
]

_SETTINGS = {"yaml": {"schemaStore": {"enable": False}, "hover": True, "completion": True, "validate": True}}
_RULE = 'id: a\nversion: "1"\nin_force: {from: 2026-01-01}\nclasses:\n  c:\n    rules:\n      - '


@pytest.fixture
def editor(tmp_path: Path, console: Console) -> Iterator[Client]:
    """A server in a folder into which the schemas were brought by the command for that."""
    assert console(tmp_path, "schema", "--copy", "schemas").status == 0
    client = Client(["node", os.environ["SPECLINT_YAML_SERVER"], "--stdio"], tmp_path, _SETTINGS)
    client.start()
    yield client
    assert client.stop() == 0


def with_schema(kind: str, text: str) -> str:
    return f"# yaml-language-server: $schema=schemas/{kind}-1.schema.json\nformat: {kind}/1\n{text}"


def test_the_heading_of_a_key_is_its_own(editor: Client) -> None:
    of_car = [
        quantity
        for quantity in QUANTITIES
        if quantity.key
        and quantity.key.home is Home.SETUP
        and quantity.key.path[0] == "car"
        and len(quantity.key.path) == 2
    ]
    keys = {str(quantity.key.path[1]): quantity for quantity in of_car if quantity.key}
    assert len(keys) > 8
    lines = "".join(f"  {key}: {quantity.example}\n" for key, quantity in keys.items())
    assert editor.open("car.yaml", with_schema("setup", f"car:\n{lines}")) == []
    for place, quantity in enumerate(keys.values(), start=3):
        shown = editor.at("hover", "car.yaml", place, 4)["contents"]["value"]
        assert shown.startswith(f"#### {quantity.title}\n"), shown


def test_a_misspelt_key_and_a_value_of_another_type_are_marked(editor: Client) -> None:
    marked = editor.open("car.yaml", with_schema("setup", "car: {pinion_tooth: 42, mass_g: heavy}\n"))
    assert len(marked) == 2
    assert any("pinion_tooth" in mark["message"] for mark in marked)


def test_a_reading_is_completed_on_its_line(editor: Client) -> None:
    editor.open("car.yaml", with_schema("setup", "car:\n  ma"))
    offered = {item["label"]: item["insertText"] for item in editor.at("completion", "car.yaml", 3, 4)["items"]}
    assert offered["mass_g"] == "mass_g: "


def test_every_quantity_is_offered_with_its_meaning(editor: Client) -> None:
    editor.open("club.yaml", with_schema("ruleset", f"{_RULE}id: x\n        quantity: \n"))
    items = editor.at("completion", "club.yaml", 9, 18)["items"]
    offered = {item["label"]: str(item.get("documentation")) for item in items}
    assert {quantity.name for quantity in QUANTITIES} <= offered.keys()
    assert all(
        re.sub(r"\W", "", quantity.about)[:20] in re.sub(r"\W", "", offered[quantity.name])
        for quantity in QUANTITIES[:5]
    )


def test_a_misspelt_quantity_is_marked_and_one_of_the_writers_own_is_not(editor: Client) -> None:
    (mark,) = editor.open("a.yaml", with_schema("ruleset", f"{_RULE}{{id: x, quantity: widht_mm, at_most: 190}}\n"))
    assert mark["message"].startswith("there is no quantity of this name; ")
    assert (mark["range"]["start"]["line"], mark["range"]["start"]["character"]) == (8, 26)
    assert editor.open("b.yaml", with_schema("ruleset", f"{_RULE}{{id: x, quantity: width_mm, at_most: 190}}\n")) == []
    shown = editor.at("hover", "b.yaml", 8, 27)["contents"]["value"]
    first = shown.partition("Allowed Values:")[2].strip().splitlines()[0]
    assert re.sub(r"\W", "", first) == re.sub(r"\W", "", f"width_mm{BY_NAME['width_mm'].about}"), shown
    for name in ("width_mm", "extra.body", "entry.venue"):
        assert (
            editor.open(f"{name}.yaml", with_schema("ruleset", f"{_RULE}{{id: x, quantity: {name}, equals: 3}}\n"))
            == []
        )


def test_the_words_of_a_closed_set_are_offered_and_shown_with_their_meanings(editor: Client) -> None:
    editor.open("car.yaml", with_schema("ruleset", "decision: "))
    items = editor.at("completion", "car.yaml", 2, 10)["items"]
    offered = {item["label"]: item.get("documentation") for item in items}
    assert offered["must-show"] == "asks it to meet the limit by its uncertainty"
    editor.open("motor.yaml", with_schema("motor", "rebuilds:\n  - {date: 2026-03-11, did: [clean]}\n"))
    assert "changes none of the readings" in editor.at("hover", "motor.yaml", 3, 31)["contents"]["value"]


def test_a_rule_without_a_limit_is_told_in_words(editor: Client) -> None:
    (mark,) = editor.open("club.yaml", with_schema("ruleset", f"{_RULE}{{id: x, quantity: width_mm}}\n"))
    assert mark["message"].startswith("a limit is missing: one of at_least, ")


@pytest.mark.parametrize("folder", ["cars", "setups", "motors"])
def test_nothing_sound_is_marked(folder: str, editor: Client) -> None:
    shutil.copytree(ROOT / "schemas", editor.folder / "top" / "schemas")
    shutil.copytree(ROOT / "examples" / folder, editor.folder / "top" / "examples" / folder)
    for file in sorted((editor.folder / "top" / "examples" / folder).glob("*.yaml"))[:6]:
        assert editor.open(str(file.relative_to(editor.folder))) == [], file
