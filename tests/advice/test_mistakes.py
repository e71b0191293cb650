"""Mistakes that organisers make: of all that were tried, few may pass in silence."""

from pathlib import Path
from typing import Final

import pytest

from tests.advice.hearing import findings_of
from tests.console import DATA

LEAGUE: Final = """format: ruleset/1
id: league
version: "1"
published: 2025-11-15
in_force: {from: 2026-01-01, until: 2026-12-31}
reference_temperature_c: 20
decision: as-read
instruments: {scale: {accuracy: 1}, meter: {accuracy_percent: 0.5, resolution: 0.1}, calliper: {accuracy: 0.05}}
classes:
  stock-17:
    rules:
      - {id: weight, quantity: mass_g, at_least: 1350, measure: Ready to race., instrument: scale, cite: "3.1"}
      - {id: width, quantity: width_mm, at_most: 190, instrument: calliper, cite: "3.2"}
      - {id: length, quantity: length_mm, at_most: 400, cite: "3.3"}
      - {id: ride, quantity: ride_height_mm, at_least: 5, cite: "3.4"}
      - {id: ratio, quantity: final_drive_ratio, at_least: 4.2, cite: "4.1"}
      - {id: turns, quantity: motor_turns, equals: 17.5, cite: "5.1"}
      - {id: motor, quantity: motor_part, listed_in: motors, cite: "5.2"}
      - {id: rotor, quantity: rotor_part, one_of: {list: motors, item: motor_part, under: rotors}, cite: "5.3"}
      - {id: rotor-kind, quantity: rotor_kind, one_of: [standard, torque], cite: "5.4"}
      - {id: winding, quantity: winding_lowest_mohm, at_least: 35.1, instrument: meter, cite: "5.5"}
      - {id: cells, quantity: battery_cells, equals: 2, cite: "6.1"}
      - {id: voltage, quantity: battery_voltage_v, at_most: 8.4, cite: "6.2"}
      - {id: capacity, quantity: battery_capacity_mah, at_most: 6000, cite: "6.3"}
      - {id: case, quantity: battery_hard_case, equals: true, cite: "6.4"}
      - {id: tyre, quantity: extra.tyre, stated: true, when: {entry.venue: indoor}, cite: "7.1"}
      - {id: tyre-size, quantity: tyre_diameter_mm, at_least: 60, when: {entry.venue: [indoor, outdoor]}, cite: "7.2"}
      #more
lists: {motors: {items: [{id: M-1, rotors: [R-1]}, {id: M-2, rotors: [R-2]}]}}
waivers:
  - {rule: weight, class: stock-17, when: {motor_serial: "00417"}, until: 2026-04-30}
  #waiver
examples:
  - {class: stock-17, on: 2026-03-14, setup: {car: {width_mm: 189}}, expect: {width: legal}}
"""
CLUB: Final = """format: ruleset/1
id: club
version: "1" # club
in_force: {from: 2026-01-01, until: 2026-12-31}
based_on: league@1
#club-list
classes:
  stock-17: # club
    rules:
      - {id: ratio, quantity: final_drive_ratio, at_least: 4.0, because: Our hall is small., cite: "4.1"}
      #club-more
  open: # club
    rules:
      - {id: span, quantity: width_mm, at_most: 200, cite: "8.1"}
"""
TWICE: Final = 'format: ruleset/1\nid: club\nversion: "1"\nin_force: {from: 2026-01-01}\nclasses: {}\n'


def mistakes() -> list[tuple[str, str, str]]:
    rows = []
    for line in (DATA / "ruleset_mistakes.txt").read_text(encoding="utf-8").splitlines():
        if line and not line.startswith("# "):
            about, _, change = line.partition(": ")
            old, _, new = change.partition(" => ")
            rows.append((about, old, new))
    return rows


def told(folder: Path, league: str, club: str, *more: str) -> set[tuple[str, str]]:
    findings = findings_of(folder, [league, club, *more])
    remarks = [(problem.id, problem.message) for problem in findings.problems]
    return {*remarks, *((piece.id, piece.message) for piece in findings.advice if piece.id != "examples-missing")}


def made(old: str, new: str) -> list[str]:
    """The two files with a mistake in one of them; several lines are parted by semicolons."""
    if new.endswith("# twice"):
        return [LEAGUE, CLUB, TWICE]
    if new.startswith("{based_on"):
        return [LEAGUE, CLUB.replace("  open: # club\n", "  open:\n    based_on: stock-18\n")]
    for text in (LEAGUE, CLUB):
        assert text.count(old) <= 1 or old == "on: 2026-03-14", old
    assert (old in LEAGUE) or (old in CLUB), old
    indent = "\n" + " " * 6
    return [text.replace(old, new.replace("; - ", f"{indent}- ")) for text in (LEAGUE, CLUB)]


def test_the_ruleset_as_it_stands_gives_rise_to_nothing(tmp_path: Path) -> None:
    assert told(tmp_path, LEAGUE, CLUB) == set()


# What nobody can tell from the text: an item that came after its list froze waits for the next season, as it should.
SILENT: Final = frozenset({"a list that froze before its items came"})


def test_some_ninety_mistakes_are_tried_and_seven_at_most_pass() -> None:
    assert len(mistakes()) >= 87
    assert len(SILENT) <= 7
    assert {about for about, _, _ in mistakes()} >= SILENT


@pytest.mark.parametrize(("about", "old", "new"), mistakes(), ids=[about for about, _, _ in mistakes()])
def test_a_mistake_is_told(tmp_path: Path, about: str, old: str, new: str) -> None:
    files = made(old, new)
    remarks = told(tmp_path, *files)
    assert bool(remarks) is (about not in SILENT), remarks
