"""No car is legal by files that have problems: what is to be mended first is named, and what is illegal stays so."""

from collections.abc import Mapping

import pytest

from speclint.findings import Tally
from tests.check.world import a_ruleset, a_setup, find_in

RULES = (
    "{id: weight, quantity: mass_g, at_least: 1350}",
    "{id: final-drive, quantity: final_drive_ratio, at_least: 4.2}",
)
CAR = "car: {mass_g: 1352, internal_ratio: 1.9, spur_teeth: 96, pinion_teeth: 42}"


def found_with(stated: str, **more: str) -> Tally:
    files: Mapping[str, str] = {"rulesets/club.yaml": a_ruleset(*RULES), "car.yaml": a_setup(stated), **more}
    return find_in(files)


def verdict_and_reason(findings: Tally) -> tuple[str, str]:
    (entry,) = findings.entries
    return entry.verdict.value, entry.reason


def test_a_sound_car_is_legal() -> None:
    assert verdict_and_reason(found_with(CAR)) == ("legal", "")


@pytest.mark.parametrize(
    ("stated", "place"),
    [
        (CAR.replace("1352", "135200"), "car.yaml:3:15"),
        (CAR.replace("1.9", "19"), "car.yaml:3:37"),
        (CAR.replace("1352", "{value: 1352, instrument: scale}"), "car.yaml:3:41"),
        (
            f"{CAR}\nmotor: {{bench_runs: [{{date: 2026-03-01, kv_rpm_per_v: 2.45}}]}}",
            "car.yaml:4:55",
        ),
        (
            f'{CAR}\nmotor: {{serial: "1", factory_sheet: {{serial: "2"}}}}',
            "car.yaml:4:46",
        ),
        (f"{CAR}\nmotor: motors/1.yaml", "car.yaml:4:8"),
    ],
)
def test_a_value_that_nobody_can_have_meant_makes_no_car_legal(stated: str, place: str) -> None:
    findings = found_with(stated)
    assert [str(problem.place) for problem in findings.problems] == [place]
    assert verdict_and_reason(findings) == ("not-shown", f"mend {place} first")


def test_what_breaks_a_rule_is_illegal_whatever_else_is_wrong() -> None:
    stated = CAR.replace("1352", "1300").replace("1.9", "19")
    assert verdict_and_reason(found_with(stated)) == ("illegal", "")


def test_a_slip_that_no_rule_can_rest_on_changes_no_verdict() -> None:
    findings = found_with(f"{CAR}\ntrack_runs: [{{date: 2026-03-01, minutes: 300}}]")
    assert [problem.id for problem in findings.problems] == ["implausible-value"]
    assert verdict_and_reason(findings) == ("legal", "")


def test_of_two_rulesets_of_one_name_that_differ_neither_judges() -> None:
    looser = a_ruleset(RULES[0].replace("1350", "1000"), RULES[1])
    findings = found_with(CAR.replace("1352", "1100"), **{"cars/rulesets/club.yaml": looser})
    assert findings.entries == ()
    assert {problem.id for problem in findings.problems} == {"same-version", "file-has-problems"}


def test_a_copy_of_a_ruleset_is_a_problem_and_judges_all_the_same() -> None:
    findings = found_with(CAR, **{"cars/rulesets/club.yaml": a_ruleset(*RULES)})
    assert [problem.id for problem in findings.problems] == ["same-version"]
    assert verdict_and_reason(findings) == ("legal", "")


@pytest.mark.parametrize("pin", ['"1": "sha256:DIGEST"', '"0": "sha256:DIGEST"'])
def test_a_ruleset_that_is_not_what_the_garage_pins_makes_no_car_legal(pin: str) -> None:
    garage = f"format: garage/1\npins: {{club: {{{pin.replace('DIGEST', '0' * 64)}}}}}\n"
    verdict, reason = verdict_and_reason(found_with(f"{CAR}\ngarage: garage.yaml", **{"garage.yaml": garage}))
    assert (verdict, reason[:17]) == ("not-shown", "mend garage.yaml:")


@pytest.mark.parametrize("mass", ["135200", "{value: 1352, instrument: scale}"])
def test_an_official_reading_that_nobody_can_have_meant_makes_no_car_legal(mass: str) -> None:
    inspection = (
        "format: inspection/1\nevent: Round 1\non: 2026-03-14\nruleset: club@1\ncars:\n"
        f"  - {{class: stock, setup: none, number: 4, readings: {{car: {{mass_g: {mass}, internal_ratio: 1.9, spur_teeth: 96,"
        " pinion_teeth: 42}}}\n"
    )
    files = {"rulesets/club.yaml": a_ruleset(*RULES), "round-1.yaml": inspection}
    (entry,) = find_in(files, named=["round-1.yaml"]).entries
    assert entry.verdict.value == "not-shown"
    assert entry.reason.startswith("mend round-1.yaml:6:")
