"""A club that goes on under a league's text after that is over is told so, at the ruleset and with every entry."""

from tests.check.world import a_ruleset, a_setup, find_in

RULE = "{id: weight, quantity: mass_g, at_least: 1350}"
OVER = "league@1, which was in force until 30 April 2026: base a new version on one that is in force"


def _files(on: str) -> dict[str, str]:
    return {
        "rulesets/league.yaml": a_ruleset(RULE, id_="league", top="in_force: {from: 2026-01-01, until: 2026-04-30}"),
        "rulesets/club.yaml": a_ruleset(top="based_on: league@1", class_id="open"),
        "rulesets/team.yaml": a_ruleset(top="based_on: club@1", id_="team", class_id="open"),
        "car.yaml": a_setup("car: {mass_g: 1360}", ruleset="team", on=on),
    }


def test_to_the_last_day_of_the_base_nothing_is_said() -> None:
    findings = find_in(_files("2026-04-30"))
    assert (findings.problems, findings.entries[0].notes) == ((), ())


def test_afterwards_the_entry_is_judged_with_a_notice_and_the_ruleset_that_names_the_base_has_a_problem() -> None:
    findings = find_in(_files("2026-05-01"))
    (problem,) = findings.problems
    assert (problem.id, problem.place.file, problem.place.pointer) == ("base-over", "rulesets/club.yaml", "/based_on")
    assert problem.message == f"club@1 builds on {OVER}"
    (entry,) = findings.entries
    assert (entry.verdict.value, entry.notes) == ("legal", (f"club@1 builds on {OVER}",))


def test_a_ruleset_without_a_car_is_told_from_the_day_after_on() -> None:
    files = {name: text.replace("2026-04-30", "2026-03-13") for name, text in _files("2026-03-01").items()}
    del files["car.yaml"]
    assert {problem.id for problem in find_in(files).problems} == {"base-over"}
    on_the_last_day = {name: text.replace("2026-03-13", "2026-03-14") for name, text in files.items()}
    assert find_in(on_the_last_day).problems == ()


def test_what_is_over_itself_need_not_build_on_what_goes_on() -> None:
    files = {
        "rulesets/league.yaml": a_ruleset(RULE, id_="league", top="in_force: {from: 2026-01-01, until: 2026-02-01}"),
        "rulesets/club.yaml": a_ruleset(
            top="based_on: league@1\nin_force: {from: 2026-01-01, until: 2026-03-13}", class_id="open"
        ),
    }
    assert find_in(files).problems == ()
    goes_on = {name: text.replace("2026-03-13", "2026-03-14") for name, text in files.items()}
    assert [problem.id for problem in find_in(goes_on).problems] == ["base-over"]
