"""The inspection: what officials measured and looked at on a race day, car by car."""

from typing import Any, Final

from speclint.schema_nodes import ID, Schema, by_name, choice, day, mapping, node, several, text, use
from speclint.structure.shapes import equipment
from speclint.structure.shapes.garage import DIGEST, DIGEST_EXAMPLE
from speclint.structure.shapes.setup import RULESET_REFERENCE, reading_sections

OUTCOMES: Final = {"passed": "it is as the rules ask", "failed": "it is not as the rules ask"}

_READINGS_EXAMPLE: Final[dict[str, Any]] = {"car": {"mass_g": {"value": 1351, "instrument": "tech-scale"}}}
_CAR_EXAMPLE: Final[dict[str, Any]] = {
    "number": 12,
    "class": "stock-17",
    "readings": _READINGS_EXAMPLE,
    "looked_at": {"body": "passed"},
    "ruling": "passed",
}


def _inspected_car() -> Schema:
    return mapping(
        "inspected car", "One car as the officials found it. What they read goes before what its setup declares.",
        {
            "number": node("number", "The number that it is entered under: the setup whose entry says `number:` and the same is found by it.", [12, "12a"],
                           type=["integer", "string"], minLength=1),
            "setup": text("setup", "Its setup's file as a path from here, or none where nobody has one: it is judged on"
                          " the officials' readings alone.", "../cars/car-12.yaml", "none"),
            "name": text("name", "What the car is called, where no setup says it.", "Car 12"),
            "class": text("class", "Id of the class that it runs in.", "stock-17"),
            "at": node("time of day", "When it was inspected.", ["10:40"], type="string",
                       pattern="^([01]?[0-9]|2[0-3]):[0-5][0-9]$"),
            "by": text("inspected by", "Who measured and looked.", "chief inspector"),
            "entry": mapping("entry", "What its entry states, for rules that test entry.KEY; it goes before what the"
                             " setup says.", {}, {"venue": "indoor"}, otherwise={"type": ["string", "number", "boolean"]}),
            "readings": use("official_readings", "readings", "What the officials measured, under the keys of a setup.",
                            _READINGS_EXAMPLE),
            "looked_at": {
                **by_name("looked at", "What was looked at, by the id of the rule.",
                          choice("outcome", "Whether it passed.", OUTCOMES), {"body": "passed"}),
                "propertyNames": {"type": "string", "pattern": ID},
            },
            "ruling": choice("ruling", "What the officials decided.", OUTCOMES),
            "note": text("note", "Anything worth remembering of it.", "weighed twice, with the driver beside it"),
        },
        _CAR_EXAMPLE,
        required=["class"],
    )  # fmt: skip


def inspection_document() -> Schema:
    """The root of inspection/1."""
    return mapping(
        "inspection", "What officials measured and looked at on a race day, car by car.",
        {
            "format": node("format", "What this file is.", ["inspection/1"], type="string", const="inspection/1"),
            "event": text("event", "The race, as people call it.", "Round 3"),
            "on": day("race day", "The day of the race: it decides which rules are in force."),
            "ruleset": node("ruleset", "Id of the ruleset, or one version of it.", ["harbour-city@2026.2"], type="string",
                            pattern=RULESET_REFERENCE),
            "digest": node("digest", "The digest of that ruleset on the day, so that nobody can change it unseen.",
                           [DIGEST_EXAMPLE], type="string", pattern=DIGEST),
            "venue": text("venue", "Where it is run, in words that the rules test.", "indoor"),
            "track": text("track", "Id of the track.", "harbour-hall"),
            "officials": several("officials", "Who inspects.", {"type": "string", "minLength": 1}, ["chief inspector"]),
            "instruments": equipment.instruments(),
            "cars": several("cars", "The cars that were inspected.", {"$ref": "#/$defs/inspected_car"}, [_CAR_EXAMPLE],
                            maxItems=1000),
            "notes": text("notes", "Anything worth remembering of the day.", "hall at 17 degrees in the morning"),
        },
        {"format": "inspection/1", "event": "Round 3", "on": "2026-03-14", "ruleset": "harbour-city@2026.2",
         "cars": [_CAR_EXAMPLE]},
        required=["format", "on", "ruleset"],
    )  # fmt: skip


DEFS: Final[dict[str, Schema]] = {
    "inspected_car": _inspected_car(),
    "official_readings": mapping(
        "readings", "What the officials measured, under the keys of a setup.", reading_sections(), _READINGS_EXAMPLE
    ),
}
