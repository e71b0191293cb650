"""`start inspection` writes the field of a race day, and under each car what its rules want read and looked at."""

from pathlib import Path

import pytest

from speclint.documents.parse import parse
from tests.check.world import a_ruleset, a_setup
from tests.console import Console, write

RULES = (
    "{id: weight, quantity: mass_g, at_least: 1350, instrument: tech-scale, cite: '3.1'}",
    "{id: final-drive, quantity: final_drive_ratio, at_least: 4.2}",
    "{id: winding, quantity: winding_mean_mohm, at_least: 20.5}",
    "{id: tyre, quantity: extra.tyre, equals: HT-36}",
    "{id: wing, quantity: extra.wing_mm, at_most: 40}",
    "{id: body, inspect: uncut}",
    "{id: old, quantity: width_mm, at_most: 190, until: 2026-03-01}",
)


@pytest.fixture
def field(empty: Path) -> Path:
    top = "instruments: {tech-scale: {accuracy_percent: 0.1, unit: g}}"
    write(empty / "rulesets/club.yaml", a_ruleset(*RULES, top=top))
    for number in (14, 2):
        write(empty / f"cars/{number}.yaml", a_setup(f"name: Car {number}\n", entry=f"number: {number}"))
    write(empty / "cars/guest.yaml", a_setup("name: Guest\n"))
    write(empty / "cars/later.yaml", a_setup("name: Later\n", on="2026-04-01", entry="number: 3"))
    return empty


def started(console: Console, folder: Path, *options: str) -> str:
    run = console(folder, "start", "inspection", "day/round.yaml", "--no-questions", "--on", "2026-03-14", *options)
    assert (run.status, run.out) == (0, "")
    return (folder / "day/round.yaml").read_text("utf-8")


def test_it_asks_how_a_reading_is_taken_and_looks_in_the_order_of_how_often(empty: Path, console: Console) -> None:
    rules = (
        "{id: papers, inspect: the licence, per: season}",
        "{id: weight, quantity: mass_g, at_least: 1350, taken: {at: after-run}}",
        "{id: speed, quantity: no_load_speed_rpm, at_most: 19500, taken: {supply_v: 8.4}}",
        "{id: tyres, inspect: the marks, per: run, cite: '7.1'}",
        "{id: body, inspect: uncut}",
    )
    write(empty / "rulesets/club.yaml", a_ruleset(*rules))
    write(empty / "cars/2.yaml", a_setup("name: Car 2\n", entry="number: 2"))
    text = started(console, empty, "--ruleset", "club")
    document, problems = parse("round.yaml", text)
    assert document is not None and problems == ()
    (car,) = document.data["cars"]
    assert [*car["looked_at"]] == ["body", "tyres", "papers"]
    assert "at least 1350 g, read at after-run: {value: NUMBER, taken: {at: after-run}}\n" in text
    assert car["readings"]["motor"]["bench_runs"] == [{"date": "2026-03-14", "speed_rpm": None, "supply_v": None}]
    assert "the marks, once a run (7.1)\n" in text
    assert "the licence, once a season\n" in text


def test_it_has_the_cars_of_the_day_by_number_and_an_empty_key_for_each_reading(field: Path, console: Console) -> None:
    text = started(console, field, "--ruleset", "club", "--name", "Round 3", "--venue", "indoor")
    document, problems = parse("round.yaml", text)
    assert document is not None and problems == ()
    data = document.data
    assert (data["event"], data["ruleset"], data["venue"]) == ("Round 3", "club@1", "indoor")
    assert data["digest"].startswith("sha256:")
    assert [(car.get("number"), car.get("setup")) for car in data["cars"]] == [
        (2, None),
        (14, None),
        (None, "../cars/guest.yaml"),
    ]
    winding = dict.fromkeys(("ab_mohm", "bc_mohm", "ca_mohm", "winding_c"))
    assert data["cars"][0]["readings"] == {
        "car": dict.fromkeys(("mass_g", "internal_ratio", "spur_teeth", "pinion_teeth")),
        "extra": {"wing_mm": None},
        "motor": {"bench_runs": [{"date": "2026-03-14", "winding": winding}]},
    }
    assert data["cars"][0]["looked_at"] == {"tyre": None, "body": None}
    assert "mass_g:                    # at least 1350 g (3.1), tech-scale\n" in text


def test_what_it_writes_is_sound_and_judges_the_cars_as_declared(field: Path, console: Console) -> None:
    started(console, field, "--ruleset", "club")
    run = console(field, "check", "day/round.yaml", "--report", "lines")
    declared = console(field, "check", "cars", "--report", "lines")
    assert "problem" not in run.out
    assert run.status == declared.status == 0
    assert run.out.count("not-shown") == declared.out.count("2026-03-14)")


def test_the_only_ruleset_goes_without_saying_and_of_several_one_is_asked_for(field: Path, console: Console) -> None:
    assert "ruleset: club@1\n" in started(console, field)
    write(field / "rulesets/other.yaml", a_ruleset(id_="other"))
    run = console(field, "start", "inspection", "--no-questions", "--on", "2026-03-14")
    assert (run.status, run.err) == (2, "speclint: say by whose rules with --ruleset: club, other\n")


def test_a_day_or_a_class_that_is_not_there_is_told(field: Path, console: Console) -> None:
    for options, message in (
        (("--on", "2025-03-14"), "no version of club is in force on 14 March 2025"),
        (("--on", "2026-03-14", "--class", "stok"), "club@1 has no class stok; did you mean stock?"),
        (("--on", "2026-03-14", "--turns", "17.5"), "--turns goes with start motor, not with start inspection"),
    ):
        run = console(field, "start", "inspection", "--no-questions", "--ruleset", "club", *options)
        assert run.status == 2
        assert message in run.err


def test_with_nobody_entered_the_form_of_a_car_is_there(field: Path, console: Console) -> None:
    run = console(field, "start", "inspection", "--no-questions", "--ruleset", "club", "--on", "2026-05-01")
    assert run.status == 0
    assert run.out.endswith(
        "cars:\n  # - number:\n  #   class:\n  #   readings:\n  #   looked_at:\n  #   ruling:  # passed or failed\n"
    )
