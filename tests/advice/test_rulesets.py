"""What an organiser is asked about a ruleset, and which of the rulesets that come with speclint are asked."""

from pathlib import Path

import pytest

from speclint.advice.limits import example
from speclint.check.pipeline import check, gathered
from speclint.files import Folder
from speclint.workspace.overrides import Overrides
from tests.advice.hearing import TODAY, findings_of, told
from tests.console import ROOT


def test_a_maximum_ratio_gets_a_question(tmp_path: Path) -> None:
    # Published rules of German clubs say "max 1:4.5" and mean the tallest gearing, so a final drive ratio of at least 4.5.
    assert told(findings_of(tmp_path, example("{id: fdr, quantity: final_drive_ratio, at_most: 4.5}"))) == [
        (
            "ratio-turned-round",
            "fdr asks for a final drive ratio of at most 4.5, and nothing in stock-17 limits the other side, so any taller"
            ' gearing is legal. A published "maximum ratio" often means the tallest gearing, which is the smallest number:'
            " at_least. Look at the official text; if the limit is right as it stands, a limit on the other side as well"
            " says so",
        )
    ]


@pytest.mark.parametrize(
    ("rules", "said"),
    [
        (["{id: fdr, quantity: final_drive_ratio, at_least: 4.5}"], []),
        (
            [
                "{id: fdr, quantity: final_drive_ratio, at_most: 9}",
                "{id: low, quantity: final_drive_ratio, at_least: 4.5}",
            ],
            [],
        ),
        (["{id: rollout, quantity: rollout_mm, at_most: 80}"], []),
        (["{id: rollout, quantity: rollout_mm, at_least: 80}"], ["ratio-turned-round"]),
    ],
)
def test_a_gearing_limit_bounds_the_tallest_gear(tmp_path: Path, rules: list[str], said: list[str]) -> None:
    assert [id_ for id_, _ in told(findings_of(tmp_path, example(*rules)))] == said


def test_a_window_that_its_instrument_cannot_decide_is_told_with_both_widths(tmp_path: Path) -> None:
    # 0.5 % of 21.4 over √3 is 0.0618, common to the three phases; a step of 0.1 over √12 is 0.0289, over √3 for the mean
    # 0.0167: u = 0.0640 and U = 0.13. ± 1.96 u is 0.251 wide, the window 0.214 (JCGM 106 3.3.17 for the index).
    rule = "{id: r, quantity: winding_mean_mohm, nominal: 21.4, tolerance: {percent: 0.5}, instrument: club-meter}"
    assert told(findings_of(tmp_path, example(rule))) == [
        (
            "limit-undecidable",
            "r asks for 21.293 to 21.507 mΩ (21.4 ± 0.5 %), a window of 0.21 mΩ; the club-meter blurs a reading in its middle"
            " by ± 0.13 mΩ (k = 2), so no reading can show a car legal with 95 % certainty: widen the window, or name a"
            " better instrument",
        )
    ]


@pytest.mark.parametrize(
    ("rule", "said"),
    [
        ("{id: t, quantity: timing_set_deg, between: [37.9, 38.1], instrument: club-meter}", []),  # set, not measured
        ("{id: m, quantity: end_play_mm, between: [0.1, 0.2], instrument: club-meter}", ["limit-undecidable"]),
        ("{id: m, quantity: end_play_mm, at_least: 0.1, instrument: club-meter}", []),
        ("{id: t, quantity: timing_mean_deg, between: [37.8, 38.2], instrument: club-meter}", ["limit-undecidable"]),
        ("{id: t, quantity: timing_mean_deg, between: [36, 40], instrument: club-meter}", []),
    ],
)
def test_only_a_window_on_something_measured_can_be_too_narrow(tmp_path: Path, rule: str, said: list[str]) -> None:
    assert [id_ for id_, _ in told(findings_of(tmp_path, example(rule)))] == said


def test_rules_that_bind_in_different_places_or_times_do_not_clash(tmp_path: Path) -> None:
    indoors = "{id: in, quantity: width_mm, at_most: 190, when: {entry.venue: indoor}}"
    outdoors = "{id: out, quantity: width_mm, at_least: 200, when: {entry.venue: outdoor}}"
    spring = "{id: spring, quantity: width_mm, at_most: 190, until: 2026-05-31}"
    summer = "{id: summer, quantity: width_mm, at_least: 200, from: 2026-06-01}"
    assert told(findings_of(tmp_path, example(indoors, outdoors))) == []
    assert told(findings_of(tmp_path, example(spring, summer))) == []
    overlapping = spring.replace("05-31", "06-01")
    assert [id_ for id_, _ in told(findings_of(tmp_path, example(overlapping, summer)))] == ["rules-clash"]


def test_a_reference_temperature_may_be_inherited(tmp_path: Path) -> None:
    rule = "{id: r, quantity: winding_mean_mohm, at_least: 35, instrument: tech-milliohm-meter}"
    own = example(rule)[0].replace("reference_temperature_c: 20\n", "")
    assert [id_ for id_, _ in told(findings_of(tmp_path, [own.replace("tech-milliohm", "club")]))] == [
        "resistance-without-temperature"
    ]
    based = own.replace("in_force", "based_on: coastal-league@2026.1\nin_force")
    assert told(findings_of(tmp_path, [based])) == []


def test_an_edition_that_was_succeeded_is_left_as_it_was(tmp_path: Path) -> None:
    rule = example("{id: fdr, quantity: final_drive_ratio, at_most: 4.5}")[0]
    old = rule.replace("2026-01-01}", "2026-01-01, until: 2026-02-28}")
    new = rule.replace("2026-01-01", "2026-03-01").replace('"1"', '"2"').replace("at_most", "at_least")
    assert told(findings_of(tmp_path, [old, new])) == []


def test_only_the_rulesets_under_the_paths_are_asked(tmp_path: Path) -> None:
    assert told(findings_of(tmp_path, ["format: setup/1\n"])) == []


def test_the_rulesets_that_come_with_speclint_clash_in_nothing_and_can_be_decided() -> None:
    folder = Folder(str(ROOT))
    said = {id_ for id_, _ in told(gathered(check(folder.find(("rulesets",)).files, folder, Overrides(today=TODAY))))}
    assert said <= {"examples-missing", "loosened-without-reason", "resistance-without-instrument", "mass-of-what"}
