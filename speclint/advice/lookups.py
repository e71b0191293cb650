"""Values that limits look up, in items of lists or of other quantities: of another unit, or far from what is usual."""

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from speclint.advice.limits import RULESET, example, own_rules
from speclint.advice.model import AdviceSort, Observation, RulesetCase
from speclint.forms.bodies import LimitTest
from speclint.forms.compared import Compared
from speclint.forms.looked_up import LookedUp, OfItem, OfQuantity, of_words
from speclint.forms.looked_up import under as stands_under
from speclint.places import Path
from speclint.quantities.registry import quantity, unit_of_key
from speclint.readings.digits import plain_text, with_unit
from speclint.readings.measured import value_of
from speclint.readings.units import in_unit, is_of_one_dimension
from speclint.rules.wording import test_title
from speclint.rulesets.model import Rule


def _unusual_items(case: RulesetCase) -> Iterator[Observation]:
    """Items whose value lies outside what the limited quantity usually is."""
    told: set[Path] = set()
    for _, _, test, wanted in _items(case):
        described, own_list = quantity(test.quantity), case.ruleset.lists.get(wanted.list_id)
        if described is None or described.typical is None or own_list is None or test.written is not None:
            continue
        if (unit := unit_of_key(wanted.under)) and unit != described.unit:
            continue
        low, high = described.typical
        for index, item in enumerate(own_list.items):
            numbers = [value for value in stands_under(wanted, item) if isinstance(value, Fraction)]
            path: Path = ("lists", wanted.list_id, "items", index, wanted.under)
            if path not in told and any(not low <= number <= high for number in numbers):
                told.add(path)
                shown, least, most = (
                    with_unit(plain_text(number), described.unit) for number in (numbers[0], low, high)
                )
                yield Observation(
                    f"{item.id} has {wanted.under} {shown}, and a {described.title} is usually {least} to {most}: look at the"
                    " unit and at the decimal point",
                    case.document.place(path),
                )


def _of_another_unit(case: RulesetCase) -> Iterator[Observation]:
    """Keys of items whose ending says another unit than the limited quantity has."""
    for rule, path, test, wanted in _items(case):
        described, unit = quantity(test.quantity), unit_of_key(wanted.under)
        if described is not None and unit and not is_of_one_dimension(unit, described.unit):
            shown = with_unit("1", described.unit) if described.unit else "no unit"
            yield Observation(
                f"{rule.id} holds a {test_title(test)} ({shown}) to {wanted.under} of the list {wanted.list_id}, which ends in"
                " another unit: look at both names",
                case.document.place((*path, "id")),
            )


def _beyond(case: RulesetCase) -> Iterator[Observation]:
    """Limits by another quantity that lie outside what the limited one usually is, whatever that is within its own."""
    for rule, path, test, wanted in _lookups(case):
        if not isinstance(wanted, OfQuantity) or test.written is not None:
            continue
        described, other = quantity(test.quantity), quantity(wanted.quantity)
        if described is None or other is None or described.typical is None or other.typical is None:
            continue
        ends = [value_of(in_unit(end, other.unit, described.unit)) for end in other.typical]
        limits = sorted(end * wanted.times + wanted.shift for end in ends)
        low, high = described.typical
        if limits[0] > high or limits[1] < low:
            least, most = (with_unit(plain_text(number), described.unit) for number in (low, high))
            is_above = limits[0] > high
            bound = with_unit(plain_text(limits[0] if is_above else limits[1]), described.unit)
            yield Observation(
                f"{rule.id} limits the {described.title} by {of_words(wanted, described.unit)}, which is {bound} or"
                f" {'more' if is_above else 'less'}, where it is usually {least} to {most}: look at the sum",
                case.document.place((*path, "id")),
            )


def _lookups(case: RulesetCase) -> Iterator[tuple[Rule, Path, LimitTest, LookedUp]]:
    """What the limits of size of the ruleset's own rules look up, each with its rule and where that stands."""
    for _, rule, path in own_rules(case):
        for test in rule.tests:
            for _, side in test.limit.sides if isinstance(test.limit, Compared) else ():
                if not isinstance(side, Fraction):
                    yield rule, path, test, side


def _items(case: RulesetCase) -> Iterator[tuple[Rule, Path, LimitTest, OfItem]]:
    for rule, path, test, wanted in _lookups(case):
        if isinstance(wanted, OfItem):
            yield rule, path, test, wanted


_LOWEST: Final = (
    "{id: motor, quantity: motor_part, listed_in: motors}\n      - {id: winding, quantity: winding_lowest_mohm, at_least:"
    " {list: motors, item: motor_part, under: lowest_mohm}, instrument: club-meter}"
)
_MOTORS: Final = "lists: {motors: {items: [{id: M-1, lowest_mohm: 35.6}, {id: M-2, lowest_mohm: 34}]}}\n"
_WARM: Final = """quantities:
  extra.pack_c: {title: pack, kind: measured, usual: [0, 60]}
  extra.air_c: {title: air, kind: measured, usual: [-10, 45]}
"""
LOOKUPS: Final[tuple[AdviceSort[RulesetCase], ...]] = (
    AdviceSort(
        id="item-unusual",
        title="value of a list's item outside what is usual",
        because="A unit or a decimal point is soon written wrongly, and then one motor alone is judged by it.",
        example=(RULESET.replace("RULE", _LOWEST) + _MOTORS.replace("lowest_mohm: 34", "lowest_mohm: 0.034"),),
        find=_unusual_items,
    ),
    AdviceSort(
        id="item-unit",
        title="value of a list's item in another unit",
        because="A limit that is looked up under the wrong key is a number of something else.",
        source="arithmetic",
        example=(
            RULESET.replace(
                "RULE", _LOWEST.replace("winding_lowest_mohm", "mass_g").replace("}, instrument", "}, measure")
            )
            + _MOTORS.replace("lowest_mohm: 35.6", "lowest_mohm: 1300").replace("lowest_mohm: 34", "lowest_mohm: 1350"),
        ),
        find=_of_another_unit,
    ),
    AdviceSort(
        id="sum-unusual",
        title="limit by another quantity that nobody meets, or everybody",
        because="What is added to a quantity is soon a digit too many.",
        source="arithmetic",
        example=(
            example("{id: warm, quantity: extra.pack_c, at_most: {of: extra.air_c, plus: 100}}")[0].replace(
                "classes:\n", f"{_WARM}classes:\n"
            ),
        ),
        find=_beyond,
    ),
)
