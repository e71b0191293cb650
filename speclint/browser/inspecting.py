"""An inspector's list: for each car what its rules want read and looked at, in their order, and the whole as inspection/1."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from itertools import pairwise
from typing import Any, Final

from speclint.browser.form import Entering, FormField, FormSection, form_field
from speclint.browser.typed_setup import typed_values
from speclint.edits.spelled import flow, scalar
from speclint.plain import capitalised
from speclint.quantities.registry import quantity
from speclint.rules.rulebook import rulebook
from speclint.rules.wording import rule_title
from speclint.rulesets.model import FlatClass
from speclint.starters.inspection import asked_of, by_how_often, is_measured, reading_paths
from speclint.starters.template_keys import TemplateKey

INSPECTION_FILE: Final = "inspection.yaml"
"""What an inspection that was typed is called."""

_OUTCOMES: Final = ("passed", "failed")


def inspection_sections(flat: FlatClass, on: date) -> tuple[FormSection, ...]:
    """The fields of one car, in the order of the rulebook; a key that several rules rest on stands where the first does."""
    ruling = _outcome("ruling", "Ruling", "What the officials decided.")
    note = FormField(("note",), "Note", "", Entering.TEXT, (), "Anything worth remembering of it.", (), is_closed=False)
    return FormSection("Read and look", tuple(_fields(flat, on))), FormSection("Decide", (ruling, note))


def _fields(flat: FlatClass, on: date) -> Iterator[FormField]:
    placed = set()
    for rule in by_how_often(rulebook(flat, on).rules):
        if rule.withdrawn:
            continue
        limited = quantity(rule.quantity) if rule.quantity is not None else None
        if limited is None or not is_measured(rule):
            title = rule_title(rule)
            yield _outcome(rule.id, capitalised(title), asked_of(rule), ("looked_at", rule.id))
            continue
        for path in reading_paths(limited):
            if path not in placed:
                placed.add(path)
                ask = f"{asked_of(rule)}{f', {rule.instrument}' if rule.instrument else ''}."
                asks = (capitalised(ask),)
                yield form_field(TemplateKey(path, None, asks), None)._replace(path=("readings", *path))


def _outcome(name: str, title: str, about: str, path: tuple[str, ...] = ()) -> FormField:
    return FormField(path or (name,), title, "", Entering.TEXT, (), about, _OUTCOMES, is_closed=True)


def inspection_text(asked: Mapping[str, Any], ruleset: str, digest: str, cars: Sequence[Mapping[str, Any]]) -> str:
    """The file: of the day what the page has, of each car its number, its class and what was typed.

    Args:
        asked: `on`, `event` and `officials` (parted by commas), as they were typed.
        ruleset: by whose rules, as `id@version`.
        digest: of that ruleset.
        cars: each car's keys, as inspection/1 has them.
    """
    officials = [name.strip() for name in str(asked.get("officials", "")).split(",") if name.strip()]
    event = str(asked.get("event", "")).strip()
    lines = [
        "format: inspection/1",
        f"event: {scalar(event, in_flow=False)}" if event else "event:",
        f"on: {asked['on']}",
        f"ruleset: {ruleset}",
        f"digest: {digest}",
        f"officials: {flow(officials)}" if officials else "officials:",
        "cars:",
    ]
    for car in cars:
        members = [f"{key}: {flow(value)}" for key, value in car.items()]
        lines += [f"  {'- ' if i == 0 else '  '}{member}" for i, member in enumerate(members)]
    return "\n".join(lines) + "\n"


def inspected_car(
    car: Mapping[str, Any], sections: Sequence[FormSection], on: date, *, has_setup: bool
) -> tuple[dict[str, Any], dict[str, str]]:
    """One car's keys as inspection/1 has them, and what cannot be read of it by the pointer of its field.

    Args:
        car: its `number`, its `class`, and the `values` that were typed by their pointers.
        sections: the fields of its class.
        on: the race day, on which its bench run is made.
        has_setup: whether a setup that is entered under the number lies beside the inspection.
    """
    keys: dict[str, Any] = {"number": str(car["number"]), "class": str(car["class"])}
    if not has_setup:
        keys["setup"] = "none"
    values, complaints = typed_values(sections, car["values"])
    for path, value in values.items():
        _put(keys, path, value, on)
    return keys, complaints


def _put(keys: dict[str, Any], path: Sequence[str | int], value: Any, on: date) -> None:
    """A value into its place; a bench run is one in a list, and has the race day."""
    at: Any = keys
    for step, following in pairwise(path):
        if step == 0:
            at = at[0]
        elif following == 0:
            at = at.setdefault(step, [{"date": on.isoformat()}])
        else:
            at = at.setdefault(step, {})
    at[path[-1]] = value
