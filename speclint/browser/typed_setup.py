"""What somebody typed into a form, as the file of a setup; what cannot be read is told at its field, and counts as not stated."""

import re
from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any, Final, NamedTuple

from speclint.browser.form import BENCH_DATE, NO_REBUILD, REBUILDS_PATH, Entering, FormField, FormSection
from speclint.documents.scalars import NUMBER_STARTS, Unkept, number
from speclint.places import Path, pointer
from speclint.quantities.taken import TAKEN_KEY
from speclint.rulesets.model import FlatClass
from speclint.starters.options import StarterOptions
from speclint.starters.setup import setup_text

SETUP_FILE: Final = "car.yaml"
"""What a setup that was typed is called."""

_NUMBER: Final = re.compile(r"[-+]?[0-9]+([.,][0-9]+)?")
_THOUSANDS_OR_DECIMALS: Final = re.compile(r"[-+]?[1-9][0-9]{0,2},[0-9]{3}")
_TEETH: Final = re.compile(r"([0-9]+)\s*[/:]\s*([0-9]+)")


class Misread(NamedTuple):
    """Why what was typed cannot be taken."""

    message: str


class TypedSetup(NamedTuple):
    """The file's text, and what is wrong with what was typed, by the JSON pointer of the key."""

    text: str
    complaints: dict[str, str]


def typed_setup(flat: FlatClass, on: date, sections: tuple[FormSection, ...], typed: Mapping[str, str]) -> TypedSetup:
    """The setup of a form that was filled in: a key that was left empty stands in it without a value."""
    values, complaints = typed_values(sections, typed)
    if BENCH_DATE not in values and any(path[:3] == BENCH_DATE[:3] for path in values):
        complaints.setdefault(
            pointer(BENCH_DATE), "say on which day this was measured: without it the run does not count"
        )
        values = {path: value for path, value in values.items() if path[:3] != BENCH_DATE[:3]}
    values = _with_taken(values)
    name = str(values.pop(("name",), ""))
    options = StarterOptions(today=on, name=name, ruleset=flat.ruleset.id, class_id=flat.id, on=on)
    return TypedSetup(setup_text(options, flat, "", values), complaints)


def typed_values(sections: Iterable[FormSection], typed: Mapping[str, str]) -> tuple[dict[Path, Any], dict[str, str]]:
    """What was typed into each field by its path, and what is wrong with it by the field's pointer."""
    values: dict[Path, Any] = {}
    complaints: dict[str, str] = {}
    for field in (field for section in sections for field in section.fields):
        text = str(typed.get(field.pointer, "")).strip()
        value = _typed_value(field, text) if text else None
        if isinstance(value, Misread):
            complaints[field.pointer] = value.message
        elif value is not None:
            values[field.path] = value
    return values, complaints


def _with_taken(values: Mapping[Path, Any]) -> dict[Path, Any]:
    """The values with what was typed of how a reading was taken put beside it; of no reading it says nothing."""
    joined = {path: value for path, value in values.items() if TAKEN_KEY not in path}
    for path, value in values.items():
        if TAKEN_KEY in path and (reading := path[: path.index(TAKEN_KEY)]) in joined:
            stated = joined[reading]
            held = stated if isinstance(stated, dict) else {"value": stated}
            joined[reading] = {**held, TAKEN_KEY: {**held.get(TAKEN_KEY, {}), path[-1]: value}}
    return joined


def _typed_value(field: FormField, text: str) -> Any:
    """The value that was meant, or a `Misread`: decimals with a point or a comma, a unit behind them left off."""
    match field.entering:
        case Entering.TEXT if field.path == REBUILDS_PATH:
            return [] if text == NO_REBUILD else Misread(f"{text}: choose {NO_REBUILD}, or write the motor's file")
        case Entering.TEXT | Entering.DAY:
            is_open = field.path[0] in ("extra", "entries") and not field.is_declared
            return _open_value(text) if is_open else text
        case Entering.FLAG:
            flags = {"yes": True, "no": False}
            return flags[text] if text in flags else Misread(f"{text}: choose yes or no")
        case Entering.SEVERAL:
            values = [_number(part.rstrip(",")) for part in re.split(r"[;\s]+", text) if part.rstrip(",")]
            wrong = next((value for value in values if isinstance(value, Misread)), None)
            return wrong or (values if len(values) > 1 else values[0])
        case Entering.RATIO if teeth := _TEETH.fullmatch(text):
            return f"{teeth[1]}/{teeth[2]}"
    # People write the unit behind a number, and of a winding's turns a T.
    return _number(text.removesuffix(field.unit).rstrip("Tt" if field.path[-1] == "turns" else "").strip())


def _number(text: str) -> Any:
    if _THOUSANDS_OR_DECIMALS.fullmatch(text):
        plain, point = text.replace(",", ""), text.replace(",", ".")
        return Misread(f"{text} can be read in two ways: write {plain}, or {point}")
    if _NUMBER.fullmatch(text) is None:
        return Misread(f"{text} is not a number")
    value = number(text.replace(",", "."))
    return Misread(f"{text}: {value.message}") if isinstance(value, Unkept) else value


def _open_value(text: str) -> Any:
    """A value under a key that the ruleset made up: a number where it reads as one."""
    value = number(text) if text[:1] in NUMBER_STARTS else text
    return text if isinstance(value, Unkept) else value
