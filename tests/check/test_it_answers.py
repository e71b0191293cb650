"""However far a ruleset goes, in days, in depth or in length, its cars get their verdict."""

import os
from datetime import date
from pathlib import Path

import pytest

from speclint.moments import day_after, day_before
from tests.console import Console, write

RULES = "  a:\n    rules:\n      - {id: weight, quantity: mass_g, at_least: 1350}\n"
DEPTH = 1100


def ruleset(*, version: str = "1", days: str = "from: 2026-01-01", more: str = "") -> str:
    return f"format: ruleset/1\nid: our-club\nversion: '{version}'\nin_force: {{{days}}}\nclasses:\n{RULES}{more}"


def chain_of_classes() -> str:
    return "".join(f"  c{i}: {{based_on: {f'c{i - 1}' if i else 'a'}}}\n" for i in range(DEPTH))


def chain_of_amendments() -> str:
    return "".join(
        f"      - {{id: w{i}, replaces: {f'w{i - 1}' if i else 'weight'}, from: 2026-02-01, quantity: mass_g, at_least: 1350}}\n"
        for i in range(300)
    )


def car(*, class_id: str = "a", on: str = "2026-03-14", ruleset_id: str = "our-club") -> str:
    return (
        f"format: setup/1\nentries: [{{ruleset: {ruleset_id}, class: {class_id}, on: {on}}}]\ncar: {{mass_g: 1340}}\n"
    )


CASES = {
    "in force to the calendar's last day": (ruleset(days="from: 2026-01-01, until: 9999-12-31"), car()),
    "in force from its first day": (ruleset(days="from: 0001-01-01"), car(on="0001-01-01")),
    "a rule that ends on the last day": (ruleset().replace("1350}", "1350, until: 9999-12-31}"), car()),
    "an entry on the last day": (ruleset(), car(on="9999-12-31")),
    "a version of 5,000 digits": (ruleset(version="1" * 5000), car()),
    "classes that rest on each other": (ruleset(more=chain_of_classes()), car(class_id=f"c{DEPTH - 1}")),
    "amendments of amendments": (ruleset(more=chain_of_amendments()), car()),
}


SLOW = {"classes that rest on each other"}


@pytest.mark.parametrize("name", [pytest.param(name, marks=[pytest.mark.slow] * (name in SLOW)) for name in CASES])
@pytest.mark.parametrize("options", [(), ("--no-advice",)])
def test_a_car_has_its_verdict_all_the_same(empty: Path, console: Console, name: str, options: tuple[str, ...]) -> None:
    rules, setup = CASES[name]
    write(empty / "rulesets" / "our-club.yaml", rules)
    write(empty / "car.yaml", setup)
    run = console(empty, "check", ".", "--report", "lines", *options)
    assert run.status == 1
    assert "car.yaml:3:15: illegal: mass is 1340 g" in run.out


@pytest.mark.slow
def test_rulesets_may_rest_on_each_other_as_deep(empty: Path, console: Console) -> None:
    write(empty / "rulesets" / "0.yaml", ruleset().replace("id: our-club", "id: club0"))
    for i in range(1, DEPTH):
        text = f"format: ruleset/1\nid: club{i}\nversion: '1'\nin_force: {{from: 2026-01-01}}\nbased_on: club{i - 1}@1\nclasses: {{}}\n"
        write(empty / "rulesets" / f"{i}.yaml", text)
    write(empty / "car.yaml", car(ruleset_id=f"club{DEPTH - 1}"))
    run = console(empty, "check", "car.yaml", "--report", "lines")
    assert run.status == 1
    assert "illegal: mass is 1340 g" in run.out


def test_a_file_may_lie_as_deep(empty: Path, console: Console, monkeypatch: pytest.MonkeyPatch) -> None:
    write(empty / "rulesets" / "our-club.yaml", ruleset())
    monkeypatch.chdir(empty)
    for _ in range(DEPTH):  # one by one, since the whole path is longer than the system takes at once
        Path("d").mkdir()
        os.chdir("d")
    write(Path("car.yaml"), car())
    run = console(empty, "check", ".", "--report", "lines")
    take_apart(empty)
    assert run.status in (1, 2)
    assert "Traceback" not in run.err


def take_apart(folder: Path) -> None:
    """Remove the nest again, which the standard library cannot: a level at a time from the outside."""
    while (folder / "d").exists():
        inner = folder / "d" / "d"
        if not inner.exists():
            (folder / "d" / "car.yaml").unlink()
            (folder / "d").rmdir()
            return
        inner.rename(folder / "next")
        (folder / "d").rmdir()
        (folder / "next").rename(folder / "d")


@pytest.mark.parametrize("kind", ["setup", "motor", "ruleset", "garage"])
@pytest.mark.parametrize("on", ["9999-12-31", "0001-01-01"])
def test_a_file_can_be_started_for_any_day(empty: Path, console: Console, kind: str, on: str) -> None:
    options = ("--on", on) if kind in ("setup", "ruleset") else ()
    assert console(empty, "start", kind, *options).status == 0


def test_the_calendar_ends_with_its_last_day() -> None:
    assert day_after(date.max) == date.max
    assert day_before(date.min) == date.min
    assert day_before(day_after(date(2028, 2, 28))) == date(2028, 2, 28)
    assert day_after(date(2028, 2, 28)) == date(2028, 2, 29)
