"""The forms that a limit can take, as values that know how to be read aloud."""

from dataclasses import dataclass
from fractions import Fraction

from speclint.limits.decisions import Limits


@dataclass(frozen=True, slots=True)
class Size:
    """A limit of size: at least, at most, above, below, between, or nominal with a tolerance.

    `places` is how many decimals the rulebook writes, so that a limit is printed as its readers know it.
    """

    bounds: Limits
    places: int
    nominal: Fraction | None = None
    tolerance: str = ""


@dataclass(frozen=True, slots=True)
class OneOf:
    """The value is one of these."""

    values: tuple[str | bool | Fraction, ...]


@dataclass(frozen=True, slots=True)
class NoneOf:
    """The value is none of these."""

    values: tuple[str | bool | Fraction, ...]


@dataclass(frozen=True, slots=True)
class Stated:
    """The setup states the value, whatever it is."""


@dataclass(frozen=True, slots=True)
class ListedIn:
    """The value is an item of a list that is in force."""

    list_id: str


@dataclass(frozen=True, slots=True)
class ListedFor:
    """The value stands under a key of the list's item that another quantity names."""

    list_id: str
    item: str
    under: str


@dataclass(frozen=True, slots=True)
class Inspect:
    """Only a person can judge it."""

    what: str


Limit = Size | OneOf | NoneOf | Stated | ListedIn | ListedFor | Inspect
