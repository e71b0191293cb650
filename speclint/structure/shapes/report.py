"""The JSON report that `check` writes."""

from typing import Any, Final

from speclint.problems import PROBLEM_SORTS, ProblemKind
from speclint.schema_nodes import Schema, choice, day, flag, mapping, maybe, node, several, text, use, whole
from speclint.structure.shapes.garage import DIGEST, DIGEST_EXAMPLE
from speclint.structure.shapes.limit import limit_keys
from speclint.structure.shapes.ruleset import DECISIONS, VERDICTS

ENTRY_VERDICTS: Final = ("legal", "illegal", "not-shown")

_WHERE: Final[dict[str, Any]] = {
    "file": "setups/car-12.yaml", "line": 12, "column": 3, "pointer": "/car/pinion_teeth",
}  # fmt: skip
_REMEDY: Final[dict[str, Any]] = {
    "change": {"/car/pinion_teeth": 43}, "result": 4.2418605, "message": "fit a pinion of 43 teeth",
}  # fmt: skip
_SUMMARY: Final = {
    "files": 3, "setups": 1, "entries": 1, "legal": 0, "illegal": 1, "not_shown": 0, "problems": 0, "advice": 0,
}  # fmt: skip


def _closed(title: str, about: str, keys: dict[str, Schema], *examples: dict[str, Any]) -> Schema:
    return mapping(title, about, keys, *examples, required=tuple(keys))


def _count(title: str, about: str) -> Schema:
    return whole(title, about, 1, minimum=0)


def _where(about: str) -> Schema:
    return use("where", "where", about, _WHERE)


def _place() -> Schema:
    return _closed(
        "where", "A place in a file.",
        {
            "file": text("file", "The file, with / between folders.", "setups/car-12.yaml"),
            "line": whole("line", "Line, from 1.", 12, minimum=1),
            "column": whole("column", "Column in code points, from 1.", 3, minimum=1),
            "pointer": node("pointer", "JSON pointer (RFC 6901) to the value; empty for the whole document.",
                            ["/car/pinion_teeth"], type="string", pattern="^(/[^\\x00]*)?$"),
        },
        _WHERE,
    )  # fmt: skip


def _remedy() -> Schema:
    return _closed(
        "remedy", "A smallest change that makes the check legal.",
        {
            "change": node("change", "New values by JSON pointer into the setup or the motor.",
                           [{"/car/pinion_teeth": 43}], type="object", minProperties=1,
                           propertyNames={"type": "string", "pattern": "^/"}),
            "result": node("result", "The value of the quantity after the change. Null where it is no single value.",
                           [4.2418605, None], type=["number", "string", "boolean", "null"]),
            "message": text("message", "The change in words.", "fit a pinion of 43 teeth"),
        },
        _REMEDY,
    )  # fmt: skip


def _check() -> Schema:
    limits = limit_keys()
    return _closed(
        "check", "One rule held against one setup.",
        {
            "rule": text("rule", "Id of the rule.", "final-drive"),
            "quantity": maybe("string", "quantity", "The quantity that is limited.", "final_drive_ratio"),
            "verdict": choice("verdict", "What came out.", *VERDICTS),
            "value": node("value", "The value that was judged, in the unit beside it. Null where none is known.",
                          [4.1454545, "standard", True, None], type=["number", "string", "boolean", "array", "null"]),
            "unit": node("unit", "Unit of the value, the limit and the margin: 1 for a ratio, empty for text.",
                         ["1", "mm", ""], type="string"),
            "expanded_uncertainty": maybe("number", "expanded uncertainty", "Expanded uncertainty of the value,"
                                           " k = 2, in its unit.", 1.4, minimum=0),
            "probability_legal": maybe("number", "probability that it is legal", "Probability that the true value"
                                        " meets the limit, from 0 to 1.", 0.98, minimum=0, maximum=1),
            "close_call": flag("close call", "Whether the limit lies inside the expanded uncertainty.", False),
            "margin": maybe("number", "margin", "Distance to the nearest limit, in the unit of the value: positive"
                             " inside, negative outside.", -0.0545455),
            "limit": mapping("limit", "The limit, in the ruleset's own words.", limits, {"at_least": 4.2}),
            "decision": choice("decision", "How a close value is decided.", *DECISIONS),
            "waived": flag("waived", "Whether the club has granted an exception from the rule.", False),
            "cite": maybe("string", "cite", "The clause of the rulebook.", "4.3"),
            "message": text("message", "The outcome in words.", "4.15 is below 4.2"),
            "because": maybe("string", "because", "Why the rule is there.", "Keeps lap speeds level."),
            "where": {**_where("Where to edit. Null where there is no place for it."),
                      "$ref": "#/$defs/where_or_null"},
            "remedies": several("remedies", "The smallest changes that make it legal, the best first.",
                                {"$ref": "#/$defs/remedy"}, [_REMEDY]),
            "notices": several("notices", "What changes after the day of the race.", {"$ref": "#/$defs/notice"},
                               [{"date": "2026-06-01", "message": "from 1 June this rule asks 4.4"}]),
        },
    )  # fmt: skip


def _notice() -> Schema:
    return _closed(
        "notice", "A rule that changes later than the day of the race.",
        {
            "date": day("date", "The day of the change.", "2026-06-01"),
            "message": text("message", "The change in words.", "from 1 June this rule asks 4.4"),
        },
        {"date": "2026-06-01", "message": "from 1 June this rule asks 4.4"},
    )  # fmt: skip


def _entry() -> Schema:
    return _closed(
        "entry", "One setup entered in one class for one day.",
        {
            "file": text("file", "The setup's file, with / between folders.", "setups/car-12.yaml"),
            "name": maybe("string", "name", "Name of the setup.", "Car 12, indoor carpet"),
            "ruleset": text("ruleset", "Id of the ruleset.", "harbour-city"),
            "ruleset_version": text("version", "Version of the ruleset that is in force.", "2026.2"),
            "ruleset_digest": node("digest", "SHA-256 of the flattened ruleset's canonical JSON (RFC 8785).",
                                   [DIGEST_EXAMPLE], type="string", pattern=DIGEST),
            "class": text("class", "Id of the class.", "stock-17"),
            "on": day("race day", "The day of the race."),
            "verdict": choice("verdict", "Illegal if any check is, else not-shown if any is, else legal.",
                              *ENTRY_VERDICTS),
            "checks": several("checks", "Every rule, in the ruleset's order.", {"$ref": "#/$defs/check"}, []),
        },
    )  # fmt: skip


def _problem() -> Schema:
    ids = [sort.id for sort in PROBLEM_SORTS]
    return _closed(
        "problem", "Something wrong with a file itself.",
        {
            "id": choice("id", "The sort of problem; `speclint explain` says more of it.", *ids),
            "kind": choice("kind", "Which reader found it.", *(kind.value for kind in ProblemKind)),
            "message": text("message", "What is wrong and what to do.", "`pinion_tooth` is not a key of `car`."),
            "where": _where("Where it stands."),
        },
    )  # fmt: skip


def _advice() -> Schema:
    return _closed(
        "advice", "A finding that no rule asks for.",
        {
            "id": text("id", "Which advice it is; `speclint explain` says more of it.", "winding-unequal"),
            "message": text("message", "What was seen and what to do.", "One phase reads 6 % above the others."),
            "where": {**_where("Where it stands. Null where there is no place for it."),
                      "$ref": "#/$defs/where_or_null"},
            "source": text("source", "Where the advice comes from.", "common practice"),
        },
    )  # fmt: skip


def _summary() -> Schema:
    return _closed(
        "summary", "Counts.",
        {
            "files": _count("files", "Files that were read."),
            "setups": _count("setups", "Setups among them."),
            "entries": _count("entries", "Entries that were judged."),
            "legal": _count("legal", "Entries that are legal."),
            "illegal": _count("illegal", "Entries that are illegal."),
            "not_shown": _count("not shown", "Entries that are not shown to be legal."),
            "problems": _count("problems", "Problems with files."),
            "advice": _count("advice", "Pieces of advice."),
        },
        _SUMMARY,
    )  # fmt: skip


def report_document() -> Schema:
    """The root of report/1."""
    return _closed(
        "report", "What one run of `check` found. The order is stable: file, entry, rule.",
        {
            "format": node("format", "What this file is.", ["report/1"], type="string", const="report/1"),
            "tool": _closed(
                "tool", "What wrote the report.",
                {
                    "name": node("name", "Its name.", ["speclint"], type="string", const="speclint"),
                    "version": text("version", "Its version.", "0.1.0"),
                },
                {"name": "speclint", "version": "0.1.0"},
            ),
            "summary": _summary(),
            "entries": several("entries", "Every entry that was judged.", {"$ref": "#/$defs/judged_entry"}, []),
            "problems": several("problems", "Everything wrong with the files themselves.",
                                {"$ref": "#/$defs/problem"}, []),
            "advice": several("advice", "Findings that no rule asks for.", {"$ref": "#/$defs/advice"}, []),
            "not_judged": several("not judged", "Setups that could not be judged, or had no entry.",
                                  {"$ref": "#/$defs/not_judged"},
                                  [{"file": "setups/car-13.yaml", "reason": "the file has problems"}]),
        },
    )  # fmt: skip


def _not_judged() -> Schema:
    return _closed(
        "not judged", "A setup without a verdict.",
        {
            "file": text("file", "The setup's file, with / between folders.", "setups/car-13.yaml"),
            "reason": text("reason", "Why there is no verdict.", "the file has problems"),
        },
        {"file": "setups/car-13.yaml", "reason": "the file has problems"},
    )  # fmt: skip


def _place_or_null() -> Schema:
    place = _place()
    return {**place, "type": ["object", "null"], "examples": [_WHERE, None]}


DEFS: Final[dict[str, Schema]] = {
    "where": _place(),
    "where_or_null": _place_or_null(),
    "remedy": _remedy(),
    "check": _check(),
    "notice": _notice(),
    "judged_entry": _entry(),
    "problem": _problem(),
    "advice": _advice(),
    "not_judged": _not_judged(),
}
