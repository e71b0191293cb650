"""`check --apply N`: a remedy goes into the file byte by byte, or nothing does."""

import shutil
from collections.abc import Sequence
from pathlib import Path

import pytest

from speclint.remedies.chosen import chosen
from speclint.remedies.judged_entry import CarRemedies
from speclint.rules.checks import Remedy
from tests.console import ROOT, Console, process

TOO_TALL = "examples/cars/car-14-one-tooth-too-tall.yaml"


@pytest.fixture
def garage(tmp_path: Path) -> Path:
    for folder in ("examples", "rulesets"):
        shutil.copytree(ROOT / folder, tmp_path / folder)
    (tmp_path / ".git").mkdir()
    return tmp_path


def test_a_remedy_changes_one_number_and_the_mended_file_is_checked(garage: Path, console: Console) -> None:
    before = (garage / TOO_TALL).read_bytes()
    run = console(garage, "check", TOO_TALL, "--apply", "2")
    assert run.status == 0
    assert run.err == f"speclint: {TOO_TALL}: car.pinion_teeth is 43 now\n"
    assert "1 entry: 1 legal" in run.out
    assert (garage / TOO_TALL).read_bytes() == before.replace(b"pinion_teeth: 44", b"pinion_teeth: 43")


def test_line_ends_and_byte_order_mark_outlive_a_remedy(garage: Path, console: Console) -> None:
    path = garage / TOO_TALL
    odd = b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n")
    path.write_bytes(odd)
    assert console(garage, "check", TOO_TALL, "--apply", "1").status == 0
    assert path.read_bytes() == odd.replace(b"spur_teeth: 96", b"spur_teeth: 98")


def test_a_rotor_swap_goes_into_the_rotor_and_asks_for_the_rebuild(garage: Path, console: Console) -> None:
    file = "examples/setups/car-15-rotor-not-approved.yaml"
    before = (garage / file).read_text(encoding="utf-8")
    run = console(garage, "check", file, "--apply", "1")
    assert run.status == 0
    assert "`speclint log FILE rebuild --did rotor-swap`" in run.err
    assert (garage / file).read_text(encoding="utf-8") == before.replace(
        "part: R-20, diameter_mm: 12.3, bore_mm: 5, length_mm: 25}",
        "part: R-12, diameter_mm: 12.3, bore_mm: 5, length_mm: 24.8}",
    )


@pytest.mark.parametrize(
    ("path", "number", "told"),
    [
        (
            "examples/setups/car-14-underweight.yaml",
            "1",
            "speclint: examples/setups/car-14-underweight.yaml: this is done on the car, not in the file: add 8 g of"
            " ballast (6 g only reaches the limit itself); do it, measure, and write down what the instrument shows\n",
        ),
        (TOO_TALL, "4", f"speclint: {TOO_TALL}: there are 3 remedies, and no number 4\n"),
        (
            "examples/cars/car-12-carpet.yaml",
            "1",
            "speclint: there is nothing to apply: no setup here is illegal\n",
        ),
        ("examples/setups", "1", "speclint: --apply mends one setup at a time; these are illegal: "),
    ],
)
def test_what_cannot_be_applied_is_told_and_changes_nothing(
    garage: Path, console: Console, path: str, number: str, told: str
) -> None:
    before = {file: file.read_bytes() for file in garage.rglob("*.yaml")}
    run = console(garage, "check", path, "--apply", number)
    assert run.status == 2
    assert run.err.startswith(told)
    assert {file: file.read_bytes() for file in garage.rglob("*.yaml")} == before


def test_what_no_change_can_mend_says_what_is_needed(garage: Path, console: Console) -> None:
    file = "examples/setups/car-15-motor-not-listed.yaml"
    run = console(garage, "check", file, "--apply", "1")
    assert run.status == 2
    nearest = "M-71A is not on the list motors; the nearest is M-21A"
    assert run.err == f"speclint: {file}: there is nothing to apply: another motor is needed ({nearest})\n"


@pytest.mark.parametrize("changed", [TOO_TALL, "rulesets/harbour-city-2026.2.yaml"])
def test_what_changed_after_it_was_judged_stays_as_it_is_now_and_nothing_is_applied(
    garage: Path, console: Console, monkeypatch: pytest.MonkeyPatch, changed: str
) -> None:
    """As if somebody else had saved the file between the verdict and the writing."""
    before = (garage / TOO_TALL).read_bytes()

    def chosen_too_late(car_remedies: Sequence[CarRemedies], number: int) -> Remedy:
        with (garage / changed).open("ab") as file:
            file.write(b"# theirs\n")
        return chosen(car_remedies, number)

    monkeypatch.setattr("speclint.remedies.chosen.chosen", chosen_too_late)
    run = console(garage, "check", TOO_TALL, "--apply", "1")
    assert run.status == 2
    assert f"{changed} was changed by someone else meanwhile, so nothing was written" in run.err
    assert (garage / changed).read_bytes().endswith(b"# theirs\n")
    assert (garage / TOO_TALL).read_bytes() == before + b"# theirs\n" * (changed == TOO_TALL)


def test_of_two_remedies_of_one_car_applied_at_once_one_lands(
    garage: Path, console: Console, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The other one was worked out on the car as it was before, and would go on top of the first."""

    def chosen_at_once(car_remedies: Sequence[CarRemedies], number: int) -> Remedy:
        process(garage, "check", TOO_TALL, "--apply", "2")
        return chosen(car_remedies, number)

    monkeypatch.setattr("speclint.remedies.chosen.chosen", chosen_at_once)
    before = (garage / TOO_TALL).read_bytes()
    run = console(garage, "check", TOO_TALL, "--apply", "1")
    assert (run.status, run.out) == (2, "")
    assert (garage / TOO_TALL).read_bytes() == before.replace(b"pinion_teeth: 44", b"pinion_teeth: 43")
