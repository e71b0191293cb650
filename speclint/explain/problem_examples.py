"""Files that have a problem, by its id: each is whole, short, and has that problem and no other.

Some problems have none here, because no short text can show them: an empty file, one that is too large, two files
that contradict each other.
"""

from typing import Final

_SETUP: Final = "format: setup/1\n"
_RULESET: Final = """\
format: ruleset/1
id: our-club
version: "2026.1"
in_force: {from: 2026-01-01}
"""


def _rules(*rules: str) -> str:
    return "".join([_RULESET, "classes:\n  stock-17:\n    rules:\n", *(f"      - {rule}\n" for rule in rules)])


_WEIGHT: Final = "{id: weight, quantity: mass_g, at_least: 1350}"

EXAMPLES: Final[dict[str, str]] = {
    "conflict-markers": f"{_SETUP}car:\n"
    + "<" * 7
    + " HEAD\n  mass_g: 1352\n"
    + "=" * 7
    + "\n  mass_g: 1350\n"
    + ">" * 7
    + " ours\n",
    "syntax": f"{_SETUP}car: {{mass_g: 1352",
    "second-document": f"{_SETUP}---\n{_SETUP}",
    "duplicate-key": f"{_SETUP}car:\n  mass_g: 1352\n  mass_g: 1354\n",
    "key-not-text": f"{_SETUP}extra:\n  ? [body, wing]\n  : club list no. 7\n",
    "anchor": f"{_SETUP}name: &car Car 12\nabout: *car\n",
    "tag": f"{_SETUP}name: !!str 12\n",
    "directive": f"%YAML 1.2\n---\n{_SETUP}",
    "not-finite": f"{_SETUP}car: {{mass_g: .nan}}\n",
    "too-many-digits": f"{_SETUP}car: {{mass_g: 1352.0000000000001}}\n",
    "format": "name: Car 12\n",
    "unknown-key": f"{_SETUP}car: {{pinion_tooth: 42}}\n",
    "missing-key": f"{_SETUP}entries:\n  - {{ruleset: harbour-city, on: 2026-03-14}}\n",
    "wrong-type": f'{_SETUP}car: {{mass_g: "1352 g"}}\n',
    "out-of-range": f"{_SETUP}car: {{pinion_teeth: 0}}\n",
    "not-a-choice": "format: motor/1\nrebuilds:\n  - {date: 2026-03-11, did: [polish]}\n",
    "wrong-form": f"{_SETUP}entries:\n  - {{ruleset: harbour-city, class: stock-17, on: 14 March}}\n",
    "wrong-count": "format: motor/1\nfactory_sheet: {starting_ratio: [4.2]}\n",
    "file-missing": f"{_SETUP}motor: ../motors/no-such-motor.yaml\n",
    "file-outside": f"{_SETUP}garage: ../../garage-of-a-friend.yaml\n",
    "file-of-other-kind": f"{_SETUP}motor: example.yaml  # this file itself, which is a setup\n",
    "unknown-ruleset": f"{_SETUP}entries:\n  - {{ruleset: harbor-city, class: stock-17, on: 2026-03-14}}\n",
    "not-in-force": f"{_SETUP}entries:\n  - {{ruleset: harbour-city, class: stock-17, on: 1998-03-14}}\n",
    "unknown-class": f"{_SETUP}entries:\n  - {{ruleset: harbour-city, class: stock-71, on: 2026-03-14}}\n",
    "unknown-quantity": _rules("{id: weight, quantity: weight_g, at_least: 1350}"),
    "unknown-list": _rules("{id: motor, quantity: motor_part, listed_in: motors}"),
    "unknown-rule": _rules(
        _WEIGHT, "{id: from-june, replaces: wieght, from: 2026-06-01, quantity: mass_g, at_least: 1340}"
    ),
    "unknown-instrument": _rules("{id: weight, quantity: mass_g, at_least: 1350, instrument: tech-scale}"),
    "circular-basis": f"{_RULESET}classes:\n  stock-17: {{based_on: stock-21}}\n  stock-21: {{based_on: stock-17}}\n",
    "limit-contradicts": _rules("{id: timing, quantity: timing_set_deg, between: [40, 36]}"),
    "limit-unfit": _rules("{id: rotor, quantity: rotor_kind, at_least: 12}"),
    "quantity-unfit": _rules(_WEIGHT)
    + "quantities:\n  extra.ready_kg: {kind: measured, sum_of: [mass_g, extra.pole_mm]}\n",
    "derived-stated": _rules("{id: crew, quantity: extra.crew_kg, at_least: 80}")
    + "quantities:\n  extra.crew_kg: {kind: measured, sum_of: [extra.driver_kg, extra.ballast_kg]}\n"
    + "examples:\n  - {class: stock-17, on: 2026-03-14, setup: {extra: {crew_kg: 82, driver_kg: 78, ballast_kg: 4}}, expect: {crew: legal}}\n",
    "dates-out-of-order": _rules("{id: weight, quantity: mass_g, at_least: 1350, from: 2026-06-01, until: 2026-05-01}"),
    "no-such-date": f"{_SETUP}entries:\n  - {{ruleset: harbour-city, class: stock-17, on: 2026-02-30}}\n",
    "same-rule": _rules(_WEIGHT, "{id: weight, quantity: mass_g, at_most: 1500}"),
    "example-fails": _rules(_WEIGHT)
    + "examples:\n  - {class: stock-17, on: 2026-03-14, setup: {car: {mass_g: 1352}}, expect: {weight: illegal}}\n",
}
