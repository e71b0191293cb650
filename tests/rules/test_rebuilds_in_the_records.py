"""What was done to a motor, by its records, as a quantity that rules limit."""

import pytest

from speclint.rules.wording import message
from tests.check.world import a_ruleset, a_setup, check_of, find_in, verdict_of

NOT_REWOUND = "quantity: motor_rebuilds, none_of: [rewind]"


@pytest.mark.parametrize(
    ("records", "verdict", "sentence"),
    [
        ("[]", "legal", "rebuilds is none; the rule asks not rewind"),
        (
            "[{date: 2026-03-01, did: [clean, bearing]}]",
            "legal",
            "rebuilds is clean, bearing; the rule asks not rewind",
        ),
        (
            "[{date: 2026-03-01, did: [clean, rewind]}]",
            "illegal",
            "rebuilds is clean, rewind; the rule asks not rewind",
        ),
        # The rebuild of a later day is none on the day of the race.
        ("[{date: 2026-03-20, did: [rewind]}]", "legal", "rebuilds is none; the rule asks not rewind"),
        (
            "[{date: 2026-03-05, did: [clean]}, {date: 2026-03-01, did: [shim, clean]}]",
            "legal",
            "rebuilds is shim, clean; the rule asks not rewind",
        ),
    ],
)
def test_every_rebuild_until_the_day_counts(records: str, verdict: str, sentence: str) -> None:
    check = check_of(NOT_REWOUND, f"motor: {{rebuilds: {records}}}")
    assert (check.verdict.value, message(check)) == (verdict, sentence)


@pytest.mark.parametrize("motor", ["", "motor: {part: M-1}", "motor:\n  rebuilds:"])
def test_a_motor_of_which_nothing_is_recorded_is_not_shown(motor: str) -> None:
    check = check_of(NOT_REWOUND, motor)
    assert message(check) == "rebuilds is not shown: add motor.rebuilds"


def test_only_some_kinds_may_be_allowed() -> None:
    rule = "quantity: motor_rebuilds, one_of: [clean, bearing]"
    assert verdict_of(rule, "motor: {rebuilds: [{date: 2026-03-01, did: [clean]}]}") == "legal"
    assert verdict_of(rule, "motor: {rebuilds: [{date: 2026-03-01, did: [clean, shim]}]}") == "illegal"
    assert verdict_of(rule, "motor: {rebuilds: []}") == "legal"


def test_the_place_to_look_at_is_the_newest_rebuild() -> None:
    records = "motor:\n  rebuilds:\n  - {date: 2026-02-01, did: [clean]}\n  - {date: 2026-03-01, did: [rewind]}"
    assert check_of(NOT_REWOUND, records).place.pointer == "/motor/rebuilds/1/did"


def test_a_kind_that_does_not_exist_is_a_problem_of_the_ruleset() -> None:
    rule = "{id: it, quantity: motor_rebuilds, none_of: [rewound]}"
    (problem,) = find_in({"club.yaml": a_ruleset(rule)}).problems
    assert problem.id == "limit-unfit"
    assert problem.message.endswith("did you mean rewind?")


def test_a_remedy_that_is_a_rebuild_breaks_no_rule_on_rebuilds() -> None:
    rules = (
        "{id: timing, quantity: timing_set_deg, at_most: 40}",
        "{id: sealed, quantity: motor_rebuilds, none_of: [timing-change]}",
    )
    car = "format: setup/1\nentries: [{ruleset: club, class: stock, on: 2026-03-14}]\nmotor: {timing_deg: 44, rebuilds: []}"
    (entry,) = find_in({"club.yaml": a_ruleset(*rules), "car.yaml": car}).entries
    assert [check.verdict.value for check in entry.checks] == ["illegal", "legal"]
    assert entry.checks[0].remedies == ()
    (free,) = find_in({"club.yaml": a_ruleset(rules[0]), "car.yaml": car}).entries
    assert free.checks[0].remedies


def test_what_was_done_cannot_be_undone_so_that_another_motor_is_needed() -> None:
    car = a_setup("motor: {rebuilds: [{date: 2026-03-01, did: [rewind]}]}")
    findings = find_in({"club.yaml": a_ruleset(f"{{id: it, {NOT_REWOUND}}}"), "car.yaml": car})
    assert [remedies.reason for remedies in findings.car_remedies] == ["another motor is needed"]
