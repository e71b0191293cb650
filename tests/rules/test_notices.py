"""A rule that begins to bind after the race gives notice of what it will ask, and of what becomes of the car."""

from datetime import date

import pytest

from speclint.rules.judge import judge
from speclint.rules.rulebook import Turn, rulebook
from speclint.rules.wording import later_text
from tests.check.world import a_ruleset, a_setup, entry_of, find_in, verdicts

NOW = '{id: ratio, quantity: final_drive_ratio, at_least: 4.20, cite: "4.3"}'
JUNE = '{id: june, replaces: ratio, from: 2026-06-01, quantity: final_drive_ratio, at_least: 4.40, cite: "4.3a"}'
JULY = "{id: july, replaces: june, from: 2026-07-01, quantity: final_drive_ratio, at_least: 4.50}"
GEARS = "car: {spur_teeth: 96, pinion_teeth: 42, internal_ratio: 1.9}"
"""96 ÷ 42 × 1.9 = 4.3429."""


def _notices(*rules: str, stated: str = GEARS, on: str = "2026-03-14", entry: str = "") -> dict[str, list[str]]:
    result = entry_of(rules, stated, on=on, entry=entry)
    return {check.rule.id: [later_text(later) for later in check.later] for check in result.checks}


def test_the_amendment_is_told_beside_the_rule_that_it_replaces() -> None:
    assert _notices(NOW, JUNE) == {
        "ratio": ["from 1 June 2026 this rule asks at least 4.40, by 4.3a: the car with 4.343 will be illegal"]
    }


def test_a_car_that_meets_the_amendment_is_told_that_it_stays_legal() -> None:
    stated = "car: {spur_teeth: 96, pinion_teeth: 41, internal_ratio: 1.9}"
    assert _notices(NOW, JUNE, stated=stated)["ratio"] == [
        "from 1 June 2026 this rule asks at least 4.40, by 4.3a: the car with 4.449 stays legal"
    ]


def test_one_amendment_after_the_other_is_told_in_turn() -> None:
    assert [text[:40] for text in _notices(NOW, JUNE, JULY)["ratio"]] == [
        "from 1 June 2026 this rule asks at least",
        "from 1 July 2026 this rule asks at least",
    ]


def test_from_its_first_day_the_amendment_binds_and_the_old_rule_does_not() -> None:
    assert verdicts(entry_of((NOW, JUNE), GEARS, on="2026-05-31")) == {"ratio": "legal"}
    assert verdicts(entry_of((NOW, JUNE), GEARS, on="2026-06-01")) == {"june": "illegal"}
    assert _notices(NOW, JUNE, on="2026-06-01") == {"june": []}


def test_a_value_is_printed_with_the_digits_that_the_later_limit_needs() -> None:
    # 4.000 would do beside the old limit, and look like the new one.
    stated = "car: {spur_teeth: 400, pinion_teeth: 100, internal_ratio: 1}"
    close = "{id: june, replaces: ratio, from: 2026-06-01, quantity: final_drive_ratio, at_least: 4.0001}"
    assert _notices(NOW.replace("4.20", "3.5"), close, stated=stated)["ratio"] == [
        "from 1 June 2026 this rule asks at least 4.0001: the car with 4.0000 will be illegal"
    ]


def test_a_new_rule_that_replaces_none_is_told_for_itself() -> None:
    new = "{id: width, from: 2026-06-01, quantity: width_mm, at_most: 190}"
    result = entry_of((NOW, new), f"{GEARS[:-1]}, width_mm: 191}}")
    assert verdicts(result) == {"ratio": "legal", "width": "not-applicable"}
    assert result.verdict.value == "legal"
    assert [later_text(later) for later in result.checks[1].later] == [
        "from 1 June 2026 this rule asks at most 190 mm: the car with 191 mm will be illegal"
    ]
    assert result.checks[1].reason == "begins to bind on 1 June 2026"


def test_a_later_rule_that_will_not_apply_to_the_car_gives_no_notice() -> None:
    indoor = "{id: june, replaces: ratio, from: 2026-06-01, quantity: final_drive_ratio, at_least: 4.4, when: {entry.venue: indoor}}"
    assert _notices(NOW, indoor, entry="venue: outdoor") == {"ratio": []}
    assert len(_notices(NOW, indoor, entry="venue: indoor")["ratio"]) == 1


def test_a_later_rule_that_the_setup_does_not_show_says_so() -> None:
    new = "{id: width, from: 2026-06-01, quantity: width_mm, at_most: 190}"
    assert _notices(NOW, new)["width"] == [
        "from 1 June 2026 this rule asks at most 190 mm: the setup does not show that"
    ]


def test_a_rule_that_begins_after_the_rulesets_time_gives_no_notice() -> None:
    top = "in_force: {from: 2026-01-01, until: 2026-05-31}"
    (check,) = entry_of((NOW, JUNE), GEARS, top=top).checks
    assert check.later == ()


def test_a_rule_that_is_replaced_before_it_begins_gives_no_notice() -> None:
    never = "{id: never, from: 2026-08-01, quantity: final_drive_ratio, at_least: 9}"
    instead = "{id: instead, replaces: never, from: 2026-07-01, quantity: final_drive_ratio, at_least: 4}"
    assert sorted(_notices(NOW, never, instead)) == ["instead", "ratio"]


SEASON = "car: {spur_teeth: 96, pinion_teeth: 42, internal_ratio: 1.9, mass_g: 1340}"


def _next_season(*rules: str, published: str = "2026-11-01", known_on: str | None = None) -> dict[str, list[str]]:
    """What the racer of March is told where a version for the next year lies on the shelf as well."""
    findings = find_in(
        {
            "this.yaml": a_ruleset(NOW, top="in_force: {from: 2026-01-01, until: 2026-12-31}"),
            "next.yaml": a_ruleset(*rules, version="2", top=f"in_force: {{from: 2027-01-01}}\npublished: {published}"),
            "car.yaml": a_setup(SEASON),
        },
        known_on=known_on,
    )
    assert findings.problems == ()
    return {check.rule.id: [later_text(later) for later in check.later] for check in findings.entries[0].checks}


def test_the_next_version_gives_notice_of_a_rule_that_it_tightens() -> None:
    assert _next_season(NOW.replace("4.20", "4.50")) == {
        "ratio": ["from 1 January 2027 this rule asks at least 4.50, by 4.3: the car with 4.343 will be illegal"]
    }


def test_the_next_version_gives_notice_of_a_rule_that_it_adds() -> None:
    assert _next_season(NOW, "{id: weight, quantity: mass_g, at_least: 1350}") == {
        "ratio": [],
        "weight": ["from 1 January 2027 this rule asks at least 1350 g: the car with 1340 g will be illegal"],
    }


def test_a_rule_that_only_says_the_same_in_other_words_gives_no_notice() -> None:
    assert _next_season(NOW.replace("4.3", "5.1").replace("4.20", "4.2")) == {"ratio": []}


@pytest.mark.parametrize(
    ("otherwise", "notices"),
    [("illegal", []), ("{at_least: 1300}", []), ("{at_least: 1310}", ["from 1 January 2027"]), ("free", ["from 1 January 2027"])],
)  # fmt: skip
def test_a_table_that_is_written_anew_gives_notice_of_what_it_changes(otherwise: str, notices: list[str]) -> None:
    table = "{id: weight, quantity: mass_g, by: battery_cells, rows: {2: {at_least: 1330}}, otherwise: %s}"
    this = otherwise if not notices else "{at_least: 1300}"
    files = {
        "this.yaml": a_ruleset(table % this, top="in_force: {from: 2026-01-01, until: 2026-12-31}"),
        "next.yaml": a_ruleset(
            table % otherwise, version="2", top="in_force: {from: 2027-01-01}\npublished: 2026-11-01"
        ),
        "car.yaml": a_setup(f"{SEASON}\nbattery: {{cells: 2}}"),
    }
    (check,) = find_in(files).entries[0].checks
    assert [later_text(later)[:19] for later in check.later] == notices


def test_a_version_that_was_not_published_yet_gives_no_notice() -> None:
    assert _next_season(NOW.replace("4.20", "4.50"), known_on="2026-10-31") == {"ratio": []}


# --- what ends, comes back or changes with a list


def test_a_rule_that_ends_is_told() -> None:
    for_now = "{id: width, until: 2026-06-30, quantity: width_mm, at_most: 190}"
    assert _notices(NOW, for_now, stated=f"{GEARS[:-1]}, width_mm: 189}}")["width"] == [
        "from 1 July 2026 this rule no longer binds"
    ]


def test_a_rule_that_is_withdrawn_from_a_day_on_is_told() -> None:
    gone = "{id: gone, replaces: ratio, withdrawn: true, from: 2026-06-01}"
    assert _notices(NOW, gone) == {"ratio": ["from 1 June 2026 this rule no longer binds"]}


def test_a_dated_override_gives_notice_beside_the_inherited_rule() -> None:
    files = {
        "league.yaml": a_ruleset(NOW, id_="league"),
        "club.yaml": a_ruleset(NOW.replace("4.20", "4.50, from: 2026-06-01"), top="based_on: league@1"),
        "car.yaml": a_setup(GEARS),
    }
    (check,) = find_in(files).entries[0].checks
    assert check.verdict.value == "legal"
    assert [later_text(later) for later in check.later] == [
        "from 1 June 2026 this rule asks at least 4.50, by 4.3: the car with 4.343 will be illegal"
    ]


def test_the_old_rule_that_comes_back_after_a_temporary_one_is_told_beside_it() -> None:
    summer = JUNE.replace("from: 2026-06-01", "from: 2026-03-01, until: 2026-08-31").replace("4.40", "4.00")
    now = NOW.replace("4.20", "4.50")
    assert verdicts(entry_of((now, summer), GEARS)) == {"june": "legal"}
    assert _notices(now, summer) == {
        "june": ["from 1 September 2026 this rule asks at least 4.50, by 4.3: the car with 4.343 will be illegal"]
    }


def test_a_trial_that_begins_for_some_cars_is_told_to_these_alone() -> None:
    trial = JUNE.replace("at_least: 4.40", "at_least: 4.40, when: {entry.round: 5}")
    assert len(_notices(NOW, trial, entry="round: 5")["ratio"]) == 1
    assert _notices(NOW, trial, entry="round: 4") == {"ratio": []}


TYRES = "{id: tyre, quantity: extra.tyre, listed_in: tyres}"


@pytest.mark.parametrize(
    ("items", "told"),
    [
        ("[{id: T-1, until: 2026-06-30}]",
         ["from 1 July 2026 this rule asks for one on the list tyres: the car with T-1 will be illegal (on the list tyres,"
          " T-1 counted until 2026-06-30)"]),
        ("[{id: T-1, until: 2026-06-30}, {id: T-9}]",
         ["from 1 July 2026 this rule asks for one on the list tyres: the car with T-1 will be illegal (on the list tyres,"
          " T-1 counted until 2026-06-30)"]),
        ("[{id: T-1, until: 2026-06-30}, {id: T-1, from: 2026-07-01}]", []),
        ("[{id: T-1}, {id: T-2, until: 2026-06-30}]", []),
        ("[{id: T-1, from: 2026-05-01}]",
         ["from 1 May 2026 this rule asks for one on the list tyres: the car with T-1 stays legal"]),
    ],
)  # fmt: skip
def test_a_list_item_that_comes_or_ends_is_told_where_it_turns_the_verdict(items: str, told: list[str]) -> None:
    top = f"lists: {{tyres: {{items: {items}}}}}"
    (check,) = entry_of((TYRES,), "extra: {tyre: T-1}", top=top).checks
    assert [later_text(later) for later in check.later] == told


@pytest.mark.parametrize(
    ("begins", "turns"), [("2026-06-30", ["illegal", "legal"]), ("2026-07-01", []), ("2026-09-01", [])]
)
def test_an_amendment_that_begins_once_the_next_version_has_taken_over_gives_no_notice(
    begins: str, turns: list[str]
) -> None:
    findings = find_in(
        {
            "this.yaml": a_ruleset(NOW, JUNE.replace("2026-06-01", begins)),
            "next.yaml": a_ruleset(NOW, version="2", top="in_force: {from: 2026-07-01}"),
            "car.yaml": a_setup(GEARS, on="2026-06-01"),
        }
    )
    (check,) = findings.entries[0].checks
    assert [later.verdict.value for later in check.later] == turns


def test_on_the_first_day_of_the_next_version_it_is_none_that_comes_for_an_entry_by_the_old_one() -> None:
    files = {
        "this.yaml": a_ruleset(NOW),
        "next.yaml": a_ruleset(NOW.replace("4.20", "4.60"), version="2", top="in_force: {from: 2026-07-01}"),
    }
    for day, turns in (("2026-06-30", ["illegal"]), ("2026-07-01", [])):
        (entry,) = find_in({**files, "car.yaml": a_setup(GEARS, on=day, ruleset="club@1")}).entries
        assert [later.verdict.value for check in entry.checks for later in check.later] == turns


@pytest.mark.parametrize(("known_on", "turns"), [("2026-05-31", []), ("2026-06-01", ["illegal"])])
def test_the_next_version_gives_notice_from_the_day_on_which_it_was_published(known_on: str, turns: list[str]) -> None:
    top = "in_force: {from: 2026-07-01}\npublished: 2026-06-01"
    files = {
        "this.yaml": a_ruleset(NOW),
        "next.yaml": a_ruleset(NOW.replace("4.20", "4.60"), version="2", top=top),
        "car.yaml": a_setup(GEARS, on="2026-06-15"),
    }
    (entry,) = find_in(files, known_on=known_on).entries
    assert [later.verdict.value for check in entry.checks for later in check.later] == turns


def test_the_next_versions_list_gives_notice_where_it_turns_the_verdict() -> None:
    listed = "lists: {{tyres: {{items: [{{id: {}}}]}}}}\nin_force: {{{}}}"
    findings = find_in(
        {
            "this.yaml": a_ruleset(TYRES, top=listed.format("T-1", "from: 2026-01-01, until: 2026-12-31")),
            "next.yaml": a_ruleset(TYRES, version="2", top=listed.format("T-2", "from: 2027-01-01")),
            "car.yaml": a_setup("extra: {tyre: T-1}"),
        }
    )
    (check,) = findings.entries[0].checks
    assert [later.verdict.value for later in check.later] == ["illegal"]


def test_only_what_begins_in_this_version_counts_as_a_later_rule() -> None:
    ended = "{id: mass, until: 2026-05-31, quantity: mass_g, at_least: 1}"
    listed = "lists: {tyres: {items: [{id: T-1, until: 2026-04-30}, {id: T-2}]}}"
    until = "in_force: {from: 2026-01-01, until: 2026-12-31}"
    findings = find_in(
        {
            "this.yaml": a_ruleset(NOW, JUNE, JULY, ended, TYRES, top=f"{listed}\n{until}"),
            "next.yaml": a_ruleset(NOW.replace("4.20", "4.60"), version="2", top="in_force: {from: 2027-01-01}"),
            "car.yaml": a_setup(GEARS),
            "next-car.yaml": a_setup(GEARS, on="2027-03-14"),
        }
    )
    this, following = (entry.flat for entry in findings.entries)
    book = rulebook(this, date(2026, 3, 14), following)
    assert {(coming.turn, coming.rule.id) for coming in book.coming} == {
        (Turn.BEGINS, "june"), (Turn.BEGINS, "july"), (Turn.ENDS, "mass"), (Turn.CHANGES, "tyre"), (Turn.BEGINS, "ratio"),
    }  # fmt: skip
    assert [rule.id for rule in book.later] == ["june", "july"]


def test_a_rule_that_is_asked_alone_says_what_it_says_among_the_others() -> None:
    width = "{id: width, quantity: width_mm, at_most: 190}"
    new = "{id: length, from: 2026-07-01, quantity: length_mm, at_most: 400}"
    result = entry_of((NOW, JUNE, JULY, width, new), f"{GEARS[:-1]}, width_mm: 191, length_mm: 410}}")
    book = rulebook(result.flat, result.on)
    every_check = {check.rule.id: check for check in judge(book, result.facts, result.place)}
    for rule_id in ("ratio", "june", "july", "width", "length"):
        alone = {check.rule.id: check for check in judge(book.only({rule_id}), result.facts, result.place)}
        assert alone.get(rule_id) == every_check.get(rule_id)
    assert {check.rule.id for check in judge(book.only(()), result.facts, result.place)} == {"ratio", "length"}
