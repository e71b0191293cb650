"""Starting files: sound as they are written, with nothing in them that nobody measured, and true to the rules."""

import re
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from speclint.check.pipeline import check, gathered
from speclint.documents.parse import parse
from speclint.errors import UsageError
from speclint.files import FileText, Folder
from speclint.findings import Tally
from speclint.quantities.keys import keys_behind
from speclint.quantities.model import Home
from speclint.quantities.registry import QUANTITIES, quantity
from speclint.resources import ruleset_texts
from speclint.rules.checks import Verdict
from speclint.rules.rulebook import rulebook
from speclint.rules.wording import asked
from speclint.rulesets.model import FlatClass, Ruleset
from speclint.starters.options import KINDS, TAKEN, StarterOptions
from speclint.starters.setup import FOR_GEARING
from speclint.starters.start import start
from speclint.workspace.loaded import Files, load
from speclint.workspace.overrides import Overrides
from speclint.workspace.ruleset_index import BUNDLED, RulesetIndex, index_rulesets
from speclint.workspace.source import NamedFiles
from speclint.workspace.workspace import Workspace
from tests.console import lay_out_rulesets

MARCH = date(2026, 3, 14)
BARE = StarterOptions(today=MARCH)
SOURCES = [FileText(f"{BUNDLED}{name}", text) for name, text in ruleset_texts()]


def bundled() -> RulesetIndex:
    return index_rulesets([load(source) for source in SOURCES])


def opened(reference: str) -> Workspace:
    overrides = Overrides(today=MARCH, ruleset=reference or None)
    return Workspace(Files(NamedFiles({})), overrides, bundled=SOURCES)


CLASSES = [
    (ruleset.id, class_id)
    for ruleset, _ in bundled().documents.values()
    if MARCH in ruleset.in_force
    for class_id in bundled().library.class_ids(ruleset)
]
every_class = pytest.mark.parametrize(("ruleset", "class_id"), CLASSES)


def flat(ruleset: str, class_id: str) -> FlatClass:
    index = bundled()
    found = index.library.in_force(ruleset, None, MARCH, None)
    assert isinstance(found, Ruleset)
    result = index.library.flat(found, class_id)
    assert isinstance(result, FlatClass)
    return result


def findings(text: str, folder: Path) -> Tally:
    (folder / "new.yaml").write_text(text, encoding="utf-8")
    lay_out_rulesets(folder)
    reader = Folder(str(folder))
    return gathered(check(reader.find(("new.yaml",)).files, reader, Overrides(today=MARCH)))


def document(text: str) -> dict[str, Any]:
    found, problems = parse("new.yaml", text)
    assert problems == ()
    assert found is not None
    data: dict[str, Any] = found.data
    return data


def with_signs_off(text: str) -> str:
    """The text with every number sign taken off that stands before a key or an item of a list."""
    return re.sub(r"^( *)#+ ?(?=(?:# )?(?:- )?[\w.-]+:(?: |$))", r"\1", text, flags=re.MULTILINE)


def stated(data: Any) -> Any:
    """What of a document has a value."""
    if isinstance(data, dict):
        return {key: inner for key, value in data.items() if (inner := stated(value)) not in (None, {}, [])}
    return [stated(item) for item in data] if isinstance(data, list) else data


@pytest.mark.parametrize("kind", KINDS)
def test_a_bare_one_passes_check(kind: str, tmp_path: Path) -> None:
    text = start(kind, BARE if kind != "inspection" else replace(BARE, ruleset="harbour-city"), opened)
    loaded = load(FileText("new.yaml", text))
    assert loaded.format == f"{kind}/1"
    assert loaded.problems == ()
    found = findings(text, tmp_path)
    assert found.problems == ()
    assert not found.failed(strict=True)


@every_class
def test_nothing_that_nobody_measured_passes_whether_or_not_the_signs_are_off(
    ruleset: str, class_id: str, tmp_path: Path
) -> None:
    options = replace(BARE, ruleset=ruleset, class_id=class_id, on=MARCH)
    motor = start("motor", options, opened)
    setup = start("setup", replace(options, motor="motor.yaml"), opened)
    for change in (str, with_signs_off):
        (tmp_path / "motor.yaml").write_text(change(motor), encoding="utf-8")
        found = findings(change(setup), tmp_path)
        assert [entry.verdict for entry in found.entries] in ([], [Verdict.NOT_SHOWN])
        assert not [one.rule.id for entry in found.entries for one in entry.checks if one.verdict is Verdict.LEGAL]
        if change is str:
            assert found.problems == ()
            assert not found.failed(strict=False)


@every_class
def test_the_files_for_a_class_have_every_key_that_its_rules_rest_on_and_no_value(ruleset: str, class_id: str) -> None:
    options = replace(BARE, ruleset=ruleset, class_id=class_id, on=MARCH)
    text, of_motor = (start(kind, options, opened) for kind in ("setup", "motor"))
    data, motor = document(text), document(of_motor)
    assert stated(data) == {
        "format": "setup/1",
        "entries": [{"ruleset": ruleset, "class": class_id, "on": "2026-03-14"}],
    }
    assert stated(motor) == {"format": "motor/1"}
    book = rulebook(flat(ruleset, class_id), MARCH)
    for rule in (*book.rules, *book.later):
        known = quantity(rule.quantity) if rule.quantity is not None else None
        if known is None:
            continue
        both = f"{text}\n{of_motor}"
        assert f"Rule {rule.id}" in both
        assert " ".join(asked(rule).split()) in " ".join(both.replace("\n", " ").replace("# ", "").split())
        if known.name.startswith("extra."):
            assert known.name.partition(".")[2] in data["extra"]
        for key in keys_behind(known):
            if key.home is Home.BENCH:
                assert f"{key.path[-1]}:" in of_motor[of_motor.index("bench_runs:") :]
                continue
            homes: dict[Home, Any] = {Home.SETUP: data, Home.MOTOR: motor, Home.SHEET: motor["factory_sheet"]}
            place = homes[key.home]
            for step in key.path:
                assert step in place, (rule.id, key)
                place = place[step]


@every_class
def test_a_setup_for_a_class_has_what_a_first_gearing_needs(ruleset: str, class_id: str) -> None:
    data = document(start("setup", replace(BARE, ruleset=ruleset, class_id=class_id, on=MARCH), opened))
    for section, key in FOR_GEARING:
        assert key in data[section]


@pytest.mark.parametrize(
    ("class_id", "words", "others"),
    [
        ("pan-12", ("On a pan car 1: direct drive.", "On a pan car 38 to 50."), ("touring", "1352", "62.5", "1.9\n")),
        ("stock-17", ("On a touring car 58 to 66.",), ("pan car",)),
        ("buggy-2wd", ("On a buggy 1400 to 1800.",), ("touring", "pan car")),
    ],
)
def test_a_template_speaks_of_the_cars_of_its_class(
    class_id: str, words: tuple[str, ...], others: tuple[str, ...]
) -> None:
    text = start("setup", replace(BARE, ruleset="coastal-league", class_id=class_id, on=MARCH), opened)
    plain = " ".join(text.replace("# ", "").split())
    assert all(word in plain for word in words)
    assert not [word for word in others if word in text]


def test_a_setup_for_a_class_in_part() -> None:
    options = replace(BARE, name="Car 7", ruleset="harbour-city", class_id="stock-17", on=MARCH, venue="indoor")
    text = start("setup", options, opened, modeline="../schemas/setup-1.schema.json")
    assert text.startswith(
        "# yaml-language-server: $schema=../schemas/setup-1.schema.json\n# One car as it will be raced."
    )
    assert (
        """
format: setup/1
name: Car 7

# The garage file that this setup shares, as a path from here.
garage:

# The race days that the car is entered for.
entries:
  - ruleset: harbour-city
    class: stock-17
    on: 2026-03-14
    # Id of the track, as the garage names it.
    track:
    venue: indoor

# The car: sizes, mass and gears.
car:
  # The kind of car, in words that the rules test.
  # Rule car (C3.1): touring-4wd.
  type:
  # Mass of the car ready to race; most rules count the transponder in. On a touring car 1250 to
  # 1550. Unit: g.
  # Rule weight (3.1): at least 1350 g.
  mass_g:
"""
        in text
    )


def test_with_a_motor_file_the_setup_names_it_and_says_what_it_must_state() -> None:
    options = replace(BARE, ruleset="harbour-city", class_id="stock-17", motor="../motors/00417.yaml")
    text = start("setup", options, opened)
    assert document(text)["motor"] == "../motors/00417.yaml"
    assert "The class asks for these keys of the motor's file: turns, part," in text
    assert "timing_deg:" not in text


def test_a_motor_for_a_class_tells_the_rules_beside_its_keys() -> None:
    options = replace(BARE, ruleset="harbour-city", class_id="stock-17", turns=17.5, serial="00417")
    text = start("motor", options, opened)
    assert "# Rule timing (4.4): 36 to 40°.\ntiming_deg:\n" in text
    assert stated(document(text)) == {"format": "motor/1", "turns": 17.5, "serial": "00417"}


@pytest.mark.parametrize(("kind", "homes"), [("setup", {Home.SETUP}), ("motor", {Home.MOTOR, Home.BENCH})])
def test_every_quantity_of_the_registry_appears_by_itself_with_its_meaning(kind: str, homes: set[Home]) -> None:
    text = start(kind, BARE, opened)
    data = document(text)
    words = " ".join(text.replace("# ", " ").split())
    for known in QUANTITIES:
        if known.key is not None and known.key.home in homes:
            if known.key.home is Home.BENCH:
                assert f"{known.key.path[-1]}:  # " in text[text.index("bench_runs:") :]
                continue
            place: Any = data
            for step in known.key.path:
                place = place[step]
            assert place is None
            assert " ".join(known.about.split()) in words


@every_class
def test_a_ruleset_on_another_one_takes_its_limits_over_and_its_examples_hold(
    ruleset: str, class_id: str, tmp_path: Path
) -> None:
    text = start("ruleset", replace(BARE, id="new-club", based_on=ruleset, class_id=class_id), opened)
    found = findings(text, tmp_path)
    assert found.problems == ()
    base = {rule.id: rule for rule in rulebook(flat(ruleset, class_id), MARCH).rules}
    for rule in document(text)["classes"][class_id]["rules"]:
        assert base[rule["id"]].data["at_least"] == rule["at_least"]


def test_a_rulesets_examples_are_a_car_on_the_limit_and_one_beyond() -> None:
    data = document(start("ruleset", BARE, opened))
    assert [example["expect"] for example in data["examples"]] == [
        {"final-drive": "legal", "weight": "legal"},
        {"final-drive": "illegal", "weight": "illegal"},
        {"final-drive": "legal", "weight": "legal"},
    ]
    # 96 ÷ 43 × 1.9 = 4.2419 and 96 ÷ 44 × 1.9 = 4.1455 about the limit of 4.2, by hand
    assert [example["setup"]["car"]["pinion_teeth"] for example in data["examples"]][:2] == [43, 44]


def test_a_garage_invents_no_accuracy_and_no_parts() -> None:
    data = document(start("garage", replace(BARE, name="Quay Street", track="harbour-hall"), opened))
    benches = {name: instrument for name, instrument in data["instruments"].items() if "per_unit" in instrument}
    assert set(benches) == {"motor-bench"}
    assert all(set(stated(instrument)) <= {"unit"} for instrument in data["instruments"].values())
    assert stated(data) == {
        "format": "garage/1",
        "name": "Quay Street",
        "instruments": stated(data["instruments"]),
    }
    assert set(data["tracks"]) == {"harbour-hall"}


PRINTABLE = st.text(min_size=1, max_size=40)


@settings(max_examples=60, deadline=None)
@given(name=PRINTABLE, kind=st.sampled_from(["setup", "motor", "garage"]))
def test_any_name_comes_back_as_it_was_given(name: str, kind: str) -> None:
    text = start(kind, replace(BARE, name=name), opened)
    assert document(text)["name"] == name


@settings(max_examples=40, deadline=None)
@given(title=PRINTABLE, part=PRINTABLE, serial=PRINTABLE)
def test_any_title_part_and_serial_come_back_as_they_were_given(title: str, part: str, serial: str) -> None:
    assert document(start("ruleset", replace(BARE, name=title), opened))["title"] == title
    motor = document(start("motor", replace(BARE, part=part, serial=serial), opened))
    assert (motor["part"], motor["serial"]) == (part, serial)


@pytest.mark.parametrize(
    "name",
    [
        "no",
        "017",
        "2026-03-14",
        "a: b",
        "#7",
        "- x",
        '"',
        "'",
        "\\",
        "null",
        "1e3",
        "é",
        "{a}",
        "%",
        "@",
        "\x07",
        "a\nb",
    ],
)
def test_names_that_yaml_would_take_for_something_else_stay_text(name: str) -> None:
    assert document(start("setup", replace(BARE, name=name), opened))["name"] == name


@pytest.mark.parametrize(
    ("kind", "options", "message"),
    [
        ("setup", {"class_id": "stock-17"}, "--class needs --ruleset beside it"),
        (
            "setup",
            {"ruleset": "harbour-city"},
            "--ruleset needs --class beside it; the classes of harbour-city are buggy-2wd,",
        ),
        (
            "setup",
            {"ruleset": "harbor-city", "class_id": "x"},
            "there is no ruleset harbor-city; did you mean harbour-city?",
        ),
        ("setup", {"ruleset": "harbour-city", "class_id": "stok-17"}, "has no class stok-17; did you mean stock-17?"),
        (
            "setup",
            {"ruleset": "harbour-city", "class_id": "stock-17", "on": date(1999, 1, 1)},
            "no version of harbour-city is in force on 1 January 1999",
        ),
        ("setup", {"turns": 17.5}, "--turns goes with start motor, not with start setup"),
        ("garage", {"motor": "a.yaml"}, "--motor goes with start setup, not with start garage"),
        ("motor", {"turns": float("nan")}, "this cannot be written: "),
        ("motor", {"turns": -1.0}, "this cannot be written: `turns` is -1; it must be above 0 turns"),
        ("ruleset", {"id": "Our Club"}, "this cannot be written: `id` is "),
        (
            "ruleset",
            {"based_on": "coastal-leage"},
            "there is no ruleset coastal-leage; did you mean coastal-league@2026.1?",
        ),
        ("ruleset", {"based_on": "coastal-league", "id": "coastal-league"}, "a ruleset cannot build on itself"),
    ],
)
def test_a_wish_that_cannot_be_is_refused_with_the_reason(kind: str, options: dict[str, Any], message: str) -> None:
    with pytest.raises(UsageError) as refused:
        start(kind, replace(BARE, **options), opened)
    assert message in str(refused.value)


def test_the_ruleset_is_the_one_in_force_today_unless_a_day_is_named() -> None:
    late = StarterOptions(today=date(1999, 1, 1), ruleset="harbour-city", class_id="stock-17")
    with pytest.raises(UsageError, match="--on gives another day"):
        start("setup", late, opened)
    text = start("setup", replace(late, on=date(2026, 1, 10)), opened)
    assert "of harbour-city 2026.1" in text


def test_every_wish_goes_with_some_kind_of_file() -> None:
    assert {option_name for taken in TAKEN.values() for option_name in taken} == set(StarterOptions.__slots__) - {
        "today"
    }
    assert tuple(TAKEN) == KINDS
