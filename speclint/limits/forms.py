"""The forms that a limit can take, as values that know how to be read aloud."""

from fractions import Fraction
from typing import NamedTuple

from speclint.limits.decisions import Limits


class Size(NamedTuple):
    """A limit of size: at least, at most, above, below, between, or nominal with a tolerance.

    `places` is how many decimals the rulebook writes, so that a limit is printed as its readers know it.
    """

    bounds: Limits
    places: int
    nominal: Fraction | None = None
    tolerance: str = ""


class OneOf(NamedTuple):
    """The value is one of these."""

    values: tuple[str | bool | Fraction, ...]


class NoneOf(NamedTuple):
    """The value is none of these."""

    values: tuple[str | bool | Fraction, ...]


class Stated(NamedTuple):
    """The setup states the value, whatever it is."""


class ListedIn(NamedTuple):
    """The value is an item of a list that is in force."""

    list_id: str


class ListedFor(NamedTuple):
    """The value stands under a key of the list's item that another quantity names."""

    list_id: str
    item: str
    under: str


class Inspect(NamedTuple):
    """Only a person can judge it."""

    what: str


Limit = Size | OneOf | NoneOf | Stated | ListedIn | ListedFor | Inspect
