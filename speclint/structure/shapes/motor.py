"""The motor and its records: factory sheet, bench runs and rebuilds."""

from typing import Final

from speclint.quantities.model import Home
from speclint.quantities.rebuilds import REBUILDS
from speclint.schema_nodes import Schema, choice, flag, mapping, node, number, one_word_of, several, text, use
from speclint.structure.shapes import equipment
from speclint.structure.shapes.readings import ABOVE_ZERO, of_reading, temperature
from speclint.structure.shapes.stated import stated_keys

_BENCH_EXAMPLE: Final = {"date": "2026-03-10", "supply_v": 3.7, "current_a": 3.9, "kv_rpm_per_v": 2450}
_SECOND_POINT_EXAMPLE: Final = {"supply_v": 7.4, "current_a": 3.2, "speed_rpm": 17800}
_WINDING_EXAMPLE: Final = {"ab_mohm": 37.9, "bc_mohm": 38.0, "ca_mohm": 37.8, "winding_c": 31}


def _date(about: str) -> Schema:
    return use(
        "moment",
        "date",
        f"{about} Add the time of day where the order within a day matters.",
        "2026-03-10",
        "2026-03-10 19:30",
    )


def _phase(leads: str, example: float) -> Schema:
    return use("phase", f"resistance {leads}", f"Resistance between the leads {leads[0]} and {leads[1]}: a number, a"
               " list of repeated readings, or a reading with its instrument.", example, [example, example + 0.5],
               unit="mohm")  # fmt: skip


def _winding() -> Schema:
    return mapping(
        "winding", "Resistances of the winding from lead to lead, and how warm it was.",
        {
            "ab_mohm": _phase("AB", 36.7),
            "bc_mohm": _phase("BC", 37),
            "ca_mohm": _phase("CA", 36),
            "winding_c": temperature("winding temperature", "Temperature of the winding during the measurement; after"
                                     " an hour's rest that of the room.", 21),
            "instrument": text("milliohm meter", "The instrument for the resistances, by its name under"
                               " `instruments:`.", "milliohm-meter"),
            "thermometer": text("thermometer", "The instrument for the temperature, by its name under"
                                " `instruments:`.", "thermometer"),
        },
        _WINDING_EXAMPLE,
    )  # fmt: skip


def _factory_sheet() -> Schema:
    return mapping(
        "factory sheet", "What the sheet says that came with the motor: a reading older than all others.",
        {
            "serial": text("serial", "Serial number that the sheet names.", "00417"),
            "date": _date("Date of the sheet."),
            "winding": use("winding", "winding", "Resistances of the winding as the sheet gives them.",
                           _WINDING_EXAMPLE),
            "starting_ratio": several("starting ratio", "Lowest and highest final drive ratio that the maker suggests"
                                      " to start with.", {"type": "number", "exclusiveMinimum": 0}, [4.2, 5.0],
                                      minItems=2, maxItems=2),
            "starting_tyre_mm": number("starting tyre", "Diameter of the tyre that the starting ratio is for; 63 mm, a"
                                       " 1/10 touring car's, where the sheet does not say.", 63, unit="mm",
                                       exclusiveMinimum=0),
            "kv_rpm_per_v": stated_keys(Home.BENCH)["kv_rpm_per_v"],
            "note": text("note", "Anything worth remembering of it.", "sheet 2 of 2 is lost"),
        },
        {"serial": "00417", "winding": _WINDING_EXAMPLE, "starting_ratio": [4.2, 5.0]},
    )  # fmt: skip


def _bench_run() -> Schema:
    return mapping(
        "bench run", "One measurement of the motor alone. Clamp the motor, take the pinion off and keep clear of it.",
        {
            "date": _date("When it was measured."),
            "rotor": text("rotor", "Kind of the rotor that was in the motor.", "standard"),
            "instrument": text("instrument", "The instrument that was read, by its name under `instruments:`, where a"
                               " value does not name its own.", "bench-meter"),
            "supply_v": of_reading(ABOVE_ZERO, "supply voltage", "Voltage at the motor during the measurement.", 3.7,
                                   unit="v"),
            **stated_keys(Home.BENCH),
            "timing_deg": use("sensors", "measured timing", "Timing that the bench measures: a list with one value for"
                              " each sensor, or one number.", [37.8, 38.1, 38.3], 38.1, unit="deg"),
            "winding": use("winding", "winding", "Resistances of the winding, and how warm it was.", _WINDING_EXAMPLE),
            "second_point": use("second_point", "second no-load point", "The same motor without load at another voltage"
                                " (at least half as high again): it tells friction from the iron's loss.",
                                _SECOND_POINT_EXAMPLE),
            "can_c": temperature("can temperature", "Temperature of the motor's can.", 31),
            "ambient_c": temperature("ambient temperature", "Temperature of the air.", 21),
            "note": text("note", "Anything worth remembering of it.", "new bearings, not run in"),
        },
        _BENCH_EXAMPLE,
        required=["date"],
    )  # fmt: skip


def _second_point() -> Schema:
    stated = stated_keys(Home.BENCH)
    return mapping(
        "second no-load point",
        "The motor without load at another voltage, in the same bench run.",
        {
            "supply_v": of_reading(ABOVE_ZERO, "supply voltage", "Voltage at the motor.", 7.4, unit="v"),
            "current_a": stated["current_a"],
            "speed_rpm": stated["speed_rpm"],
        },
        _SECOND_POINT_EXAMPLE,
    )


def _rebuild() -> Schema:
    kinds = {rebuild.kind: f"{rebuild.title}: {rebuild.because}" for rebuild in REBUILDS}
    return mapping(
        "rebuild", "One time that the motor was opened, or a part of it changed.",
        {
            "date": _date("When it was done."),
            "did": several("what was done", f"What was done to the motor: {', '.join(kinds)}.",
                           one_word_of(kinds), ["rotor-swap", "clean", "shim"], minItems=1),
            "note": text("note", "Anything worth remembering of it.", "stronger magnet"),
        },
        {"date": "2026-03-11", "did": ["rotor-swap", "clean", "shim"]},
        required=["date", "did"],
    )  # fmt: skip


def motor_keys() -> dict[str, Schema]:
    """Every key of a motor but `format`, the same in a file of its own and in place in a setup."""
    stated = stated_keys(Home.MOTOR)
    connection = stated.pop("connection")
    return {
        "name": text("name", "How you call the motor.", "club stock, no. 417"),
        **stated,
        "connection": choice(connection["title"], connection["description"],
                             {"wye": "one end of each phase is joined to those of the others, in a star point",
                              "delta": "each phase is joined to the next one, in a ring"}),
        "rotor": equipment.rotor("The rotor that is in the motor now."),
        "shims_mm": mapping("shims", "Shims on the rotor's shaft, each by its thickness.",
                            stated_keys(Home.MOTOR, "shims_mm"), {"drive_end": [0.1, 0.2], "sensor_end": []},
                            ),
        "fan": flag("fan", "Whether a fan blows on the motor.", True),
        "limit_c": number("limit of the can", "Highest temperature of the can that the maker allows.", 90, unit="c",
                          exclusiveMinimum=0, maximum=300),
        "limit_rpm": number("limit of the speed", "Highest speed of the motor that the maker allows.", 45000,
                            unit="rpm", exclusiveMinimum=0),
        "factory_sheet": use("factory_sheet", "factory sheet", "What the sheet says that came with the motor.",
                             {"serial": "00417", "starting_ratio": [4.2, 5.0]}),
        "bench_runs": several("bench runs", "Every measurement of the motor alone.", {"$ref": "#/$defs/bench_run"},
                              [_BENCH_EXAMPLE]),
        "rebuilds": several("rebuilds", "Every time that the motor was opened or changed; a rebuild ends the readings"
                            " that it can change.", {"$ref": "#/$defs/rebuild"},
                            [{"date": "2026-03-11", "did": ["rotor-swap"]}]),
        "instruments": equipment.instruments(),
        "notes": text("notes", "Anything worth remembering of the motor.", "bought at the club meeting"),
    }  # fmt: skip


def motor_document() -> Schema:
    """The root of motor/1."""
    return mapping(
        "motor",
        "One motor as it is built, with its bench runs and rebuilds.",
        {"format": node("format", "What this file is.", ["motor/1"], type="string", const="motor/1"), **motor_keys()},
        {"format": "motor/1", "name": "club stock, no. 417", "turns": 17.5, "part": "M-17A"},
        required=["format"],
    )


DEFS: Final[dict[str, Schema]] = {
    "winding": _winding(),
    "factory_sheet": _factory_sheet(),
    "second_point": _second_point(),
    "bench_run": _bench_run(),
    "rebuild": _rebuild(),
}
