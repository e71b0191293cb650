"""An inspector's list on the page is an inspection/1 that the command judges alike."""

import re
from pathlib import Path
from typing import Any

from speclint.documents.parse import parse
from tests.check_page.questions import answer, files_under, site_checks
from tests.console import ROOT, Console, lay_out_rulesets

READ = {
    "number": "12",
    "class": "stock-17",
    "values": {
        "/readings/car/mass_g": "1349",
        "/readings/car/internal_ratio": "40:21",
        "/readings/motor/bench_runs/0/winding/ab_mohm": "36,6",
        "/looked_at/rotor": "passed",
        "/ruling": "failed",
        "/note": 'weighed twice: "light"',
    },
}
UNREAD = {"number": "7", "class": "pan-12", "values": {}}


def inspected(*cars: dict[str, Any], selected: int = 0, **more: Any) -> dict[str, Any]:
    return answer(
        site_checks(),
        "inspect",
        cars=list(cars),
        selected=selected,
        event="Round 3",
        officials="A. Official, B",
        **more,
    )


def test_the_fields_stand_in_the_order_of_the_rules() -> None:
    page = answer(site_checks(), "readings", **{"class": "stock-17"})["html"]
    names = re.findall(r' name="@/(?:readings|looked_at)/([^"]+)"', page)
    expected = ["car/mass_g", "car/width_mm", "car/ride_height_mm", "car/spur_teeth"]
    assert [name for name in names if name in expected] == expected
    assert names.index("motor/bench_runs/0/winding/ab_mohm") < names.index("battery/voltage_v")
    assert "motor-listed" in names
    assert "At least 1350 g (3.1), tech-scale." in page
    assert "Final drive ratio: at least 4.2 (4.3)." in page


def test_every_car_has_its_verdict_at_once() -> None:
    answered = inspected(READ, UNREAD)
    assert [car["verdict"] for car in answered["cars"]] == ["illegal", "not-shown"]
    assert answered["cars"][0]["line"].startswith("mass 1349.0 ± 1.7 g, at least 1350 g")
    assert "number 12" in answered["html"]
    assert "number 7" in inspected(READ, UNREAD, selected=1)["html"]


def test_what_is_saved_says_what_was_read_and_the_command_judges_it_alike(empty: Path, console: Console) -> None:
    text = inspected(READ, UNREAD)["setup"]
    document, problems = parse("inspection.yaml", text)
    assert document is not None
    assert problems == ()
    first = document.data["cars"][0]
    assert document.data["officials"] == ["A. Official", "B"]
    assert first["readings"]["car"] == {"mass_g": 1349, "internal_ratio": "40/21"}
    assert first["readings"]["motor"]["bench_runs"] == [{"date": "2026-03-14", "winding": {"ab_mohm": 36.6}}]
    assert (first["looked_at"], first["ruling"], first["note"]) == (
        {"rotor": "passed"},
        "failed",
        'weighed twice: "light"',
    )
    lay_out_rulesets(empty)
    (empty / "inspection.yaml").write_text(text, encoding="utf-8")
    done = console(empty, "check", "inspection.yaml", "--report", "lines")
    assert done.status == 1
    assert "mass is 1349.0 ± 1.7 g" in done.out
    assert "problem" not in done.out


def test_a_reading_goes_before_what_a_dropped_setup_declares() -> None:
    files = files_under(ROOT / "examples", "cars/car-12-carpet.yaml", "motors", "garage.yaml")
    number = re.search(rb"number: (\d+)", files["cars/car-12-carpet.yaml"])
    entered = number[1].decode() if number else "12"
    files["cars/car-12-carpet.yaml"] = files["cars/car-12-carpet.yaml"].replace(
        b"venue: indoor", b"venue: indoor, number: 12" if number is None else b"venue: indoor"
    )
    heavy = {"number": entered, "class": "stock-17", "values": {"/readings/car/mass_g": "1349"}}
    answered = inspected(heavy, files=files)
    assert "setup: none" not in answered["setup"]
    assert answered["cars"][0]["verdict"] == "illegal"
    assert answered["cars"][0]["line"].startswith("mass 1349.0")


def test_one_number_in_two_classes_is_two_cars() -> None:
    twin = {**UNREAD, "number": "12"}
    assert [car["verdict"] for car in inspected(READ, twin)["cars"]] == ["illegal", "not-shown"]


def test_what_was_mistyped_is_told_at_its_field_of_the_car_that_is_selected() -> None:
    wrong = {**UNREAD, "values": {"/readings/car/mass_g": "heavy"}}
    assert inspected(READ, wrong, selected=1)["complaints"] == {"/readings/car/mass_g": "heavy is not a number"}
    assert inspected(READ, wrong, selected=0)["complaints"] == {}
    below = {**UNREAD, "values": {"/readings/car/mass_g": "-1"}}
    answered = inspected(below)
    assert "above 0" in answered["complaints"]["/readings/car/mass_g"]
    assert answered["cars"][0]["verdict"] == "problem"
