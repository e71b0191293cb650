"""The form of a class: a field for each key that its rules rest on, in the order in which a person goes through a car."""

import re
from datetime import date
from enum import Enum
from typing import Any, Final, NamedTuple

from speclint.places import Path, pointer
from speclint.plain import capitalised
from speclint.quantities.model import Home, Sort
from speclint.quantities.registry import quantity
from speclint.quantities.taken import TAKEN_KEY
from speclint.rulesets.model import FlatClass
from speclint.schema_nodes import unit_words
from speclint.starters.options import StarterOptions
from speclint.starters.required_keys import RequiredKey, keys_of_taken_readings, required_keys
from speclint.starters.setup import asked_for
from speclint.starters.template_keys import TemplateKey, about_key, topics
from speclint.structure.topics import Topic, unit_of

_OF_A_FILE: Final = re.compile(r": a number,[^.]* instrument(?=\.)| Unit: [^.]*\.")
"""What a schema says of a key in a file, and not of a field with its unit beside it."""

REBUILDS_PATH: Final[Path] = ("motor", "rebuilds")
NO_REBUILD: Final = "none"
"""What a form can say of a motor's rebuilds: that there was none. Of others a file has the day of each."""

BENCH_DATE: Final[Path] = ("motor", "bench_runs", 0, "date")


class Entering(Enum):
    """How a field is filled in: which keys a telephone shows, and what its text is read as."""

    DECIMAL = "decimal"
    WHOLE = "numeric"
    SEVERAL = "several"
    RATIO = "ratio"
    TEXT = "text"
    FLAG = "flag"
    DAY = "day"


class FormField(NamedTuple):
    """One key of the setup.

    Attributes:
        path: its path from the top of the setup.
        title: what it is, in a word or two.
        unit: what stands behind the number, "" where it has no unit.
        entering: how it is filled in.
        asks: what the rules of the class ask of it, a sentence each.
        about: what is written there, and what is usual.
        named: values that the rules name, to choose from.
        is_closed: whether nothing but these can stand there.
        is_declared: a key that only rules know, of which the ruleset says what kind its value is of.
    """

    path: Path
    title: str
    unit: str
    entering: Entering
    asks: tuple[str, ...]
    about: str
    named: tuple[str, ...]
    is_closed: bool
    is_declared: bool = False

    @property
    def pointer(self) -> str:
        """Its path as a JSON pointer, which the page knows it by."""
        return pointer(self.path)


class FormSection(NamedTuple):
    """Fields that belong together."""

    title: str
    fields: tuple[FormField, ...]


def form_sections(flat: FlatClass, on: date) -> tuple[FormSection, ...]:
    """The form of a class for a race day; a motor's keys stand in the setup."""
    required = {key.path_in_setup: key for key in required_keys(flat, on)}
    options = StarterOptions(today=on, ruleset=flat.ruleset.id, class_id=flat.id, on=on)
    keys = [TemplateKey(("name",)), TemplateKey(("entries", 0, "number"))]
    keys += [TemplateKey(path, None, key.asks) for path, key in required.items() if path[0] == "entries"]
    keys += [key for key in asked_for(options, flat) if key.path[0] != "entries"]
    keys += [TemplateKey(key.path_in_setup, None, key.asks) for key in required.values() if key.home is not Home.SETUP]
    first = next((i for i, key in enumerate(keys) if key.path[:2] == BENCH_DATE[:2]), None)
    if first is not None:
        keys.insert(first, TemplateKey(BENCH_DATE))
    taken_keys = keys_of_taken_readings(flat, on)
    sections: dict[str, list[FormField]] = {title: [] for title in _SECTIONS}
    for key in dict.fromkeys(keys):
        section = sections[_section(key.path)]
        section.append(form_field(key, required.get(key.path)))
        section += (form_field(TemplateKey(of_reading.path), of_reading) for of_reading in taken_keys.get(key.path, ()))
    return tuple(FormSection(title, tuple(fields)) for title, fields in sections.items() if fields)


_SECTIONS: Final = (
    "This car",
    "Car",
    "Battery",
    "Speed control",
    "Motor",
    "Bench run of the motor",
    "Factory sheet",
    "More",
)


def _section(path: Path) -> str:
    if path[0] == "motor":
        return {"bench_runs": "Bench run of the motor", "factory_sheet": "Factory sheet"}.get(str(path[1]), "Motor")
    by_key = {"car": "Car", "battery": "Battery", "speed_control": "Speed control", "extra": "More"}
    return by_key.get(str(path[0]), "This car")


def form_field(key: TemplateKey, required: RequiredKey | None) -> FormField:
    """The field of one key of a setup."""
    topic = topics("setup").at(key.path)
    named = () if required is None else required.named
    declared = None if required is None else required.declared
    entering = _entering(topic, key.path, named) if declared is None else _ENTERED[declared.sort]
    unit = unit_of(key.path) if declared is None else declared.unit
    about = " ".join(about_key(topics("setup"), key.path, key.usual))
    shown_unit = unit_words(unit) if unit else ""
    choices = topic.choices or tuple(value for value in named if isinstance(value, str))
    title = _title(topic, key.path) if declared is None else capitalised(declared.title)
    if declared is not None:
        choices = declared.choices or choices
    is_closed = bool(topic.choices) or (declared is not None and bool(declared.choices))
    if key.path == REBUILDS_PATH:
        choices, is_closed = (NO_REBUILD,), True
    return FormField(
        path=key.path,
        title=title,
        unit="" if shown_unit == title.lower() else shown_unit,
        entering=entering,
        asks=key.asks,
        about=_OF_A_FILE.sub("", about),
        named=tuple(str(choice) for choice in choices) if entering is Entering.TEXT else (),
        is_closed=is_closed,
        is_declared=declared is not None,
    )


_ENTERED: Final = {
    Sort.MEASURED: Entering.DECIMAL,
    Sort.SETTING: Entering.DECIMAL,
    Sort.COUNT: Entering.WHOLE,
    Sort.FLAG: Entering.FLAG,
    Sort.TEXT: Entering.TEXT,
}
"""How what a ruleset declares is typed in, by its kind."""


def _title(topic: Topic, path: Path) -> str:
    if TAKEN_KEY in path:
        reading = path[: path.index(TAKEN_KEY)]
        return f"{_title(topics('setup').at(reading), reading)}: {topic.title}"
    open_name = {"extra": "extra", "entries": "entry"}.get(str(path[0]))
    open_quantity = quantity(f"{open_name}.{path[-1]}") if open_name else None
    title = topic.title if topic.key or open_quantity is None else open_quantity.title
    if path[0] == "name":
        title = "name of the car"
    return capitalised(title)


def _entering(topic: Topic, path: Path, named: tuple[Any, ...]) -> Entering:
    if not topic.key and named and all(isinstance(value, bool) for value in named):
        return Entering.FLAG
    if path == REBUILDS_PATH:
        return Entering.TEXT
    if not topic.key:
        return Entering.DECIMAL if unit_of(path) else Entering.TEXT
    types = topic.types
    if "date" in path or path[-2:] == (TAKEN_KEY, "on"):
        return Entering.DAY
    if topic.choices:
        return Entering.TEXT
    if types == ("boolean",):
        return Entering.FLAG
    if "number" in types and "string" in types:
        return Entering.RATIO
    if isinstance(topic.example, list):
        return Entering.SEVERAL
    if types == ("integer",):
        return Entering.WHOLE
    return Entering.DECIMAL if "number" in types else Entering.TEXT
