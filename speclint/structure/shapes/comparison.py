"""The JSON report that `compare` writes."""

from typing import Any, Final

from speclint.quantities.rebuilds import REBUILDS
from speclint.schema_nodes import Schema, choice, day, flag, mapping, maybe, node, several, text, use, whole

WORDS: Final = ("changed", "no change shown", "can't tell")
DIRECTIONS: Final = ("rising", "falling", "no trend shown", "can't tell")
STANDINGS: Final = ("legal, uncertainty counted", "legal as read", "not judged", "not shown", "illegal")
VERDICTS: Final = ("legal", "illegal", "not-shown")
QUANTITIES: Final = (
    "kv_rpm_per_v", "torque_mnm_per_a", "current_a", "winding_mean_mohm", "winding_spread_percent", "timing_mean_deg",
    "timing_spread_deg", "sensor_spread_percent", "pole_difference_percent",
)  # fmt: skip

_RUN: Final[dict[str, Any]] = {
    "number": 1, "date": "2026-03-10", "rotor": "standard",
    "where": {"file": "motors/00417.yaml", "line": 19, "column": 5, "pointer": "/bench_runs/0"},
}  # fmt: skip
_JUDGED: Final[dict[str, Any]] = {
    "entry": "harbour-city/stock-17, 14 March 2026", "verdict": "legal", "message": "final drive ratio is 4.24; 0.04 to spare",
}  # fmt: skip
_GEAR: Final[dict[str, Any]] = {"pinion_teeth": 43, "ratio": 4.2418605, "off_percent": 1.5, "judged": [_JUDGED]}
_CHANGE: Final[dict[str, Any]] = {
    "quantity": "kv_rpm_per_v", "unit": "rpm_per_v", "first": 2433.1, "second": 2341.2, "difference": -91.9, "percent": -3.8,
    "expanded_uncertainty": 24, "word": "changed", "reason": None,
    "shared_instruments": ["motor-bench"],
}  # fmt: skip


def _closed(title: str, about: str, keys: dict[str, Schema], *examples: dict[str, Any], null: bool = False) -> Schema:
    found = mapping(title, about, keys, *examples, required=tuple(keys))
    return {**found, "type": ["object", "null"], "examples": [*found["examples"], None]} if null else found


def _quantity() -> dict[str, Schema]:
    return {
        "quantity": choice("quantity", "What is compared.", *QUANTITIES),
        "unit": text("unit", "Code of the unit, as keys end in it; mnm_per_a is mNm/A.", "rpm_per_v"),
    }


def _blur(about: str, example: float) -> Schema:
    return maybe("number", "expanded uncertainty", about, example, minimum=0)


def _change_keys() -> dict[str, Schema]:
    return {
        **_quantity(),
        "first": maybe("number", "first", "Value in the first run, at common conditions.", 2433.1),
        "second": maybe("number", "second", "Value in the second run, at common conditions.", 2341.2),
        "difference": maybe("number", "difference", "Second less first.", -91.9),
        "percent": maybe("number", "in percent", "The difference in percent of the first value. Unit: %.", -3.8),
        "expanded_uncertainty": _blur("Half-width that the scatter of the bench makes by itself, at 5 % of false alarms for the whole table.", 24),
        "word": choice("word", "What that shows.", *WORDS),
        "reason": maybe("string", "reason", "Why nothing can be told.", "no instrument is named"),
        "shared_instruments": several("shared instruments", "Instruments that both values were read on.",
                                      {"type": "string"}, ["motor-bench"]),
    }  # fmt: skip


def _run() -> Schema:
    return _closed(
        "run", "A bench run.",
        {
            "number": whole("number", "Which run of the motor it is, from the oldest, 1.", 1, minimum=1),
            "date": text("date", "When it was made, as the file writes it.", "2026-03-10"),
            "rotor": maybe("string", "rotor", "Kind of the rotor that was in the motor.", "standard"),
            "where": use("where", "where", "Where it stands.", _RUN["where"]),
        },
        _RUN,
    )  # fmt: skip


def _comparison() -> Schema:
    kinds = [rebuild.kind for rebuild in REBUILDS]
    return _closed(
        "comparison", "Two runs of the motor held against each other. Null where there are no two.",
        {
            "first": use("bench_run_of_report", "first run", "The first run.", _RUN),
            "second": use("bench_run_of_report", "second run", "The second run.", _RUN),
            "why": text("why", "Why these two.", "the runs around the last rebuild, of 11 March 2026"),
            "rebuilds": several("rebuilds", "What was done to the motor between them.", _closed(
                "rebuild", "One rebuild.",
                {
                    "date": text("date", "When it was done.", "2026-03-11"),
                    "did": several("what was done", "Kinds of rebuild.", {"type": "string", "enum": kinds}, ["rotor-swap"]),
                    "note": maybe("string", "note", "The owner's note.", "stronger magnet"),
                },
                {"date": "2026-03-11", "did": ["rotor-swap"], "note": None},
            ), []),
            "supply_v": maybe("number", "supply voltage", "Common supply voltage. Unit: V.", 3.7),
            "temperature_c": node("temperature", "Common temperature of winding and magnet. Unit: °C.", [20], type="number"),
            "changes": several("changes", "Every quantity in both runs.", {"$ref": "#/$defs/bench_change"}, [_CHANGE]),
            "assumptions": several("assumptions", "What is taken for what nobody stated.", {"type": "string"}, []),
            "notes": several("notes", "What else there is to say.", {"type": "string"}, []),
        },
        null=True,
    )  # fmt: skip


def _judged() -> Schema:
    return _closed(
        "judged", "What the rules on the gearing of one entry say.",
        {
            "entry": text("entry", "Ruleset, class and day.", _JUDGED["entry"]),
            "verdict": choice("verdict", "What came out.", *VERDICTS),
            "message": maybe("string", "message", "About the rule that decides.", _JUDGED["message"]),
        },
        _JUDGED,
    )  # fmt: skip


def _gear(title: str, about: str, *, null: bool = False) -> Schema:
    return _closed(
        title, about,
        {
            "pinion_teeth": whole("pinion", "Teeth of the pinion.", 43, minimum=1, unit="teeth"),
            "ratio": node("ratio", "Final drive ratio with it.", [4.2418605], type="number"),
            "off_percent": node("off", "How far that is from the equivalent ratio; above zero it is shorter. Unit: %.",
                                [1.5], type="number"),
            "judged": several("judged", "What the entries say of it.", {"$ref": "#/$defs/bench_judged"}, [_JUDGED]),
        },
        _GEAR, null=null,
    )  # fmt: skip


def _equivalent() -> Schema:
    return _closed(
        "equivalent gearing", "The gearing that keeps the car's top speed. Null where there is none.",
        {
            "setup": text("setup", "Name of the car.", "Car 12, indoor carpet"),
            "file": text("file", "The car's file.", "setups/car-12.yaml"),
            "old_ratio": node("old ratio", "Final drive ratio that the setup states.", [4.3428571], type="number"),
            "ratio": node("ratio", "The equivalent one.", [4.178], type="number"),
            "expanded_uncertainty": _blur("Expanded uncertainty of the equivalent ratio.", 0.042),
            "change_shown": flag("change shown", "Whether a change of the speed per volt is shown at all."),
            "spur_teeth": whole("spur", "Teeth of the spur, which stays.", 96, minimum=1, unit="teeth"),
            "fitted_pinion_teeth": whole("fitted pinion", "Teeth of the pinion that is fitted.", 42, minimum=1, unit="teeth"),
            "judged": several("judged", "What the entries say of that ratio.", {"$ref": "#/$defs/bench_judged"}, [_JUDGED]),
            "closest": _gear("closest", "The pinion that comes closest."),
            "closest_legal": _gear("closest legal", "The closest one that every entry takes. Null where none is.", null=True),
            "from_parts_box": flag("from the parts box", "Whether only pinions of a parts box were looked at."),
        },
        null=True,
    )  # fmt: skip


def _trend() -> Schema:
    return _closed(
        "trend", "One quantity over the runs between two rebuilds that end it.",
        {
            **_quantity(),
            "direction": choice("direction", "What is shown of the slope.", *DIRECTIONS),
            "reason": maybe("string", "reason", "Why there is no line.", "2 runs with this reading; a trend takes 3"),
            "since": maybe("string", "since", "The rebuild that it begins after.", "2026-03-01"),
            "until": maybe("string", "until", "The rebuild that ended it.", "2026-06-01"),
            "slope_per_day": maybe("number", "slope per day", "Slope of the line.", 0.0134),
            "slope_expanded_uncertainty": _blur("Expanded uncertainty of the slope.", 0.0026),
            "scatter": maybe("number", "scatter", "Standard deviation of the runs about the line.", 0.05, minimum=0),
            "points": several("points", "The runs.", _closed(
                "point", "One run.",
                {
                    "run": whole("run", "Its number.", 1, minimum=1),
                    "date": text("date", "When it was made.", "2026-03-10"),
                    "value": node("value", "The value at common conditions.", [21.4], type="number"),
                    "expanded_uncertainty": _blur("Expanded uncertainty of the value.", 0.15),
                },
                {"run": 1, "date": "2026-03-10", "value": 21.4, "expanded_uncertainty": 0.15},
            ), []),
        },
    )  # fmt: skip


def _meeting() -> Schema:
    return _closed(
        "meeting", "When a trend meets a limit that it goes towards.",
        {
            **_quantity(),
            "limit": node("limit", "The limit at the trend's conditions, in the unit beside it.", [22.256], type="number"),
            "rule": text("rule", "Whose limit it is.", "winding 4.6 of harbour-city/stock-17, 14 March 2026"),
            "on": day("on", "The day on which the line meets it.", "2026-05-04"),
            "earliest": day("earliest", "The same for the steepest slope that the runs allow.", "2026-04-27"),
            "latest": node("latest", "The same for the flattest. Null where that is more than two years on.",
                           ["2026-05-14", None], type=["string", "null"]),
            "passed": flag("passed", "Whether the line has met it already.", False),
        },
    )  # fmt: skip


def _motor() -> Schema:
    return _closed(
        "motor", "One motor over its runs. Null where several are put side by side.",
        {
            "name": text("name", "What the owner calls it.", "club stock, no. 417"),
            "file": text("file", "Its file.", "motors/00417.yaml"),
            "comparison": _comparison(),
            "meanings": several("meanings", "What the changes mean.", _closed(
                "meaning", "One thing that they mean.",
                {
                    "id": text("id", "Which one it is.", "stronger-magnet"),
                    "message": text("message", "It in words.", "speed per volt is down by 3.8 %: a stronger magnet"),
                    "source": text("source", "Where that is known from.", "common practice"),
                    "warns": flag("warns", "Whether to look into it before the motor runs again.", False),
                },
                {"id": "stronger-magnet", "message": "a stronger magnet", "source": "common practice", "warns": False},
            ), []),
            "equivalent_gearing": _equivalent(),
            "no_equivalent_because": maybe("string", "no equivalent because", "Why there is no equivalent gearing.",
                                            "no setup of the repository names this motor"),
            "trends": several("trends", "The motor over time.", {"$ref": "#/$defs/bench_trend"}, []),
            "meetings": several("meetings", "Trends that go towards a limit.", {"$ref": "#/$defs/bench_meeting"}, []),
            "instruments_from": several("instruments from", "Files whose instruments were used.", {"type": "string"},
                                        ["garage.yaml"]),
        },
        null=True,
    )  # fmt: skip


def _candidate() -> Schema:
    return _closed(
        "candidate", "One motor beside others.",
        {
            "name": text("name", "What the owner calls it.", "club stock, no. 417"),
            "file": text("file", "Its file.", "motors/00417.yaml"),
            "turns": maybe("number", "turns", "Its turns. Unit: turns.", 17.5),
            "standing": choice("standing", "How it stands to the rules on motors.", *STANDINGS),
            "readings": several("readings", "Its newest readings that still count.", _closed(
                "reading", "One quantity.",
                {
                    **_quantity(),
                    "value": maybe("number", "value", "The value at common conditions.", 21.37),
                    "expanded_uncertainty": _blur("Expanded uncertainty of the value.", 0.15),
                    "run": maybe("integer", "run", "The run it is of.", 2),
                    "reason": maybe("string", "reason", "Why there is no value.", "not measured since the rotor swap"),
                },
                {"quantity": "winding_mean_mohm", "unit": "mohm", "value": 21.37, "expanded_uncertainty": 0.15, "run": 2,
                 "reason": None},
            ), []),
            "not_met": several("not met", "Rules on the motor that it does not meet.", _closed(
                "rule not met", "One rule.",
                {
                    "entry": text("entry", "Ruleset, class and day.", _JUDGED["entry"]),
                    "rule": text("rule", "Id of the rule.", "winding"),
                    "verdict": choice("verdict", "What came out.", *VERDICTS),
                    "message": text("message", "It in words.", "winding, mean is 19.95 mΩ: 0.60 mΩ short"),
                },
                {"entry": _JUDGED["entry"], "rule": "winding", "verdict": "illegal", "message": "0.60 mΩ short"},
            ), []),
        },
    )  # fmt: skip


def _ranking() -> Schema:
    other = {"file": text("file", "The other motor.", "motors/00455.yaml"), **_change_keys()}
    return _closed(
        "ranking", "Several motors side by side. Null where one motor was looked at over its runs.",
        {
            "supply_v": maybe("number", "supply voltage", "Common supply voltage. Unit: V.", 3.7),
            "temperature_c": node("temperature", "Common temperature of winding and magnet. Unit: °C.", [20], type="number"),
            "one_spec": flag("one spec", "Whether all have the same turns."),
            "pick": maybe("string", "pick", "File of the motor with the lowest winding that may be chosen.",
                           "motors/00417.yaml"),
            "level_with": several("level with", "Files of motors whose winding is not shown to differ from the pick's.",
                                  {"type": "string"}, ["motors/00455.yaml"]),
            "motors": several("motors", "The motors, the first choice at the front.",
                              {"$ref": "#/$defs/bench_candidate"}, []),
            "differences": several("differences", "Each quantity that motors are chosen by, against the least of it.", _closed(
                "difference", "One quantity.",
                {
                    "quantity": choice("quantity", "What is compared.", *QUANTITIES),
                    "least": text("least", "File of the motor with the least of it as read.", "motors/00417.yaml"),
                    "others": several("others", "The other motors against that one.", _closed(
                        "other motor", "One motor against the one with the least.", other,
                        {"file": "motors/00455.yaml", **_CHANGE},
                    ), []),
                },
                {"quantity": "winding_mean_mohm", "least": "motors/00417.yaml", "others": []},
            ), []),
            "obstacles": several("obstacles", "What keeps the motors from being compared.", {"type": "string"}, []),
        },
        null=True,
    )  # fmt: skip


def comparison_document() -> Schema:
    """The root of comparison/1."""
    return _closed(
        "bench report", "What one run of `compare` found.",
        {
            "format": node("format", "What this file is.", ["comparison/1"], type="string", const="comparison/1"),
            "tool": _closed(
                "tool", "What wrote the report.",
                {
                    "name": node("name", "Its name.", ["speclint"], type="string", const="speclint"),
                    "version": text("version", "Its version.", "0.1.0"),
                },
                {"name": "speclint", "version": "0.1.0"},
            ),
            "motor": _motor(),
            "ranking": _ranking(),
            "notes": several("notes", "What else there is to say.", {"type": "string"}, []),
            "problems": several("problems", "Everything wrong with the files themselves.", {"$ref": "#/$defs/problem"}, []),
            "cautions": several("cautions", "What a person who measures motors should know.", _closed(
                "caution", "One caution.",
                {
                    "id": text("id", "Which one it is.", "magnet"),
                    "message": text("message", "It in words.", "Rotor magnets are strong and brittle."),
                },
                {"id": "magnet", "message": "Rotor magnets are strong and brittle."},
            ), []),
        },
    )  # fmt: skip


DEFS: Final[dict[str, Schema]] = {
    "bench_run_of_report": _run(),
    "bench_change": _closed("change", "One quantity in two runs.", _change_keys(), _CHANGE),
    "bench_judged": _judged(),
    "bench_trend": _trend(),
    "bench_meeting": _meeting(),
    "bench_candidate": _candidate(),
}
