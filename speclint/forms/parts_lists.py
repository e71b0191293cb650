"""Lists of approved parts, and which of their items count on a day."""

from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import NamedTuple

from speclint.moments import Period

Scalar = str | bool | Fraction
"""A value that can be compared with what a document states; numbers are exact."""


class ListItem(NamedTuple):
    """One item of a list: `keys` holds whatever the list says of it, as tuples of scalars."""

    id: str
    period: Period
    published: date | None
    keys: Mapping[str, tuple[Scalar, ...]]


class ListBasis(NamedTuple):
    """A list of another ruleset, by that one's id and version."""

    ruleset: str
    version: str
    list_id: str


class PartsList(NamedTuple):
    """A list of approved things; once frozen, what is added later counts for the next season.

    `basis` is the list that it takes over, with its own items over those of the same ids.
    """

    id: str
    frozen_on: date | None
    items: tuple[ListItem, ...]
    basis: ListBasis | None = None

    def standing(self, item: ListItem, on: date, known_on: date | None) -> str:
        """Why an item does not count on the day, in words; empty where it counts."""
        if known_on is not None and item.published is not None and item.published > known_on:
            return f"was published on {item.published}"
        if self.frozen_on is not None and item.period.start is not None and item.period.start > self.frozen_on:
            return f"was added on {item.period.start}, after the list froze on {self.frozen_on}"
        if self.frozen_on is not None and item.published is not None and item.published > self.frozen_on:
            return f"was published on {item.published}, after the list froze on {self.frozen_on}"
        if item.period.start is not None and on < item.period.start:
            return f"counts from {item.period.start}"
        if item.period.end is not None and on > item.period.end:
            return f"counted until {item.period.end}"
        return ""


Lists = Mapping[str, PartsList]
"""Lists by the name that rules call them by."""


class DayLists:
    """The lists of a class on a day, as they were known on another; what counts is worked out once for all cars."""

    __slots__ = ("_known_on", "_standings", "lists", "on")

    def __init__(self, lists: Lists, on: date, known_on: date | None = None) -> None:
        self.lists = lists
        self.on = on
        self._known_on = known_on
        self._standings: dict[str, tuple[tuple[ListItem, str], ...]] = {}

    def standings(self, list_id: str) -> tuple[tuple[ListItem, str], ...]:
        """The items of a list, and why each does not count, "" where it does; nothing where there is no such list."""
        standings = self._standings.get(list_id)
        if standings is None:
            parts = self.lists.get(list_id)
            items = () if parts is None else parts.items
            standings = tuple((item, parts.standing(item, self.on, self._known_on)) for item in items if parts)
            self._standings[list_id] = standings
        return standings

    def counting(self, list_id: str) -> tuple[ListItem, ...]:
        """The items of a list that count."""
        return tuple(item for item, standing in self.standings(list_id) if not standing)

    def left_out(self, list_id: str) -> str:
        """The items that do not count, with the reasons, in words; "" where all of them do."""
        reasons = [f"{item.id} {standing}" for item, standing in self.standings(list_id) if standing]
        return f"not counted: {'; '.join(reasons)}" if reasons else ""
