"""Tables of rules beside the lists of the parts that choose their rows: parts without a row, rows without a part."""

from collections.abc import Iterator
from typing import Final

from speclint.advice.days import is_apart
from speclint.advice.limits import RULESET, flat_classes, own_rules
from speclint.advice.model import AdviceSort, Observation, RulesetCase
from speclint.forms.bodies import Otherwise, Table
from speclint.forms.listed_in import ListedIn
from speclint.places import Path
from speclint.plain import listed
from speclint.rulesets.model import FlatClass, Rule


def _without_a_row(case: RulesetCase) -> Iterator[Observation]:
    """Parts that a class approves and a table of it leaves out."""
    for rule, table, list_id, path, flat in _listed_tables(case):
        parts, keys = flat.lists[list_id], {key for key, _ in table.rows}
        counting = [item for item in parts.items if not is_apart(item.period, case.ruleset.in_force)]
        left_out = [item.id for item in counting if item.id not in keys]
        if table.otherwise in (Otherwise.ILLEGAL, Otherwise.NOT_SHOWN) and left_out and len(left_out) < len(counting):
            verdict = table.otherwise.value.replace("-", " ")
            stand = "stands" if len(left_out) == 1 else "stand"
            yield Observation(
                f"{listed(left_out)} {stand} on the list {list_id} and in no row of {rule.id}, so a car with it is {verdict}:"
                " add a row, or say what else counts under `otherwise`",
                case.document.place((*path, "rows")),
            )


def _without_a_part(case: RulesetCase) -> Iterator[Observation]:
    """Rows for parts that no class approves."""
    for rule, table, list_id, path, flat in _listed_tables(case):
        approved = {item.id for item in flat.lists[list_id].items}
        for key, _ in table.rows:
            if key not in approved:
                yield Observation(
                    f"{rule.id} has a row for {key}, which is no item of the list {list_id}: no car in {flat.id} can have it",
                    case.document.place((*path, "rows", key), of_key=True),
                )


def _listed_tables(case: RulesetCase) -> Iterator[tuple[Rule, Table, str, Path, FlatClass]]:
    """The tables whose rows are chosen by what another rule of the class holds to a list, each with that list."""
    flats = {flat.id: flat for flat in flat_classes(case)}
    held: dict[tuple[str, str | None], set[str]] = {}
    for flat in flats.values():
        for rule in flat.rules:
            if isinstance(rule.limit, ListedIn) and not rule.when:
                held.setdefault((flat.id, rule.quantity), set()).add(rule.limit.list_id)
    steps = 0
    for class_id, rule, path in own_rules(case):
        if isinstance(rule.body, Table) and (class_id, rule.body.by) in held:
            flat = flats[class_id]
            for list_id in sorted(held[class_id, rule.body.by] & flat.lists.keys()):
                steps += len(flat.lists[list_id].items)
                if steps > _MOST_STEPS:
                    return
                yield rule, rule.body, list_id, path, flat


_MOST_STEPS: Final = 300_000
"""What no rulebook for people reaches: advice on it is left out rather than waited for."""

_TABLE: Final = (
    "{id: motor, quantity: motor_part, listed_in: motors}\n      - {id: gear, quantity: tooth_sum, by: motor_part,"
    " rows: {M-1: {at_least: 99}, M-2: {at_least: 98}}, otherwise: illegal}"
)
_MOTORS: Final = "lists: {motors: {items: [{id: M-1}, {id: M-2}]}}\n"
TABLES: Final[tuple[AdviceSort[RulesetCase], ...]] = (
    AdviceSort(
        id="part-without-row",
        title="approved part that stands in no row of a table",
        because="A part that is added to the list and forgotten in the table makes its owners' cars illegal.",
        source="arithmetic",
        example=(RULESET.replace("RULE", _TABLE) + _MOTORS.replace("{id: M-2}", "{id: M-2}, {id: M-3}"),),
        find=_without_a_row,
    ),
    AdviceSort(
        id="row-without-part",
        title="row of a table for a part that is not approved",
        because="A row that no car can choose is misspelt, or left over.",
        source="arithmetic",
        example=(RULESET.replace("RULE", _TABLE.replace("M-2:", "M-2: {at_least: 98}, M-4:")) + _MOTORS,),
        find=_without_a_part,
    ),
)
