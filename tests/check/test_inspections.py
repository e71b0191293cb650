"""Officials' readings go before what racers declare, stand beside it, and are judged only where their file is named."""

from collections.abc import Mapping
from fractions import Fraction

import pytest

from speclint.errors import UsageError
from speclint.findings import EntryResult, Tally
from speclint.readings.measured import value_of
from speclint.rules.checks import Verdict
from speclint.workspace.overrides import Overrides
from tests.check.world import a_ruleset, a_setup, find_in

RULES = (
    "{id: weight, quantity: mass_g, at_least: 1350, instrument: tech-scale}",
    "{id: final-drive, quantity: final_drive_ratio, at_least: 4.2}",
    "{id: winding, quantity: winding_mean_mohm, at_least: 20.5}",
    "{id: rotor, quantity: rotor_kind, one_of: [standard, torque]}",
    "{id: tyre, quantity: extra.tyre, equals: HT-36, when: {entry.venue: indoor}}",
    "{id: body, inspect: uncut}",
)
INSTRUMENTS = "instruments: {tech-scale: {accuracy_percent: 0.1, resolution: 1, unit: g}}"
CAR = """\
name: Car 12
instruments: {pit-scale: {accuracy_percent: 0.1, resolution: 1, unit: g}}
car: {mass_g: {value: 1360, instrument: pit-scale}, spur_teeth: 96, pinion_teeth: 42, internal_ratio: 1.9}
motor: ../motors/7.yaml
extra: {tyre: HT-36}
"""
MOTOR = """\
format: motor/1
rotor: {kind: standard}
bench_runs:
  - {date: 2026-03-01, winding: {ab_mohm: 21.4, bc_mohm: 21.4, ca_mohm: 21.4, winding_c: 20}}
"""
HEAD = "format: inspection/1\nevent: Round 3\non: 2026-03-14\nruleset: club\nofficials: [chief inspector]\n"
WORLD: Mapping[str, str] = {
    "rulesets/club.yaml": a_ruleset(*RULES, top=INSTRUMENTS),
    "cars/12.yaml": a_setup(CAR, entry="number: 12, venue: indoor"),
    "cars/14.yaml": a_setup(CAR.replace("Car 12", "Car 14"), entry="number: 14, venue: indoor"),
    "motors/7.yaml": MOTOR,
}


def inspected(*cars: str, head: str = HEAD, **more: str) -> Tally:
    """What is found of the cars, each the keys of one that was inspected, on one line."""
    files = {**WORLD, **more, "round-3.yaml": f"{head}cars:\n{''.join(f'  - {{{car}}}{chr(10)}' for car in cars)}"}
    return find_in(files, order=["round-3.yaml"], named=["round-3.yaml"])


def only(findings: Tally) -> EntryResult:
    assert findings.problems == ()
    return findings.entries[0]


def verdicts(result: EntryResult) -> dict[str, Verdict]:
    return {check.rule.id: check.verdict for check in result.checks}


def test_the_official_reading_decides_and_the_status_follows_it() -> None:
    findings = inspected("number: 12, class: stock, readings: {car: {mass_g: 1345}}")
    result = only(findings)
    assert (result.name, result.file, result.verdict) == ("Car 12", "cars/12.yaml", Verdict.ILLEGAL)
    assert result.inspected is not None and result.inspected.declared is Verdict.LEGAL
    assert findings.failed(strict=False)
    weight = result.checks[0]
    assert weight.place.file == "round-3.yaml"
    assert weight.fact is not None and not isinstance(weight.fact.value, str | tuple)
    assert weight.fact.value is not None and value_of(weight.fact.value) == 1345  # type: ignore[arg-type]


def test_what_officials_did_not_read_stands_as_declared() -> None:
    result = only(inspected("number: 12, class: stock, readings: {car: {pinion_teeth: 43}}"))
    assert result.verdict is Verdict.LEGAL
    drive = next(check for check in result.checks if check.rule.id == "final-drive")
    assert drive.fact is not None and drive.fact.value == Fraction(96 * 19, 430)
    assert result.inspected is not None and set(result.inspected.by_rule) == {"final-drive"}
    assert result.checks[0].place.file == "cars/12.yaml"


def test_a_key_without_a_value_is_not_read_yet() -> None:
    result = only(inspected("number: 12, class: stock, readings: {car: {mass_g: , pinion_teeth: }, motor: }"))
    assert result.verdict is Verdict.LEGAL
    assert result.inspected is not None and not result.inspected.by_rule


def test_a_record_that_is_still_to_be_filled_in_is_none() -> None:
    empty = "{date: 2026-03-14, winding: {ab_mohm: , bc_mohm: , ca_mohm: , winding_c: }}"
    rules = {
        "rulesets/club.yaml": a_ruleset(*RULES, "{id: age, quantity: bench_age_days, at_most: 10}", top=INSTRUMENTS)
    }
    for runs, verdict in (
        ("", Verdict.ILLEGAL),
        (empty, Verdict.ILLEGAL),
        ("{date: 2026-03-14, kv_rpm_per_v: 2400}", Verdict.LEGAL),
    ):
        findings = inspected(f"number: 12, class: stock, readings: {{motor: {{bench_runs: [{runs}]}}}}", **rules)
        assert verdicts(only(findings))["age"] is verdict, runs


def test_readings_of_a_motor_with_a_file_of_its_own_count() -> None:
    winding = "{ab_mohm: 20, bc_mohm: 20, ca_mohm: 20, winding_c: 20}"
    motor = f"motor: {{rotor: {{kind: light}}, bench_runs: [{{date: 2026-03-14, winding: {winding}}}]}}"
    result = only(inspected(f"number: 12, class: stock, readings: {{{motor}}}"))
    assert (verdicts(result)["winding"], verdicts(result)["rotor"]) == (Verdict.ILLEGAL, Verdict.ILLEGAL)
    places = {check.rule.id: check.place.file for check in result.checks}
    assert (places["winding"], places["rotor"]) == ("round-3.yaml", "round-3.yaml")


# E_n = |x₁ - x₂| / √(U₁² + U₂²), in agreement up to 1: ISO 13528:2022, 9.7. A scale off by 0.1 % with steps of 1 g:
# u = √((1.36 g)²/3 + (1 g)²/12) = 0.837 g, so U = 1.67 g, and both together 2.37 g.
@pytest.mark.parametrize(("official", "disagrees"), [(1358, False), (1362, False), (1357, True), (1363, True)])
def test_a_difference_counts_beyond_both_uncertainties(official: int, disagrees: bool) -> None:
    result = only(
        inspected(
            f"number: 12, class: stock, readings: {{car: {{mass_g: {{value: {official}, instrument: tech-scale}}}}}}"
        )
    )
    assert result.inspected is not None
    reading = result.inspected.by_rule["weight"]
    assert (reading.instrument, reading.disagrees) == ("tech-scale", disagrees)
    assert reading.difference == f"{'+' if official > 1360 else '−'}{abs(official - 1360)}.0 ± 2.4 g"


@pytest.mark.parametrize(
    ("readings", "told"),
    [
        ("car: {mass_g: {value: 13510, instrument: tech-scale}}", "13510 g looks like a misplaced decimal point"),
        # 1351 g in avoirdupois ounces of 28.349523125 g (NIST Handbook 44, appendix C).
        ("car: {mass_g: 47.66}", "47.66 looks like ounces"),
        (
            "motor: {bench_runs: [{date: 2026-03-14, winding: {ab_mohm: 21.4, bc_mohm: 2.14, ca_mohm: 21.4, winding_c: 20}}]}",
            "2.14 mΩ looks like a misplaced decimal point",
        ),
    ],
)
@pytest.mark.parametrize("car", ["number: 12", "setup: none"])
def test_a_slip_in_an_official_reading_is_told_where_it_stands(car: str, readings: str, told: str) -> None:
    findings = inspected(f"{car}, class: stock, readings: {{{readings}}}")
    assert [problem.id for problem in findings.problems] == ["implausible-value"]
    assert findings.problems[0].message.startswith(told)
    assert findings.problems[0].place.file == "round-3.yaml" and findings.problems[0].place.line == 7
    assert findings.failed(strict=False) and len(findings.entries) == 1


def test_a_slip_of_a_racer_is_not_told_of_the_officials_readings() -> None:
    car = a_setup(CAR.replace("value: 1360", "value: 13600"), entry="number: 12, venue: indoor")
    assert only(inspected("number: 12, class: stock, readings: {car: {mass_g: 1360}}", **{"cars/12.yaml": car}))
    assert inspected("number: 12, class: stock", **{"cars/12.yaml": car}).problems == ()


def test_what_is_counted_or_named_differs_at_all_or_not() -> None:
    readings = "{car: {pinion_teeth: 41, spur_teeth: 96}, motor: {rotor: {kind: standard}}, extra: {tyre: HT-32}}"
    result = only(inspected(f"number: 12, class: stock, readings: {readings}"))
    assert result.inspected is not None
    differ = {rule: (reading.difference, reading.disagrees) for rule, reading in result.inspected.by_rule.items()}
    # 96 ÷ 41 × 1.9 = 4.449 and 96 ÷ 42 × 1.9 = 4.343.
    assert differ == {"final-drive": ("+0.106", True), "rotor": ("", False), "tyre": ("", True)}


def test_no_instrument_of_a_racer_is_taken_for_an_official_one() -> None:
    car = a_setup(
        CAR.replace("pit-scale: {accuracy_percent: 0.1", "tech-scale: {accuracy_percent: 5").replace("pit-s", "tech-s"),
        entry="number: 12, venue: indoor",
    )
    findings = inspected(
        "number: 12, class: stock, readings: {car: {mass_g: {value: 1351, instrument: tech-scale}}}",
        **{"cars/12.yaml": car},
    )
    outcome = only(findings).checks[0].outcome
    assert outcome is not None and outcome.expanded_uncertainty == pytest.approx(1.66, abs=0.01)


def test_an_instrument_that_the_inspection_describes_counts_and_an_unknown_one_is_told() -> None:
    head = f"{HEAD}instruments: {{own-scale: {{accuracy: 10, unit: g}}}}\n"
    reading = "number: 12, class: stock, readings: {car: {mass_g: {value: 1360, instrument: %s}}}"
    outcome = only(inspected(reading % "own-scale", head=head)).checks[0].outcome
    assert outcome is not None and outcome.expanded_uncertainty == pytest.approx(2 * 10 / 3**0.5)
    (problem,) = inspected(reading % "own-scal", head=head).problems
    assert problem.message.startswith("no official instrument own-scal is described; did you mean own-scale?")


def test_a_look_decides_what_no_number_does() -> None:
    for outcome, verdict in (("passed", Verdict.LEGAL), ("failed", Verdict.ILLEGAL)):
        result = only(inspected(f"number: 12, class: stock, looked_at: {{body: {outcome}, rotor: {outcome}}}"))
        assert (verdicts(result)["body"], verdicts(result)["rotor"], result.verdict) == (verdict, verdict, verdict)


def test_a_rule_on_a_number_takes_a_reading_and_no_look() -> None:
    findings = inspected(
        "number: 12, class: stock, looked_at: {weight: passed}", "number: 14, class: stock, looked_at: {bodi: passed}"
    )
    by_id = {problem.id: problem.message for problem in findings.problems}
    assert by_id["needs-reading"] == "weight is a rule on a number: write what was read of the mass under `readings`"
    assert by_id["unknown-rule"].startswith("no rule bodi binds in stock that day; did you mean body?")


def test_it_is_judged_only_where_its_own_path_is_named() -> None:
    files = {
        **WORLD,
        "round-3.yaml": f"{HEAD}cars: [{{number: 12, class: stock, readings: {{car: {{mass_g: 1345}}}}}}]\n",
    }
    findings = find_in(files)
    assert [entry.verdict for entry in findings.entries] == [Verdict.LEGAL, Verdict.LEGAL]
    assert not findings.failed(strict=False)
    assert [inspection.file for inspection in findings.set_aside] == ["round-3.yaml"]
    named = find_in(files, named=["round-3.yaml"])
    assert [(entry.name, entry.verdict) for entry in named.entries] == [
        ("Car 14", Verdict.LEGAL),
        ("Car 12", Verdict.ILLEGAL),
    ]
    assert named.set_aside == ()


def test_where_nobody_has_a_setup_the_readings_are_judged_alone() -> None:
    readings = "{car: {mass_g: 1351, spur_teeth: 96, pinion_teeth: 42, internal_ratio: 1.9}}"
    for name in ("setup: none, name: Guest", "setup: none, number: 99"):
        result = only(inspected(f"{name}, class: stock, readings: {readings}"))
        assert result.inspected is not None and result.inspected.declared is None
        assert verdicts(result)["weight"] is Verdict.LEGAL
        assert verdicts(result)["winding"] is Verdict.NOT_SHOWN
        assert result.verdict is Verdict.NOT_SHOWN
    alone = {
        "rulesets/club.yaml": WORLD["rulesets/club.yaml"],
        "round-3.yaml": f"{HEAD}cars: [{{number: 3, class: stock, readings: {readings}}}]\n",
    }
    assert only(find_in(alone, order=["round-3.yaml"], named=["round-3.yaml"])).name == "number 3"


@pytest.mark.parametrize(
    ("car", "message"),
    [
        (
            "number: 21, class: stock",
            "no setup is entered as number 21 in stock of club on 14 March 2026; known: 12, 14;"
            " where nobody has its setup, write `setup: none`",
        ),
        ("class: stock", "no number, and no setup: write which car it is, or `setup: none` where nobody has its setup"),
        ("setup: cars/21.yaml, class: stock", "the setup cars/21.yaml does not exist; did you mean cars/14.yaml?"),
        ("setup: motors/7.yaml, class: stock", "motors/7.yaml is a motor, not a setup"),
        ("setup: cars/12.yaml, number: 14, class: stock", "cars/12.yaml is entered under number 12"),
        ("number: 12, class: stok", "number 12 is entered in stock, not in stok"),
        ("setup: cars/12.yaml, class: stok", "club@1 has no class stok; did you mean stock?"),
    ],
)
def test_a_car_that_is_not_there_is_told_with_what_was_meant(car: str, message: str) -> None:
    findings = inspected(car)
    assert any(message in problem.message for problem in findings.problems), [p.message for p in findings.problems]
    assert all(problem.place.file == "round-3.yaml" for problem in findings.problems)
    assert findings.failed(strict=False)


def test_one_car_that_is_wrong_hides_no_other() -> None:
    findings = inspected("number: 21, class: stock", "number: 12, class: stock, readings: {car: {mass_g: 1345}}")
    assert [entry.verdict for entry in findings.entries] == [Verdict.ILLEGAL]
    assert [refused.file for refused in findings.not_judged] == ["round-3.yaml"]


def test_a_car_that_stands_twice_is_told() -> None:
    findings = inspected("number: 12, class: stock", "number: 12, class: stock")
    assert [problem.id for problem in findings.problems] == ["same-car"]


def test_two_setups_of_one_number_are_told_apart_by_name() -> None:
    files = {"cars/12-b.yaml": WORLD["cars/12.yaml"]}
    (problem,) = inspected("number: 12, class: stock", **files).problems
    assert problem.message == "number 12 is entered by cars/12-b.yaml and cars/12.yaml: name one with `setup:`"
    assert only(inspected("setup: cars/12.yaml, class: stock", **files)).file == "cars/12.yaml"


def test_a_ruleset_that_changed_since_is_told_by_its_digest() -> None:
    digest = only(inspected("number: 12, class: stock")).digest
    head = f"{HEAD}digest: {digest}\n"
    assert only(inspected("number: 12, class: stock", head=head)).digest == digest
    changed = WORLD["rulesets/club.yaml"].replace("1350", "1340")
    (problem,) = inspected("number: 12, class: stock", head=head, **{"rulesets/club.yaml": changed}).problems
    assert problem.id == "pin-broken" and "is not what these cars were inspected by" in problem.message


def test_what_the_day_is_like_goes_before_what_an_entry_says() -> None:
    head = f"{HEAD}venue: outdoor\n"
    assert verdicts(only(inspected("number: 12, class: stock", head=head)))["tyre"] is Verdict.NOT_APPLICABLE
    result = only(inspected("number: 12, class: stock, entry: {venue: indoor}", head=head))
    assert verdicts(result)["tyre"] is Verdict.LEGAL


def test_it_says_its_own_rules_and_day() -> None:
    files = {**WORLD, "round-3.yaml": f"{HEAD}cars: [{{number: 12, class: stock}}]\n"}
    with pytest.raises(UsageError, match="--on does not go with the inspection"):
        find_in(files, order=["round-3.yaml"], named=["round-3.yaml"], on="2026-04-01")
    assert set(Overrides._fields) >= {"ruleset", "class_id", "on"}


def test_every_file_that_it_rests_on_is_named() -> None:
    result = only(inspected("number: 12, class: stock"))
    assert [read.file for read in result.files] == [
        "round-3.yaml",
        "cars/12.yaml",
        "motors/7.yaml",
        "rulesets/club.yaml",
    ]
