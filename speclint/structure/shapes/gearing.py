"""The JSON report that `gearing` writes."""

from typing import Any, Final

from speclint.schema_nodes import (
    Schema,
    choice,
    day,
    flag,
    mapping,
    maybe,
    node,
    number,
    several,
    text,
    use,
    whole,
)

WORDS: Final = ("illegal", "not shown", "cannot pull", "too hot", "over-revs", "last tooth", "safe")
"""What is said of a pair; the first that applies counts."""

_TEETH: Final[dict[str, Any]] = {"spur_teeth": 96, "pinion_teeth": 42, "final_drive_ratio": 4.342857142857143}
_BAND: Final[dict[str, Any]] = {"low": 53.1, "median": 58.4, "high": 64.2}
_RULE: Final[dict[str, Any]] = {
    "verdict": "legal", "rule": "final-drive", "margin": 0.142857, "unit": "1", "ratio_limit": 4.2,
}  # fmt: skip
_FACTOR: Final[dict[str, Any]] = {"constant": "can_air_k_per_w", "factor": 1.26, "relative_uncertainty": 0.17}
_SENTENCE: Final = "The rule asks at least 4.2."


def _closed(title: str, about: str, keys: dict[str, Schema], *examples: dict[str, Any]) -> Schema:
    """A mapping that has all of its keys; its example is made of theirs where none is given."""
    examples = examples or ({key: shape["examples"][0] for key, shape in keys.items()},)
    return mapping(title, about, keys, *examples, required=tuple(keys))


def _open(schema: Schema, title: str, about: str, *examples: dict[str, Any]) -> Schema:
    return {**schema, "title": title, "description": f"{about} Null where there is none.", "type": ["object", "null"],
            "examples": [*(examples or schema["examples"]), None]}  # fmt: skip


def _sentences(title: str, about: str, *examples: str) -> Schema:
    return several(title, about, {"type": "string", "minLength": 1}, list(examples or (_SENTENCE,)))


def _words(title: str, about: str, example: str) -> Schema:
    return node(title, f"{about} Empty where there are none.", [example, ""], type="string")


def _band(title: str, about: str, unit: str = "") -> Schema:
    return use("gearing_band", title, about, _BAND, unit=unit)


def _teeth_keys() -> dict[str, Schema]:
    return {
        "spur_teeth": whole("spur", "Teeth of the spur.", 96, unit="teeth", minimum=1),
        "pinion_teeth": whole("pinion", "Teeth of the pinion.", 42, unit="teeth", minimum=1),
        "final_drive_ratio": number("final drive ratio", "Motor turns for one turn of the wheel.", 4.342857142857143,
                                    exclusiveMinimum=0),
    }  # fmt: skip


def _entry() -> Schema:
    return _closed(
        "entry", "One entry whose rules were asked.",
        {
            "ruleset": text("ruleset", "Id of the ruleset.", "harbour-city"),
            "ruleset_version": text("version", "Version of the ruleset that is in force.", "2026.2"),
            "class": text("class", "Id of the class.", "stock-17"),
            "on": day("race day", "The day of the race."),
            "track": maybe("string", "track", "The track that the entry names.", "harbour-hall"),
            "not_met_elsewhere": _sentences("not met elsewhere", "What is illegal or not shown whatever the gears."),
        },
    )  # fmt: skip


def _run() -> Schema:
    return _closed(
        "run", "What the prediction is for.",
        {
            "track": maybe("string", "track", "Id of the track.", "harbour-hall"),
            "minutes": number("minutes", "Length of the run.", 5, unit="minutes", exclusiveMinimum=0),
            "ambient_c": number("air", "Temperature of the air.", 19, unit="c"),
            "lap_m": number("lap", "Length of a lap.", 162, unit="m"),
            "straight_m": number("straight", "Length of the longest straight.", 24, unit="m"),
            "infield_speed_kmh": number("corner speed", "Mean speed off the straight.", 19, unit="kmh"),
            "grip": maybe("number", "grip", "Coefficient of friction of tyre on track.", 1.6),
            "motor": text("motor", "Where the motor's numbers come from.", "the bench run of 12 March 2026"),
            "motor_measured": flag("motor measured", "Whether all of them are from readings that count."),
            "limit_c": number("can limit", "Limit for the can's temperature.", 71, unit="c"),
            "limit_source": text("source of the can limit", "Where the limit comes from.", "as asked for"),
            "limit_rpm": number("motor speed limit", "Limit for the motor's speed.", 40000, unit="rpm"),
            "limit_rpm_source": text("source of the motor speed limit", "Where the limit comes from.", "as asked for"),
            "starting_ratio": node("starting ratio", "Lowest and highest final drive ratio that the maker suggests to"
                                   " start with. Null where the motor's sheet does not say.", [[4.2, 5], None],
                                   type=["array", "null"], items={"type": "number"}),
        },
    )  # fmt: skip


def _gears() -> Schema:
    teeth: Schema = {"type": "integer", "minimum": 1}
    return _closed(
        "gears", "The gears that were looked at.",
        {
            "spurs_teeth": several("spurs", "Spurs, each by its teeth.", teeth, [93, 96], unit="teeth"),
            "pinions_teeth": several("pinions", "Pinions, each by its teeth.", teeth, [40, 41, 42], unit="teeth"),
            "origin": text("origin", "Where they come from.", "the gears of the setup's parts box"),
            "tooth_sum": node("sum of teeth", "Least and greatest sum of teeth that counts as fitting. Null where nothing"
                              " limits it.", [[132, 144], None], type=["array", "null"], items={"type": "integer"}),
            "tooth_sum_origin": text("origin of the sum of teeth", "Where that range comes from.", "as asked for"),
            "internal_ratio": number("internal ratio", "Fixed reduction between spur and wheel.", 1.9),
        },
    )  # fmt: skip


def _step() -> Schema:
    return _closed(
        "step", "One step up from the start.",
        {
            **_teeth_keys(),
            "look_after_minutes": number("look after", "When to stop and measure first.", 3, unit="minutes"),
            "go_on_c": maybe("integer", "go on at", "Highest can temperature then with which the whole run should stay"
                              " below the limit.", 56, unit="c"),
            "message": text("message", "The step in words.", "spur 96 with pinion 43: ratio 4.242"),
        },
        {**_TEETH, "look_after_minutes": 3, "go_on_c": 56, "message": "spur 96 with pinion 43: ratio 4.242"},
    )  # fmt: skip


def _trial() -> Schema:
    about = "A first short run to measure by, where no pair is safe for the whole one."
    example = {**_TEETH, "minutes": 2, "message": "run spur 96 with pinion 42 for 2 minutes"}
    return _open(
        _closed(
            "trial", about,
            {
                **_teeth_keys(),
                "minutes": number("minutes", "How long, and no longer.", 2, unit="minutes"),
                "message": text("message", "The run in words.", "run spur 96 with pinion 42 for 2 minutes"),
            },
            example,
        ),
        "trial", about, example,
    )  # fmt: skip


def _outlook() -> Schema:
    return _closed(
        "outlook", "What a run may bring.",
        {
            "can_c": _band("can", "Can at the end of the run.", "c"),
            "likely_can_c": number("likely can", "The same from the most likely constants.", 57.9, unit="c"),
            "winding_c": _band("winding", "Winding at the end of the run.", "c"),
            "top_speed_kmh": _band("top speed", "Car at the braking point of the straight.", "kmh"),
            "motor_rpm": _band("motor speed", "Motor there.", "rpm"),
            "lap_s": _band("lap", "Lap time.", "s"),
            "charge_mah": _band("charge", "Taken out of the pack in the run.", "mah"),
        },
    )  # fmt: skip


def _pair() -> Schema:
    outlook = _outlook()
    return _closed(
        "pair", "One spur with one pinion.",
        {
            **_teeth_keys(),
            "spur_pinion_ratio": number("spur to pinion ratio", "Motor turns for one turn of the spur.", 2.2857),
            "tooth_sum": whole("sum of teeth", "Teeth of both.", 138),
            "rollout_mm": number("rollout", "Way of the car for one turn of the motor.", 45.21, unit="mm"),
            "word": choice("word", "What is said of it; the first that applies counts.", *WORDS),
            "tooth_to_spare": flag("tooth to spare", "Whether one more pinion tooth is legal too, in every entry."),
            "rules": several("rules", "What each entry's rules say of it, in the order of the entries.",
                             {"$ref": "#/$defs/gearing_rule"}, [_RULE]),
            "outlook": _open(outlook, "outlook", "What a run may bring, where the car can move."),
        },
    )  # fmt: skip


def _rule() -> Schema:
    return _closed(
        "rules on a pair", "What an entry's rules on the gearing say of a pair.",
        {
            "verdict": choice("verdict", "Legal, illegal or not shown.", "legal", "illegal", "not-shown"),
            "rule": maybe("string", "rule", "The rule that decides, or that has the least to spare.", "final-drive"),
            "margin": maybe("number", "margin", "Distance to its limit, below zero where it is broken.", 0.142857),
            "unit": node("unit", "Unit of the margin; 1 for a ratio.", ["1", "mm", ""], type="string"),
            "ratio_limit": maybe("number", "limit as a ratio", "Its limit as a final drive ratio.", 4.2),
        },
        _RULE,
    )  # fmt: skip


def _track_runs() -> Schema:
    teeth = _teeth_keys()
    used = _closed(
        "used run", "A track run that was learnt from.",
        {
            "date": day("date", "When it was run.", "2026-03-13"),
            "spur_teeth": teeth["spur_teeth"],
            "pinion_teeth": teeth["pinion_teeth"],
            "minutes": number("minutes", "How long it lasted.", 5, unit="minutes"),
            "ambient_c": number("air", "Temperature of the air.", 19, unit="c"),
            "measured_can_c": number("measured", "Can at its end as measured.", 61, unit="c"),
            "predicted_before_c": number("predicted before", "The same as predicted before the fit.", 50, unit="c"),
            "predicted_after_c": number("predicted after", "The same as predicted after it.", 59, unit="c"),
        },
    )  # fmt: skip
    left_out = _closed(
        "run left out", "A track run that does not count.",
        {
            "date": day("date", "When it was run.", "2026-03-13"),
            "reason": text("reason", "Why.", "it states no can_c"),
        },
    )  # fmt: skip
    about = "What the runs say of the model, as factors on two constants."
    fit = _open(
        _closed(
            "fit", about,
            {
                "cooling": use("gearing_factor", "cooling", "Factor on the resistance from can to air.", _FACTOR),
                "load": use("gearing_factor", "load", "Factor on the load in corners.",
                            {**_FACTOR, "constant": "scrub_coefficient"}),
                "correlation": number("correlation", "Between both; near -1 where the runs can't tell them apart.", -0.7),
                "off_before_k": number("off before", "Root mean square of what the model was off by before the fit, in"
                                       " kelvin.", 10.6),
                "off_after_k": number("off after", "The same after it, in kelvin.", 2.4),
                "words": _sentences("words", "The same in words."),
            },
        ),
        "fit", about,
    )  # fmt: skip
    return _closed(
        "track runs", "The setup's own runs, and what the model learnt from them.",
        {
            "used": several("used", "Runs that were learnt from.", used, []),
            "left_out": several("left out", "The others.", left_out, [{"date": "2026-03-13", "reason": "it states no can_c"}]),
            "fit": fit,
        },
    )  # fmt: skip


def _assumed() -> Schema:
    return _closed(
        "assumed value", "A value that no file states.",
        {
            "what": text("what", "What it is.", "mass"),
            "value": text("value", "The value with its unit.", "1500 g"),
            "why": text("why", "Why it had to be assumed.", "car.mass_g is missing"),
            "source": text("source", "Where it comes from.", "a car at the heavy end (from memory)"),
        },
    )  # fmt: skip


def _constant() -> Schema:
    return _closed(
        "constant", "One assumed constant of car or track, with its range.",
        {
            "name": text("name", "Its name.", "drag_area_m2"),
            "value": number("value", "Most likely value.", 0.01),
            "low": number("low", "Least value of its range.", 0.007),
            "high": number("high", "Greatest value of its range.", 0.014),
            "used": number("used", "Value after the fit to track runs; else the most likely one.", 0.01),
            "unit": text("unit", "Its unit.", "m2"),
            "meaning": text("meaning", "What it stands for.", "drag coefficient times frontal area"),
            "source": text("source", "Where value and range come from.", "from memory"),
        },
    )  # fmt: skip


def gearing_document() -> Schema:
    """The root of gearing/1."""
    start = _open(_closed("start", "The safe start.", _teeth_keys(), _TEETH), "start", "The safe start.", _TEETH)
    return _closed(
        "gearing", "The gearing of one setup. The order is stable: spur, then pinion.",
        {
            "format": node("format", "What this file is.", ["gearing/1"], type="string", const="gearing/1"),
            "tool": _closed(
                "tool", "What wrote the report.",
                {
                    "name": node("name", "Its name.", ["speclint"], type="string", const="speclint"),
                    "version": text("version", "Its version.", "0.1.0"),
                },
                {"name": "speclint", "version": "0.1.0"},
            ),
            "setup": _closed(
                "setup", "The setup.",
                {
                    "file": text("file", "Its file, with / between folders.", "setups/car-12.yaml"),
                    "name": text("name", "Its name.", "Car 12, indoor carpet"),
                },
                {"file": "setups/car-12.yaml", "name": "Car 12, indoor carpet"},
            ),
            "entries": several("entries", "The entries whose rules were asked.", {"$ref": "#/$defs/gearing_entry"}, []),
            "run": _run(),
            "gears": _gears(),
            "band": _closed(
                "band", "How bands are made: sets of constants drawn from their ranges.",
                {
                    "low_share": number("low share", "Share of the sets below a band.", 0.05),
                    "high_share": number("high share", "Share of the sets below its upper end.", 0.95),
                    "samples": whole("samples", "Sets that were drawn.", 200),
                    "seed": whole("seed", "Seed of the draw.", 20260314),
                },
            ),
            "start": start,
            "start_words": _sentences("start in words", "The safe start in words."),
            "first_look": _words("first look", "When to stop and measure first on the start.", "Stop after 3 minutes."),
            "no_start": _sentences("no start", "Where there is no safe start: why, and what would help."),
            "trial": _trial(),
            "steps": several("steps", "The next steps up, one at a time.", {"$ref": "#/$defs/gearing_step"}, []),
            "stop": _words("stop", "Why there is no step after them.", "spur 96 with pinion 44 is illegal"),
            "how_to_look": text("how to look", "How to measure after each step.", "Measure within a minute."),
            "notices": _sentences("notices", "Later rules, and what is not met whatever the gears."),
            "track_runs": _track_runs(),
            "assumed": several("assumed", "What no file states.", _assumed(), []),
            "cautions": _sentences("cautions", "What can hurt, and who has the last word."),
            "constants": several("constants", "The assumed constants of car and track.", _constant(), []),
            "pairs": several("pairs", "Every pair of spur and pinion.", {"$ref": "#/$defs/gearing_pair"}, []),
            "course": several(
                "course", "Can temperature over a run on the start.",
                _closed(
                    "moment", "One moment of the run.",
                    {
                        "minutes": number("minutes", "Since its beginning.", 2.5, unit="minutes"),
                        "can_c": _band("can", "Can at that moment.", "c"),
                    },
                    {"minutes": 2.5, "can_c": _BAND},
                ),
                [],
            ),
        },
    )  # fmt: skip


DEFS: Final[dict[str, Schema]] = {
    "gearing_band": _closed(
        "band", "Lower end, middle and upper end of what is likely.",
        {
            "low": number("low", "Lower end.", 53.1),
            "median": number("median", "Middle.", 58.4),
            "high": number("high", "Upper end.", 64.2),
        },
        _BAND,
    ),
    "gearing_factor": _closed(
        "factor", "A fitted factor on an assumed constant.",
        {
            "constant": text("constant", "The constant.", "can_air_k_per_w"),
            "factor": number("factor", "What it is multiplied by.", 1.26),
            "relative_uncertainty": number("relative uncertainty", "Standard uncertainty, as a part of the factor.", 0.17),
        },
        _FACTOR,
    ),
    "gearing_entry": _entry(),
    "gearing_rule": _rule(),
    "gearing_step": _step(),
    "gearing_pair": _pair(),
}  # fmt: skip
