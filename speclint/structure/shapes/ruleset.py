"""The ruleset: classes and their rules, lists of approved parts, waivers and examples."""

from typing import Any, Final

from speclint.forms.quantity_key import DECLARED_PATTERN, quantity_key
from speclint.limits.verdicts import MEANINGS
from speclint.quantities.kinds import COUNT_KEY, KINDS, SUM_KEY, TAKES
from speclint.readings.digits import UNITS
from speclint.schema_nodes import (
    ID,
    VERSION,
    Schema,
    by_name,
    choice,
    day,
    mapping,
    name,
    needs_one,
    node,
    number,
    several,
    text,
    unit_words,
)
from speclint.structure.shapes import equipment
from speclint.structure.shapes.rule import (
    RULE_EXAMPLE,
    decision_shape,
    option_shape,
    row_shape,
    rule_shape,
    test_shape,
    when_shape,
)

_CLASS_EXAMPLE: Final[dict[str, Any]] = {"title": "17.5 touring, stock", "rules": [RULE_EXAMPLE]}
_ITEM_EXAMPLE: Final[dict[str, Any]] = {"id": "M-17A", "from": "2025-09-01", "rotors": ["R-12", "R-13"]}


def _class() -> Schema:
    return mapping(
        "class", "One class of cars that race each other.",
        {
            "title": text("title", "Title of the class.", "17.5 touring, stock"),
            "about": text("about", "What the class is for.", "for cars with the sealed club motor"),
            "when": when_shape("Every rule of this block applies only where all of this holds; what is inherited does not."),
            "based_on": name("based on", "Id of a class of this ruleset whose rules hold here too.", "stock-21"),
            "usual_ratio": several("usual ratio", "Lowest and highest final drive ratio that cars of the class usually run:"
                                   " advice for a first gearing, never a rule.",
                                   {"type": "number", "exclusiveMinimum": 0}, [4.2, 5.2], minItems=2, maxItems=2),
            "rules": several("rules", "The rules of the class.", {"$ref": "#/$defs/rule"}, [RULE_EXAMPLE]),
        },
        _CLASS_EXAMPLE,
    )  # fmt: skip


def _list() -> Schema:
    shape = mapping(
        "list", "A list of approved parts.",
        {
            "based_on": node("based on", "Another body's list, by id@version/list, which this one takes over: its items, over"
                             " which those of an id that stands here go, and its day of freezing, unless one stands here.",
                             ["coastal-league@2026.1/motors"], type="string", pattern=f"{ID[:-1]}@{VERSION}/{ID[1:]}"),
            "about": text("about", "What the list holds.", "motors that the club has approved"),
            "frozen_on": day("frozen on", "Items that come into force after this day count for the next season.",
                             "2026-01-01"),
            "items": several("items", "What is listed.", {"$ref": "#/$defs/item"}, [_ITEM_EXAMPLE]),
        },
        {"frozen_on": "2026-01-01", "items": [_ITEM_EXAMPLE]},
    )  # fmt: skip
    return {**shape, **needs_one("a list", ["items", "based_on"])}


def _item() -> Schema:
    return mapping(
        "item",
        "One approved part; any other key holds what belongs to it.",
        {
            "id": text("id", "What is printed on the part: the value that a rule compares.", "M-17A"),
            "from": day("from", "First day that it is approved.", "2025-09-01"),
            "until": day("until", "Last day that it is approved.", "2026-06-30"),
            "published": day("published", "When its approval was made known.", "2025-08-20"),
        },
        _ITEM_EXAMPLE,
        required=["id"],
        otherwise={"type": ["string", "number", "array"], "items": {"type": ["string", "number"]}},
    )


def _waiver() -> Schema:
    return mapping(
        "waiver",
        "One rule that some cars need not meet for a while.",
        {
            "rule": name("rule", "Id of the rule.", "weight"),
            "class": name("class", "Id of the class; without it, every class that has the rule.", "stock-17"),
            "when": when_shape("Whom it is granted to; without it, every car."),
            "from": day("from", "First day that it holds.", "2026-03-04"),
            "until": day("until", "Last day that it holds.", "2026-04-30"),
            "granted": text("granted", "Who granted it, and where that is written.", "minutes of 3 March"),
        },
        {"rule": "weight", "class": "stock-17", "when": {"motor_serial": "00417"}, "until": "2026-04-30"},
        required=["rule"],
    )


def _example() -> Schema:
    return mapping(
        "example", "One of the ruleset's own tests: a car, and what the rules must say of it.",
        {
            "about": text("about", "What the example shows.", "one tooth over on the pinion"),
            "class": name("class", "Id of the class.", "stock-17"),
            "on": day("race day", "The day of the race: it decides which rules are in force."),
            "entry": mapping("entry", "What the entry states beside its class and day, for rules that test entry.KEY.",
                             {}, {"venue": "indoor"}, otherwise={"type": ["string", "number", "boolean"]}),
            "setup": {"$ref": "#/$defs/setup_part", "title": "setup", "description": "As much of a setup as the"
                      " example needs.", "examples": [{"car": {"spur_teeth": 96, "pinion_teeth": 44}}]},
            "expect": by_name("expect", "The verdict that each rule must give, by the id of the rule.",
                              choice("verdict", "The verdict that the rule must give.", MEANINGS),
                              {"final-drive": "illegal"}, ids=True),
        },
        {"class": "stock-17", "on": "2026-03-14", "setup": {"car": {"mass_g": 1340}}, "expect": {"weight": "illegal"}},
        required=["class", "on", "setup", "expect"],
    )  # fmt: skip


def _in_force() -> Schema:
    return mapping(
        "in force",
        "The days that this version of the ruleset binds.",
        {
            "from": day("from", "First day.", "2026-02-01"),
            "until": day("until", "Last day; without it, until another version takes over.", "2026-12-31"),
        },
        {"from": "2026-02-01", "until": "2026-12-31"},
        required=["from"],
    )


def ruleset_document() -> Schema:
    """The root of ruleset/1."""
    return mapping(
        "ruleset", "One publisher's class rules.",
        {
            "format": node("format", "What this file is.", ["ruleset/1"], type="string", const="ruleset/1"),
            "id": name("id", "Id of the ruleset; entries name it.", "harbour-city"),
            "title": text("title", "Title of the rulebook.", "Harbour City Model Car Club, class rules"),
            "about": text("about", "Whom the rules are for.", "club races in the Harbour Hall"),
            "version": node("version", "Version of the ruleset, in quotes.", ["2026.2"], type="string",
                            pattern=f"^{VERSION}$"),
            "published": day("published", "When this version was made known.", "2026-01-20"),
            "checked_on": day("checked on", "When somebody last held it against the official text.", "2026-01-25"),
            "source": text("source", "Where the official text stands.", "club handbook 2026, section 4"),
            "contact": text("contact", "Whom to ask about the rules, as the club publishes it.", "rules desk of the club"),
            "in_force": _in_force(),
            "based_on": node("based on", "Another ruleset by id@version, whose classes and rules hold here too until"
                             " this file changes one by its id.", ["coastal-league@2026.1"], type="string",
                             pattern=f"{ID[:-1]}@{VERSION}$"),
            "reference_temperature_c": number("reference temperature", "The temperature that winding resistances are"
                                              " corrected to.", 20, unit="c", minimum=-20, maximum=60),
            "decision": decision_shape("How a close value is decided."),
            "instruments": equipment.instruments(),
            "quantities": {
                **by_name("quantities", "Quantities of the ruleset's own, by the name that rules call them by: extra.KEY for a"
                          " key under a setup's `extra:`, or entry.KEY. What is inherited is not declared again.",
                          {"$ref": "#/$defs/declaration"}, {"extra.ballast_kg": _DECLARATION_EXAMPLE}),
                "propertyNames": {"type": "string", "pattern": DECLARED_PATTERN},
            },
            "classes": by_name("classes", "The classes, by id.", {"$ref": "#/$defs/class"},
                               {"stock-17": _CLASS_EXAMPLE}, ids=True),
            "lists": by_name("lists", "Lists of approved parts, by id.", {"$ref": "#/$defs/list"},
                             {"motors": {"items": [_ITEM_EXAMPLE]}}, ids=True),
            "waivers": several("waivers", "Exceptions that the club has granted.", {"$ref": "#/$defs/waiver"},
                               [{"rule": "weight", "class": "stock-17", "when": {"motor_serial": "00417"}, "until": "2026-04-30"}]),
            "examples": several("examples", "The ruleset's own tests.", {"$ref": "#/$defs/example"},
                                [{"class": "stock-17", "on": "2026-03-14", "setup": {"car": {"mass_g": 1340}},
                                  "expect": {"weight": "illegal"}}]),
        },
        {"format": "ruleset/1", "id": "harbour-city", "version": "2026.2", "in_force": {"from": "2026-02-01"},
         "classes": {"stock-17": _CLASS_EXAMPLE}},
        required=["format", "id", "version", "in_force", "classes"],
    )  # fmt: skip


def _declaration() -> Schema:
    name_of_part = quantity_key("part", "A quantity that is stated, or built in", "extra.ballast_kg")
    keys = {
        "title": text("title", "What it is called in reports.", "ballast"),
        "kind": choice("kind", f"What it takes: {', '.join(map(': '.join, _KINDS.items()))}.", _KINDS),
        "unit": choice("unit", "Its unit, where the key does not end in one.", _UNITS),
        "choices": several("choices", "The values that it can have, of a text, a setting or a count.",
                           {"type": ["string", "number"], "minLength": 1}, ["on", "off"], minItems=1),
        "usual": several("usual", "The lowest and the highest value that is usual; beyond that a mistyped one is likely.",
                         {"type": "number"}, [0, 30], minItems=2, maxItems=2),
        "about": text("about", "What it is.", "weights that are fixed to the floor"),
        "measure": text("measure", "How it is measured.", "On the club scale."),
        SUM_KEY: several("sum of", "The quantities that it is the sum of.", name_of_part,
                         ["extra.driver_kg", "extra.ballast_kg"], minItems=2, maxItems=MOST_PARTS),
        COUNT_KEY: quantity_key("count of", "The key that holds a list, which this counts: an empty list is none",
                                "extra.roller_mm"),
    }  # fmt: skip
    shape = mapping(
        "declaration", "What a quantity of the ruleset's own is.", keys, _DECLARATION_EXAMPLE, required=["kind"]
    )
    return {
        **shape,
        "dependentSchemas": {
            SUM_KEY: {"properties": dict.fromkeys((COUNT_KEY, "choices"), False)},
            COUNT_KEY: {"properties": {"choices": False}},
        },
    }


_DECLARATION_EXAMPLE: Final[dict[str, Any]] = {"title": "ballast", "kind": "measured", "usual": [0, 30]}

_KINDS: Final = {word: TAKES[sort] for word, sort in KINDS.items()}

_UNITS: Final = {code: f"in {unit_words(code)}" for code in UNITS if code}

MOST_PARTS: Final = 20
"""How many quantities a sum may have."""


DEFS: Final[dict[str, Schema]] = {
    "rule": rule_shape(),
    "option": option_shape(),
    "test": test_shape(),
    "row": row_shape(),
    "class": _class(),
    "declaration": _declaration(),
    "list": _list(),
    "item": _item(),
    "waiver": _waiver(),
    "example": _example(),
}
