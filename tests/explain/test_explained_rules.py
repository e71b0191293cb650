"""Rules, classes and rulesets explained: whole pages, and who states what until when."""

from datetime import date

import pytest

from speclint.errors import FileProblemsError, UsageError
from speclint.explain.names import explain
from speclint.reports import Paper
from speclint.workspace.ruleset_index import RulesetIndex
from tests.explain.two_rulesets import CLUB, LEAGUE, index

MARCH = date(2026, 3, 14)


def page(name: str, on: date = MARCH, rulesets: RulesetIndex | None = None, width: int = 100) -> str:
    found = rulesets if rulesets is not None else index()
    return explain(name, lambda: found, on, Paper(width=width))


def test_an_inherited_rule_with_its_instrument_and_its_waiver() -> None:
    assert (
        page("club/stock/weight")
        == """\
club/stock/weight: Stock, by The Club 2

  asks       mass at least 1330 g
             The official instrument is the scale: ± 0.1 % of the reading, in steps of 1 g.

  clause     L2

  why        Fairness.

  measured   Ready to race.

  else       No result.

  decided    as-read, the ruleset's. The reading counts as it is read.

  binds      on 14 March 2026

  waived     weight where motor serial is 00417, until 30 April 2026, minutes of 3 March

  stated by  league@1, The League, which club builds on

  quantity   `speclint explain mass_g`

  source     rulesets/league.yaml:12

  mind       The club's own text, the maker's instructions and the race director have the last word.
"""
    )


def test_a_rule_that_takes_the_place_of_an_inherited_one_and_is_amended_later() -> None:
    text = page("club/stock/gears")
    assert "  asks       final drive ratio at least 4.2\n" in text
    assert "decided" not in text, "a ratio of teeth is exact, and nobody has the doubt"
    assert "  later      from 1 June 2026 gears-from-june asks final drive ratio at least 4.4 (7a)\n" in text
    assert "  stated by  club@2, The Club\n" in text
    assert "             in place of league's rule, which asks final drive ratio at least 3.8 (L1)\n" in text


def test_a_rule_after_its_amendment_and_an_amendment_before_its_day() -> None:
    assert "no longer on 1 June 2026: gears-from-june has taken its place" in page("club/stock/gears", date(2026, 6, 1))
    before = page("club/stock/gears-from-june", date(2026, 5, 31))
    assert "  binds      not yet on 31 May 2026 (from 1 June 2026)\n" in before
    assert "it amends gears" in before
    assert "  binds      on 1 June 2026 (from 1 June 2026)\n" in page("club/stock/gears-from-june", date(2026, 6, 1))


def test_a_withdrawn_rule_says_what_would_be_asked_without_that() -> None:
    assert (
        page("club/stock/body")
        == """\
club/stock/body: Stock, by The Club 2

  asks    nothing: club withdraws this rule, so it does not bind here
          league asks here: to look at: windows clear (L5)

  clause  8

  source  rulesets/club.yaml:14
"""
    )


def test_a_list_says_what_counts_on_the_day_and_what_does_not() -> None:
    march, february = page("club/stock/motor"), page("club/stock/motor", date(2026, 2, 28))
    assert "on the list motors on 14 March 2026: M-1\n" in march
    assert "not counted: M-2 counted until 2026-02-28; M-3 was added on 2026-02-01" in march
    assert "on the list motors on 28 February 2026: M-1, M-2\n" in february
    assert "for M-1: R-1, R-2\n" in page("club/stock/rotor")


def test_conditions_and_modifiers_are_told() -> None:
    text = page("club/stock/tyre")
    assert "only where venue is indoor" in text
    assert "The value is first read to 0.1, halves away from zero." in text
    assert "The reading counts as it was read, at whatever temperature." in text


def test_a_class_is_a_table_of_what_it_asks() -> None:
    assert (
        page("club/stock")
        == """\
club/stock: Stock, by The Club 2

  on       14 March 2026

  asks     rule    on                 asks                                  clause
           gears   final drive ratio  at least 4.2                          7
           weight  mass               at least 1330 g                       L2
           motor   motor part         on the list motors                    L3
           rotor   rotor part         listed in motors for this motor part  L4
           tyre    tyre               HT-36

  only     tyre where venue is indoor

  later    from 1 June 2026 gears-from-june: final drive ratio at least 4.4 (7a)

  waived   weight where motor serial is 00417, until 30 April 2026, minutes of 3 March

  decided  as-read. The reading counts as it is read. A rule may say otherwise.

  winding  resistances are taken at 20 °C

  source   club@2, rulesets/club.yaml

  mind     The club's own text, the maker's instructions and the race director have the last word.
"""
    )


def test_a_table_that_does_not_fit_becomes_lines() -> None:
    text = page("club/stock", width=60)
    assert "gears: final drive ratio, at least 4.2, 7\n" in text
    assert max(map(len, text.splitlines())) <= 60


def test_a_ruleset_names_its_classes_its_basis_and_its_other_versions() -> None:
    text = page("club")
    assert text.startswith("club@2: The Club\n")
    assert "  builds on  league@1\n" in text
    assert "             club/stock  Stock\n" in text
    assert "  versions   club@1 (from 1 January 2026 until 31 January 2026)\n" in text


def test_the_version_in_force_on_the_day_is_explained_unless_one_is_named() -> None:
    assert "by The Club 1\n" in page("club/stock/gears", date(2026, 1, 10))
    assert "by The Club 2\n" in page("club/stock/gears", date(2026, 2, 10))
    named = page("club@1/stock/gears")
    assert "by The Club 1\n" in named
    assert "version 1 is not in force on 14 March 2026; shown is 1 on its last day, 31 January 2026" in named


@pytest.mark.parametrize(
    ("on", "shown"),
    [
        (date(2025, 1, 1), "shown is 2 on its first day, 1 February 2026"),
        (date(2027, 1, 1), "shown is 2 on its last day, 31 December 2026"),
    ],
)
def test_where_no_version_is_in_force_the_newest_is_shown_and_said_to_be(on: date, shown: str) -> None:
    text = " ".join(page("club/stock/weight", on).split())
    assert "no version is in force on" in text
    assert shown in text


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("cub/stock/gears", "there is no ruleset cub; did you mean club? Known: club, league"),
        ("club@3/stock", "there is no version 3 of club; known: 1, 2"),
        ("club/stok", "club@2 has no class stok; did you mean stock? Known: stock"),
        (
            "club/stock/wieght",
            "the class club/stock has no rule wieght; did you mean weight? Known: gears, gears-from-june, motor, rotor,"
            " tyre, weight",
        ),
    ],
)
def test_a_name_that_leads_nowhere_is_answered_with_the_nearest(name: str, message: str) -> None:
    with pytest.raises(UsageError) as refused:
        page(name)
    assert str(refused.value) == message


def test_a_ruleset_with_problems_of_its_own_is_not_explained_but_pointed_to() -> None:
    broken = index(league=LEAGUE, club=CLUB.replace("at_least: 4.2", "at_least: tall"))
    with pytest.raises(FileProblemsError, match=r"club has problems of its own: see rulesets/club\.yaml") as refused:
        page("club/stock", rulesets=broken)
    assert len(refused.value.lines) == 1
    assert refused.value.lines[0].startswith("rulesets/club.yaml:")


def test_text_from_a_ruleset_cannot_steer_the_terminal() -> None:
    text = page(
        "club/stock", rulesets=index(league=LEAGUE, club=CLUB.replace("title: The Club", 'title: "The\\e[31m Club"'))
    )
    assert "\x1b" not in text
    assert "The?[31m Club" in text
