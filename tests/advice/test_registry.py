"""Every sort of advice: its example gives rise to it and to nothing else, and the least change of it to nothing."""

from pathlib import Path
from typing import Any, Final

import pytest

from speclint.advice.model import AdviceSort
from speclint.advice.registry import ADVICE_SORTS
from tests.advice.hearing import findings_of

# What to write in place of what, so that there is nothing left to say.
NEIGHBOURS: Final[dict[str, tuple[str, str]]] = {
    "end-play-too-small": ("end_play_mm: 0.02", "end_play_mm: 0.1"),
    "end-play-too-large": ("end_play_mm: 0.45", "end_play_mm: 0.3"),
    "shims-on-sensor-side": ("drive_end: [0.1]", "drive_end: [0.1, 0.2]"),
    "retest-after-rotor-swap": ("2026-03-12", "2026-03-09"),
    "timing-after-rotor-swap": ("rotor: torque, current_a", "rotor: torque, timing_deg: 38, current_a"),
    "retest-after-rebuild": ("timing-change", "clean"),
    "bench-run-too-late": ("date: 2026-03-22", "date: 2026-03-21"),
    "winding-unequal": ("bc_mohm: 39.3", "bc_mohm: 38.0"),
    "winding-drift": ("33.9, bc_mohm: 34.0, ca_mohm: 33.8", "35.6, bc_mohm: 35.7, ca_mohm: 35.5"),
    "label-and-speed": ("3650", "3300"),
    "can-over-limit": ("can_c: 94", "can_c: 84"),
    "can-near-limit": ("can_c: 87", "can_c: 84"),
    "can-too-cool": ("can_c: 20", "can_c: 23"),
    "cleaning-due": ("  - {date: 2026-03-01, minutes: 5, ambient_c: 19, can_c: 60}\n", ""),
    "cell-overcharged": ("8.46", "8.40"),
    "cell-drained": ("5.7", "6.0"),
    "gear-pitch-mixed": ("gear_module_mm: 0.5", "gear_module_mm: 0.53"),
    "gears-of-another-car": ("internal_ratio: 2.6", 'internal_ratio: "19/10"'),
    "internal-ratio-rounded": ("internal_ratio: 1.9,", 'internal_ratio: "40/21",'),
    "calibration-old": ("2024-11-02", "2025-03-21"),
    "instrument-unit": ("unit: kg", "unit: grams"),
    "motor-in-two-cars": ("on: 2026-03-21", "on: 2026-03-22"),
    "pack-in-two-cars": ("P-31", "P-32"),
    "entry-twice": ("name: Car 1", "name: Car 2"),
    "file-not-in-git": ("motor: car-1.yaml\n", ""),
    "legal-by-doubt": ("34.9, bc_mohm: 34.7, ca_mohm: 34.9", "35.2, bc_mohm: 35.1, ca_mohm: 35.2"),
    "reading-too-sure": ("accuracy: 0.000000000001", "accuracy: 0.1"),
    "value-unusual": ("value: 250", "value: 300"),
    "records-out-of-order": ("2026-02-08", "2026-03-01"),
    "ratio-turned-round": ("at_most: 4.5", "between: [3.5, 4.5]"),
    "limit-undecidable": ("percent: 0.5}", "percent: 0.65}"),
    "rules-clash": ("at_least: 200", "at_least: 190"),
    "resistance-without-instrument": ("at_least: 35.4", "at_least: 35.4, instrument: club-meter"),
    "resistance-without-temperature": ("at_least: 35.4", "at_least: 35.4, uncorrected: true"),
    "reference-temperature-differs": ("temperature_c: 25", "temperature_c: 20"),
    "rule-without-clause": (", cite: '3.1'", ""),
    "examples-missing": ("width_mm: 189.5}}, expect: {width: legal}", "width_mm: 190.5}}, expect: {width: illegal}"),
    "ruleset-over": (", until: 2019-12-31", ", until: 2026-12-31"),
    "versions-overlap": ("from: 2026-01-01", "from: 2026-01-02"),
    "versions-gap": ("until: 2026-05-30", "until: 2026-05-31"),
    "mass-of-what": ("at_least: 1350", "at_least: 1350, measure: With transponder."),
    "rule-idle": ("at_most: 195", "at_most: 185, when: {entry.venue: indoor}"),
    "override-narrowed": ("when: {entry.venue: outdoor}", "from: 2026-01-01"),
    "base-left-behind": ("our-league@1\nin_force: {from: 2026-01-01}", "our-league@2\nin_force: {from: 2026-03-01}"),
    "limit-turned-round": ("at_least: 190", "at_most: 190"),
    "limit-unusual": ("at_most: 19000", "at_most: 190"),
    "equals-on-a-reading": ("equals: 190", "between: [189, 190]"),
    "step-too-coarse": ("read_to: 1", "read_to: 0.5"),
    "published-late": ("published: 2026-01-02", "published: 2026-01-01"),
    "days-outside-season": ("until: 2025-06-30", "until: 2026-06-30"),
    "example-outside-season": ("on: 2025-03-14", "on: 2026-03-14"),
    "names-alike": ("entry.venu:", "entry.venue:"),
    "item-twice": ("{id: T-1, compound", "{id: T-2, compound"),
    "waiver-for-all": ("class: stock-17}", 'class: stock-17, when: {motor_serial: "00417"}, until: 2026-04-30}'),
    "rule-never-triggered": ("battery_cells: 3", "battery_cells: 2"),
    "rule-gap": ("until: 2026-05-30", "until: 2026-05-31"),
    "loosened-without-reason": ("at_most: 195", "at_most: 185"),
    "amendment-without-a-day": ("replaces: width,", "replaces: width, from: 2026-06-01,"),
    "leeway-wide": ("leeway: 100", "leeway: 19"),
    "any-value-meets": ("at_least: 250", "at_least: 281"),
    "way-idle": ("between: [209, 211]", "between: [209, 213]"),
    "waiver-without-end": ('"00417"}}', '"00417"}, until: 2026-04-30}'),
    "part-without-row": (", {id: M-3}", ""),
    "row-without-part": ("{id: M-2}", "{id: M-2}, {id: M-4}"),
    "item-unusual": ("lowest_mohm: 0.034", "lowest_mohm: 34"),
    "item-unit": ("lowest_mohm", "lowest_g"),
    "sum-unusual": ("plus: 100", "plus: 10"),
    "rule-instrument-unit": ("unit: g", "unit: mm"),
    "rule-instrument-coarse": ("accuracy_percent: 50", "accuracy_percent: 40"),
    "replaced-before": ("id: width-june, replaces: width,", "id: width-june, replaces: width-may,"),
    "season-beyond-base": ("until: 2026-12-31", "until: 2026-11-30"),
    "days-in-disorder": ("checked_on: 2025-01-12", "checked_on: 2025-12-01"),
    "example-idle": ("expect: {}", "expect: {width: illegal}"),
    "title-twice": ("stock-13:\n    title: Stock", "stock-13:\n    title: Slow"),
}


def test_each_sort_has_an_id_of_its_own_and_says_why_and_from_where() -> None:
    assert len({sort.id for sort in ADVICE_SORTS}) == len(ADVICE_SORTS)
    assert all(sort.title and sort.because and sort.source and sort.example for sort in ADVICE_SORTS)
    assert {sort.id for sort in ADVICE_SORTS} == set(NEIGHBOURS)


@pytest.mark.parametrize("sort", ADVICE_SORTS, ids=lambda sort: sort.id)
def test_the_example_of_a_sort_gives_rise_to_it_and_to_nothing_else(tmp_path: Path, sort: AdviceSort[Any]) -> None:
    findings = findings_of(tmp_path, sort.example)
    assert findings.problems == ()
    assert [(one.id, one.source) for one in findings.advice] == [(sort.id, sort.source)]


@pytest.mark.parametrize("sort", ADVICE_SORTS, ids=lambda sort: sort.id)
def test_the_smallest_change_of_the_example_leaves_nothing_to_say(tmp_path: Path, sort: AdviceSort[Any]) -> None:
    old, new = NEIGHBOURS[sort.id]
    assert old in sort.example[0]
    findings = findings_of(tmp_path, (sort.example[0].replace(old, new), *sort.example[1:]))
    assert findings.problems == ()
    assert [one.id for one in findings.advice] == []
