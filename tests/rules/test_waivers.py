"""A club's waiver: for one rule, one motor, one class, for a while; and what it does not cover."""

import pytest

from speclint.rules.wording import message
from tests.check.world import a_ruleset, a_setup, entry_of, find_in, verdicts

RULES = (
    "{id: timing, quantity: timing_set_deg, between: [36, 40]}",
    "{id: turns, quantity: motor_turns, equals: 17.5}",
)
WAIVED = """
waivers:
  - {rule: timing, class: stock, when: {motor_serial: "00288"}, from: 2026-02-01, until: 2026-04-30, granted: minutes of 3 March}
"""


def _timing(motor: str, on: str, top: str = WAIVED) -> str:
    return verdicts(entry_of(RULES, f"motor: {{{motor}, turns: 17.5}}", top=top, on=on))["timing"]


@pytest.mark.parametrize(
    ("on", "verdict"),
    [
        ("2026-01-31", "illegal"),
        ("2026-02-01", "not-applicable"),
        ("2026-03-14", "not-applicable"),
        ("2026-04-30", "not-applicable"),
        ("2026-05-01", "illegal"),
    ],
)
def test_a_waiver_holds_from_its_first_day_to_its_last(on: str, verdict: str) -> None:
    assert _timing('serial: "00288", timing_deg: 34', on) == verdict


@pytest.mark.parametrize("serial", ['serial: "00289"', 'serial: "288"', "name: no. 00288"])
def test_another_motor_is_not_waived(serial: str) -> None:
    assert _timing(f"{serial}, timing_deg: 34", "2026-03-14") == "illegal"


def test_what_is_not_shown_is_waived_as_well() -> None:
    assert _timing('serial: "00288"', "2026-03-14") == "not-applicable"
    assert _timing('serial: "00289"', "2026-03-14") == "not-shown"


def test_what_is_met_needs_no_waiver() -> None:
    assert _timing('serial: "00288", timing_deg: 38', "2026-03-14") == "legal"


def test_a_waiver_is_for_one_rule() -> None:
    motor = 'motor: {serial: "00288", timing_deg: 34, turns: 13.5}'
    result = entry_of(RULES, motor, top=WAIVED)
    assert verdicts(result) == {"timing": "not-applicable", "turns": "illegal"}
    assert result.verdict.value == "illegal"


def test_a_waiver_says_until_when_and_who_granted_it() -> None:
    check = entry_of(RULES, 'motor: {serial: "00288", timing_deg: 34}', top=WAIVED).checks[0]
    assert message(check) == "timing set: waived until 30 April 2026 (minutes of 3 March)"


def test_a_waiver_of_one_class_does_not_hold_in_another() -> None:
    club = a_ruleset(*RULES, top=WAIVED) + "  open:\n    based_on: stock\n"
    car = a_setup('motor: {serial: "00288", timing_deg: 34, turns: 17.5}', class_id="open")
    findings = find_in({"club.yaml": club, "car.yaml": car})
    assert verdicts(findings.entries[0])["timing"] == "illegal"
    everywhere = club.replace("class: stock, when", "when")
    findings = find_in({"club.yaml": everywhere, "car.yaml": car})
    assert verdicts(findings.entries[0])["timing"] == "not-applicable"


def test_a_waiver_that_the_base_granted_holds_at_the_club() -> None:
    files = {
        "league.yaml": a_ruleset(*RULES, top=WAIVED, id_="league"),
        "club.yaml": a_ruleset(top="based_on: league@1", class_id="other"),
        "car.yaml": a_setup('motor: {serial: "00288", timing_deg: 34, turns: 17.5}'),
    }
    assert verdicts(find_in(files).entries[0])["timing"] == "not-applicable"


def test_a_waiver_of_a_later_rule_is_counted_in_its_notice() -> None:
    later = "{id: june, quantity: timing_set_deg, equals: 30, replaces: timing, from: 2026-06-01}"
    top = 'waivers: [{rule: june, when: {motor_serial: "00288"}}]'
    motor = 'motor: {serial: "00288", timing_deg: 38, turns: 17.5}'
    assert entry_of((*RULES, later), motor, top=top).checks[0].later == ()
    assert [one.verdict.value for one in entry_of((*RULES, later), motor).checks[0].later] == ["illegal"]


@pytest.mark.parametrize(
    ("driver", "verdict"),
    [("senior", "not-applicable"), ("junior", "illegal"), ("juniour", "illegal"), ("junior B", "illegal")],
)
def test_a_slip_of_the_pen_gives_nobody_a_waiver_for_all_but_some(driver: str, verdict: str) -> None:
    top = "waivers: [{rule: timing, when: {entry.driver: {none_of: [junior]}}, granted: x}]"
    result = entry_of(RULES, "motor: {timing_deg: 34, turns: 17.5}", top=top, entry=f"driver: {driver}")
    assert verdicts(result)["timing"] == verdict
