"""The starting file of a motor: every key, its factory sheet, and a bench run and a rebuild to begin with."""

from collections.abc import Iterator
from typing import Final

from speclint.places import Path
from speclint.quantities.model import Home
from speclint.rulesets.model import FlatClass
from speclint.starters.draft import text_of
from speclint.starters.options import StarterOptions
from speclint.starters.required_keys import RequiredKey, required_keys
from speclint.starters.setup import HOW, READINGS
from speclint.starters.template_keys import TemplateKey, leaves, members

_CARE: Final = (
    "Take care: the maker's manual comes first. Rotor magnets are strong and brittle. On the bench clamp the motor, take"
    " the pinion off, keep clear of the shaft and stay below the maker's no-load voltage. Let a hot motor cool."
)
_RUNS: Final = "`speclint log FILE bench` adds a run; by hand, write it here, without the #:"
_REBUILDS: Final = (
    "Bench runs from before it no longer count for these; `speclint explain rotor-swap` has the checklist. `speclint log FILE"
    " rebuild` adds one; by hand, write it here, without the #:"
)
_HOMES: Final[dict[str | int, Home]] = {"bench_runs": Home.BENCH, "factory_sheet": Home.SHEET}


def motor_text(options: StarterOptions, flat: FlatClass | None, modeline: str) -> str:
    """The text of a motor; `flat` is the class whose rules are told beside the keys that they rest on."""
    required = {} if flat is None else {(key.home, key.path): key for key in required_keys(flat, options.day)}
    turns = int(options.turns) if options.turns is not None and options.turns % 1 == 0 else options.turns
    stated_values: dict[Path, object] = {
        ("name",): options.name,
        ("turns",): turns,
        ("part",): options.part,
        ("serial",): options.serial,
    }
    template_keys = [TemplateKey(("format",), "motor/1"), *_keys(stated_values, required)]
    head: tuple[str, ...] = ("One motor as it is built, with its bench runs and rebuilds.", HOW, READINGS, _CARE)
    if flat is not None:
        head += (
            f"What the rules of {flat.ruleset.id} {flat.ruleset.version}, {flat.id}, ask on {options.day} stands above"
            " the keys that they rest on.",
        )
    notes: dict[Path, tuple[str, ...]] = {("bench_runs",): (_RUNS,), ("rebuilds",): (_REBUILDS,)}
    return text_of(head, members("motor", template_keys, notes), modeline)


def _keys(stated_values: dict[Path, object], required: dict[tuple[Home, Path], RequiredKey]) -> Iterator[TemplateKey]:
    """Every key of the motor in the order of its format, with what rules ask of it."""
    for path in leaves("motor"):
        home = _HOMES.get(path[0], Home.MOTOR)
        asked = required.get((home, path))
        if path != ("format",):
            yield TemplateKey(path, stated_values.get(path) or None, () if asked is None else asked.asks)
