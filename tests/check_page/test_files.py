"""Files that are dropped on the page are judged as the command judges them, and by the club's rules alone."""

import shutil
from pathlib import Path

import pytest

from tests.check_page.questions import answer, files_under, site_checks
from tests.console import ROOT, Console

CAR = "cars/car-14-one-tooth-too-tall.yaml"


def examples() -> dict[str, bytes]:
    return files_under(ROOT / "examples", "cars", "setups", "motors", "garage.yaml")


def test_page_and_command_give_the_same_json_for_the_examples(empty: Path, console: Console) -> None:
    rulesets = [path.stem for path in (ROOT / "rulesets").glob("*.yaml")]
    shutil.copytree(ROOT / "examples", empty, dirs_exist_ok=True)
    shutil.copytree(ROOT / "rulesets", empty / "rulesets")
    done = console(empty, "check", "cars", "setups", "motors", "garage.yaml", "--report", "json")
    report = answer(site_checks(*rulesets), "report", files=examples())
    assert report["text"] == done.out


def test_the_slip_is_the_one_that_the_command_saves(empty: Path, console: Console) -> None:
    shutil.copytree(ROOT / "examples", empty, dirs_exist_ok=True)
    shutil.copytree(ROOT / "rulesets", empty / "rulesets")
    console(empty, "check", CAR, "--save", "slip.html")
    car = {name: data for name, data in examples().items() if name == CAR or not name.startswith(("cars", "setups"))}
    slip = answer(site_checks(), "slip", files=car)["text"]
    assert "0.055 short" in slip
    assert slip.startswith((empty / "slip.html").read_text(encoding="utf-8")[:300])


def test_without_their_folders_files_find_each_other_by_name() -> None:
    flat = {
        Path(name).name: data
        for name, data in examples().items()
        if name == CAR or "motors" in name or "garage" in name
    }
    in_place = {name: data for name, data in examples().items() if Path(name).name in flat}
    in_folders, by_name = (answer(site_checks(), "check", files=files) for files in (in_place, flat))
    assert by_name["verdict"] == in_folders["verdict"] == "illegal"
    assert by_name["line"] == in_folders["line"]
    assert by_name["setups"] == [Path(CAR).name]


def test_two_files_of_one_name_are_not_taken_for_each_other() -> None:
    garage = examples()["garage.yaml"]
    files = {"a/garage.yaml": garage, "b/garage.yaml": garage, "car.yaml": examples()[CAR]}
    answered = answer(site_checks(), "check", files=files)["html"]
    assert "the garage ../garage.yaml does not exist" in answered
    assert "choose them together" in answered


def test_a_ruleset_of_ones_own_never_judges() -> None:
    lenient = (ROOT / "rulesets" / "harbour-city-2026.2.yaml").read_bytes().replace(b"at_least: 4.2", b"at_least: 1.2")
    files = {**examples(), "rulesets/harbour-city-2026.2.yaml": lenient, "cars/rulesets/mine.yaml": lenient}
    only = {name: data for name, data in files.items() if not name.startswith(("cars/car", "setups")) or name == CAR}
    answered = answer(site_checks(), "check", files=only)
    assert answered["verdict"] == "illegal"
    assert "cars/rulesets/mine.yaml: rulesets of your own do not count here" in answered["html"]


def test_a_class_that_is_chosen_stands_over_the_entries_of_the_files() -> None:
    car = {name: data for name, data in examples().items() if name == CAR or not name.startswith(("cars", "setups"))}
    assert "stock-21" not in answer(site_checks(), "report", files=car)["text"]
    chosen = answer(site_checks(), "report", files=car, **{"class": "stock-21"})["text"]
    assert '"class": "stock-21"' in chosen


@pytest.mark.parametrize(
    ("files", "verdict", "line"),
    [
        ({"notes.txt": b"hello"}, "problem", "there is nothing to check"),
        ({}, "problem", "there is nothing to check"),
        ({"car.yaml": b"format: setup/1\ncar: {mass_g: "}, "problem", ""),
        ({"car.yaml": b"\xff\xfe\x00"}, "problem", ""),
        ({"car.yaml": b"format: setup/1\nname: x\n"}, "problem", "no entry"),
    ],
)
def test_what_cannot_be_judged_says_why(files: dict[str, bytes], verdict: str, line: str) -> None:
    answered = answer(site_checks(), "check", files=files)
    assert answered["verdict"] == verdict
    assert line in answered["line"]


@pytest.mark.slow
def test_the_gearing_of_a_car_is_told_as_the_command_tells_it() -> None:
    answered = answer(site_checks(), "gearing", files=examples(), setup="cars/car-12-carpet.yaml")
    assert "Gearing of Car 12, indoor carpet" in answered["html"]
    assert "<script" not in answered["html"]


def test_a_gearing_that_cannot_be_worked_out_says_why() -> None:
    files = {"car.yaml": b"format: setup/1\nname: x\n"}
    assert answer(site_checks(), "gearing", files=files, setup="car.yaml")["refused"]
