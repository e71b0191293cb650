"""The starting file of a setup: every key of a car, or only those that the rules of its class rest on."""

from collections.abc import Iterator
from typing import Final

from speclint.forms.bodies import ToInspect
from speclint.quantities.model import Home
from speclint.quantities.registry import QUANTITIES
from speclint.rules.rulebook import rulebook
from speclint.rulesets.model import FlatClass
from speclint.starters.draft import text_of
from speclint.starters.options import StarterOptions
from speclint.starters.required_keys import RequiredKey, required_keys
from speclint.starters.template_keys import TemplateKey, leaves, members

HOW: Final = (
    "Lines with a # straight before the key are offered: write your own value in place of the example, and take the #"
    " away. Each is explained by `speclint explain NAME`."
)
READINGS: Final = (
    "A reading is a number, or names its instrument so that its uncertainty counts: {value: 1352, instrument: pit-scale};"
    " the instrument is described under `instruments:`, here or in the garage."
)

_MOTOR_FILE: Final = (
    "A motor that moves between cars has a file of its own (`speclint start motor`), which is named here by its path:"
    " motor: ../motors/00417.yaml. Otherwise its keys stand here."
)
_SECTIONS: Final = ("car", "battery", "speed_control", "extra")
_MOTOR_KEYS: Final = frozenset(
    quantity.key.path[0] for quantity in QUANTITIES if quantity.key is not None and quantity.key.home is Home.MOTOR
)
_RUN: Final = ("date", "spur_teeth", "pinion_teeth", "minutes", "ambient_c", "can_c")


def setup_text(options: StarterOptions, flat: FlatClass | None, modeline: str) -> str:
    """The text of a setup; `flat` is the class that it is entered in, None for a car that is entered nowhere yet."""
    keys = _every_key(options) if flat is None else _asked_for(options, flat)
    template_keys = (
        TemplateKey(("format",), "setup/1"),
        TemplateKey(("name",), options.name or None),
        TemplateKey(("garage",), options.garage or None),
        *_entry(options),
        *keys,
        *(TemplateKey(("track_runs", 0, key)) for key in _RUN),
        TemplateKey(("notes",)),
    )
    notes: tuple[str, ...]
    if options.motor and flat is not None:
        notes = (_asked_of_motor(options, flat),)
    else:
        notes = () if options.motor else (_MOTOR_FILE,)
    head: tuple[str, ...] = (
        "One car as it will be raced. `speclint check` says whether it is legal, and why.",
        HOW,
        READINGS,
    )
    if flat is not None:
        head += tuple(_class_notes(options, flat))
    return text_of(head, members("setup", template_keys, {("motor",): notes}), modeline=modeline)


def _entry(options: StarterOptions) -> Iterator[TemplateKey]:
    entered = bool(options.ruleset and options.class_id)
    yield TemplateKey(("entries", 0, "ruleset"), options.ruleset if entered else None)
    yield TemplateKey(("entries", 0, "class"), options.class_id if entered else None)
    yield TemplateKey(("entries", 0, "on"), options.day.isoformat() if entered else None, options.day.isoformat())
    yield TemplateKey(
        ("entries", 0, "track"), options.track if entered and options.track else None, options.track or None
    )
    yield TemplateKey(
        ("entries", 0, "venue"), options.venue if entered and options.venue else None, options.venue or None
    )


def _every_key(options: StarterOptions) -> Iterator[TemplateKey]:
    for path in leaves("setup"):
        if path[0] in _SECTIONS:
            yield TemplateKey(path)
        elif path == ("motor",) and options.motor:
            yield TemplateKey(path, options.motor)
        elif path == ("motor",):
            yield from (TemplateKey(("motor", *inner)) for inner in leaves("motor") if inner[0] in _MOTOR_KEYS)


def _asked_for(options: StarterOptions, flat: FlatClass) -> Iterator[TemplateKey]:
    """The keys that the rules rest on: those of the entry and the car, then those of the motor."""
    required = required_keys(flat, options.day)
    taken = {"ruleset", "class", "on", *(key for key in ("track", "venue") if getattr(options, key))}
    for key in _in_order("setup", [key for key in required if key.home is Home.SETUP]):
        if not (key.path[0] == "entries" and key.path[-1] in taken):
            yield TemplateKey(key.path, None, key.example, key.asks)
    if options.motor:
        yield TemplateKey(("motor",), options.motor)
        return
    of_motor = [key for key in required if key.home is not Home.SETUP]
    date = RequiredKey(Home.BENCH, ("bench_runs", 0, "date"), None, ())
    if any(key.home is Home.BENCH for key in of_motor) and all(key.path != date.path for key in of_motor):
        of_motor.append(date)
    for key in _in_order("motor", of_motor):
        yield TemplateKey(("motor", *key.path), None, key.example, key.asks)


def _in_order(kind: str, required: list[RequiredKey]) -> list[RequiredKey]:
    """In the order of the format; what it does not know by name comes last."""
    order = {path: i for i, path in enumerate(leaves(kind))}
    return sorted(required, key=lambda key: order.get(key.path, len(order)))


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
    yield (
        f"What each rule of {flat.ruleset.id} {flat.ruleset.version}, {flat.id}, asks on {options.day} stands above the"
        f" keys that it rests on: `speclint explain {flat.ruleset.id}/{flat.id}` shows them all."
    )
    for rule in rulebook(flat, options.day).rules:
        if isinstance(rule.body, ToInspect):
            clause = f" ({rule.cite})" if rule.cite else ""
            yield f"For the inspector to look at, {rule.id}{clause}: {rule.body.subject}"
