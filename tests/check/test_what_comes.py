"""What changes for a team's cars on the days that it asks about: rules, lists, waivers, readings, calibrations, entries."""

import csv
import json
from datetime import date
from pathlib import Path

import pytest

import speclint
from speclint.check.pipeline import check, gathered
from speclint.files import ListedFile
from speclint.findings import ComingChange
from speclint.moments import Period, days_from
from speclint.reports.kinds import CHECK, KINDS, Kind
from speclint.workspace.overrides import Overrides
from speclint.workspace.source import NamedFiles
from tests.check.world import a_ruleset, a_setup
from tests.console import Console, write

MASS = "{id: weight, quantity: mass_g, at_least: 1300}"
AMENDED = "{id: weight-from-may, replaces: weight, from: 2026-05-01, quantity: mass_g, at_least: 1360, cite: '3.1'}"
CAR = "name: Car 7\ncar: {mass_g: 1350}\n"


def coming(files: dict[str, str], days: Period) -> list[tuple[str, str, str, str | None]]:
    """Day, sort, text and verdict of each change, in the order in which they are told."""
    return [
        (change.on.isoformat(), change.sort.value, change.text, change.verdict and change.verdict.value)
        for change in changes_in(files, days)
    ]


def changes_in(files: dict[str, str], days: Period) -> tuple[ComingChange, ...]:
    source = NamedFiles({name: text.encode() for name, text in files.items()})
    listed = [ListedFile(name, kind) for name in sorted(files) if (kind := source.read(name).declares)]
    findings = gathered(check(listed, source, Overrides(today=date(2026, 3, 14), coming=days)))
    assert findings.problems == ()
    assert findings.defects == ()
    return findings.coming


def april_20_and(days: int) -> Period:
    return days_from(date(2026, 4, 20), days)


def car_in(*rules: str, stated: str = CAR, top: str = "", entry: str = "") -> dict[str, str]:
    """A club of these rules, and a car that was entered in it in March."""
    return {"club.yaml": a_ruleset(*rules, top=top), "car.yaml": a_setup(stated, entry=entry)}


def test_an_amendment_is_told_with_what_the_car_turns_to() -> None:
    text = "mass: this rule asks at least 1360 g, by 3.1: the car with 1350 g will be illegal"
    assert coming(car_in(MASS, AMENDED), april_20_and(30)) == [("2026-05-01", "rule", text, "illegal")]


def test_an_amendment_that_the_car_meets_is_told_without_a_turn() -> None:
    text = "mass: this rule asks at least 1360 g, by 3.1: the car with 1372 g stays legal"
    files = car_in(MASS, AMENDED, stated=CAR.replace("1350", "1372"))
    assert coming(files, april_20_and(30)) == [("2026-05-01", "rule", text, None)]


def test_a_rule_that_ends_is_told_and_what_the_car_no_longer_breaks() -> None:
    files = car_in(
        MASS, "{id: width, quantity: width_mm, at_most: 190, until: 2026-04-30}", stated=f"{CAR[:-2]}, width_mm: 195}}"
    )
    assert coming(files, april_20_and(30)) == [
        ("2026-05-01", "rule", "width: this rule no longer binds", "not-applicable")
    ]


@pytest.mark.parametrize(("days", "count"), [(10, 0), (11, 1), (12, 1)])
def test_the_last_day_counts_and_the_day_after_it_does_not(days: int, count: int) -> None:
    assert len(coming(car_in(MASS, AMENDED), april_20_and(days))) == count


def test_what_has_begun_on_the_first_day_is_no_change_any_more() -> None:
    assert coming(car_in(MASS, AMENDED), days_from(date(2026, 5, 1), 30)) == []


def test_a_list_item_that_ends_takes_the_car_that_rests_on_it() -> None:
    top = "lists: {tyres: {items: [{id: HT-32, until: 2026-04-30}, {id: HT-36}]}}"
    rule = "{id: tyre, quantity: extra.tyre, listed_in: tyres}"
    ((day, sort, text, verdict),) = coming(car_in(rule, top=top, stated="extra: {tyre: HT-32}"), april_20_and(30))
    assert (day, sort, verdict) == ("2026-05-01", "list", "illegal")
    assert "HT-32 counted until 2026-04-30" in text
    assert coming(car_in(rule, top=top, stated="extra: {tyre: HT-36}"), april_20_and(30)) == []


def test_a_waiver_that_ends_is_told() -> None:
    top = "waivers: [{rule: weight, class: stock, until: 2026-04-30, granted: minutes of 3 March}]"
    files = car_in("{id: weight, quantity: mass_g, at_least: 1360}", top=top)
    text = "mass is 1350 g; the rule asks at least 1360 g: 10 g short; it was waived until 30 April 2026 (minutes of 3 March)"
    assert coming(files, april_20_and(30)) == [("2026-05-01", "waiver", text, "illegal")]


def test_a_bench_run_grows_too_old_on_the_day_after_its_last_one() -> None:
    bench = "name: Car 7\nmotor: {bench_runs: [{date: 2026-02-01, current_a: 2.1}]}\n"
    files = car_in("{id: fresh, quantity: bench_age_days, at_most: 90}", stated=bench)
    # 1 February + 90 days = 2 May (the calendar).
    text = "age of the bench run is 91 days; the rule asks at most 90 days: 1 day over"
    assert coming(files, april_20_and(30)) == [("2026-05-03", "reading", text, "illegal")]


def test_a_calibration_is_old_a_year_after_it_where_a_reading_names_the_instrument() -> None:
    # 2 May 2025 + 366 days = 3 May 2026 is the last day within a year and a day (the calendar).
    instruments = "instruments:\n  scale: {accuracy: 1, unit: g, calibrated_on: 2025-05-02}\n  spare: {accuracy: 1, unit: g, calibrated_on: 2025-05-02}\n"
    files = car_in(MASS, stated=f"name: Car 7\n{instruments}car: {{mass_g: {{value: 1350, instrument: scale}}}}\n")
    (change,) = changes_in(files, april_20_and(30))
    assert (change.on, change.sort.value, change.verdict) == (date(2026, 5, 4), "calibration", None)
    assert change.text.startswith("the calibration of the scale is a year old")
    assert (change.place.file, change.place.line) == ("car.yaml", 5)


def test_entries_are_told_with_their_verdicts_among_the_changes_by_day() -> None:
    entries = "".join(
        f"  - {{ruleset: club, class: stock, on: {day}}}\n" for day in ("2026-04-20", "2026-05-09", "2026-06-01")
    )
    files = {"club.yaml": a_ruleset(MASS, AMENDED), "car.yaml": f"format: setup/1\nentries:\n{entries}{CAR}"}
    told = [(day, sort, verdict) for day, sort, _, verdict in coming(files, april_20_and(30))]
    assert told == [
        ("2026-04-20", "entry", "legal"),
        ("2026-05-01", "rule", "illegal"),
        ("2026-05-09", "entry", "illegal"),
    ]


def test_what_several_entries_of_a_class_share_is_told_once_for_the_car() -> None:
    entries = "".join(
        f"  - {{ruleset: club, class: stock, on: 2026-03-14, venue: {venue}}}\n" for venue in ("hall", "park")
    )
    files = {"club.yaml": a_ruleset(MASS, AMENDED), "car.yaml": f"format: setup/1\nentries:\n{entries}{CAR}"}
    assert len(coming(files, april_20_and(30))) == 1


def test_the_next_version_takes_over_from_the_one_that_an_entry_was_judged_by() -> None:
    first = a_ruleset(MASS, top="in_force: {from: 2026-01-01, until: 2026-04-30}")
    second = a_ruleset(MASS.replace("1300", "1360"), version="2", top="in_force: {from: 2026-05-01}")
    files = {"a.yaml": first, "b.yaml": second, "car.yaml": a_setup(CAR, ruleset="club@1")}
    assert [(day, sort, verdict) for day, sort, _, verdict in coming(files, april_20_and(30))] == [
        ("2026-05-01", "rule", "illegal")
    ]


def test_a_ruleset_that_ends_without_a_next_one_is_told() -> None:
    files = car_in(MASS, top="in_force: {from: 2026-01-01, until: 2026-04-30}")
    ((day, sort, text, verdict),) = coming(files, april_20_and(30))
    assert (day, sort, verdict) == ("2026-05-01", "rule", None)
    assert text.startswith("no version of club is in force on 1 May 2026")


def test_nothing_is_told_where_nobody_asks() -> None:
    source = NamedFiles({name: text.encode() for name, text in car_in(MASS, AMENDED).items()})
    listed = [ListedFile(name, kind) for name in ("car.yaml", "club.yaml") if (kind := source.read(name).declares)]
    assert gathered(check(listed, source, Overrides(today=date(2026, 4, 20)))).coming == ()


def test_the_days_end_where_the_calendar_does() -> None:
    assert days_from(date(9999, 12, 30), 366) == Period(date(9999, 12, 30), date.max)
    assert coming(car_in(MASS), days_from(date(9999, 12, 30), 366)) == []


class TestOnTheCommandLine:
    @pytest.fixture
    def team(self, empty: Path) -> Path:
        for name, text in car_in(MASS, AMENDED).items():
            write(empty / ("rulesets/club.yaml" if name == "club.yaml" else name), text)
        return empty

    def test_the_report_has_a_row_for_each_change(self, team: Path, console: Console) -> None:
        run = console(team, "check", "--from", "2026-04-20", "--coming", "30")
        assert run.status == 0
        lines = run.out.splitlines()
        start = lines.index("What changes for these cars from 20 April 2026 to 20 May 2026")
        assert lines[start + 1].split() == ["day", "cars", "what", "verdict"]
        assert "1 May 2026" in lines[start + 2]
        assert "illegal" in lines[start + 2]
        quiet = console(team, "check", "--from", "2026-04-20", "--coming", "5").out
        assert "Nothing changes for these cars from 20 April 2026 to 25 April 2026." in quiet
        assert "What changes" not in console(team, "check").out

    def test_what_several_cars_share_is_one_row(self, team: Path, console: Console) -> None:
        text = (team / "car.yaml").read_text(encoding="utf-8")
        write(team / "car-8.yaml", text.replace("Car 7", "Car 8"))
        write(team / "car-9.yaml", text.replace("Car 7", "Car 9").replace("1350", "1372"))
        out = console(team, "check", "--from", "2026-04-20", "--coming", "30").out
        rows = [line for line in out.splitlines() if line.startswith("  1 May 2026")]
        assert ["Car 8; Car 7" in row for row in rows] == [True, False]
        assert "Car 9" in rows[1]

    def test_the_json_report_says_the_same_and_of_which_days(self, team: Path, console: Console) -> None:
        report = json.loads(console(team, "check", "--from", "2026-04-20", "--coming", "30", "--report", "json").out)
        assert (report["asked"]["coming_from"], report["asked"]["coming_until"]) == ("2026-04-20", "2026-05-20")
        ((change),) = report["coming"]
        assert (change["on"], change["name"], change["sort"], change["rules"], change["verdict"]) == (
            "2026-05-01",
            "Car 7",
            "rule",
            "club/stock",
            "illegal",
        )
        assert change["where"]["file"] == "car.yaml"

    @pytest.mark.parametrize("kind", [kind for kind in KINDS if CHECK in kind.modules], ids=lambda kind: kind.name)
    def test_every_kind_of_report_tells_it_or_is_refused(self, kind: Kind, team: Path, console: Console) -> None:
        where = ["--report", kind.name] if kind.is_printed else ["--save", f"out{kind.ending}"]
        run = console(team, "check", "--from", "2026-04-20", "--coming", "30", *where)
        if "--coming" in kind.leaves_out:
            assert (run.status, run.out) == (2, "")
            assert f"--coming has no place in a {kind.name} report" in run.err
            assert not (team / f"out{kind.ending}").exists()
            return
        assert run.status == 0
        text = run.out if kind.is_printed else (team / f"out{kind.ending}").read_text(encoding="utf-8")
        told = " ".join(text.replace("&#39;", "'").split())
        assert "this rule asks at least 1360 g, by 3.1: the car" in told
        assert "2026-05-01" in told or "1 May 2026" in told

    def test_a_kind_that_leaves_it_out_names_those_that_do_not(self, team: Path, console: Console) -> None:
        run = console(team, "check", "--coming", "30", "--save", "out.xml")
        assert "ask for text, lines, json, html, csv, annotations, markdown" in " ".join(run.err.split())

    def test_a_line_says_day_class_and_turn(self, team: Path, console: Console) -> None:
        out = console(team, "check", "--from", "2026-04-20", "--coming", "30", "--report", "lines").out
        assert (
            "car.yaml:2:11: coming: Car 7: mass: this rule asks at least 1360 g, by 3.1: the car with 1350 g will be"
            " illegal (club/stock, 2026-05-01)\n" in out
        )

    def test_a_spreadsheet_has_a_row_for_each_change_and_a_column_that_says_so(
        self, team: Path, console: Console
    ) -> None:
        console(team, "check", "--from", "2026-04-20", "--coming", "30", "--save", "out.csv")
        rows = [*csv.DictReader((team / "out.csv").read_text(encoding="utf-8-sig").splitlines())]
        (change,) = (row for row in rows if row["coming"])
        assert {key: text for key, text in change.items() if text} == {
            "file": "car.yaml", "name": "Car 7", "ruleset": "club", "class": "stock", "on": "2026-05-01", "verdict": "illegal",
            "coming": "rule",
            "message": "mass: this rule asks at least 1360 g, by 3.1: the car with 1350 g will be illegal",
        }  # fmt: skip
        console(team, "check", "--save", "plain.csv")
        assert "coming" not in (team / "plain.csv").read_text(encoding="utf-8")

    @pytest.mark.parametrize(
        ("word", "shows"),
        [("coming", True), ("illegal", True), ("weight", True), ("weight-from-may", True), ("mass_g", True),
         ("stock", True), ("car 7", True), ("legal", False), ("width", False), ("car 8", False)],
    )  # fmt: skip
    def test_only_shows_the_changes_that_the_word_names(
        self, team: Path, console: Console, word: str, shows: bool
    ) -> None:
        run = console(team, "check", "--from", "2026-04-20", "--coming", "30", "--only", word)
        assert ("1 May 2026" in run.out) is shows
        if not shows:
            assert f"Nothing of {word} changes from 20 April 2026 to 20 May 2026." in run.out

    def test_a_word_that_names_nothing_is_told_once_with_what_is_near(self, team: Path, console: Console) -> None:
        out = console(team, "check", "--from", "2026-04-20", "--coming", "30", "--only", "wieght").out
        assert "did you mean weight?" in " ".join(out.split())

    def test_only_is_refused_where_no_report_is_narrowed_by_it(self, team: Path, console: Console) -> None:
        run = console(team, "check", "--only", "weight", "--report", "lines")
        assert (run.status, run.out) == (2, "")
        assert "--only chooses what a text report shows" in run.err
        assert console(team, "check", "--only", "weight", "--save", "out.json").status == 0

    def test_a_program_asks_for_the_same(self, team: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.chdir(team)
        (change,) = speclint.check_paths(from_day=date(2026, 4, 20), coming_days=30).coming
        assert (change.on, change.name, change.sort, change.rules, change.verdict) == (
            date(2026, 5, 1), "Car 7", "rule", "club/stock", "illegal",
        )  # fmt: skip
        assert speclint.check_paths().coming == ()

    def test_without_a_first_day_it_is_today(self, team: Path, console: Console) -> None:
        report = json.loads(console(team, "check", "--coming", "1", "--report", "json").out)
        first, last = (date.fromisoformat(report["asked"][key]) for key in ("coming_from", "coming_until"))
        assert (last - first).days == 1
        assert abs((date.today() - first).days) <= 1
        assert report["asked"]["from"] is None

    @pytest.mark.parametrize("days", ["0", "-3", "367", "soon"])
    def test_days_that_are_no_number_of_them_are_refused(self, team: Path, console: Console, days: str) -> None:
        run = console(team, "check", "--coming", days)
        assert (run.status, run.out) == (2, "")
        assert "--coming" in run.err
