"""What a team owns: instruments, the parts box and tracks, alike in every document that may hold them."""

from typing import Final

from speclint.quantities.model import Home
from speclint.quantities.taken import TAKEN_KEY
from speclint.schema_nodes import (
    Schema,
    by_name,
    choice,
    day,
    mapping,
    node,
    number,
    several,
    text,
    unit_words,
    use,
    whole,
)
from speclint.structure.shapes.readings import ABOVE_ZERO, VALUE_OR_READINGS, temperature, use_of_taken
from speclint.structure.shapes.stated import stated_keys

SCALE_EXAMPLE: Final = {"pit-scale": {"accuracy_percent": 0.1, "resolution": 1}}


READ_UNITS: Final = (
    "v", "a", "rpm", "rpm_per_v", "mohm", "deg", "percent", "c", "f", "g", "kg", "oz", "lb", "mm", "cm", "in", "mah", "s", "kmh",
)  # fmt: skip
"""The units, by their codes, that an instrument can be described in."""


def _widths() -> dict[str, Schema]:
    """What is known of an instrument in one unit."""
    return {
        "accuracy_percent": number("accuracy in percent", "How far it can be off, in percent of the reading, as a"
                                   " half-width.", 0.1, unit="percent", minimum=0, maximum=100),
        "accuracy": number("accuracy", "How far it can be off, as a half-width, in the unit that it reads.", 0.5,
                           minimum=0),
        "resolution": number("resolution", "The smallest step that it shows, in the unit that it reads.", 1,
                             minimum=0),
        "repeatability_percent": number("repeatability in percent", "How far readings of the same thing scatter that is"
                                        " clamped or contacted anew each time: their standard deviation, in percent of"
                                        " the reading.", 0.3, unit="percent", minimum=0, maximum=100),
        "repeatability": number("repeatability", "The same in the unit that it reads.", 0.2, minimum=0),
        "offset": number("offset", "What it is known to show too much (negative: too little), in the unit that it"
                         " reads; taken off first.", 2),
    }  # fmt: skip


def _instrument() -> Schema:
    return mapping(
        "instrument", "What is known of an instrument: how far it can be off, the steps it shows, and how well it repeats.",
        {
            **_widths(),
            "calibrated_on": day("calibrated on", "When it was last held against a standard.", "2026-01-10"),
            "unit": text("unit", "The unit that it reads.", "g"),
            "per_unit": mapping("per unit", "An instrument that reads several units, such as a motor bench: what is known"
                                " of it in each, by the ending that keys of the unit have.",
                                {code: use("instrument_in_a_unit", f"in {unit_words(code)}", "What is known of it in"
                                           f" {unit_words(code)}.", {"accuracy_percent": 0.5}) for code in READ_UNITS},
                                {"rpm_per_v": {"accuracy_percent": 0.5, "resolution": 1},
                                 "a": {"accuracy_percent": 1, "resolution": 0.01}}),
            "note": text("note", "Anything worth remembering of it.", "reads high when cold"),
        },
        {"accuracy_percent": 0.1, "resolution": 1},
    )  # fmt: skip


def instruments() -> Schema:
    """Instruments by the names that readings call them."""
    return by_name(
        "instruments",
        "Instruments by name; a reading names the one it was read from.",
        {"$ref": "#/$defs/instrument"},
        SCALE_EXAMPLE,
    )


def parts_box() -> Schema:
    """The parts that remedies and gearing can choose from."""
    return use(
        "parts_box",
        "parts box",
        "The parts at hand: what a remedy or a gearing can be made of.",
        {"pinions_teeth": [40, 41, 42], "spurs_teeth": [93, 96]},
    )


def rotor(about: str) -> Schema:
    """A rotor."""
    return use("rotor", "rotor", about, {"kind": "standard", "part": "R-12", "diameter_mm": 12.3})


def _parts_box() -> Schema:
    tooth_counts = {"type": "integer", "minimum": 1, "maximum": 400}
    return mapping(
        "parts box", "The parts at hand.",
        {
            "pinions_teeth": several("pinions", "Pinions at hand, each by its teeth.", tooth_counts, [40, 41, 42],
                                     unit="teeth"),
            "spurs_teeth": several("spurs", "Spurs at hand, each by its teeth.", tooth_counts, [93, 96], unit="teeth"),
            "rotors": several("rotors", "Rotors at hand.", {"$ref": "#/$defs/rotor"},
                              [{"kind": "torque", "part": "R-13", "diameter_mm": 12.5}]),
            "shims_mm": several("shims", "Shims at hand, each by its thickness.",
                                {"type": "number", "exclusiveMinimum": 0}, [0.1, 0.2, 0.5], unit="mm"),
        },
        {"pinions_teeth": [40, 41, 42], "spurs_teeth": [93, 96]},
    )  # fmt: skip


_INFIELDS: Final = {
    "flowing": "at one speed nearly all the way",
    "mixed": "between flowing and stop-go",
    "stop-go": "from stop to go",
}


def _track() -> Schema:
    meanings = ", ".join(f"{meaning} ({word})" for word, meaning in _INFIELDS.items())
    return mapping(
        "track", "What the safe start of a gearing needs to know of a track.",
        {
            "lap_m": number("lap", "Length of a lap on the racing line.", 180, unit="m", **ABOVE_ZERO),
            "straight_m": number("straight", "Length of the longest straight.", 32, unit="m", **ABOVE_ZERO),
            "infield_speed_kmh": number("infield speed", "Mean speed of the car off the straight: that way over the time"
                                        " it takes, on the fitted gears.", 26, unit="kmh", minimum=0),
            "lap_s": number("lap time", "This car's mean lap time on the fitted gears, not its best; counts where no infield speed is"
                            " stated.", 16.5, unit="s", **ABOVE_ZERO),
            "infield": choice("infield", f"How the way off the straight is driven: {meanings}.", _INFIELDS),
            "corners": whole("corners", "How many corners a lap has off the straight.", 9, minimum=1, maximum=100),
            "grip": number("grip", "Coefficient of friction of tyre on track: about 0.6 on dust, 1 on asphalt,"
                           " 1.6 on carpet.", 1.6, exclusiveMinimum=0, maximum=5),
            "ambient_c": temperature("ambient temperature", "Usual temperature of the air.", 19),
            "note": text("note", "Anything worth remembering of it.", "carpet, laid anew in January"),
        },
        {"lap_m": 180, "straight_m": 32, "grip": 1.6, "ambient_c": 19},
    )  # fmt: skip


def open_value() -> Schema:
    """What may stand under a key that only a ruleset gives a meaning to."""
    return {
        **node("stated value", "Text, a number, true or false, a list of these, or a reading with its instrument.",
               ["club list no. 7", 42.5, {"value": 42.5, "instrument": "caliper"}]),
        "type": ["string", "number", "boolean", "array", "object"],
        "items": {"type": ["string", "number", "boolean"]},
        "properties": {
            "value": number("value", "The value that was read, in the unit of the key.", 42.5),
            "readings": several("readings", "Repeated readings of the same thing, in the unit of the key; their mean"
                                " counts.", {"type": "number"}, [42.5, 42.6], minItems=2),
            "instrument": text("instrument", "The instrument that was read, by its name under `instruments:`.",
                               "caliper"),
            "standard_uncertainty": number("standard uncertainty", "Standard uncertainty of the value (k = 1), in the"
                                           " unit of the key.", 0.2, minimum=0),
            TAKEN_KEY: use_of_taken(),
        },
        **VALUE_OR_READINGS,
    }  # fmt: skip


DEFS: Final[dict[str, Schema]] = {
    "instrument": _instrument(),
    "instrument_in_a_unit": mapping("in one unit", "What is known of an instrument in one unit.", _widths(),
                                    {"accuracy_percent": 0.5, "resolution": 1}),
    "parts_box": _parts_box(),
    "rotor": mapping("rotor", "A rotor: shaft and magnet.", stated_keys(Home.MOTOR, "rotor"),
                     {"kind": "standard", "part": "R-12", "diameter_mm": 12.3}),
    "track": _track(),
    "open_value": open_value(),
}  # fmt: skip
