"""A club's ruleset in a folder of its own, published as its organiser would."""

from pathlib import Path

from tests.console import Console

PROJECT = Path(__file__).resolve().parents[2]

CLUB = """\
format: ruleset/1
id: oval-club
title: Oval Club, class rules
version: "{version}"
published: 2026-01-10
in_force: {{from: 2026-02-01, until: 2026-12-31}}
contact: rules desk at the oval
instruments:
  club-scale: {{accuracy: 1, resolution: 1, unit: g}}
classes:
  stock:
    title: Stock oval
    rules:
      - {{id: weight, quantity: mass_g, at_least: {mass}, instrument: club-scale, cite: "1.1", because: Light cars tip over., measure: Ready to race., penalty: The run is deleted., decision: must-show}}
      - {{id: weight-in-summer, replaces: weight, from: 2026-06-01, until: 2026-08-31, published: 2026-03-01, quantity: mass_g, at_least: 1300, cite: "1.1a"}}
      - {{id: turns, quantity: motor_turns, equals: 17.5, cite: "1.2"}}
      - {{id: tyre, quantity: extra.tyre, listed_in: tyres, when: {{entry.venue: indoor}}, cite: "1.3"}}
      - {{id: case, quantity: battery_hard_case, equals: true}}
      - {{id: body, inspect: "<b>body</b> uncut"}}
      - {{id: trial, quantity: width_mm, at_most: 200, until: 2026-03-31, read_to: 0.5}}
lists:
  tyres:
    frozen_on: 2026-03-01
    items:
      - {{id: T-1, until: 2026-05-31}}
      - {{id: T-2, from: 2026-04-01, compound: soft}}
waivers:
  - {{rule: weight, class: stock, when: {{motor_serial: "00012"}}, until: 2026-04-30, granted: minutes of 2 March}}
examples:
  - {{about: light, class: stock, on: 2026-03-14, setup: {{car: {{mass_g: 1200}}}}, expect: {{weight: {expected}}}}}
"""


def write_club(folder: Path, *, version: str = "2026.1", mass: int = 1350, expected: str = "illegal") -> Path:
    """The club's file under `rulesets/`."""
    (folder / "rulesets").mkdir(exist_ok=True)
    file = folder / "rulesets" / f"oval-club-{version}.yaml"
    file.write_text(CLUB.format(version=version, mass=mass, expected=expected), encoding="utf-8")
    return file


def files_of(folder: Path) -> dict[str, bytes]:
    return {file.relative_to(folder).as_posix(): file.read_bytes() for file in folder.rglob("*") if file.is_file()}


def published(console: Console, folder: Path, *words: str) -> dict[str, bytes]:
    """The files of the site that the club publishes into `site`."""
    done = console(folder, "publish", *(words or ("oval-club", "site")))
    assert done.status == 0, done.err
    return files_of(folder / "site")
