"""What a ruleset declares of a key is treated as what is built in: explained, started, compared, published, held plausible."""

from pathlib import Path

import pytest

from tests.console import Console, write

CLUB = """\
format: ruleset/1
id: club
version: "1"
in_force: {from: 2026-01-01, until: 2026-12-31}
quantities:
  extra.ballast_kg: {title: ballast, kind: measured, measure: On the club scale., usual: [0, 30]}
  extra.crew_kg: {title: driver and ballast, kind: measured, sum_of: [extra.driver_kg, extra.ballast_kg]}
  extra.rollers: {title: rollers, kind: count, count_of: extra.roller_mm}
  extra.hull: {title: hull, kind: text, choices: [open, closed]}
classes:
  mini:
    title: Mini
    rules:
      - {id: crew, quantity: extra.crew_kg, at_least: 82, cite: "1"}
      - {id: rollers, quantity: extra.rollers, at_most: 3, cite: "2"}
      - {id: hull, quantity: extra.hull, none_of: [open], cite: "3"}
"""
SETUP = """\
format: setup/1
entries: [{ruleset: club, class: mini, on: 2026-03-14}]
extra: {driver_kg: 78.2, ballast_kg: %s, roller_mm: [13, 13, 19], hull: closed}
"""


@pytest.fixture
def folder(empty: Path) -> Path:
    write(empty / "rulesets" / "club.yaml", CLUB)
    write(empty / "car.yaml", SETUP % "4.4")
    return empty


def flat(text: str) -> str:
    return " ".join(text.split())


def test_it_is_explained_by_its_name_and_by_its_title(folder: Path, console: Console) -> None:
    by_name = console(folder, "explain", "extra.crew_kg").out
    assert console(folder, "explain", "driver", "and", "ballast").out == by_name
    for told in ("extra.crew_kg: driver and ballast", "kilograms (kg)", "extra.driver_kg + extra.ballast_kg",
                 "  driver_kg: 1", "It is measured, so its uncertainty counts.", "the ruleset club"):  # fmt: skip
        assert told in by_name
    assert "On the club scale." in console(folder, "explain", "ballast").out
    assert "0 to 30 kg by the ruleset club" in flat(console(folder, "explain", "ballast").out)
    assert "none: it is open or closed" in flat(console(folder, "explain", "extra.hull").out)
    by_rule = flat(console(folder, "explain", "club/mini/crew").out)
    assert "driver and ballast at least 82 kg Driver and ballast is the sum of driver and ballast, in kg." in by_rule
    assert "did you mean extra.crew_kg?" in console(folder, "explain", "extr.crew_kg").err


def test_a_starting_setup_asks_for_the_parts_and_says_what_they_are(folder: Path, console: Console) -> None:
    text = console(folder, "start", "setup", "--ruleset", "club", "--class", "mini", "--on", "2026-03-14").out
    asked = text.partition("extra:")[2]
    assert "crew_kg:" not in asked and "rollers:" not in asked
    for key in ("  driver_kg:\n", "  ballast_kg:\n", "  roller_mm:\n", "  hull:\n"):
        assert key in asked
    comments = flat(asked.replace("#", ""))
    assert "Ballast is measured, in kg. On the club scale. Usually 0 to 30 kg." in comments
    assert "Rule crew (1): driver and ballast at least 82 kg." in comments
    assert "Rule rollers (2): rollers at most 3." in comments
    assert "Hull can be open or closed." in comments
    write(folder / "new.yaml", text)
    assert console(folder, "check", "new.yaml").status == 0


def test_a_starting_inspection_reads_the_parts(folder: Path, console: Console) -> None:
    text = console(folder, "start", "inspection", "--ruleset", "club", "--on", "2026-03-14").out
    assert "driver_kg:" in text and "ballast_kg:" in text and "crew_kg" not in text


@pytest.mark.parametrize(
    ("ballast", "slip"),
    [
        ("4.4", ""),
        ("4400", "4400 looks like grams; this key is in kilograms: 4.4 kg"),
        ("45", "45 kg is unusual: ballast is usually 0 to 30 kg"),
    ],
)
def test_what_is_usual_finds_a_slip(folder: Path, console: Console, ballast: str, slip: str) -> None:
    write(folder / "car.yaml", SETUP % ballast)
    told = flat(console(folder, "check", "car.yaml").out)
    assert slip in told if slip else "looks like" not in told and "unusual" not in told


def test_a_changed_declaration_is_told_and_can_make_a_legal_car_illegal(folder: Path, console: Console) -> None:
    write(
        folder / "new.yaml",
        CLUB.replace('"1"\nin', '"2"\nin').replace("extra.ballast_kg]", "extra.ballast_kg, extra.helmet_kg]"),
    )
    done = console(folder, "compare", "rulesets/club.yaml", "new.yaml")
    told = flat(done.out)
    assert "Driver and ballast is the sum of driver, ballast and helmet, in kg." in told
    assert "Before: Driver and ballast is the sum of driver and ballast, in kg." in told
    assert "It can make a legal car illegal, so the version needs a major step." in told
    # What only explains turns nothing, nor does the order of parts and choices.
    other = CLUB.replace("[extra.driver_kg, extra.ballast_kg]", "[extra.ballast_kg, extra.driver_kg]")
    write(folder / "new.yaml", other.replace("[open, closed]", "[closed, open]").replace('"1"\nin', '"2"\nin'))
    told = flat(console(folder, "compare", "rulesets/club.yaml", "new.yaml").out)
    assert "major" not in told and "minor" not in told
    write(folder / "new.yaml", CLUB.replace('"1"\nin', '"2"\nin').replace("On the club scale.", "On our scale."))
    assert "Both ask the same of every car." in flat(console(folder, "compare", "rulesets/club.yaml", "new.yaml").out)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("extra.driver_kg, extra.ballast_kg", "extra.ballast_kg, extra.driver_kg"),
        ("On the", "On a"),
    ],
)
def test_what_says_the_same_has_the_same_digest(folder: Path, console: Console, old: str, new: str) -> None:
    assert digest(folder, console, CLUB) == digest(folder, console, CLUB.replace(old, new))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("extra.ballast_kg: {title: ballast, kind: measured", "extra.ballast_kg: {title: ballast, kind: setting"),
        ("[open, closed]", "[open, closed, none]"),
        ("extra.driver_kg, extra.ballast_kg", "extra.driver_kg, extra.ballast_kg, extra.helmet_kg"),
    ],
)
def test_what_can_turn_a_verdict_changes_the_digest(folder: Path, console: Console, old: str, new: str) -> None:
    assert old in CLUB
    assert digest(folder, console, CLUB) != digest(folder, console, CLUB.replace(old, new))


def digest(folder: Path, console: Console, text: str) -> str:
    write(folder / "one.yaml", text)
    write(folder / "two.yaml", text.replace('version: "1"', 'version: "0"'))
    return console(folder, "compare", "two.yaml", "one.yaml", "--report", "json").out.partition("sha256:")[2][:64]


def test_the_published_page_says_what_is_added_up(folder: Path, console: Console) -> None:
    assert console(folder, "publish", "rulesets/club.yaml", "site").status == 0
    page = flat((folder / "site" / "classes" / "mini.html").read_text(encoding="utf-8"))
    assert "Driver and ballast is the sum of driver and ballast, in kg." in page
    assert "Hull can be open or closed." in page


def test_a_rulesets_own_examples_are_advised_with_the_parts(folder: Path, console: Console) -> None:
    one = "examples:\n  - {class: mini, on: 2026-03-14, setup: {extra: {hull: closed}}, expect: {hull: legal}}\n"
    write(folder / "rulesets" / "club.yaml", CLUB + one)
    pasted = console(folder, "check", "rulesets/club.yaml", "--full").out.partition("- {about")[2]
    for example in ("{driver_kg: 81, ballast_kg: 0}}, expect: {crew: illegal}", "{roller_mm: [1, 1, 1]}}, expect: {rollers: legal}",
                    "{hull: open}}, expect: {hull: illegal}"):  # fmt: skip
        assert example in pasted
    lines = [f"  {line.strip()}" for line in f"- {{about{pasted}".splitlines() if line.strip().startswith("- {about")]
    write(folder / "rulesets" / "club.yaml", "\n".join((CLUB + one.rstrip(), *lines, "")))
    told = console(folder, "check", "rulesets/club.yaml").out
    assert "8 examples hold" in told and "missing" not in told


def test_a_limit_outside_what_is_usual_and_a_unit_behind_a_number_are_told(folder: Path, console: Console) -> None:
    rule = "- {id: ballast, quantity: extra.ballast_kg, at_most: 3000}"
    write(folder / "rulesets" / "club.yaml", f"{CLUB}      {rule}\n")
    told = flat(console(folder, "check", "rulesets/club.yaml").out)
    assert "ballast limits the ballast at 3000 kg, where cars have 0 kg to 30 kg" in told
    unit = CLUB.replace(
        "extra.hull: {title: hull, kind: text, choices: [open, closed]}", "extra.load: {kind: measured, unit: kg}"
    )
    unit = unit.replace("extra.hull, none_of: [open]", "extra.load, at_most: 4.2 kg")
    write(folder / "rulesets" / "club.yaml", unit)
    assert "write 4.2" in flat(console(folder, "check", "rulesets/club.yaml").out)


def test_a_key_that_is_nearly_one_that_is_declared_is_told(folder: Path, console: Console) -> None:
    text = CLUB.replace("sum_of: [extra.driver_kg, extra.ballast_kg]", "sum_of: [extra.driver_kg, extra.balast_kg]")
    write(folder / "rulesets" / "club.yaml", text)
    told = flat(console(folder, "check", "rulesets/club.yaml").out)
    assert "club.yaml:7" in told and "extra.balast_kg is nearly written like extra.ballast_kg" in told
    write(folder / "rulesets" / "club.yaml", CLUB.replace("quantity: extra.hull", "quantity: extra.hul"))
    told = flat(console(folder, "check", "rulesets/club.yaml").out)
    assert "extra.hul is nearly written like extra.hull" in told


def test_two_setups_are_compared_by_what_their_ruleset_adds_up(folder: Path, console: Console) -> None:
    write(folder / "other.yaml", SETUP % "5.4")
    told = flat(console(folder, "compare", "car.yaml", "other.yaml").out)
    assert "driver and ballast 82.6 kg 83.6 kg" in told
