"""Which examples a ruleset lacks, and that those written for it hold and leave nothing missing."""

from pathlib import Path

import pytest

from speclint.advice.limits import example
from speclint.documents.parse import parse
from tests.advice.hearing import findings_of
from tests.check.world import find_in
from tests.console import ROOT

A_FIRST_EXAMPLE = "examples:\n  - {class: stock-17, on: 2026-03-14, setup: {car: {length_mm: 1}}, expect: {}}\n"

RULES = {
    "a lower limit": ("{id: r, quantity: mass_g, at_least: 1350}", 3),
    "two limits": ("{id: r, quantity: timing_set_deg, between: [36, 40]}", 5),
    "a strict limit": ("{id: r, quantity: mass_g, above: 1350}", 3),
    "a nominal value with its tolerance": (
        "{id: r, quantity: winding_mean_mohm, nominal: 36.6, tolerance: {percent: 4}, instrument: club-meter}",
        5,
    ),
    "one value": ("{id: r, quantity: motor_turns, equals: 17.5}", 2),
    "a word": ("{id: r, quantity: rotor_kind, one_of: [standard, torque]}", 2),
    "a word that is barred": ("{id: r, quantity: rotor_kind, none_of: [sintered]}", 2),
    "a flag": ("{id: r, quantity: battery_hard_case, equals: true}", 2),
    "a serial that is stated": ("{id: r, quantity: motor_serial, stated: true}", 1),
    "a list": ("{id: r, quantity: motor_part, listed_in: motors}", 2),
    "a ratio by its teeth": ("{id: r, quantity: final_drive_ratio, at_least: 4.25}", 3),
    "a value that is read to a step": ("{id: r, quantity: mass_g, at_least: 1350, read_to: 5}", 3),
    "a rule for some cars": (
        "{id: r, quantity: mass_g, at_least: 1350, when: {entry.venue: indoor, battery_cells: {at_most: 2}}}",
        3,
    ),
    "a limit with a leeway": ("{id: r, quantity: mass_g, at_least: 1350, leeway: 1}", 3),
    "two limits with a leeway in percent": (
        "{id: r, quantity: width_mm, between: [180, 190], leeway: {percent: 2}}",
        5,
    ),
    "what only the club knows": ("{id: r, quantity: extra.wing_mm, at_most: 120}", 3),
    "a reading that was taken so": (
        "{id: r, quantity: mass_g, at_least: 1350, taken: {at: after-run, age_days: {at_most: 1}}}",
        3,
    ),
    "a bench run that was made so": ("{id: r, quantity: no_load_speed_rpm, at_most: 19500, taken: {supply_v: 8.4}}", 3),
    "a winding at its own temperature": (
        "{id: r, quantity: winding_mean_mohm, at_least: 36.6, reference_temperature_c: 25, instrument: club-meter}",
        3,
    ),
    "a rule for a while": ("{id: r, quantity: mass_g, at_least: 1350, from: 2026-05-01, until: 2026-08-31}", 4),
    "something to inspect": ("{id: r, inspect: the seal}", 0),
}
MOTORS = "lists: {motors: {items: [{id: M-1}]}}\n"


def lacking(folder: Path, text: str) -> tuple[str, tuple[str, ...]]:
    findings = findings_of(folder, [text])
    assert findings.problems == ()
    advice = [piece for piece in findings.advice if piece.id == "examples-missing"]
    return (advice[0].message, advice[0].lines) if advice else ("", ())


@pytest.mark.parametrize("name", RULES)
def test_what_is_pasted_holds_and_then_nothing_is_missing(tmp_path: Path, name: str) -> None:
    rule, count = RULES[name]
    text = example(rule)[0] + MOTORS + A_FIRST_EXAMPLE
    message, lines = lacking(tmp_path / "before", text)
    assert len(lines) == count, message
    assert message.startswith(f"{count} example") if count else not message
    whole = text + "".join(f"  {line}\n" for line in lines)
    assert parse("ruleset.yaml", whole)[1] == ()
    assert lacking(tmp_path / "after", whole) == ("", ())


def test_an_amendment_is_tried_on_the_day_it_begins_and_the_old_rule_on_its_last(tmp_path: Path) -> None:
    rules = (
        "{id: r, quantity: mass_g, at_least: 1350}",
        "{id: s, replaces: r, from: 2026-06-01, quantity: mass_g, at_least: 1300}",
    )
    days = [line.partition("on: ")[2][:10] for line in lacking(tmp_path, example(*rules)[0] + A_FIRST_EXAMPLE)[1]]
    assert days == ["2026-01-01"] * 3 + ["2026-05-31"] + ["2026-06-01"] * 3


def test_what_no_setup_can_show_at_will_is_left_to_a_person(tmp_path: Path) -> None:
    rule = "{id: r, quantity: mass_g, at_least: 1350, decision: must-show}"
    message, lines = lacking(tmp_path, example(rule)[0] + A_FIRST_EXAMPLE)
    assert "1 of them only a person can write" in message
    # On the limit itself nothing is shown to be met, and that is what an example of it says.
    assert [line.rpartition("expect: ")[2] for line in lines] == ["{r: illegal}}", "{r: not-shown}}"]


def test_what_two_classes_ask_alike_is_tried_in_one_of_them(tmp_path: Path) -> None:
    rule = "{id: r, quantity: rotor_kind, one_of: [standard], cite: '%s'}"
    second = f"  junior:\n    rules:\n      - {rule % '9'}\n"
    tried = "".join(
        f"  - {{class: junior, on: 2026-03-14, setup: {{motor: {{rotor: {{kind: {kind}}}}}}}, expect: {{r: {verdict}}}}}\n"
        for kind, verdict in (("standard", "legal"), ("torque", "illegal"))
    )
    assert lacking(tmp_path / "alike", f"{example(rule % '2')[0]}{second}examples:\n{tried}") == ("", ())
    other = second.replace("[standard]", "[standard, torque]")
    message, lines = lacking(tmp_path / "other", f"{example(rule % '2')[0]}{other}examples:\n{tried.splitlines()[0]}\n")
    assert "stock-17/r met, not met" in message
    assert len(lines) == 3


def test_a_class_that_others_build_on_may_be_tried_in_those(tmp_path: Path) -> None:
    text = (
        example("{id: r, quantity: rotor_kind, one_of: [standard]}")[0] + "  junior: {based_on: stock-17, rules: []}\n"
    )
    tried = "".join(
        f"  - {{class: junior, on: 2026-03-14, setup: {{motor: {{rotor: {{kind: {kind}}}}}}}, expect: {{r: {verdict}}}}}\n"
        for kind, verdict in (("standard", "legal"), ("torque", "illegal"))
    )
    assert lacking(tmp_path, f"{text}examples:\n{tried}") == ("", ())


@pytest.mark.parametrize("file", sorted((ROOT / "rulesets").glob("*.yaml")), ids=lambda file: file.stem)
def test_the_shipped_rulesets_lack_no_example(file: Path) -> None:
    findings = find_in({path.name: path.read_text(encoding="utf-8") for path in file.parent.glob("*.yaml")})
    of_file = [piece.message for piece in findings.advice if piece.place.file == file.name]
    assert [message for message in of_file if "missing" in message] == []
