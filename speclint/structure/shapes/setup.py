"""The setup: one car as it will be raced, with its entries and track runs."""

from typing import Any, Final

from speclint.quantities.model import Home
from speclint.schema_nodes import ID, VERSION, Schema, day, mapping, node, number, several, text, use
from speclint.structure.shapes import equipment
from speclint.structure.shapes.motor import motor_keys
from speclint.structure.shapes.readings import temperature
from speclint.structure.shapes.stated import stated_keys

RULESET_REFERENCE: Final = f"{ID[:-1]}(@{VERSION})?$"
"""A ruleset by its id, or one version of it by `id@version`."""

_ENTRY_EXAMPLE: Final = {"ruleset": "harbour-city", "class": "stock-17", "on": "2026-03-14", "track": "harbour-hall"}
_RUN_EXAMPLE: Final = {"date": "2026-03-14", "spur_teeth": 96, "pinion_teeth": 42, "minutes": 5, "can_c": 61}
_CAR_EXAMPLE: Final = {"type": "touring-4wd", "mass_g": 1352, "spur_teeth": 96, "pinion_teeth": 42}
_MOTOR_EXAMPLE: Final[dict[str, Any]] = {"turns": 17.5, "part": "M-17A", "timing_deg": 38}


def _entry() -> Schema:
    return mapping(
        "entry", "One race day that the car is entered for; rules can test any other key as entry.KEY.",
        {
            "ruleset": node("ruleset", "Id of the ruleset, or one version of it.",
                            ["harbour-city", "harbour-city@2026.2"], type="string", pattern=RULESET_REFERENCE),
            "class": text("class", "Id of the class in the ruleset.", "stock-17"),
            "on": day("race day", "The day of the race: it decides which rules are in force."),
            "track": text("track", "Id of the track, as the garage names it.", "harbour-hall"),
            "venue": text("venue", "Where it is run, in words that the rules test.", "indoor"),
        },
        _ENTRY_EXAMPLE,
        required=["ruleset", "class", "on"],
        otherwise={"type": ["string", "number", "boolean"]},
    )  # fmt: skip


def _track_run() -> Schema:
    car = stated_keys(Home.SETUP, "car")
    return mapping(
        "track run", "One run on a track: its gearing, how long it lasted and how warm the motor got.",
        {
            "date": use("moment", "date", "When it was run. Add the time of day where the order within a day matters.",
                        "2026-03-14", "2026-03-14 19:30"),
            "track": text("track", "Id of the track, as the garage names it.", "harbour-hall"),
            "spur_teeth": car["spur_teeth"],
            "pinion_teeth": car["pinion_teeth"],
            "internal_ratio": car["internal_ratio"],
            "tyre_diameter_mm": car["tyre_diameter_mm"],
            "minutes": number("minutes", "How long it lasted.", 5, unit="minutes", exclusiveMinimum=0),
            "laps": number("laps", "Laps that were driven.", 18, minimum=0),
            "best_lap_s": number("best lap", "Time of the best lap.", 15.82, unit="s", exclusiveMinimum=0),
            "top_speed_kmh": number("top speed", "Greatest speed, as the speed control logged it.", 52, unit="kmh",
                                    exclusiveMinimum=0),
            "current_a": number("mean current", "Mean current out of the pack, as the speed control logged it.", 9.5,
                                unit="a", exclusiveMinimum=0),
            "returned_mah": number("charge put back", "What the charger put back into the pack after the run.", 1180,
                                   unit="mah", exclusiveMinimum=0),
            "ambient_c": temperature("ambient temperature", "Temperature of the air.", 19),
            "can_c": temperature("can temperature", "Temperature of the motor's can, read as soon as the car stopped.",
                                 61),
            "after_s": number("time to the reading", "Between stopping the car and reading its can.", 20, unit="s",
                              minimum=0, maximum=600),
            "note": text("note", "Anything worth remembering of it.", "traction roll in the sweeper"),
        },
        _RUN_EXAMPLE,
        required=["date"],
    )  # fmt: skip


def _common_keys() -> dict[str, Schema]:
    return {
        "car": use("car", "car", "The car: sizes, mass and gears.", _CAR_EXAMPLE),
        "battery": mapping("battery", "The battery pack.", stated_keys(Home.SETUP, "battery"),
                           {"chemistry": "LiPo", "cells": 2, "voltage_v": 8.38, "hard_case": True}),
        "speed_control": mapping("speed control", "The speed control and its settings.",
                                 stated_keys(Home.SETUP, "speed_control"), {"timing": "none", "firmware": "4.2"}),
        "extra": mapping("extra", "Anything else that a ruleset asks for, as extra.KEY.", {},
                         {"body": "club list no. 7"}, otherwise={"$ref": "#/$defs/open_value"}),
        "instruments": equipment.instruments(),
    }  # fmt: skip


def setup_keys() -> dict[str, Schema]:
    """Every key of a setup but `format`."""
    shared = _common_keys()
    return {
        "name": text("name", "How you call the car, and this setup of it.", "Car 12, indoor carpet"),
        "about": text("about", "What this setup is for.", "high grip, cold hall"),
        "garage": text("garage", "The garage file that this setup shares, as a path from here.", "../garage.yaml"),
        "entries": several("entries", "The race days that the car is entered for.", {"$ref": "#/$defs/entry"},
                           [_ENTRY_EXAMPLE], maxItems=1000),
        "car": shared["car"],
        "battery": shared["battery"],
        "speed_control": shared["speed_control"],
        "motor": {
            **node("motor", "The motor: a motor/1 file as a path from here, or the motor's keys in place.",
                   ["../motors/00417.yaml", _MOTOR_EXAMPLE]),
            "type": ["string", "object"], "minLength": 1, "properties": motor_keys(), "additionalProperties": False,
        },
        "track_runs": several("track runs", "Every run on a track.", {"$ref": "#/$defs/track_run"}, [_RUN_EXAMPLE]),
        "instruments": shared["instruments"],
        "parts_box": equipment.parts_box(),
        "extra": shared["extra"],
        "notes": text("notes", "Anything worth remembering of the car.", "front arms swapped in February"),
    }  # fmt: skip


def setup_part() -> Schema:
    """As much of a setup as a ruleset's example needs: the car, never a file beside it."""
    return mapping(
        "setup",
        "As much of a setup as the example needs.",
        {**_common_keys(), "motor": _motor_in_place()},
        {"car": {"spur_teeth": 96, "pinion_teeth": 44, "internal_ratio": 1.9}},
    )


def reading_sections() -> dict[str, Schema]:
    """The sections of a setup that officials can read something of."""
    sections = {**_common_keys(), "motor": _motor_in_place()}
    del sections["instruments"]
    return sections


def _motor_in_place() -> Schema:
    return mapping("motor", "The motor.", motor_keys(), _MOTOR_EXAMPLE)


def setup_document() -> Schema:
    """The root of setup/1."""
    return mapping(
        "setup",
        "One car as it will be raced, with its records.",
        {"format": node("format", "What this file is.", ["setup/1"], type="string", const="setup/1"), **setup_keys()},
        {"format": "setup/1", "name": "Car 12, indoor carpet", "entries": [_ENTRY_EXAMPLE], "car": _CAR_EXAMPLE},
        required=["format"],
    )


DEFS: Final[dict[str, Schema]] = {
    "entry": _entry(),
    "track_run": _track_run(),
    "setup_part": setup_part(),
    "car": mapping("car", "The car: sizes, mass and gears.", stated_keys(Home.SETUP, "car"), _CAR_EXAMPLE),
}
