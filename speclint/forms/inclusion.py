"""Whether one limit lets through whatever another does; what is not proved counts as not so."""

from collections.abc import Sequence
from fractions import Fraction

from speclint.forms.limit import Limit
from speclint.forms.none_of import NoneOf
from speclint.forms.parts_lists import DayLists, Scalar
from speclint.forms.size import Size
from speclint.forms.stated import Stated
from speclint.forms.words import same


def includes(outer: Limit, inner: Limit, outer_lists: DayLists, inner_lists: DayLists) -> bool:
    """Whether every value that meets the inner limit meets the outer one.

    Args:
        outer: the limit that is to let more through.
        inner: the limit that is to let less through.
        outer_lists: the lists that the outer limit looks into.
        inner_lists: those of the inner limit, which may be of another text.
    """
    if isinstance(outer, Stated):
        return True
    if isinstance(outer, Size) and isinstance(inner, Size):
        return outer.bounds.contain(inner.bounds)
    inner_choices = inner.choices(inner_lists)
    outer_choices = outer.choices(outer_lists)
    if inner_choices is not None and outer_choices is not None and not _looks_further(outer, inner):
        return all(_is_among(choice, outer_choices) for choice in inner_choices)
    if isinstance(outer, NoneOf):
        if isinstance(inner, NoneOf):
            return all(_is_among(barred, inner.values) for barred in outer.values)
        return inner_choices is not None and not any(_is_among(barred, inner_choices) for barred in outer.values)
    if isinstance(outer, Size) and inner_choices is not None:
        return all(isinstance(choice, Fraction) and outer.bounds.met_by(choice) for choice in inner_choices)
    return outer.requirement == inner.requirement and same_lists(outer, outer_lists, inner_lists)


def same_lists(limit: Limit, first_lists: DayLists, second_lists: DayLists) -> bool:
    """Whether the lists that a limit names hold the same in two texts, as far as they count on the day."""
    return all(_counting(first_lists, list_id) == _counting(second_lists, list_id) for _, list_id in limit.names.lists)


def _counting(lists: DayLists, list_id: str) -> list[tuple[str, tuple[tuple[str, tuple[Scalar, ...]], ...]]]:
    return sorted((item.id, tuple(sorted(item.keys.items(), key=repr))) for item in lists.counting(list_id))


def _looks_further(*limits: Limit) -> bool:
    """Whether what a limit allows hangs on another quantity of the car as well."""
    return any(limit.names.quantities for limit in limits)


def _is_among(value: Scalar, choices: Sequence[Scalar]) -> bool:
    return any(same(value, choice) for choice in choices)
