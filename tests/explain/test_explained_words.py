"""Verdicts, decision rules, problems, rebuilds and advice explained; every example is put to the test."""

from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from speclint.advice.model import AdviceSort
from speclint.advice.registry import ADVICE_SORTS
from speclint.check.pipeline import check, gathered
from speclint.documents.parse import parse
from speclint.errors import UsageError
from speclint.explain.cases import READINGS_G, decision_cases, verdict_case
from speclint.explain.names import explain, groups, listing
from speclint.explain.problem_examples import EXAMPLES
from speclint.files import Folder, ListedFile
from speclint.limits.decisions import Decision
from speclint.models.cars import Car
from speclint.models.motors import motor_of
from speclint.models.setups import setup_of
from speclint.problems import PROBLEM_SORTS, SORTS_BY_ID
from speclint.quantities.checklists import CHECKLISTS, CHECKLISTS_BY_KIND, MANUAL_FIRST
from speclint.quantities.facts import Facts
from speclint.quantities.keys import from_bench
from speclint.quantities.rebuilds import REBUILDS, RebuildKind
from speclint.quantities.registry import BY_NAME, QUANTITIES
from speclint.reports import Paper
from speclint.rules.checks import VERDICT_MEANINGS, Verdict
from speclint.workspace.overrides import Overrides
from tests.console import Console, lay_out_rulesets
from tests.explain.two_rulesets import index


def page(name: str) -> str:
    return explain(name, index, date(2026, 3, 14), Paper(width=100))


def flat(text: str) -> str:
    return " ".join(text.split())


EVERY_NAME = [name for group in groups() for name in group.pages]


@pytest.mark.parametrize("name", EVERY_NAME)
def test_everything_has_a_page_that_names_its_source(name: str) -> None:
    text = page(name)
    assert text.startswith(f"{name}: ")
    source = text.partition("\n  source")[2].strip()
    assert len(source.splitlines()[0]) > 5
    assert max(map(len, text.splitlines())) <= 160


@pytest.mark.parametrize("verdict", Verdict)
def test_a_verdict_is_shown_on_a_case_that_the_engine_judged_so(verdict: Verdict) -> None:
    assert verdict_case(verdict).verdict is verdict
    assert flat(VERDICT_MEANINGS[verdict]) in flat(page(verdict.value))


def test_an_illegal_case_in_its_words() -> None:
    # 96 ÷ 44 × 1.9 = 4.14545…, by hand
    assert "final drive ratio is 4.145; the rule asks at least 4.2: 0.055 short" in page("illegal")


@pytest.mark.parametrize(
    ("decision", "rulings"),
    [
        # JCGM 106:2012, 8.2, 8.3.2 and 8.3.3, with U = 2.3 g about the limit of 1350 g.
        (Decision.AS_READ, ["legal", "legal", "illegal", "illegal"]),
        (Decision.MUST_SHOW, ["legal", "not-shown", "illegal", "illegal"]),
        (Decision.BENEFIT_OF_DOUBT, ["legal", "legal", "legal", "illegal"]),
    ],
)
def test_decision_rules_part_where_the_standard_says(decision: Decision, rulings: list[str]) -> None:
    assert READINGS_G == (1353, 1351, 1349, 1347)
    assert [case.ruling for case in decision_cases(decision)] == rulings


def test_a_decision_rule_in_full() -> None:
    # U = 2 × 2/√3 = 2.31; chances: normal distribution at ±1/1.1547 and ±3/1.1547, tables: 0.807 and 0.9953
    assert (
        page("must-show")
        == """\
must-show: a decision rule: the car has to show that it is legal

  meaning    Legal is only what meets the limit by the expanded uncertainty U (k = 2) or more. What
             meets it by less is not shown; what breaks it is illegal. A reading without a known
             instrument shows nothing.

  example    the rule asks at least 1350 g, and U of the scale is 2.3 g
             scale shows  verdict    chance that it is really 1350 g or more
             1353 g       legal      99.5 %
             1351 g       not-shown  81 %
             1349 g       illegal    19 %
             1347 g       illegal    0.5 %

  in a file  `decision:` of a ruleset, or of one of its rules
             decision: must-show

  source     JCGM 106:2012, The role of measurement uncertainty in conformity assessment: guarded
             acceptance, 8.3.2
"""
    )


@pytest.mark.parametrize("problem", EXAMPLES)
def test_a_problems_example_has_that_problem_and_no_other(problem: str, tmp_path: Path) -> None:
    assert problem in SORTS_BY_ID
    (tmp_path / ".git").mkdir()
    setups = tmp_path / "setups"
    setups.mkdir()
    (setups / "example.yaml").write_text(EXAMPLES[problem], encoding="utf-8")
    folder = Folder(str(setups))
    lay_out_rulesets(tmp_path)
    findings = gathered(
        check(
            [ListedFile("example.yaml", folder.read("example.yaml").declares)],
            folder,
            Overrides(today=date(2026, 3, 14)),
        )
    )
    assert {found.id for found in findings.problems} == {problem}


def test_problems_without_an_example_are_those_that_no_short_text_can_show() -> None:
    without = {sort.id for sort in PROBLEM_SORTS} - set(EXAMPLES)
    expected = {"not-text", "empty-file", "too-large", "tab-indent", "too-deep", "file-unreadable", "file-has-problems",
                "same-version", "base-over", "pin-broken"}  # fmt: skip
    assert expected <= without


def test_a_problems_page_shows_the_example_line_by_line() -> None:
    assert "           car:\n                mass_g: 1352\n                mass_g: 1354\n" in page("duplicate-key")


def test_every_rebuild_has_a_checklist_in_the_same_order() -> None:
    assert [checklist.kind for checklist in CHECKLISTS] == [rebuild.kind for rebuild in REBUILDS]


@pytest.mark.parametrize("rebuild", REBUILDS, ids=lambda rebuild: rebuild.kind)
def test_a_checklist_puts_the_makers_manual_first_and_ends_with_what_can_hurt(rebuild: RebuildKind) -> None:
    checklist = CHECKLISTS_BY_KIND[rebuild.kind]
    text = flat(page(checklist.kind))
    assert text.index(flat(MANUAL_FIRST)) < text.index(flat(checklist.steps[0]))
    places = [text.index(f"{i}. {flat(step)}") for i, step in enumerate(checklist.steps, start=1)]
    assert places == sorted(places)
    for part in (*checklist.look, *checklist.cautions):
        assert flat(part) in text
    assert "source common practice" in text


@pytest.mark.parametrize("rebuild", REBUILDS, ids=lambda rebuild: rebuild.kind)
def test_what_to_measure_again_is_what_the_engine_takes_for_stale(rebuild: RebuildKind) -> None:
    stale = {name for name in _SHOWN if _after(rebuild.kind).fact(name).reason}
    assert {known.name for known in CHECKLISTS_BY_KIND[rebuild.kind].measure_again} == stale
    for name in stale:
        assert f"({name})" in page(rebuild.kind)


_SHOWN = [known.name for known in QUANTITIES if from_bench(known)]

_RUN = """\
format: setup/1
motor:
  factory_sheet: {winding: {ab_mohm: 21, bc_mohm: 21, ca_mohm: 21, winding_c: 20}}
  bench_runs:
    - date: 2026-03-10
      kv_rpm_per_v: 2450
      speed_rpm: 9065
      current_a: 3.9
      sensor_spread_percent: 1.2
      pole_difference_percent: 0.8
      timing_deg: [38, 38.2, 38.4]
      winding: {ab_mohm: 21, bc_mohm: 21, ca_mohm: 21, winding_c: 20}
"""


def _after(kind: str) -> Facts:
    """The facts of a car whose motor was measured in full on the day before this was done to it."""
    document, problems = parse("car.yaml", f"{_RUN}  rebuilds: [{{date: 2026-03-11, did: [{kind}]}}]\n")
    assert document is not None
    assert problems == ()
    car = Car(setup_of(document), motor_of(document, ("motor",)), "", {})
    return Facts(car, on=date(2026, 3, 14), reference_c=Fraction(20), entry_keys={})


def test_without_a_rebuild_nothing_of_that_run_is_stale() -> None:
    assert not any(_after("clean").fact(name).reason for name in _SHOWN)
    assert all(_after("clean").fact(name).value is not None for name in _SHOWN)


def test_marks_come_before_the_screws_and_the_screws_before_the_bench() -> None:
    for kind in ("rotor-swap", "shim", "bearing", "rewind", "stator-swap"):
        text = flat(page(kind))
        order = [text.index(part) for part in ("Before any screw turns", "Open it slowly", "tighten them a little")]
        assert order == sorted(order)
        assert text.index("Log the rebuild") > order[-1]


def test_what_a_rebuild_has_to_write_down_are_keys_of_the_motor() -> None:
    for checklist in CHECKLISTS:
        for name in checklist.write_down:
            key = BY_NAME[name].key
            assert key is not None
            assert f"({'.'.join(map(str, key.path))})" in page(checklist.kind)


@pytest.mark.parametrize("sort", ADVICE_SORTS, ids=lambda sort: sort.id)
def test_advice_is_explained_from_its_registry(sort: AdviceSort[Any]) -> None:
    text = flat(page(sort.id))
    assert flat(sort.because) in text
    assert f"source {flat(sort.source)}" in text
    assert all(flat(one) in text for one in sort.example)


def test_the_listing_has_every_name() -> None:
    text = listing(index(), Paper(width=100))
    plain = " ".join(text.split())
    assert [name for name in EVERY_NAME if name not in plain] == []
    assert all(name in plain for name in ("extra.KEY", "club/stock", "league/stock"))


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("rolout_mm", "nothing is called rolout_mm: did you mean rollout_mm? `speclint explain` lists every name"),
        ("rotorswap", "nothing is called rotorswap: did you mean rotor-swap? `speclint explain` lists every name"),
        ("q" * 500, f"nothing is called {'q' * 60}…; `speclint explain` lists every name"),
        ("qqqqqqqq", "nothing is called qqqqqqqq; `speclint explain` lists every name"),
    ],
)
def test_an_unknown_name_is_answered_with_the_nearest(name: str, message: str) -> None:
    with pytest.raises(UsageError) as refused:
        page(name)
    assert str(refused.value) == message


@pytest.mark.parametrize("words", [("close", "call"), ("close call",), ("Final", "drive ratio")])
def test_a_name_of_several_words_needs_no_quotes(tmp_path: Path, console: Console, words: tuple[str, ...]) -> None:
    run = console(tmp_path, "explain", *words)
    assert run.status == 0
    assert run.out == page(" ".join(words)) or run.out.startswith("final_drive_ratio")
