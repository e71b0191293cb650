"""A league and a club that builds on it, small enough to know by heart, and the shelf that they stand on."""

from speclint.files import FileText
from speclint.workspace.loaded import load
from speclint.workspace.ruleset_index import RulesetIndex, index_rulesets

LEAGUE = """\
format: ruleset/1
id: league
title: The League
version: "1"
in_force: {from: 2026-01-01, until: 2026-12-31}
instruments: {scale: {accuracy_percent: 0.1, resolution: 1, unit: g}}
classes:
  stock:
    title: Stock
    rules:
      - {id: gears, quantity: final_drive_ratio, at_least: 3.8, cite: L1}
      - {id: weight, quantity: mass_g, at_least: 1330, instrument: scale, cite: L2, because: Fairness., measure: Ready to race., penalty: No result.}
      - {id: motor, quantity: motor_part, listed_in: motors, cite: L3}
      - {id: rotor, quantity: rotor_part, one_of: {list: motors, item: motor_part, under: rotors}, cite: L4}
      - {id: body, inspect: windows clear, cite: L5}
lists:
  motors:
    frozen_on: 2026-01-01
    items:
      - {id: M-1, from: 2025-01-01, rotors: [R-1, R-2]}
      - {id: M-2, from: 2025-01-01, until: 2026-02-28}
      - {id: M-3, from: 2026-02-01}
"""

CLUB = """\
format: ruleset/1
id: club
title: The Club
version: "2"
in_force: {from: 2026-02-01, until: 2026-12-31}
based_on: league@1
classes:
  stock:
    title: Stock
    rules:
      - {id: gears, quantity: final_drive_ratio, at_least: 4.2, cite: "7", decision: must-show}
      - {id: gears-from-june, replaces: gears, from: 2026-06-01, quantity: final_drive_ratio, at_least: 4.4, cite: "7a"}
      - {id: tyre, quantity: extra.tyre, one_of: [HT-36], when: {entry.venue: indoor}, read_to: 0.1, uncorrected: true}
      - {id: body, withdrawn: true, cite: "8"}
waivers:
  - {rule: weight, class: stock, when: {motor_serial: "00417"}, until: 2026-04-30, granted: minutes of 3 March}
"""

OLD_CLUB = CLUB.replace('version: "2"', 'version: "1"').replace(
    "from: 2026-02-01, until: 2026-12-31", "from: 2026-01-01, until: 2026-01-31"
)


def index(**texts: str) -> RulesetIndex:
    """The rulesets by the names of their files, the three above unless others are given."""
    wanted = texts or {"league": LEAGUE, "club": CLUB, "old_club": OLD_CLUB}
    return index_rulesets([load(FileText(f"rulesets/{name}.yaml", text)) for name, text in wanted.items()])
