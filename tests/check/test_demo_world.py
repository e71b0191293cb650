"""The demonstration cars: `check` says of them what was worked out by hand, before the program had judged them.

tests/data/demo/expected.md holds the arithmetic. "Counted" is the program as it is; "as read" is the same program on the
same files with every instrument, and every decision rule that asks for one, taken out of them.
"""

import re
from collections.abc import Mapping
from functools import cache

import pytest

from speclint.findings import EntryResult, Tally
from speclint.rules.checks import Check
from speclint.rules.wording import later_text
from tests.check.world import PROJECT, find_in, project_files

EXPECTED = (PROJECT / "tests" / "data" / "demo" / "expected.md").read_text(encoding="utf-8")
Row = dict[str, str]
EntryKey = tuple[str, str, str]
CheckKey = tuple[str, str, str, str]


def _table(heading: str) -> tuple[Row, ...]:
    section = EXPECTED.partition(f"## {heading}\n")[2].partition("\n## ")[0]
    lines = [line.strip("|").split("|") for line in section.splitlines() if line.startswith("|")]
    names, _, *rows = [[cell.strip() for cell in line] for line in lines]
    return tuple(dict(zip(names, row, strict=True)) for row in rows)


ENTRIES = _table("Entries")
NOT_PLAINLY_LEGAL = _table("Checks that are not plainly legal")
SECOND_LOOK = _table("Legal, and worth a second look")
COLUMNS = ("as read", "counted")


@cache
def _findings(column: str) -> Tally:
    files = {name: text for name, text in project_files("examples", "rulesets").items() if "-repo/" not in name}
    return find_in(files if column == "counted" else {name: _without_instruments(text) for name, text in files.items()})


def _without_instruments(text: str) -> str:
    """The text of a file in which no instrument is described, so that every value can only be taken as read.

    A known offset goes with its instrument, and so does the guard band of a decision rule.
    """
    lines, inside = [], False
    for line in text.splitlines():
        if re.match(r"\s*(- )?\w", line) and not line.startswith(" "):
            inside = line.startswith("instruments:")
        if not inside:
            lines.append(re.sub(r", (instrument|thermometer|decision): [\w-]+(?=[,}])", "", line))
    stripped = "\n".join(line for line in lines if not re.match(r" +(instrument|decision): ", line))
    return re.sub(r"^( +)instruments:\n(\1 +.*\n)+", "", f"{stripped}\n", flags=re.MULTILINE)


def _entry_key(entry: EntryResult) -> EntryKey:
    return entry.file.rpartition("/")[2], entry.flat.ruleset.id, entry.on.isoformat()


def _checks(column: str) -> Mapping[CheckKey, Check]:
    return {(*_entry_key(entry), check.rule.id): check for entry in _findings(column).entries for check in entry.checks}


def _row_key(row: Row) -> CheckKey:
    return row["file"], row["ruleset"], row["date"], row["rule"]


def _name(row: Row) -> str:
    return " ".join(row[key] for key in ("file", "ruleset", "date", "rule") if key in row)


def test_the_table_names_every_entry_of_the_demonstration_and_no_other() -> None:
    assert {(row["file"], row["ruleset"], row["date"]) for row in ENTRIES} == {
        _entry_key(entry) for entry in _findings("counted").entries
    }


@pytest.mark.parametrize("column", COLUMNS)
@pytest.mark.parametrize("row", ENTRIES, ids=_name)
def test_an_entry_gets_the_verdict_worked_out_by_hand(row: Row, column: str) -> None:
    found = {_entry_key(entry): entry for entry in _findings(column).entries}
    entry = found[row["file"], row["ruleset"], row["date"]]
    assert (entry.flat.id, entry.verdict.value) == (row["class"], row[column])


@pytest.mark.parametrize("column", COLUMNS)
@pytest.mark.parametrize("row", (*NOT_PLAINLY_LEGAL, *SECOND_LOOK), ids=_name)
def test_a_rule_says_what_was_worked_out_by_hand(row: Row, column: str) -> None:
    check = _checks(column)[_row_key(row)]
    verdict, _, close = row[column].partition(", ")
    assert check.verdict.value == verdict
    if column == "counted":
        assert check.close_call is (close == "close call")


@pytest.mark.parametrize("column", COLUMNS)
def test_every_check_that_the_table_does_not_name_is_plainly_legal(column: str) -> None:
    named = {_row_key(row) for row in NOT_PLAINLY_LEGAL}
    others = {
        key: check.verdict.value
        for key, check in _checks(column).items()
        if key not in named and check.rule.id != "final-drive-from-june" and check.verdict.value != "legal"
    }
    assert others == {}


def test_no_check_is_a_close_call_but_those_that_the_table_names() -> None:
    named = {_row_key(row) for row in (*NOT_PLAINLY_LEGAL, *SECOND_LOOK) if row["counted"].endswith("close call")}
    assert {key for key, check in _checks("counted").items() if check.close_call} == named


_NUMBER = r"(−?[0-9]+(?:\.[0-9]+)?)"
MARGIN = re.compile(rf"− [0-9.]+ = {_NUMBER}|short by {_NUMBER}|; \+ {_NUMBER} g|margin {_NUMBER}")
BLUR = re.compile(rf"\bU = {_NUMBER}")


def _rows_with(pattern: re.Pattern[str]) -> tuple[Row, ...]:
    return tuple(row for row in (*NOT_PLAINLY_LEGAL, *SECOND_LOOK) if pattern.search(row["by hand"]))


@pytest.mark.parametrize("row", [row for row in _rows_with(MARGIN) if "waived" not in row["by hand"]], ids=_name)
def test_the_margin_is_that_worked_out_by_hand(row: Row) -> None:
    """To the digits that are written there; the sign is the verdict's, as some rows subtract the value from the limit."""
    check = _checks("counted")[_row_key(row)]
    found = MARGIN.search(row["by hand"])
    assert found is not None
    assert check.outcome is not None
    written = next(group for group in found.groups() if group is not None).replace("−", "-")
    assert abs(float(check.outcome.margin)) == pytest.approx(abs(float(written)), abs=_half_a_digit(written))
    assert (check.outcome.margin < 0) is (row["as read"] == "illegal")


@pytest.mark.parametrize("row", _rows_with(BLUR), ids=_name)
def test_the_expanded_uncertainty_is_that_worked_out_by_hand(row: Row) -> None:
    check = _checks("counted")[_row_key(row)]
    found = BLUR.search(row["by hand"])
    assert found is not None
    assert check.outcome is not None
    assert check.outcome.expanded_uncertainty == pytest.approx(float(found[1]), abs=_half_a_digit(found[1]))


def _half_a_digit(written: str) -> float:
    return 0.51 * 10.0 ** -len(written.partition(".")[2])


def test_the_demonstration_files_have_no_problems() -> None:
    assert _findings("counted").problems == ()
    assert _findings("counted").not_judged == ()


def test_without_instruments_no_uncertainty_is_known_but_that_of_repeated_readings() -> None:
    known = {
        key[0]
        for key, check in _checks("as read").items()
        if check.outcome is not None and check.outcome.expanded_uncertainty is not None
    }
    assert known == {"car-14-close-call.yaml"}


NOTICED = {
    (row["file"], row["date"])
    for row in ENTRIES
    if (row["ruleset"], row["class"]) == ("harbour-city", "stock-17") and row["date"] < "2026-06-01"
}


def test_every_entry_before_june_is_told_of_the_amendment() -> None:
    told = {
        (entry.file.rpartition("/")[2], entry.on.isoformat())
        for entry in _findings("counted").entries
        for check in entry.checks
        if any(later.rule.id == "final-drive-from-june" for later in check.later)
    }
    assert told == NOTICED


def test_the_notice_says_what_is_asked_from_when_and_what_it_means_for_the_car() -> None:
    check = _checks("counted")["car-12-carpet.yaml", "harbour-city", "2026-03-14", "final-drive"]
    assert [later_text(later) for later in check.later] == [
        "from 1 June 2026 this rule asks at least 4.4, by 4.3 (amended): the car with 4.343 will be illegal"
    ]
