"""`taken`: only a reading counts that was taken as the rule asks; and the temperature that one test corrects a winding to."""

from pathlib import Path

import pytest

from speclint.forms.taken import taken_text
from speclint.reports.check.limit_fields import stated_limit
from speclint.rules.sentences import terms
from speclint.rules.wording import message
from tests.check.world import a_ruleset, a_setup, check_of, entry_of, find_in, verdict_of
from tests.console import Console, write

RIG = "quantity: extra.no_load_speed_rpm, at_most: 19500, taken: {supply_v: 8.4}"
AFTER_RUN = "quantity: mass_g, at_least: 1320, taken: {at: after-run, age_days: {at_most: 0}}"
BENCH = "quantity: no_load_speed_rpm, at_most: 19500, taken: {supply_v: {between: [8.3, 8.5]}}"


@pytest.mark.parametrize(
    ("car", "verdict", "sentence"),
    [
        (
            "{value: 19400, taken: {supply_v: 8.2}}",
            "not-shown",
            "no load speed is not shown: read at 8.2 V, the rule asks 8.4 V",
        ),
        (
            "{value: 19400, taken: {supply_v: 8.4}}",
            "legal",
            "no load speed is 19400 rpm; the rule asks at most 19500 rpm: 100 rpm to spare",
        ),
        (
            "{value: 19620, taken: {supply_v: 8.4}}",
            "illegal",
            "no load speed is 19620 rpm; the rule asks at most 19500 rpm: 120 rpm over",
        ),
        (
            "19400",
            "not-shown",
            "no load speed is not shown: the rule asks for a reading at 8.4 V; add extra.no_load_speed_rpm.taken.supply_v",
        ),
        (
            "{readings: [19400, 19410], taken: {supply_v: 8.40}}",
            "legal",
            "no load speed is 19410 ± 70 rpm; the rule asks at most 19500 rpm: 95 rpm to spare",
        ),
    ],
)
def test_a_reading_counts_only_if_it_was_taken_as_the_rule_asks(car: str, verdict: str, sentence: str) -> None:
    check = check_of(RIG, f"extra: {{no_load_speed_rpm: {car}}}")
    assert (check.verdict.value, message(check)) == (verdict, sentence)


@pytest.mark.parametrize(
    ("taken", "verdict", "sentence"),
    [
        ("{at: after-run, on: 2026-03-14}", "legal", "to spare"),
        ("{at: after-run, on: 2026-03-13}", "not-shown", "read 1 day before, the rule asks at most 0 days"),
        ("{at: after-run, on: 2026-03-15}", "not-shown", "read after the race, the rule asks at most 0 days"),
        ("{at: start, on: 2026-03-14}", "not-shown", "read at start, the rule asks after-run"),
        # What was taken otherwise in one respect does not count, whatever is not said of another.
        ("{at: start}", "not-shown", "read at start, the rule asks after-run"),
        ("{at: after-run}", "not-shown", "a reading at most 0 days before; add car.mass_g.taken.on"),
        ("{on: 2026-03-14}", "not-shown", "a reading at after-run; add car.mass_g.taken.at"),
    ],
)
def test_every_respect_counts_and_the_age_follows_from_the_day(taken: str, verdict: str, sentence: str) -> None:
    check = check_of(AFTER_RUN, f"car: {{mass_g: {{value: 1322, taken: {taken}}}}}")
    assert check.verdict.value == verdict
    assert message(check).endswith(sentence)


def a_motor(*runs: str, rebuilds: str = "[]") -> str:
    return f"motor:\n  bench_runs: [{', '.join(runs)}]\n  rebuilds: {rebuilds}"


SLOW_AT_84 = "{date: 2026-03-01, supply_v: 8.4, speed_rpm: 19400}"
FAST_AT_84 = "{date: 2026-03-05, supply_v: 8.4, speed_rpm: 19900}"
AT_74 = "{date: 2026-03-08, supply_v: 7.4, speed_rpm: 17000}"
AT_NO_VOLTAGE = "{date: 2026-03-09, speed_rpm: 19400}"


@pytest.mark.parametrize(
    ("runs", "verdict", "sentence"),
    [
        ((SLOW_AT_84,), "legal", "100 rpm to spare"),
        ((SLOW_AT_84, FAST_AT_84), "illegal", "400 rpm over"),
        ((SLOW_AT_84, FAST_AT_84, AT_74), "illegal", "400 rpm over"),
        ((AT_74,), "not-shown", "read at 7.4 V, the rule asks 8.3 to 8.5 V"),
        # A run that does not say how it was made is not passed over for an older one.
        ((SLOW_AT_84, AT_NO_VOLTAGE), "not-shown", "add motor.bench_runs[1].supply_v"),
    ],
)
def test_of_bench_runs_the_newest_that_was_taken_so_counts(runs: tuple[str, ...], verdict: str, sentence: str) -> None:
    check = check_of(BENCH, a_motor(*runs))
    assert check.verdict.value == verdict
    assert message(check).endswith(sentence)


def test_a_run_that_no_longer_counts_is_not_called_back_by_how_it_was_taken() -> None:
    swap = "[{date: 2026-03-06, did: [rotor-swap]}]"
    assert verdict_of(BENCH, a_motor(SLOW_AT_84, rebuilds=swap)) == "not-shown"
    assert verdict_of(BENCH, a_motor(SLOW_AT_84, AT_74, rebuilds=swap)) == "not-shown"
    check = check_of(BENCH, a_motor(SLOW_AT_84, AT_74, rebuilds=swap))
    assert message(check).endswith("read at 7.4 V, the rule asks 8.3 to 8.5 V")


def test_a_winding_can_be_asked_for_in_the_cold_and_on_a_fresh_run() -> None:
    cold = "quantity: winding_mean_mohm, at_least: 36, taken: {winding_c: {at_most: 25}, age_days: {at_most: 30}}"
    winding = "{ab_mohm: 37, bc_mohm: 37, ca_mohm: 37, winding_c: %s}"
    run = f"{{date: 2026-03-01, winding: {winding}}}"
    assert verdict_of(cold, a_motor(run % 21)) == "legal"
    warm = check_of(cold, a_motor(run % 40))
    assert message(warm).endswith("read with the winding at 40 °C, the rule asks at most 25 °C")
    old = check_of(cold, a_motor((run % 21).replace("2026-03-01", "2026-01-01")))
    assert message(old).endswith("read 72 days before, the rule asks at most 30 days")


def test_what_follows_from_a_reading_asks_it_of_that_reading() -> None:
    rollout = "quantity: rollout_mm, at_most: 60, taken: {at: start}"
    gears = "spur_teeth: 80, pinion_teeth: 20, internal_ratio: 1"
    assert verdict_of(rollout, f"car: {{{gears}, tyre_diameter_mm: {{value: 63, taken: {{at: start}}}}}}") == "legal"
    late = check_of(rollout, f"car: {{{gears}, tyre_diameter_mm: {{value: 63, taken: {{at: after-run}}}}}}")
    assert message(late).endswith("is not shown: read at after-run, the rule asks start")
    assert verdict_of(rollout, f"car: {{{gears}, tyre_diameter_mm: 63}}") == "not-shown"


def test_the_same_reading_may_meet_one_rule_and_be_none_for_another() -> None:
    files = {
        "club.yaml": a_ruleset(
            "{id: start, quantity: mass_g, at_least: 1300, taken: {at: start}}",
            "{id: end, quantity: mass_g, at_least: 1290, taken: {at: after-run}}",
            "{id: any, quantity: mass_g, at_least: 1290}",
        ),
        "car.yaml": a_setup("car: {mass_g: {value: 1295, taken: {at: after-run}}}"),
    }
    (entry,) = find_in(files).entries
    assert [check.verdict.value for check in entry.checks] == ["not-shown", "legal", "legal"]


def test_the_inspector_looks_where_nothing_is_stated_and_not_where_it_was_taken_otherwise() -> None:
    rule = f"{RIG}, inspect: the rig"
    assert verdict_of(rule) == "to-inspect"
    assert verdict_of(rule, "extra: {no_load_speed_rpm: {value: 19400, taken: {supply_v: 8.2}}}") == "not-shown"


def test_ways_tables_and_units_ask_for_it_as_a_plain_rule_does() -> None:
    ways = "any_of: [{quantity: mass_g, at_least: 1320, taken: {at: after-run}}, {quantity: width_mm, at_most: 190}]"
    assert verdict_of(ways, "car: {mass_g: {value: 1322, taken: {at: after-run}}}") == "legal"
    assert verdict_of(ways, "car: {mass_g: {value: 1322, taken: {at: start}}}") == "not-shown"
    table = (
        "quantity: mass_g, unit: oz, by: battery_cells, rows: {1: {at_least: 40}, 2: {at_least: 46}},"
        " otherwise: illegal, taken: {at: after-run}"
    )
    stated = "battery: {cells: 2}\ncar: {mass_g: {value: 1322, taken: {at: %s}}}"
    assert verdict_of(table, stated % "after-run") == "legal"
    assert verdict_of(table, stated % "start") == "not-shown"


@pytest.mark.parametrize(
    ("rule", "message_text"),
    [
        ("quantity: mass_g, at_least: 2, taken: {suply_v: 8}", "`suply_v` is not a key of `taken`; did you mean `supply_v`?"),
        ("quantity: battery_cells, at_most: 2, taken: {at: x}", "`taken` goes with a reading, and battery_cells is a whole number"),
        ("quantity: entry.round, at_most: 2, taken: {at: x}", "`taken` goes with a reading, and entry.round is what an entry states"),
        (
            "quantity: winding_mean_mohm, at_least: 2, taken: {at: x}",
            "winding_mean_mohm is read in a bench run, which does not say `at`; it says on, age_days, supply_v, current_a,"
            " speed_rpm, winding_c, can_c, ambient_c, rotor",
        ),
        (
            "quantity: mass_g, at_least: 2, taken: {ambient_c: warm}",
            'ambient_c is a measured number; "warm" is not, so nothing can be equal to it',
        ),
        ("quantity: mass_g, at_least: 2, taken: {on: 2026-13-45}", "2026-13-45 is no day: write it as in 2026-03-14"),
        (
            "quantity: mass_g, at_least: 2, reference_temperature_c: 25",
            "a reference temperature is what a winding is corrected to, and mass_g does not depend on it, so that it says"
            " nothing here",
        ),
        (
            "quantity: winding_mean_mohm, at_least: 2, uncorrected: true, reference_temperature_c: 25",
            "a reference temperature is what a winding is corrected to, with `uncorrected`, so that it says nothing here",
        ),
    ],
)  # fmt: skip
def test_what_can_never_be_is_a_problem_of_the_ruleset(rule: str, message_text: str) -> None:
    (problem,) = find_in({"club.yaml": a_ruleset(f"{{id: it, {rule}}}")}).problems
    assert problem.message == message_text


@pytest.mark.parametrize(
    ("stated", "message_text"),
    [
        ("car: {mass_g: {value: 2, taken: {suply_v: 8}}}", "`suply_v` is not a key of `taken`; did you mean `supply_v`?"),
        ("extra: {x_mm: {value: 2, taken: {aat: start}}}", "`aat` is not a key of `taken`; did you mean `at`?"),
    ],
)  # fmt: skip
def test_a_setup_that_misspells_it_is_told_the_nearest_key(stated: str, message_text: str) -> None:
    files = {"club.yaml": a_ruleset("{id: it, quantity: mass_g, at_least: 1}"), "car.yaml": a_setup(stated)}
    (problem,) = find_in(files).problems
    assert problem.message == message_text


def test_a_reading_of_a_bench_run_says_nothing_of_itself_as_its_runs_keys_count() -> None:
    run = "{date: 2026-03-01, supply_v: 8.4, speed_rpm: {value: 19400, taken: {supply_v: 8.4}}}"
    files = {"club.yaml": a_ruleset("{id: it, quantity: mass_g, at_least: 1}"), "car.yaml": a_setup(a_motor(run))}
    (problem,) = find_in(files).problems
    assert problem.id == "unknown-key"


@pytest.mark.parametrize(("in_rule", "in_class", "limit"), [(25, 20, 38.0), (20, 25, 38.0), (None, 25, 38.0)])
def test_one_test_may_correct_its_winding_to_a_temperature_of_its_own(
    in_rule: int | None, in_class: int, limit: float
) -> None:
    # IEC 60034-1: R at t2 is R at t1 times (235 + t2) / (235 + t1), copper.
    measured, at_c = 37.5, 21
    own = "" if in_rule is None else f", reference_temperature_c: {in_rule}"
    to_c = in_class if in_rule is None else in_rule
    rule = f"quantity: winding_mean_mohm, at_least: {limit}{own}"
    winding = f"{{ab_mohm: {measured}, bc_mohm: {measured}, ca_mohm: {measured}, winding_c: {at_c}}}"
    entry = entry_of(
        (f"{{id: it, {rule}}}",),
        a_motor(f"{{date: 2026-03-01, winding: {winding}}}"),
        top=f"reference_temperature_c: {in_class}",
    )
    (check,) = entry.checks
    corrected = measured * (235 + to_c) / (235 + at_c)
    assert check.outcome is not None
    assert float(check.outcome.margin) == pytest.approx(corrected - limit, abs=1e-9)
    (term,) = (text for text in terms(check.rule, entry.flat) if "winding" in text)
    assert term == f"The winding counts at {to_c} °C."


def test_the_sentence_says_which_readings_count() -> None:
    rule = BENCH.replace("between: [8.3, 8.5]", "between: [8.3, 8.5]}, ambient_c: {at_most: 25")
    entry = entry_of((f"{{id: it, {rule}}}",))
    (check,) = entry.checks
    (test,) = check.rule.tests
    assert taken_text(test.taken) == "read at 8.3 to 8.5 V and with the air at at most 25 °C"
    assert [*terms(check.rule, entry.flat)] == [
        "Only a reading counts that was read at 8.3 to 8.5 V and with the air at at most 25 °C."
    ]


def test_in_a_sum_each_measured_part_was_taken_so() -> None:
    top = (
        "quantities:\n  extra.driver_kg: {kind: measured}\n  extra.ballast_kg: {kind: measured}\n"
        "  extra.all_up_kg: {kind: measured, sum_of: [extra.driver_kg, extra.ballast_kg]}"
    )
    rule = "quantity: extra.all_up_kg, at_least: 80, taken: {at: after-run}"
    so, otherwise = "{value: 78, taken: {at: after-run}}", "{value: 78, taken: {at: start}}"
    ballast = "{value: 3.4, taken: {at: after-run}}"
    assert verdict_of(rule, f"extra: {{driver_kg: {so}, ballast_kg: {ballast}}}", top=top) == "legal"
    late = check_of(rule, f"extra: {{driver_kg: {otherwise}, ballast_kg: {ballast}}}", top=top)
    assert message(late).endswith("is not shown: read at start, the rule asks after-run")
    plain = check_of(rule, f"extra: {{driver_kg: {so}, ballast_kg: 3.4}}", top=top)
    assert message(plain).endswith("add extra.ballast_kg.taken.at")


def test_a_report_tells_the_limit_with_its_terms() -> None:
    stated = "extra: {no_load_speed_rpm: {value: 19400, taken: {supply_v: 8.4}}}"
    assert stated_limit(check_of(RIG, stated)) == {"at_most": 19500, "taken": {"supply_v": 8.4}}
    table = (
        "quantity: mass_g, by: battery_cells, rows: {2: {at_least: 1320}}, otherwise: illegal, leeway: 1,"
        " taken: {at: after-run}"
    )
    check = check_of(table, "battery: {cells: 2}\ncar: {mass_g: {value: 1322, taken: {at: after-run}}}")
    assert stated_limit(check) == {"at_least": 1320, "leeway": 1, "taken": {"at": "after-run"}}


def test_a_row_says_that_a_reading_is_there_and_does_not_count(empty: Path, console: Console) -> None:
    write(empty / "rulesets/club.yaml", a_ruleset(f"{{id: weight, {AFTER_RUN}}}"))
    write(empty / "car.yaml", a_setup("car: {mass_g: {value: 1322, taken: {at: start}}}"))
    rows = " ".join(console(empty, "check", "car.yaml").out.split())
    assert "? mass no reading counts at least 1320 g not shown" in rows
    assert "what read at start, the rule asks after-run" in rows
