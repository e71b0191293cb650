"""A ruleset, a motor, a garage or an inspection that is checked alone says what it holds."""

from pathlib import Path

import pytest

from tests.check.world import a_ruleset, a_setup, find_in
from tests.console import Console, write

EXAMPLE = "examples:\n  - {class: stock, on: 2026-03-14, setup: {car: {mass_g: %d}}, expect: {w: legal}}\n"
RULES = ("{id: w, quantity: mass_g, at_least: 1350}", "{id: seal, inspect: the seal}")
MOTOR = (
    "format: motor/1\nname: no. 7\nbench_runs: [{date: 2026-03-01, current_a: 4}, {date: 2026-03-10, current_a: 4}]\n"
    "rebuilds: [{date: 2026-03-02, did: [clean]}]\n"
)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (a_ruleset(*RULES), "club@1: 1 class, 2 rules, no example tries them"),
        (a_ruleset(*RULES, top=EXAMPLE % 1350), "club@1: 1 class, 2 rules, 1 example holds"),
        (a_ruleset(*RULES, top=EXAMPLE % 1340), "club@1: 1 class, 2 rules, 0 of 1 example hold"),
        (MOTOR, "no. 7: 2 bench runs, the newest of 10 March 2026, 1 rebuild"),
        ("format: motor/1\n", "file.yaml: no bench runs, no rebuilds"),
        ("format: garage/1\nname: ours\ninstruments: {scale: {accuracy: 1}}\n", "ours: 1 instrument"),
        ("format: garage/1\n", "file.yaml: nothing yet"),
    ],
)
def test_what_a_file_holds_stands_at_the_end(empty: Path, console: Console, text: str, expected: str) -> None:
    write(empty / "file.yaml", text)
    assert f"\n{expected}\n" in f"\n{console(empty, 'check').out}"


def test_beside_a_car_nothing_is_said_of_it() -> None:
    assert find_in({"club.yaml": a_ruleset(*RULES), "car.yaml": a_setup("car: {mass_g: 1350}")}).holdings == ()


def test_strict_fails_on_advice_on_rulesets_and_on_no_other(empty: Path, console: Console) -> None:
    write(empty / "club.yaml", a_ruleset("{id: w, quantity: mass_g, at_least: 1350}"))
    done = console(empty, "check", "club.yaml")
    assert (done.status, "limits the mass without saying what is weighed" in " ".join(done.out.split())) == (0, True)
    assert console(empty, "check", "club.yaml", "--strict").status == 1
    assert console(empty, "check", "club.yaml", "--strict", "--no-advice").status == 0
    write(empty / "club.yaml", a_ruleset("{id: w, quantity: width_mm, at_most: 190}"))
    assert console(empty, "check", "club.yaml", "--strict").status == 0
    write(empty / "car.yaml", a_setup("car: {width_mm: 180}\nmotor: {end_play_mm: 0.01}"))
    assert "advice" in console(empty, "check", "--strict", "--full").out.lower()
    assert console(empty, "check", "--strict").status == 0
