"""Which version of a ruleset is in force on a day, which rules bind, and what was known of them when."""

import pytest

from speclint.documents.parse import parse
from speclint.errors import UsageError
from speclint.rulesets.library import Library
from speclint.rulesets.load import ruleset_of
from speclint.rulesets.model import FlatClass
from speclint.rulesets.threads import threads_of
from tests.check.world import a_ruleset, a_setup, find_in, problems_of, verdict_of, verdicts

CAR = "car: {mass_g: 1340}"


def _ruleset(version: str, least: int, in_force: str, published: str = "", *rules: str) -> str:
    top = f"in_force: {{{in_force}}}\n{f'published: {published}' if published else ''}"
    weight = f"{{id: weight, quantity: mass_g, at_least: {least}}}"
    return a_ruleset(weight, *rules, top=top, version=version)


def _said(
    files: dict[str, str], on: str, *, ruleset: str = "club", known_on: str | None = None
) -> dict[str, str] | str:
    try:
        findings = find_in({**files, "car.yaml": a_setup(CAR, on=on, ruleset=ruleset)}, known_on=known_on)
    except UsageError as error:
        return str(error)
    if findings.entries:
        assert problems_of(findings) == []
        return verdicts(findings.entries[0])
    (problem,) = findings.problems
    return problem.message


SEASONS = {
    "a.yaml": _ruleset("2026.1", 1330, "from: 2026-01-01, until: 2026-06-30"),
    "b.yaml": _ruleset("2026.2", 1350, "from: 2026-05-01, until: 2026-12-31"),
}


@pytest.mark.parametrize(
    ("on", "verdict"),
    [
        ("2026-01-01", "legal"),
        ("2026-04-30", "legal"),
        ("2026-05-01", "illegal"),
        ("2026-06-30", "illegal"),
        ("2026-12-31", "illegal"),
    ],
)
def test_of_several_versions_in_force_the_one_that_began_last_counts(on: str, verdict: str) -> None:
    assert _said(SEASONS, on) == {"weight": verdict}


def test_an_entry_may_ask_for_one_version() -> None:
    assert _said(SEASONS, "2026-06-01", ruleset="club@2026.1") == {"weight": "legal"}


def test_no_version_in_force_lists_the_periods() -> None:
    assert _said(SEASONS, "2027-01-01") == (
        "no version of club is in force on 1 January 2027: 2026.1 from 2026-01-01 until 2026-06-30; 2026.2 from 2026-05-01"
        " until 2026-12-31"
    )


def test_a_version_asked_for_out_of_its_time_is_not_in_force() -> None:
    assert _said(SEASONS, "2026-07-01", ruleset="club@2026.1") == (
        "no version of club is in force on 1 July 2026: 2026.1 from 2026-01-01 until 2026-06-30"
    )


def test_an_unknown_version_lists_those_that_are_known() -> None:
    assert (
        _said(SEASONS, "2026-07-01", ruleset="club@2026.3")
        == "there is no version 2026.3 of club; known: 2026.1, 2026.2"
    )


def test_an_unknown_ruleset_lists_those_that_are_known_with_the_nearest() -> None:
    assert _said(SEASONS, "2026-07-01", ruleset="clubb") == "there is no ruleset clubb; did you mean club? Known: club"
    assert _said({}, "2026-07-01") == (
        "there is no ruleset club; none is known: a setup finds rulesets in the folders `rulesets` beside it and above it,"
        " as far as its git repository or, without one, the current folder reaches"
    )


def test_an_open_end_is_in_force_for_good() -> None:
    assert _said({"a.yaml": _ruleset("1", 1330, "from: 2026-01-01")}, "2046-01-01") == {"weight": "legal"}


def test_the_day_on_which_a_version_begins_goes_before_its_number() -> None:
    files = {"a.yaml": _ruleset("2", 1330, "from: 2026-01-01"), "b.yaml": _ruleset("1", 1350, "from: 2026-03-01")}
    assert _said(files, "2026-03-14") == {"weight": "illegal"}


@pytest.mark.parametrize(("older", "newer"), [("2026.9", "2026.10"), ("1", "2"), ("1.a", "1.b"), ("a", "1")])
def test_of_two_that_began_on_one_day_the_later_number_counts(older: str, newer: str) -> None:
    files = {"a.yaml": _ruleset(newer, 1350, "from: 2026-01-01"), "b.yaml": _ruleset(older, 1330, "from: 2026-01-01")}
    assert _said(files, "2026-03-14") == {"weight": "illegal"}


def test_of_two_that_began_on_one_day_the_one_published_later_counts() -> None:
    files = {
        "a.yaml": _ruleset("b", 1330, "from: 2026-01-01", "2025-11-01"),
        "b.yaml": _ruleset("a", 1350, "from: 2026-01-01", "2025-12-01"),
    }
    assert _said(files, "2026-03-14") == {"weight": "illegal"}


@pytest.mark.parametrize(("basis", "verdict"), [("league@1", "legal"), ("league@2", "illegal")])
def test_a_ruleset_builds_on_the_version_that_it_names(basis: str, verdict: str) -> None:
    files = {
        f"{version}.yaml": a_ruleset(
            f"{{id: weight, quantity: mass_g, at_least: {least}}}",
            top=f"in_force: {{from: {since}}}",
            id_="league",
            version=version,
        )
        for version, least, since in (("1", 1330, "2025-01-01"), ("2", 1350, "2026-01-01"))
    }
    assert _said({**files, "club.yaml": a_ruleset(top=f"based_on: {basis}")}, "2026-03-14") == {"weight": verdict}


# --- what was known on a day

PUBLISHED = {
    "a.yaml": _ruleset("1", 1330, "from: 2026-01-01", "2025-12-01"),
    "b.yaml": _ruleset("2", 1350, "from: 2026-03-01", "2026-02-15"),
}


def test_a_version_that_was_published_later_is_left_out() -> None:
    assert _said(PUBLISHED, "2026-03-14", known_on="2026-02-14") == {"weight": "legal"}
    assert _said(PUBLISHED, "2026-03-14", known_on="2026-02-15") == {"weight": "illegal"}


def test_where_nothing_was_published_yet_it_says_so() -> None:
    assert _said(PUBLISHED, "2026-03-14", known_on="2025-11-30") == (
        "no version of club published by 30 November 2025 is in force on 14 March 2026"
    )


def test_a_version_asked_for_before_it_was_published_says_when_it_was() -> None:
    assert _said(PUBLISHED, "2026-03-14", ruleset="club@2", known_on="2026-01-01") == (
        "club@2 was published on 15 February 2026, after 1 January 2026"
    )


AMENDED = "{id: heavy, replaces: weight, from: 2026-03-01, published: 2026-02-15, quantity: mass_g, at_least: 1350}"


def test_an_amendment_that_was_published_later_is_left_out_and_the_old_rule_stands() -> None:
    files = {"a.yaml": _ruleset("1", 1330, "from: 2026-01-01", "2025-12-01", AMENDED)}
    assert _said(files, "2026-03-14") == {"heavy": "illegal"}
    assert _said(files, "2026-03-14", known_on="2026-02-15") == {"heavy": "illegal"}
    assert _said(files, "2026-03-14", known_on="2026-02-14") == {"weight": "legal"}


def test_a_rule_without_a_date_of_its_own_was_known_with_its_ruleset() -> None:
    files = {"a.yaml": _ruleset("1", 1350, "from: 2026-01-01", "2025-12-01")}
    assert _said(files, "2026-03-14", known_on="2025-12-01") == {"weight": "illegal"}


def test_an_override_that_was_published_later_leaves_the_inherited_rule_standing() -> None:
    files = {
        "league.yaml": a_ruleset("{id: weight, quantity: mass_g, at_least: 1330}", id_="league"),
        "club.yaml": a_ruleset(
            "{id: weight, quantity: mass_g, at_least: 1350, published: 2026-02-15}", top="based_on: league@1"
        ),
    }
    assert _said(files, "2026-03-14") == {"weight": "illegal"}
    assert _said(files, "2026-03-14", known_on="2026-02-14") == {"weight": "legal"}


def test_a_withdrawal_that_was_published_later_leaves_the_inherited_rule_standing() -> None:
    files = {
        "league.yaml": a_ruleset("{id: weight, quantity: mass_g, at_least: 1350}", id_="league"),
        "club.yaml": a_ruleset("{id: weight, withdrawn: true, published: 2026-02-15}", top="based_on: league@1"),
    }
    assert _said(files, "2026-03-14") == {}
    assert _said(files, "2026-03-14", known_on="2026-02-14") == {"weight": "illegal"}


def test_a_list_item_that_was_published_later_is_left_out() -> None:
    top = "lists: {tyres: {items: [{id: T-1, published: 2026-02-15}]}}"
    files = {"a.yaml": a_ruleset("{id: tyre, quantity: extra.tyre, listed_in: tyres}", top=top)}
    files["car.yaml"] = a_setup("extra: {tyre: T-1}")
    (late,) = find_in(files, known_on="2026-02-14").entries[0].checks
    assert (late.verdict.value, late.reason) == ("illegal", "on the list tyres, T-1 was published on 2026-02-15")
    (known,) = find_in(files, known_on="2026-02-15").entries[0].checks
    assert known.verdict.value == "legal"


# --- when a rule binds


@pytest.mark.parametrize(
    ("on", "said"), [("2026-02-28", {}), ("2026-03-01", "it"), ("2026-03-31", "it"), ("2026-04-01", {})]
)
def test_a_rule_binds_from_its_first_day_to_its_last(on: str, said: str | dict[str, str]) -> None:
    rule = "{id: it, quantity: mass_g, at_least: 1350, from: 2026-03-01, until: 2026-03-31}"
    found = find_in({"a.yaml": a_ruleset(rule), "car.yaml": a_setup(CAR, on=on)}).entries[0]
    bound = [check.rule.id for check in found.checks if check.verdict.value == "illegal"]
    assert bound == ([said] if said else [])


def test_a_rule_may_bind_until_the_last_day_that_there_is() -> None:
    assert verdict_of("quantity: mass_g, at_least: 1350, until: 9999-12-31", "car: {mass_g: 1352}") == "legal"


def test_a_rule_and_what_takes_its_place_make_one_thread_with_the_gap_between_them() -> None:
    rules = (
        "{id: width, quantity: width_mm, at_most: 190, until: 2026-03-31}",
        "{id: wider, replaces: width, from: 2026-06-01, until: 2026-08-31, quantity: width_mm, at_most: 200}",
        "{id: weight, quantity: mass_g, at_least: 1350}",
        "{id: length, quantity: length_mm, at_most: 400, from: 2026-12-31}",
    )
    document, _ = parse("club.yaml", a_ruleset(*rules, top="in_force: {from: 2026-01-01, until: 2026-12-31}"))
    assert document is not None
    ruleset, problems = ruleset_of(document)
    flat = Library([ruleset]).flat(ruleset, "stock")
    assert isinstance(flat, FlatClass) and problems == ()
    turns = {
        thread.id: [
            (turn.day.isoformat(), turn.before and turn.before.id, turn.after and turn.after.id)
            for turn in thread.turns(ruleset.in_force)
        ]
        for thread in threads_of(flat)
    }
    assert turns == {
        "width": [("2026-04-01", "width", None), ("2026-06-01", None, "wider"), ("2026-09-01", "wider", None)],
        "weight": [],
        "length": [("2026-12-31", None, "length")],
    }
