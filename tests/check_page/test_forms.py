"""The form of a class asks for what its rules rest on, and takes what people type for what they mean."""

import re
from typing import Any

import pytest

from speclint.browser.answers import SiteChecks
from speclint.documents.parse import parse
from tests.check_page.questions import RACE_DAY, answer, site_checks, typed

LEGAL_CAR = {
    "/name": "Car 12",
    "/car/type": "touring-4wd",
    "/car/mass_g": "1352,5",
    "/car/width_mm": "189,5 mm",
    "/car/ride_height_mm": "5.2",
    "/car/internal_ratio": "1,9",
    "/car/spur_teeth": "96",
    "/car/pinion_teeth": "42",
    "/battery/chemistry": "LiPo",
    "/battery/cells": "2",
    "/battery/voltage_v": "8,38",
    "/battery/hard_case": "yes",
    "/speed_control/timing": "none",
    "/motor/turns": "17.5T",
    "/motor/part": "M-17A",
    "/motor/timing_deg": "38",
    "/motor/rotor/kind": "standard",
    "/motor/rotor/part": "R-12",
    "/motor/bench_runs/0/date": "2026-03-10",
    "/motor/bench_runs/0/winding/ab_mohm": "36,9",
    "/motor/bench_runs/0/winding/bc_mohm": "36,9",
    "/motor/bench_runs/0/winding/ca_mohm": "36,9",
    "/motor/bench_runs/0/winding/winding_c": "20",
    "/entries/0/venue": "outdoor",
}


def written(text: str) -> Any:
    """What a file says."""
    document, problems = parse("car.yaml", text)
    assert document is not None
    assert problems == ()
    return document.data


def fields_of(class_id: str) -> dict[str, str]:
    """The markup of each field by its pointer."""
    page = answer(site_checks(), "form", **{"class": class_id})["html"]
    parts = re.findall(r'<div class="field">.*?</div>', page, re.DOTALL)
    return {re.findall(r' name="([^"]+)"', part)[0]: part for part in parts}


def test_a_form_has_the_keys_that_the_rules_of_the_class_rest_on_and_no_others() -> None:
    stock, pan = fields_of("stock-17"), fields_of("pan-12")
    assert "/car/wheelbase_mm" in pan
    assert "/car/wheelbase_mm" not in stock
    assert "/motor/bench_runs/0/winding/ab_mohm" in stock
    assert "/motor/bench_runs/0/winding/ab_mohm" not in pan
    assert set(LEGAL_CAR) | {"/extra/tyre"} <= set(stock)


def test_a_field_has_its_unit_what_the_rule_asks_and_what_is_usual() -> None:
    mass = fields_of("stock-17")["/car/mass_g"]
    assert '<span class="unit">g</span>' in mass
    assert "Rule weight (3.1): at least 1350 g." in mass
    assert "On a touring car 1250 to 1550." in mass
    assert 'inputmode="decimal"' in mass
    assert 'inputmode="numeric"' in fields_of("stock-17")["/car/pinion_teeth"]


def test_words_that_a_rule_names_are_there_to_choose_from() -> None:
    assert '<option value="torque">' in fields_of("stock-17")["/motor/rotor/kind"]
    assert '<option value="M-17A">' in fields_of("stock-17")["/motor/part"]


def test_a_car_that_was_typed_is_legal_and_its_file_says_what_was_typed() -> None:
    answered = typed(site_checks(), LEGAL_CAR)
    assert answered["verdict"] == "legal", answered["line"]
    assert answered["complaints"] == {}
    setup = written(answered["setup"])
    assert setup["car"]["mass_g"] == 1352.5
    assert setup["car"]["width_mm"] == 189.5
    assert setup["motor"]["turns"] == 17.5
    assert setup["battery"]["hard_case"] is True
    assert setup["motor"]["bench_runs"][0]["winding"] == {
        "ab_mohm": 36.9,
        "bc_mohm": 36.9,
        "ca_mohm": 36.9,
        "winding_c": 20,
    }
    assert setup["entries"][0]["class"] == "stock-17"


@pytest.mark.parametrize(
    "pointer", [pointer for pointer in LEGAL_CAR if pointer not in ("/name", "/motor/bench_runs/0/date")]
)
def test_what_was_not_measured_is_not_shown_and_never_legal(pointer: str) -> None:
    without = {key: value for key, value in LEGAL_CAR.items() if key != pointer}
    assert typed(site_checks(), without)["verdict"] == "not-shown"


def test_an_empty_form_is_not_shown() -> None:
    answered = typed(site_checks(), {})
    assert (answered["verdict"], answered["complaints"]) == ("not-shown", {})


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        ("1,352", "1,352 can be read in two ways: write 1352, or 1.352"),
        ("heavy", "heavy is not a number"),
        ("13 52", "13 52 is not a number"),
        ("1352,5,1", "1352,5,1 is not a number"),
        ("nan", "nan is not a number"),
        ("1e3", "1e3 is not a number"),
        ("-5", "above 0"),
        ("0", "above 0"),
    ],
)
def test_what_cannot_be_meant_is_told_at_its_field_and_decides_nothing(text: str, complaint: str) -> None:
    answered = typed(site_checks(), {**LEGAL_CAR, "/car/mass_g": text})
    assert complaint in answered["complaints"]["/car/mass_g"]
    assert answered["verdict"] in ("not-shown", "problem")


def test_a_ratio_may_be_written_by_teeth() -> None:
    answered = typed(site_checks(), {**LEGAL_CAR, "/car/internal_ratio": "40:21"})
    assert written(answered["setup"])["car"]["internal_ratio"] == "40/21"
    assert answered["verdict"] == "legal"


def test_several_readings_are_parted_by_blanks() -> None:
    car = {"/motor/bench_runs/0/date": "2026-03-10", "/motor/bench_runs/0/timing_deg": "37,8 38.1, 38,3"}
    setup = written(typed(site_checks(), car, "pan-12")["setup"])
    assert setup["motor"]["bench_runs"][0]["timing_deg"] == [37.8, 38.1, 38.3]


def test_a_bench_run_without_its_day_does_not_count() -> None:
    undated = {key: value for key, value in LEGAL_CAR.items() if key != "/motor/bench_runs/0/date"}
    answered = typed(site_checks(), undated)
    assert answered["verdict"] == "not-shown"
    assert "on which day" in answered["complaints"]["/motor/bench_runs/0/date"]


def test_text_that_would_be_another_key_stays_text() -> None:
    answered = typed(site_checks(), {**LEGAL_CAR, "/name": 'x\ncar: {mass_g: 1400} # "', "/car/mass_g": "1200"})
    assert answered["verdict"] == "illegal"
    assert written(answered["setup"])["name"] == 'x\ncar: {mass_g: 1400} # "'


def test_a_day_on_which_the_rules_are_not_in_force_is_refused() -> None:
    refused = answer(site_checks(), "form", **{"class": "stock-17", "on": "2027-03-14"})["refused"]
    assert "2026.2" in refused
    assert answer(site_checks(), "form", **{"class": "stock-17", "on": ""})["refused"] == "choose the race day"
    assert RACE_DAY.startswith("2026")


OWN = """\
format: ruleset/1
id: club
version: "1"
in_force: {from: 2026-01-01, until: 2026-12-31}
quantities:
  extra.load: {title: load on the axle, kind: measured, unit: kg, measure: On the club scale.}
  extra.all_kg: {title: load and driver, kind: measured, sum_of: [extra.load, extra.driver_kg]}
  extra.wings: {title: wings, kind: count}
  extra.sealed: {title: seal, kind: flag}
  extra.hull: {title: hull, kind: text, choices: [open, closed]}
  extra.label: {title: label, kind: text}
classes:
  mini:
    rules:
      - {id: all, quantity: extra.all_kg, at_least: 82}
      - {id: wings, quantity: extra.wings, at_most: 1}
      - {id: seal, quantity: extra.sealed, equals: true}
      - {id: hull, quantity: extra.hull, none_of: [open]}
      - {id: label, quantity: extra.label, stated: true}
"""


def test_what_a_ruleset_declares_itself_has_a_field_of_its_kind() -> None:
    checks = SiteChecks({"rulesets/club.yaml": OWN.encode()}, "club@1")
    page = answer(checks, "form", **{"class": "mini"})["html"]
    parts = {
        re.findall(r' name="([^"]+)"', part)[0]: part
        for part in re.findall(r'<div class="field">.*?</div>', page, re.DOTALL)
    }
    assert "/extra/all_kg" not in parts
    load = parts["/extra/load"]
    assert "Load on the axle" in load and '<span class="unit">kg</span>' in load and 'inputmode="decimal"' in load
    assert "On the club scale." in load and "load and driver at least 82 kg" in load
    assert 'inputmode="numeric"' in parts["/extra/wings"]
    assert "<select" in parts["/extra/hull"] and ">closed</option>" in parts["/extra/hull"]
    values = {
        "/extra/load": "4,5",
        "/extra/driver_kg": "78",
        "/extra/wings": "1",
        "/extra/sealed": "yes",
        "/extra/hull": "closed",
        "/extra/label": "12",
    }
    answered = typed(checks, values, "mini")
    assert answered["verdict"] == "legal", answered
    assert written(answered["setup"])["extra"] == {
        "load": 4.5, "driver_kg": 78, "wings": 1, "sealed": True, "hull": "closed", "label": "12",
    }  # fmt: skip


CLUB = """format: ruleset/1
id: club
version: "1"
in_force: {from: 2026-01-01}
classes:
  stock:
    rules:
      - {id: weight, quantity: mass_g, at_least: 1320, taken: {at: [after-run, tech], age_days: {at_most: 0}}}
      - {id: rig, quantity: extra.no_load_rpm, at_most: 19500, taken: {supply_v: 8.4}}
      - {id: speed, quantity: no_load_speed_rpm, at_most: 19500, taken: {supply_v: 8.4}}
      - {id: rebuilt, quantity: motor_rebuilds, none_of: [rewind]}
"""
CLUB_CAR = {
    "/car/mass_g": "1322",
    "/car/mass_g/taken/at": "after-run",
    "/car/mass_g/taken/on": "2026-03-14",
    "/extra/no_load_rpm": "19400",
    "/extra/no_load_rpm/taken/supply_v": "8,4 V",
    "/motor/bench_runs/0/date": "2026-03-10",
    "/motor/bench_runs/0/supply_v": "8.4",
    "/motor/bench_runs/0/speed_rpm": "19400",
    "/motor/rebuilds": "none",
}


@pytest.mark.parametrize(
    ("change", "verdict"),
    [
        ({}, "legal"),
        ({"/car/mass_g/taken/at": "start"}, "not-shown"),
        ({"/extra/no_load_rpm/taken/supply_v": ""}, "not-shown"),
        ({"/motor/bench_runs/0/supply_v": "8.2"}, "not-shown"),
        ({"/motor/rebuilds": ""}, "not-shown"),
        # How a reading was taken says nothing of none.
        ({"/car/mass_g": ""}, "not-shown"),
    ],
)
def test_a_form_asks_how_a_reading_was_taken_and_what_was_done_to_the_motor(
    change: dict[str, str], verdict: str
) -> None:
    checks = SiteChecks({"rulesets/club.yaml": CLUB.encode()}, "club@1")
    page = answer(checks, "form", **{"class": "stock"})["html"]
    assert set(re.findall(r' name="(/(?:car|motor|extra)[^"]+)"', page)) >= set(CLUB_CAR)
    assert "Mass: moment of the reading" in page
    answered = typed(checks, {**CLUB_CAR, **change}, "stock")
    assert (answered["verdict"], answered["complaints"]) == (verdict, {}), answered["line"]
    if not change:
        stated = written(answered["setup"])
        assert stated["car"]["mass_g"] == {"value": 1322, "taken": {"at": "after-run", "on": "2026-03-14"}}
        assert stated["motor"]["rebuilds"] == []
