"""The starting file of a setup: every key of a car, or only those that the rules of its class rest on."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any, Final

from speclint.forms.bodies import ToInspect
from speclint.places import Path
from speclint.quantities.model import Home
from speclint.rules.rulebook import rulebook
from speclint.rulesets.model import FlatClass
from speclint.starters.draft import text_of
from speclint.starters.options import StarterOptions
from speclint.starters.required_keys import required_keys
from speclint.starters.template_keys import TemplateKey, leaves, members
from speclint.starters.usual_cars import usual_of
from speclint.workspace.ruleset_index import BUNDLED

HOW: Final = (
    "A key with nothing behind its colon is still to be measured: write what your instrument shows, or leave it empty"
    " where the car has no such thing. Each is explained by `speclint explain NAME`."
)
READINGS: Final = (
    "A reading is a number, or names its instrument so that its uncertainty counts: {value: NUMBER, instrument: NAME};"
    " the instrument is described under `instruments:`, here or in the garage."
)

_MOTOR_FILE: Final = (
    "Start its file with `speclint start motor`, and write its path here, such as ../motors/00417.yaml; or write the"
    " motor's keys beneath this one."
)
_RUNS: Final = "`speclint log FILE track` adds a run; by hand, write it here, without the #:"
_SECTIONS: Final = ("car", "battery", "speed_control", "extra")
_RUN: Final = ("date", "spur_teeth", "pinion_teeth", "minutes", "ambient_c", "can_c")

FOR_GEARING: Final[tuple[tuple[str, str], ...]] = (
    ("car", "mass_g"),
    ("car", "tyre_diameter_mm"),
    ("car", "internal_ratio"),
    ("car", "spur_teeth"),
    ("car", "pinion_teeth"),
    ("battery", "cells"),
    ("battery", "capacity_mah"),
)
"""What `speclint gearing` asks for first, so that a template for a class has it whether or not a rule asks."""


def setup_text(
    options: StarterOptions, flat: FlatClass | None, modeline: str, stated: Mapping[Path, Any] | None = None
) -> str:
    """The text of a setup.

    Args:
        options: what it says of its entry and of the files that it names.
        flat: the class that it is entered in; None for a car that is entered nowhere yet.
        modeline: the way to its schema, for editors; "" where there is none.
        stated: values of more keys, by their paths; where one is the motor's, the motor stands in the setup.
    """
    values = dict(stated or {})
    every_key = (TemplateKey(path) for path in leaves("setup") if path[0] in _SECTIONS)
    keys = every_key if flat is None else asked_for(options, flat)
    motor = _motor_in_place(options, flat) if flat is not None and any(path[0] == "motor" for path in values) else ()
    template_keys = [
        TemplateKey(("format",), "setup/1"),
        TemplateKey(("name",), options.name or None),
        TemplateKey(("garage",), options.garage or None),
        *_entry(options),
        *keys,
        *(motor or (TemplateKey(("motor",), options.motor or None),)),
        *(TemplateKey(("track_runs", 0, key)) for key in _RUN),
        TemplateKey(("notes",)),
    ]
    placed = {key.path for key in template_keys}
    template_keys += [TemplateKey(path) for path in values if path not in placed]
    template_keys = [replace(key, value=values.get(key.path, key.value)) for key in template_keys]
    of_motor = (_asked_of_motor(options, flat),) if flat is not None and not motor else ()
    notes: dict[Path, tuple[str, ...]] = {
        ("motor",): of_motor if options.motor or motor else (_MOTOR_FILE, *of_motor),
        ("track_runs",): (_RUNS,),
    }
    head: tuple[str, ...] = (
        "One car as it will be raced. `speclint check` says whether it is legal, and why.",
        HOW,
        READINGS,
    )
    if flat is not None:
        head += tuple(_class_notes(options, flat))
    return text_of(head, members("setup", template_keys, notes), modeline)


def _entry(options: StarterOptions) -> Iterator[TemplateKey]:
    entered = bool(options.ruleset and options.class_id)
    yield TemplateKey(("entries", 0, "ruleset"), options.ruleset if entered else None)
    yield TemplateKey(("entries", 0, "class"), options.class_id if entered else None)
    yield TemplateKey(("entries", 0, "on"), options.day.isoformat() if entered else None)
    yield TemplateKey(("entries", 0, "track"), options.track if entered and options.track else None)
    yield TemplateKey(("entries", 0, "venue"), options.venue if entered and options.venue else None)


def asked_for(options: StarterOptions, flat: FlatClass) -> Iterator[TemplateKey]:
    """The keys of the entry and the car that the rules rest on, and those that a first gearing needs."""
    required = {key.path: key.asks for key in required_keys(flat, options.day) if key.home is Home.SETUP}
    taken = {("entries", 0, key) for key in ("ruleset", "class", "on", "track", "venue")}
    usual = usual_of(flat)
    for path in _in_order("setup", {*required, *FOR_GEARING}):
        if path not in taken:
            yield TemplateKey(path, None, required.get(path, ()), usual.get(path, ""))


def _motor_in_place(options: StarterOptions, flat: FlatClass) -> tuple[TemplateKey, ...]:
    keys = (key for key in required_keys(flat, options.day) if key.home is not Home.SETUP)
    return tuple(TemplateKey(key.path_in_setup, None, key.asks) for key in keys)


def _in_order(kind: str, paths: Iterable[Path]) -> list[Path]:
    """In the order of the format; what it does not know by name comes last."""
    order = {path: i for i, path in enumerate(leaves(kind))}
    return sorted(paths, key=lambda path: (order.get(path, len(order)), path))


def _asked_of_motor(options: StarterOptions, flat: FlatClass) -> str:
    keys = [
        ".".join(str(step) for step in key.path if step != 0)
        for key in required_keys(flat, options.day)
        if key.home is not Home.SETUP
    ]
    if not keys:
        return "The class asks nothing of the motor's file."
    return f"The class asks for these keys of the motor's file: {', '.join(keys)}."


def _class_notes(options: StarterOptions, flat: FlatClass) -> Iterator[str]:
    if flat.ruleset.place.file.startswith(BUNDLED):
        yield (
            f"{flat.ruleset.id} comes with speclint as a demonstration, and no check judges by it: put your club's own"
            " ruleset into a folder `rulesets` beside this file or above it."
        )
    yield (
        f"What each rule of {flat.ruleset.id} {flat.ruleset.version}, {flat.id}, asks on {options.day} stands above the"
        f" keys that it rests on: `speclint explain {flat.label}` shows them all."
    )
    for rule in rulebook(flat, options.day).rules:
        if isinstance(rule.body, ToInspect):
            yield f"For the inspector to look at, {rule.id}{rule.cite_behind}: {rule.body.subject}"
