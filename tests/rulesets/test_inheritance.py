"""What a class has from the classes and rulesets that it builds on, and what takes an inherited rule's place."""

import pytest

from tests.check.world import a_ruleset, a_setup, find_in, problems_of, verdicts

CAR = "car: {mass_g: 1340, width_mm: 195, ride_height_mm: 4}"
LIGHT = "{id: weight, quantity: mass_g, at_least: 1330}"
HEAVY = "{id: weight, quantity: mass_g, at_least: 1350}"
WIDTH = "{id: width, quantity: width_mm, at_most: 200}"
NARROW = "{id: width, quantity: width_mm, at_most: 190}"
HEIGHT = "{id: height, quantity: ride_height_mm, at_least: 5}"


def _verdicts(
    files: dict[str, str], *, on: str = "2026-03-14", class_id: str = "stock", ruleset: str = "club"
) -> dict[str, str]:
    findings = find_in({**files, "car.yaml": a_setup(CAR, on=on, class_id=class_id, ruleset=ruleset)})
    assert problems_of(findings) == []
    return verdicts(findings.entries[0])


def test_every_class_and_rule_of_the_base_holds_until_one_is_changed_by_its_id() -> None:
    files = {
        "league.yaml": a_ruleset(LIGHT, WIDTH, id_="league"),
        "club.yaml": a_ruleset(HEAVY, HEIGHT, top="based_on: league@1"),
    }
    assert _verdicts(files) == {"weight": "illegal", "width": "legal", "height": "illegal"}
    assert _verdicts(files, ruleset="league") == {"weight": "legal", "width": "legal"}


def test_a_class_that_the_club_does_not_name_is_the_leagues() -> None:
    files = {
        "league.yaml": a_ruleset(LIGHT, id_="league", class_id="pan"),
        "club.yaml": a_ruleset(HEAVY, top="based_on: league@1"),
    }
    assert _verdicts(files, class_id="pan") == {"weight": "legal"}


def test_three_layers_are_laid_one_over_the_other() -> None:
    files = {
        "world.yaml": a_ruleset(LIGHT, WIDTH, HEIGHT, id_="world"),
        "league.yaml": a_ruleset(NARROW, top="based_on: world@1", id_="league"),
        "club.yaml": a_ruleset(HEAVY, "{id: height, withdrawn: true}", top="based_on: league@1"),
    }
    assert _verdicts(files) == {"weight": "illegal", "width": "illegal"}
    assert _verdicts(files, ruleset="league") == {"weight": "legal", "width": "illegal", "height": "illegal"}


def test_a_class_may_be_based_on_another_of_the_same_ruleset() -> None:
    club = a_ruleset(LIGHT, WIDTH) + f"  junior:\n    based_on: stock\n    rules: [{HEAVY}, {HEIGHT}]\n"
    assert _verdicts({"club.yaml": club}, class_id="junior") == {
        "weight": "illegal",
        "width": "legal",
        "height": "illegal",
    }
    assert _verdicts({"club.yaml": club}) == {"weight": "legal", "width": "legal"}


@pytest.mark.parametrize(("rule", "problems"), [("weight", []), ("height", []), ("wait", ["unknown-rule"])])
def test_what_a_club_withdraws_may_come_from_the_class_that_the_leagues_is_based_on(
    rule: str, problems: list[str]
) -> None:
    league = a_ruleset(LIGHT, WIDTH, id_="league", class_id="base")
    files = {
        "league.yaml": f"{league}  stock:\n    based_on: base\n    rules: [{HEIGHT}]\n",
        "club.yaml": a_ruleset(f"{{id: {rule}, withdrawn: true}}", top="based_on: league@1"),
    }
    assert [problem.id for problem in find_in(files).problems] == problems


def test_a_clubs_change_to_a_class_reaches_the_leagues_class_that_is_based_on_it() -> None:
    league = a_ruleset(LIGHT, WIDTH, id_="league") + f"  junior:\n    based_on: stock\n    rules: [{HEIGHT}]\n"
    files = {"league.yaml": league, "club.yaml": a_ruleset(HEAVY, top="based_on: league@1")}
    assert _verdicts(files, class_id="junior") == {"weight": "illegal", "width": "legal", "height": "illegal"}


def test_what_a_class_says_itself_goes_before_what_its_base_says() -> None:
    club = a_ruleset(HEAVY) + f"  junior:\n    based_on: stock\n    rules: [{LIGHT}]\n"
    assert _verdicts({"club.yaml": club}, class_id="junior") == {"weight": "legal"}


AMENDED = "{id: weight-june, replaces: weight, from: 2026-06-01, quantity: mass_g, at_least: 1345}"


@pytest.mark.parametrize(
    ("on", "said"), [("2026-05-31", {"weight": "legal"}), ("2026-06-01", {"weight-june": "illegal"})]
)
def test_an_amendment_ends_the_rule_that_it_replaces(on: str, said: dict[str, str]) -> None:
    assert _verdicts({"club.yaml": a_ruleset(LIGHT, AMENDED)}, on=on) == said


@pytest.mark.parametrize("on", ["2026-05-31", "2026-06-01"])
def test_an_override_takes_the_inherited_amendments_along(on: str) -> None:
    files = {
        "league.yaml": a_ruleset(LIGHT, AMENDED, id_="league"),
        "club.yaml": a_ruleset("{id: weight, quantity: mass_g, at_least: 1320}", top="based_on: league@1"),
    }
    assert _verdicts(files, on=on) == {"weight": "legal"}


def test_an_override_takes_amendments_of_amendments_along() -> None:
    further = "{id: weight-july, replaces: weight-june, from: 2026-07-01, quantity: mass_g, at_least: 1360}"
    files = {
        "league.yaml": a_ruleset(LIGHT, AMENDED, further, id_="league"),
        "club.yaml": a_ruleset("{id: weight, quantity: mass_g, at_least: 1320}", top="based_on: league@1"),
    }
    assert _verdicts(files, on="2026-08-01") == {"weight": "legal"}
    assert _verdicts(files, on="2026-08-01", ruleset="league") == {"weight-july": "illegal"}


def test_a_withdrawal_takes_the_inherited_amendments_along() -> None:
    files = {
        "league.yaml": a_ruleset(LIGHT, AMENDED, WIDTH, id_="league"),
        "club.yaml": a_ruleset("{id: weight, withdrawn: true}", top="based_on: league@1"),
    }
    assert _verdicts(files, on="2026-08-01") == {"width": "legal"}


def test_a_club_may_amend_a_rule_of_the_league_from_a_day_on() -> None:
    files = {"league.yaml": a_ruleset(LIGHT, id_="league"), "club.yaml": a_ruleset(AMENDED, top="based_on: league@1")}
    assert _verdicts(files) == {"weight": "legal"}
    assert _verdicts(files, on="2026-06-01") == {"weight-june": "illegal"}


@pytest.mark.parametrize(
    ("withdrawal", "bound", "free"),
    [
        ("from: 2026-06-01", ("2026-05-31",), ("2026-06-01", "2026-12-31")),
        ("until: 2026-03-31", ("2026-04-01",), ("2026-01-01", "2026-03-31")),
        ("from: 2026-06-01, until: 2026-06-30", ("2026-05-31", "2026-07-01"), ("2026-06-01", "2026-06-30")),
    ],
)
def test_a_rule_that_is_withdrawn_for_a_time_binds_outside_it(
    withdrawal: str, bound: tuple[str, ...], free: tuple[str, ...]
) -> None:
    files = {
        "league.yaml": a_ruleset(HEAVY, id_="league"),
        "club.yaml": a_ruleset(f"{{id: weight, withdrawn: true, {withdrawal}}}", top="based_on: league@1"),
    }
    assert [_verdicts(files, on=on) for on in bound] == [{"weight": "illegal"}] * len(bound)
    assert all(_verdicts(files, on=on) in ({}, {"weight": "not-applicable"}) for on in free)


def test_a_withdrawal_for_a_time_pauses_the_amendments_too() -> None:
    files = {
        "league.yaml": a_ruleset(LIGHT, AMENDED, id_="league"),
        "club.yaml": a_ruleset("{id: weight, withdrawn: true, from: 2026-07-01}", top="based_on: league@1"),
    }
    assert _verdicts(files, on="2026-06-15") == {"weight-june": "illegal"}
    assert _verdicts(files, on="2026-07-15") == {}


def test_a_withdrawal_may_also_be_the_amendment() -> None:
    ends = "{id: no-weight, replaces: weight, from: 2026-06-01, withdrawn: true}"
    assert _verdicts({"club.yaml": a_ruleset(HEAVY, ends)}) == {"weight": "illegal"}
    assert _verdicts({"club.yaml": a_ruleset(HEAVY, ends)}, on="2026-06-01") == {}


def test_rules_keep_the_order_of_the_base_and_amendments_stand_behind_what_they_amend() -> None:
    files = {
        "league.yaml": a_ruleset(LIGHT, WIDTH, HEIGHT, id_="league"),
        "club.yaml": a_ruleset(
            "{id: new, quantity: mass_g, at_least: 1}",
            AMENDED.replace("2026-06-01", "2026-01-01"),
            NARROW,
            top="based_on: league@1",
        ),
    }
    assert list(_verdicts(files)) == ["weight-june", "width", "height", "new"]


def test_lists_instruments_and_the_reference_temperature_come_from_the_base_until_they_are_changed() -> None:
    run = "{date: 2026-03-01, winding: {ab_mohm: 21, bc_mohm: 21, ca_mohm: 21, winding_c: 30}}"
    car = a_setup(f"car: {{mass_g: 1352}}\nextra: {{tyre: T-1}}\nmotor: {{bench_runs: [{run}]}}")
    top = "reference_temperature_c: 30\nlists: {tyres: {items: [{id: T-1}]}}\ninstruments: {scale: {accuracy: 3}}"
    rules = (
        "{id: tyre, quantity: extra.tyre, listed_in: tyres}",
        "{id: weight, quantity: mass_g, at_least: 1350, instrument: scale, decision: must-show}",
        "{id: winding, quantity: winding_mean_mohm, equals: 21}",
    )
    league = a_ruleset(*rules, top=top, id_="league")

    def said(club_top: str) -> dict[str, str]:
        club = a_ruleset(top=f"based_on: league@1\n{club_top}", class_id="other")
        findings = find_in({"league.yaml": league, "club.yaml": club, "car.yaml": car})
        assert problems_of(findings) == []
        return verdicts(findings.entries[0])

    assert said("") == {"tyre": "legal", "weight": "not-shown", "winding": "legal"}
    own = "reference_temperature_c: 20\nlists: {tyres: {items: [{id: T-2}]}}\ninstruments: {scale: {accuracy: 0.1}}"
    assert said(own) == {"tyre": "illegal", "weight": "legal", "winding": "illegal"}
