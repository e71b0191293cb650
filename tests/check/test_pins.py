"""Pins: a ruleset that is no longer the one a team looked at is a problem, told where it was pinned."""

from speclint.findings import Tally
from tests.check.world import a_ruleset, find_in

GARAGE = 'format: garage/1\npins:\n  club: {{{version}: "{digest}"}}\n'
SETUP = """\
format: setup/1
garage: garage.yaml
entries: [{ruleset: club, class: stock, on: 2026-03-14}]
car: {mass_g: 1360}
"""
RULE = "{id: weight, quantity: mass_g, at_least: 1350}"
NO_DIGEST = "sha256:" + "0" * 64


def _world(rule: str = RULE, *, version: str = '"1"', digest: str = NO_DIGEST) -> Tally:
    return find_in(
        {
            "garage.yaml": GARAGE.format(version=version, digest=digest),
            "car.yaml": SETUP,
            "rulesets/club.yaml": a_ruleset(rule),
        }
    )


def _digest(rule: str = RULE) -> str:
    return _world(rule).entries[0].digest


def test_a_ruleset_that_is_as_it_was_pinned_is_no_problem() -> None:
    assert _world(digest=_digest()).problems == ()


def test_another_order_of_keys_is_the_same_ruleset() -> None:
    assert _world("{at_least: 1350, quantity: mass_g, id: weight}", digest=_digest()).problems == ()


def test_a_ruleset_that_was_changed_breaks_its_pin_and_is_judged_by_all_the_same() -> None:
    changed = "{id: weight, quantity: mass_g, at_least: 1370}"
    findings = _world(changed, digest=_digest())
    (problem,) = findings.problems
    assert (problem.id, problem.place.file, problem.place.line) == ("pin-broken", "garage.yaml", 3)
    assert problem.message == (
        f"club@1 is not what was pinned: its digest is {_digest(changed)} now; see what changed in rulesets/club.yaml,"
        " or in what it builds on, and pin it anew if you agree"
    )
    assert [entry.verdict.value for entry in findings.entries] == ["illegal"]


def test_a_version_that_is_not_there_cannot_be_held_against_its_pin() -> None:
    ids = {problem.id: problem.message for problem in _world(version='"2"').problems}
    assert ids["unknown-ruleset"] == "there is no version 2 of club to hold the pin against; known: 1"
    assert ids["pin-broken"] == (
        "club is pinned to version 2, but an entry is judged by 1, which is in force on its day: look at what changed,"
        " then pin that one as well"
    )


def test_a_pin_holds_several_versions_of_one_ruleset() -> None:
    first, second = a_ruleset(RULE), a_ruleset(RULE, version="2", top="in_force: {from: 2026-06-01}")
    entries = "entries: [{ruleset: club, class: stock, on: 2026-03-14}, {ruleset: club, class: stock, on: 2026-06-13}]"
    files = {
        "rulesets/1.yaml": first,
        "rulesets/2.yaml": second,
        "car.yaml": SETUP.replace("entries: [{ruleset: club, class: stock, on: 2026-03-14}]", entries),
        "garage.yaml": "format: garage/1\n",
    }
    digests = [entry.digest for entry in find_in(files).entries]
    files["garage.yaml"] = f'format: garage/1\npins: {{club: {{"1": "{digests[0]}", "2": "{digests[1]}"}}}}\n'
    assert find_in(files).problems == ()
    files["garage.yaml"] = files["garage.yaml"].replace(digests[1], digests[0])
    (problem,) = find_in(files).problems
    assert (problem.id, problem.place.pointer) == ("pin-broken", "/pins/club/2")


def test_a_waiver_or_a_reason_that_is_added_breaks_no_pin_and_a_changed_day_of_publication_does() -> None:
    before = a_ruleset(RULE, top="published: 2026-01-01")
    garage = f'format: garage/1\npins: {{club: {{"1": "{_digest_of(before)}"}}}}\n'

    def problems(ruleset: str) -> list[str]:
        files = {"rulesets/club.yaml": ruleset, "car.yaml": SETUP, "garage.yaml": garage}
        return [problem.id for problem in find_in(files).problems]

    assert problems(before) == []
    assert problems(before + 'waivers: [{rule: weight, when: {motor_serial: "1"}}]\n') == []
    assert problems(before.replace("at_least", "because: so that it is fair, at_least")) == []
    assert problems(before.replace("published: 2026-01-01", "published: 2025-12-31")) == ["pin-broken"]


def _digest_of(ruleset: str) -> str:
    return (
        find_in({"rulesets/club.yaml": ruleset, "car.yaml": SETUP, "garage.yaml": "format: garage/1\n"})
        .entries[0]
        .digest
    )


def test_a_car_does_not_leave_the_pins_of_its_team_behind() -> None:
    garage = GARAGE.format(version='"1"', digest=NO_DIGEST)
    for named in ("", "garage: own.yaml\n", "garage: ../garage.yaml\n"):
        files = {
            "garage.yaml": garage,
            "cars/own.yaml": "format: garage/1\n",
            "cars/car.yaml": SETUP.replace("garage: garage.yaml\n", named),
            "rulesets/club.yaml": a_ruleset(RULE),
        }
        findings = find_in(files, order=["cars/car.yaml"])
        assert [problem.id for problem in findings.problems] == ["pin-broken"]
        assert [entry.verdict.value for entry in findings.entries] == ["not-shown"]
        # A newer version that nobody pinned takes no car out of reach either.
        newer = a_ruleset(RULE.replace("1350", "1000"), version="2", top="in_force: {from: 2026-03-01}")
        files["rulesets/club-2.yaml"] = newer
        problem_ids = {problem.message for problem in find_in(files, order=["cars/car.yaml"]).problems}
        assert any("but an entry is judged by 2" in message for message in problem_ids)


def test_a_garage_without_pins_and_one_elsewhere_say_nothing_of_a_car() -> None:
    files = {
        "garage.yaml": "format: garage/1\nprats_box: {}\n",
        "others/garage.yaml": GARAGE.format(version='"1"', digest=NO_DIGEST),
        "cars/car.yaml": SETUP.replace("garage: garage.yaml\n", ""),
        "rulesets/club.yaml": a_ruleset(RULE),
    }
    findings = find_in(files, order=["cars/car.yaml"])
    assert (findings.problems, [entry.verdict.value for entry in findings.entries]) == ((), ["legal"])
