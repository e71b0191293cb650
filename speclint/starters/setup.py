"""The starting file of a setup: every key of a car, or only those that the rules of its class rest on."""

from collections.abc import Iterator
from typing import Final

from speclint.limits.forms import Inspect
from speclint.quantities.model import Home
from speclint.quantities.registry import QUANTITIES
from speclint.rules.judge import rulebook
from speclint.rulesets.model import FlatClass
from speclint.starters.draft import text_of
from speclint.starters.offers import Offer, leaves, members
from speclint.starters.wanted import Wanted, wanted_by
from speclint.starters.wishes import Wishes

HOW: Final = (
    "Lines with a # straight before the key are offered: write your own value in place of the example, and take the #"
    " away. Each is explained by `speclint explain NAME`."
)
READINGS: Final = (
    "A reading is a number, or names its instrument so that its uncertainty counts: {value: 1352, instrument: pit-scale};"
    " the instrument is described under `instruments:`, here or in the garage."
)

_MOTOR_FILE: Final = (
    "A motor that moves between cars has a file of its own (`speclint new motor`), which is named here by its path:"
    " motor: ../motors/00417.yaml. Otherwise its keys stand here."
)
_SECTIONS: Final = ("car", "battery", "speed_control", "extra")
_MOTOR_KEYS: Final = frozenset(
    quantity.key.path[0] for quantity in QUANTITIES if quantity.key is not None and quantity.key.home is Home.MOTOR
)
_RUN: Final = ("date", "spur_teeth", "pinion_teeth", "minutes", "ambient_c", "can_c")


def setup_text(wishes: Wishes, flat: FlatClass | None, modeline: str) -> str:
    """The text of a setup; `flat` is the class that it is entered in, None for a car that is entered nowhere yet."""
    keys = _every_key(wishes) if flat is None else _asked_for(wishes, flat)
    offers = (
        Offer(("format",), "setup/1"),
        Offer(("name",), wishes.name or None),
        Offer(("garage",), wishes.garage or None),
        *_entry(wishes),
        *keys,
        *(Offer(("track_runs", 0, key)) for key in _RUN),
        Offer(("notes",)),
    )
    notes: tuple[str, ...]
    if wishes.motor and flat is not None:
        notes = (_asked_of_motor(wishes, flat),)
    else:
        notes = () if wishes.motor else (_MOTOR_FILE,)
    head: tuple[str, ...] = (
        "One car as it will be raced. `speclint check` says whether it is legal, and why.",
        HOW,
        READINGS,
    )
    if flat is not None:
        head += tuple(_class_notes(wishes, flat))
    return text_of(head, members("setup", offers, {("motor",): notes}), modeline=modeline)


def _entry(wishes: Wishes) -> Iterator[Offer]:
    entered = bool(wishes.ruleset and wishes.class_id)
    yield Offer(("entries", 0, "ruleset"), wishes.ruleset if entered else None)
    yield Offer(("entries", 0, "class"), wishes.class_id if entered else None)
    yield Offer(("entries", 0, "on"), wishes.day.isoformat() if entered else None, wishes.day.isoformat())
    yield Offer(("entries", 0, "track"), wishes.track if entered and wishes.track else None, wishes.track or None)
    yield Offer(("entries", 0, "venue"), wishes.venue if entered and wishes.venue else None, wishes.venue or None)


def _every_key(wishes: Wishes) -> Iterator[Offer]:
    for path in leaves("setup"):
        if path[0] in _SECTIONS:
            yield Offer(path)
        elif path == ("motor",) and wishes.motor:
            yield Offer(path, wishes.motor)
        elif path == ("motor",):
            yield from (Offer(("motor", *inner)) for inner in leaves("motor") if inner[0] in _MOTOR_KEYS)


def _asked_for(wishes: Wishes, flat: FlatClass) -> Iterator[Offer]:
    """The keys that the rules rest on: those of the entry and the car, then those of the motor."""
    wanted = wanted_by(flat, wishes.day)
    taken = {"ruleset", "class", "on", *(key for key in ("track", "venue") if getattr(wishes, key))}
    for one in _in_order("setup", [one for one in wanted if one.home is Home.SETUP]):
        if not (one.path[0] == "entries" and one.path[-1] in taken):
            yield Offer(one.path, None, one.example, one.asks)
    if wishes.motor:
        yield Offer(("motor",), wishes.motor)
        return
    of_motor = [one for one in wanted if one.home is not Home.SETUP]
    date = Wanted(Home.BENCH, ("bench_runs", 0, "date"), None, ())
    if any(one.home is Home.BENCH for one in of_motor) and all(one.path != date.path for one in of_motor):
        of_motor.append(date)
    for one in _in_order("motor", of_motor):
        yield Offer(("motor", *one.path), None, one.example, one.asks)


def _in_order(kind: str, wanted: list[Wanted]) -> list[Wanted]:
    """In the order of the format; what it does not know by name comes last."""
    order = {path: i for i, path in enumerate(leaves(kind))}
    return sorted(wanted, key=lambda one: order.get(one.path, len(order)))


def _asked_of_motor(wishes: Wishes, flat: FlatClass) -> str:
    keys = [
        ".".join(str(step) for step in one.path if step != 0)
        for one in wanted_by(flat, wishes.day)
        if one.home is not Home.SETUP
    ]
    if not keys:
        return "The class asks nothing of the motor's file."
    return f"The class asks for these keys of the motor's file: {', '.join(keys)}."


def _class_notes(wishes: Wishes, flat: FlatClass) -> Iterator[str]:
    yield (
        f"What each rule of {flat.ruleset.id} {flat.ruleset.version}, {flat.id}, asks on {wishes.day} stands above the"
        f" keys that it rests on: `speclint explain {flat.ruleset.id}/{flat.id}` shows them all."
    )
    for rule in rulebook(flat, wishes.day).rules:
        if isinstance(rule.limit, Inspect):
            clause = f" ({rule.cite})" if rule.cite else ""
            yield f"For the inspector to look at, {rule.id}{clause}: {rule.limit.what}"
