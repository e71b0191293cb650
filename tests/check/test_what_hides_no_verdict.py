"""A verdict stands whatever else fails: advice, remedies, records, an example, another car, or a value at its end."""

import importlib
from datetime import date
from pathlib import Path
from typing import Any, NoReturn

import pytest

from speclint.check.pipeline import check, gathered
from speclint.files import Folder
from speclint.findings import Tally
from speclint.workspace.overrides import Overrides
from tests.check.world import a_ruleset, a_setup
from tests.console import Console, write

RULE = "{id: weight, quantity: mass_g, at_least: 1350, measure: Ready to race.}"
EXAMPLE = "examples: [{about: light, class: stock, on: 2026-03-14, setup: {car: {mass_g: 1}}, expect: {weight: legal}}]"
MOTOR = "format: motor/1\nturns: 17.5\nbench_runs: [{date: 2026-03-01, supply_v: 7.4}]\n"


@pytest.fixture
def club(empty: Path) -> Path:
    write(empty / "rulesets/club.yaml", a_ruleset(RULE, top=EXAMPLE))
    write(empty / "light.yaml", a_setup("car: {mass_g: 1340}"))
    write(empty / "right.yaml", a_setup("car: {mass_g: 1360}"))
    write(empty / "motor.yaml", MOTOR)
    return empty


def findings(folder: Path, *, with_advice: bool = True) -> Tally:
    source = Folder(str(folder))
    return gathered(
        check(source.find((".",)).files, source, Overrides(today=date(2026, 3, 14)), with_advice=with_advice)
    )


def broken(monkeypatch: pytest.MonkeyPatch, module: str, name: str) -> None:
    def fails(*_: Any, **__: Any) -> NoReturn:
        raise OverflowError("date value out of range")

    monkeypatch.setattr(importlib.import_module(module), name, fails)


PARTS = {
    "the advice on a car": ("speclint.check.advising", "advice_on_car"),
    "the records of a car": ("speclint.check.advising", "record_problems"),
    "the plausibility of a car": ("speclint.check.advising", "implausible_values"),
    "the remedies": ("speclint.remedies.search", "with_remedies"),
    "an example": ("speclint.rules.examples", "run_examples"),
    "the advice on a ruleset": ("speclint.advice.on_rulesets", "advice_on_ruleset"),
}


@pytest.mark.parametrize("part", PARTS)
def test_a_part_that_fails_is_told_and_hides_no_verdict(
    part: str, club: Path, console: Console, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = findings(club)
    assert whole.defects == ()
    broken(monkeypatch, *PARTS[part])
    found = findings(club)
    assert [(entry.file, entry.verdict) for entry in found.entries] == [
        (entry.file, entry.verdict) for entry in whole.entries
    ]
    assert found.defects
    assert all("OverflowError" in defect.traceback for defect in found.defects)
    run = console(club, "check", "--report", "lines")
    assert "light.yaml:3:15: illegal: mass is 1340 g" in run.out
    assert run.status == 70
    assert "Please report the text above" in run.err
    assert part.split()[1] in run.err or part == "an example"


STEPS = {
    "reading": ("speclint.workspace.loaded", "validate"),
    "what it states": ("speclint.check.cars", "setup_of"),
    "judging": ("speclint.remedies.judged_entry", "screened"),
}


@pytest.mark.parametrize("step", STEPS)
def test_a_defect_on_one_car_hides_no_other(step: str, club: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    module, name = importlib.import_module(STEPS[step][0]), STEPS[step][1]
    whole = getattr(module, name)

    def fails_on_one(*given: Any) -> Any:
        if "light.yaml" in repr(given):
            raise RecursionError
        return whole(*given)

    monkeypatch.setattr(module, name, fails_on_one)
    found = findings(club)
    assert [entry.file for entry in found.entries] == ["right.yaml"]
    assert [(refused.file, refused.reason) for refused in found.not_judged] == [
        ("light.yaml", "a defect of speclint kept it from being judged")
    ]
    assert len(found.defects) == 1
    assert found.failed(strict=False)


def test_without_advice_none_is_worked_out(club: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    broken(monkeypatch, *PARTS["the advice on a car"])
    broken(monkeypatch, *PARTS["the advice on a ruleset"])
    found = findings(club, with_advice=False)
    assert (found.advice, found.defects) == ((), ())


ENDS = {
    "a ruleset until the last day": {"top": "in_force: {from: 0001-01-01, until: 9999-12-31}"},
    "a rule until the last day": {"rule": RULE.replace("measure", "until: 9999-12-31, measure")},
    "a rule from the first day": {"rule": RULE.replace("measure", "from: 0001-01-01, measure")},
    "an amendment on the last day": {
        "more": "{id: late, replaces: weight, from: 9999-12-31, quantity: mass_g, at_least: 1400, measure: Ready.}"
    },
    "an amendment on the first day": {
        "top": "in_force: {from: 0001-01-01}",
        "more": "{id: late, replaces: weight, from: 0001-01-01, until: 0001-01-01, quantity: mass_g, at_least: 1, measure: R.}",
    },
    "a list to the end of days": {
        "more": "{id: motor, quantity: motor_part, listed_in: motors}",
        "top": "lists: {motors: {frozen_on: 9999-12-31, items: [{id: M-1, from: 0001-01-01, until: 9999-12-31}]}}",
    },
    "a waiver to the end of days": {
        "top": 'waivers: [{rule: weight, class: stock, when: {motor_serial: "1"}, until: 9999-12-31, granted: minutes of March}]'
    },
    "a version of 5,000 digits": {"version": "9" * 5000},
    "1,100 amendments of amendments": {
        "more": "\n      - ".join(
            f"{{id: w{i}, replaces: {f'w{i - 1}' if i else 'weight'}, from: 2026-01-02, quantity: mass_g, at_least: 1350,"
            " measure: R.}"
            for i in range(1100)
        )
    },
    "a limit beyond any number": {"more": "{id: huge, quantity: mass_g, at_most: 1e300, measure: Ready to race.}"},
    "a step beneath any number": {"rule": RULE.replace("measure", "read_to: 1e-300, measure")},
}


@pytest.mark.parametrize("day", ["2026-03-14", "9999-12-31", "0001-01-01"])
@pytest.mark.parametrize("name", ENDS)
def test_values_at_their_end_are_judged_like_any_other(name: str, day: str, empty: Path) -> None:
    keys = ENDS[name]
    rules = [keys.get("rule", RULE), *([keys["more"]] if "more" in keys else [])]
    top = keys.get("top", "")
    if day == "0001-01-01" and "in_force" not in top:
        top = f"{top}\nin_force: {{from: 0001-01-01}}".strip()
    write(empty / "rulesets/club.yaml", a_ruleset(*rules, top=top, version=keys.get("version", "1")))
    for grams in (1340, 1500):
        write(empty / f"car-{grams}.yaml", a_setup(f"car: {{mass_g: {grams}}}\nmotor: {{part: M-1}}", on=day))
    found = findings(empty)
    assert found.defects == ()
    assert found.problems == ()
    assert [entry.file for entry in found.entries] == ["car-1340.yaml", "car-1500.yaml"]


def test_classes_on_classes_on_classes_are_followed_to_their_end(empty: Path) -> None:
    classes = "".join(f"  c{i}: {{based_on: c{i + 1}, rules: []}}\n" for i in range(1100))
    text = a_ruleset(RULE, class_id="c1100").replace("classes:\n", f"classes:\n{classes}")
    write(empty / "rulesets/club.yaml", text)
    write(empty / "car.yaml", a_setup("car: {mass_g: 1340}", class_id="c0"))
    found = findings(empty)
    assert found.defects == ()
    assert [entry.verdict.value for entry in found.entries] == ["illegal"]


def test_rulesets_on_rulesets_on_rulesets_are_followed_to_their_end(empty: Path) -> None:
    write(empty / "rulesets/club-0.yaml", a_ruleset(RULE, id_="club-0"))
    for i in range(1, 300):
        write(empty / f"rulesets/club-{i}.yaml", a_ruleset(id_=f"club-{i}", top=f"based_on: club-{i - 1}@1"))
    write(empty / "car.yaml", a_setup("car: {mass_g: 1340}", ruleset="club-299"))
    source = Folder(str(empty))
    found = gathered(check(source.find(("car.yaml",)).files, source, Overrides(today=date(2026, 3, 14))))
    assert found.defects == ()
    assert [entry.verdict.value for entry in found.entries] == ["illegal"]


def test_a_car_far_down_in_folders_finds_its_rules(
    empty: Path, console: Console, monkeypatch: pytest.MonkeyPatch
) -> None:
    write(empty / "rulesets/club.yaml", a_ruleset(RULE))
    folder = empty
    monkeypatch.chdir(folder)
    for _ in range(1100):
        Path("d").mkdir()
        monkeypatch.chdir("d")
    Path("car.yaml").write_text(a_setup("car: {mass_g: 1340}"), encoding="utf-8")
    run = console(empty, "check", "--report", "lines", ".")
    monkeypatch.chdir(folder.joinpath(*["d"] * 1100))
    Path("car.yaml").unlink()
    for _ in range(1100):  # by hand: what tidies up after tests follows no folders so deep
        monkeypatch.chdir("..")
        Path("d").rmdir()
    assert run.status in (1, 2)
    assert "Traceback" not in run.err
    assert "illegal" in run.out
