"""What every schema owes: it is current, whole, closed, helpful, and easy to word failures of."""

import json
import re
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from referencing import Registry

from speclint.quantities.model import Home, Key, Sort
from speclint.quantities.registry import QUANTITIES
from speclint.readings.digits import UNITS
from speclint.resources import schema_text as shipped_text
from speclint.resources import schemas_folder
from speclint.schema_nodes import unit_words
from speclint.schemas import DOCUMENTS, schema, schema_text
from speclint.structure import __main__ as writer
from speclint.structure.empty_keys import types_of
from speclint.structure.topics import Topics, unit_of
from tests.structure.schema_walk import drawn, keys, nodes

every_schema = pytest.mark.parametrize("name", DOCUMENTS)


@every_schema
def test_the_files_are_current(name: str) -> None:
    assert shipped_text(name) == schema_text(name), "run `python -m speclint.structure`"


def test_there_is_no_schema_file_that_nothing_generates() -> None:
    assert {path.name for path in schemas_folder().iterdir()} == {f"{name}.schema.json" for name in DOCUMENTS}


@every_schema
def test_it_is_a_valid_schema_with_an_address_that_nobody_can_own(name: str) -> None:
    written = schema(name)
    jsonschema.Draft202012Validator.check_schema(written)
    assert written["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert written["$id"] == f"https://speclint.invalid/schemas/{name}.schema.json"


@every_schema
def test_it_needs_no_other_file(name: str) -> None:
    written = schema(name)
    wanted = {node["$ref"] for _, node in nodes(written) if "$ref" in node}
    assert wanted == {f"#/$defs/{definition}" for definition in written["$defs"]}


@every_schema
def test_every_key_says_what_it_is_and_shows_how_it_is_written(name: str) -> None:
    for where, key, node in keys(schema(name)):
        assert node.get("title"), where
        assert node.get("description", "").endswith("."), where
        assert node.get("examples"), (where, key)


@every_schema
def test_every_key_with_a_unit_in_its_name_names_it_in_its_help(name: str) -> None:
    for where, key, node in keys(schema(name)):
        unit = unit_of((key,))
        if unit and types_of(drawn(node, schema(name))) != ("object",):
            assert f"Unit: {unit_words(unit)}." in node["description"], where


@pytest.mark.parametrize("name", ["setup-1", "motor-1", "garage-1", "inspection-1", "ruleset-1"])
def test_every_word_of_a_closed_set_says_what_it_means(name: str) -> None:
    for where, node in nodes(schema(name)):
        words = [word for word in node.get("enum", ()) if word is not None]
        meanings = node.get("enumDescriptions", ())
        assert len(set(meanings)) == len(words), where
        assert all(len(meaning.split()) > 1 for meaning in meanings), where


@every_schema
def test_every_example_validates_against_its_own_subschema(name: str) -> None:
    written = schema(name)
    seen = 0
    for where, node in nodes(written):
        for example in node.get("examples", ()):
            alone = {**node, "$defs": written["$defs"]}
            schema_errors = list(jsonschema.Draft202012Validator(alone, registry=Registry()).iter_errors(example))
            assert not schema_errors, (where, example, schema_errors[0].message)
            seen += 1
    assert seen > 20


@every_schema
def test_an_example_with_one_key_too_many_is_refused_wherever_a_mapping_is_closed(name: str) -> None:
    written = schema(name)
    for where, node in nodes(written):
        if node.get("additionalProperties") is False:
            for example in node.get("examples", ()):
                if isinstance(example, dict):
                    alone = {**node, "$defs": written["$defs"]}
                    stray = {**example, "no such key": 1}
                    assert not jsonschema.Draft202012Validator(alone, registry=Registry()).is_valid(stray), where


@every_schema
def test_every_mapping_says_whether_other_keys_may_stand_in_it(name: str) -> None:
    for where, node in nodes(schema(name)):
        kinds = node.get("type", ())
        conditional = any(step in where.split("/") for step in ("if", "then", "else", "dependentSchemas"))
        if ("object" in kinds or kinds == "object") and "$ref" not in node and not conditional:
            assert "additionalProperties" in node or where.endswith("/change"), where


@every_schema
def test_failures_have_one_plain_cause(name: str) -> None:
    for where, node in nodes(schema(name)):
        assert not {"oneOf", "anyOf", "allOf", "not", "patternProperties", "unevaluatedProperties"} & set(node), where
        assert "multipleOf" not in node, f"{where}: multiples of decimals are refused at random"


@every_schema
def test_patterns_hold_for_the_whole_text_and_mean_the_same_in_every_language(name: str) -> None:
    for where, node in nodes(schema(name)):
        pattern = node.get("pattern")
        if pattern is None or where.endswith("/change/propertyNames"):
            continue
        assert pattern.startswith("^"), where
        assert pattern.endswith("$"), where
        assert "|" not in re.sub(r"\(.*\)", "", pattern), f"{where}: an alternative outside brackets is not anchored"
        assert not re.search(r"\\[dwsbDWSB]", pattern), f"{where}: these classes differ between languages"


_TYPES: dict[Sort, set[str]] = {
    Sort.MEASURED: {"number", "object"},
    Sort.SETTING: {"number"},
    Sort.COUNT: {"integer"},
    Sort.RATIO: {"number", "string"},
    Sort.TEXT: {"string"},
    Sort.FLAG: {"boolean"},
    Sort.SUM: {"array"},
}


@pytest.mark.parametrize("quantity", [q for q in QUANTITIES if q.key is not None], ids=lambda q: q.name)
def test_every_stated_quantity_has_its_key_with_its_type_bounds_and_example(quantity: Any) -> None:
    name, prefix = {
        Home.SETUP: ("setup-1", ()),
        Home.MOTOR: ("motor-1", ()),
        Home.BENCH: ("motor-1", ("bench_runs", 0)),
        Home.SHEET: ("motor-1", ("factory_sheet",)),
    }[quantity.key.home]
    topic = Topics(schema(name)).at((*prefix, *quantity.key.path))
    assert set(topic.types) == _TYPES[quantity.sort]
    assert topic.example == quantity.example or topic.node.get("enum")
    assert topic.title == quantity.title
    if quantity.numeric and quantity.sort is not Sort.SUM and quantity.lowest is not None:
        bound = "exclusiveMinimum" if quantity.above_lowest else "minimum"
        assert topic.node[bound] == quantity.lowest
    if quantity.highest is not None:
        assert topic.node["maximum"] == quantity.highest


def test_every_key_that_a_formula_reads_is_in_a_schema() -> None:
    starts: dict[Home, tuple[str, tuple[str | int, ...]]] = {
        Home.SETUP: ("setup-1", ()),
        Home.MOTOR: ("motor-1", ()),
        Home.BENCH: ("motor-1", ("bench_runs", 0)),
        Home.SHEET: ("motor-1", ("factory_sheet",)),
    }
    for quantity in QUANTITIES:
        for taken in (*quantity.inputs, *quantity.raw_inputs, *quantity.principal):
            if isinstance(taken, Key):
                name, prefix = starts[taken.home]
                assert Topics(schema(name)).at((*prefix, *taken.path)).types, (quantity.name, taken)


def test_a_motor_in_place_takes_the_keys_of_a_motor_file_but_its_format() -> None:
    in_place = set(schema("setup-1")["properties"]["motor"]["properties"])
    assert in_place == set(schema("motor-1")["properties"]) - {"format"}


def test_every_sort_of_quantity_has_a_shape_and_every_unit_has_words() -> None:
    assert set(_TYPES) == set(Sort)
    assert all(unit_words(unit) for unit in UNITS if unit)


def test_the_text_of_a_schema_is_the_same_every_time() -> None:
    assert [schema_text(name) for name in DOCUMENTS] == [schema_text(name) for name in DOCUMENTS]
    for name in DOCUMENTS:
        assert json.loads(schema_text(name)) == schema(name)
        assert schema_text(name).endswith("}\n")


def test_the_command_rewrites_what_is_not_current_and_leaves_the_rest(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(writer, "schemas_folder", lambda: tmp_path)
    writer.main()
    old = tmp_path / "setup-1.schema.json"
    times = {path.name: path.stat().st_mtime_ns for path in tmp_path.iterdir()}
    old.write_text("{}", encoding="utf-8")
    writer.main()
    assert old.read_text(encoding="utf-8") == schema_text("setup-1")
    assert all(path.stat().st_mtime_ns == times[path.name] for path in tmp_path.iterdir() if path != old)
