"""What stands on the page of a check: slips, gauges, a motor's life, and the index of a field."""

import re
from datetime import date
from pathlib import Path

import pytest

from speclint.check.pipeline import check, gathered
from speclint.files import Folder
from speclint.findings import EntryResult, Tally
from speclint.reports.check.motor_life import life_of
from speclint.reports.check.slip import gauge_of, slip_of
from speclint.rules.checks import Verdict
from speclint.workspace.overrides import Overrides
from tests.console import lay_out_rulesets
from tests.reports.report_text import report_text

PROJECT = Path(__file__).resolve().parents[2]


def findings(*files: str, on: date | None = None) -> Tally:
    folder = Folder(str(PROJECT))
    listed = folder.find(files).files
    return gathered(check(listed, folder, Overrides(today=date(2026, 3, 1), on=on)))


@pytest.fixture(scope="module")
def field() -> Tally:
    return findings("examples/cars", "examples/setups")


def test_every_gauge_shows_the_side_on_which_the_check_decided(field: Tally) -> None:
    drawn = [(check, gauge) for result in field.entries for check in result.checks if (gauge := gauge_of(check))]
    assert len(drawn) > 100
    for judged, gauge in drawn:
        outcome = judged.outcome
        assert outcome is not None
        inside = any(left <= gauge.dot <= right for left, right in gauge.spans)
        assert inside is (outcome.margin >= 0)
        if outcome.close_call and gauge.bar is not None:
            assert any(gauge.bar[0] <= limit <= gauge.bar[1] for limit in gauge.limits)


def test_a_slip_has_every_rule_once(field: Tally) -> None:
    for result in field.entries:
        slip = slip_of(result)
        assert len(slip.rows) + len(slip.idle) == len(result.checks)
        failing = [check for check in result.checks if check.verdict in (Verdict.ILLEGAL, Verdict.NOT_SHOWN)]
        assert len(slip.tasks) == len(failing)
        for row in slip.rows:
            assert row.asked


def test_what_mends_an_illegal_car_stands_first_on_its_slip(field: Tally) -> None:
    (tall,) = (entry for entry in field.entries if entry.file.endswith("one-tooth-too-tall.yaml"))
    (task,) = slip_of(tall).tasks
    assert task.heading == "Final drive ratio: 0.055 short"
    assert task.remedies[0].startswith("spur 98 instead of 96")
    assert "Penalty: The run's times are deleted." in task.notes
    assert "96 ÷ 44 × 1.9 = 4.145." in task.notes


def test_the_index_lists_the_worst_first_and_links_each_car_to_its_slip(field: Tally) -> None:
    text = report_text("html", field)
    rows = re.findall(r'<tr><th scope="row"><a href="#(entry-\d+)">(.*?)</a></th><td><strong class="v-([a-z-]+)"', text)
    assert len(rows) == len(field.entries)
    assert all(f'id="{anchor}"' in text for anchor, _, _ in rows)
    order = ["illegal", "not-shown", "legal"]
    for group in text.split("</table>"):
        ranks = [order.index(word) for word in re.findall(r'</a></th><td><strong class="v-([a-z-]+)"', group)]
        assert ranks == sorted(ranks)


def test_a_rule_that_does_not_bind_has_no_row_and_one_that_is_waived_has(field: Tally) -> None:
    idle = {text for result in field.entries for text in slip_of(result).idle}
    assert "tyre (7.1): applies where venue is indoor" in idle
    (waived,) = (row for result in field.entries for row in slip_of(result).rows if row.verdict == "not-applicable")
    assert (waived.name, waived.how.partition(".")[0]) == (
        "timing set",
        "Waived until 30 April 2026 (minutes of 3 March)",
    )


class TestMotorLife:
    """A motor's life is drawn up to the day of the entry."""

    @pytest.fixture
    def car(self, tmp_path: Path) -> Path:
        setup = (PROJECT / "examples/setups/car-14-underweight.yaml").read_text(encoding="utf-8")
        setup = re.sub(r"(?m)^motor: .*$", "motor: motor.yaml", setup)
        setup = setup.replace("garage: ../garage.yaml", "garage: garage.yaml")
        (tmp_path / "car.yaml").write_text(setup, encoding="utf-8")
        for source, name in (("motors/00463.yaml", "motor.yaml"), ("garage.yaml", "garage.yaml")):
            (tmp_path / name).write_bytes((PROJECT / "examples" / source).read_bytes())
        lay_out_rulesets(tmp_path)
        return tmp_path / "car.yaml"

    def entry(self, car: Path, on: date) -> EntryResult:
        folder = Folder(str(car.parent))
        overrides = Overrides(today=on, on=on)
        return gathered(check(folder.find((car.name,)).files, folder, overrides)).entries[0]

    def test_runs_after_the_day_are_left_out(self, car: Path) -> None:
        days = {
            on: [row.day for row in life.rows]
            for on in (date(2026, 3, 14), date(2026, 5, 16))
            if (life := life_of(self.entry(car, on)))
        }
        assert days[date(2026, 3, 14)] == ["", "27 February 2026", "1 March 2026", "2 March 2026"]
        assert len(days[date(2026, 5, 16)]) == 8

    def test_what_a_rule_limits_has_its_limits_drawn_in(self, car: Path) -> None:
        life = life_of(self.entry(car, date(2026, 5, 16)))
        assert life is not None
        winding, speed, current = life.charts
        # 36.6 ± 4 % of the club's rule.
        assert winding.allowed == ((35.136, 38.064),)
        assert winding.title == "winding, mean, mΩ"
        assert (speed.allowed, current.allowed) == ((), ())

    def test_no_line_joins_readings_that_a_rebuild_parts(self, car: Path) -> None:
        life = life_of(self.entry(car, date(2026, 5, 16)))
        assert life is not None
        winding, speed, _ = life.charts
        # A rotor swap changes the speed and leaves the winding as it was: common practice.
        assert [point.is_joined for point in speed.points] == [False, True, True, True, True, False]
        assert [point.is_joined for point in winding.points] == [True, True, True, True, True, True, False]
        assert [mark.letter for mark in winding.marks] == ["A"]
        assert life.rows[2].record == "A: rotor swap (sold as more torque)"

    def test_the_newest_reading_is_the_one_that_was_judged(self, car: Path) -> None:
        result = self.entry(car, date(2026, 5, 16))
        life = life_of(result)
        assert life is not None
        (judged,) = (check for check in result.checks if check.rule.quantity == "winding_mean_mohm")
        gauge = gauge_of(judged)
        assert gauge is not None
        assert life.charts[0].points[-1].value == gauge.value
        assert life.charts[0].points[-1].reach == gauge.reach
