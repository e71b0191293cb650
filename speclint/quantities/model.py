"""What a quantity is: a name with its unit, meaning, origin and formula."""

from collections.abc import Callable
from enum import Enum
from fractions import Fraction
from typing import Any, Final, NamedTuple

from speclint.places import Path


class Sort(Enum):
    """How a value behaves: what it may look like in a file, and whether an instrument can blur it."""

    MEASURED = "a measured number"
    SETTING = "a number that is set or printed"
    COUNT = "a whole number"
    RATIO = "a ratio"
    TEXT = "text"
    FLAG = "true or false"
    SUM = "a list of thicknesses"


EXACT_SORTS: Final = (Sort.SETTING, Sort.COUNT, Sort.RATIO, Sort.SUM)
"""Numbers that no instrument blurs, so that they are compared exactly under every decision rule."""

NUMBER_SORTS: Final = (*EXACT_SORTS, Sort.MEASURED)


class Home(Enum):
    """The document, or the record in it, where a key stands."""

    SETUP = "setup"
    MOTOR = "motor"
    BENCH = "bench run"
    SHEET = "factory sheet"


class Key(NamedTuple):
    """A key that a value is read from: its path starts at the top of its home.

    `instrument` is the key that names what it was read on, where that does not stand with the value itself. A list
    holds repeated readings of one value, or with `each` one value for each sensor.
    """

    home: Home
    path: Path
    instrument: Path = ()
    each: bool = False


class Given(Enum):
    """What a formula takes from the entry, not from a key."""

    REFERENCE_C = "reference temperature"
    ENTRY_DATE = "date of the entry"
    BENCH_DATE = "date of the bench run"
    REBUILDS = "rebuilds of the motor"


Input = str | Key | Given
"""What a formula takes: the name of another quantity, a key, or something given by the entry."""


_NOT_IN_A_FIELD: Final = str.maketrans(dict.fromkeys(".:![]{}", "_"))
"""What a name in braces cannot hold, and that of an open key may."""


def input_name(quantity_input: Input) -> str:
    """What a formula's text calls an input, in braces."""
    if isinstance(quantity_input, str):
        return quantity_input.translate(_NOT_IN_A_FIELD)
    if isinstance(quantity_input, Given):
        return quantity_input.name.lower()
    return f"{'sheet_' if quantity_input.home is Home.SHEET else ''}{quantity_input.path[-1]}"


class Quantity(NamedTuple):
    """One quantity: everything the program says of it stands here.

    `key` is where a stated value is read; `formula` computes any other from `inputs`, in their order, and
    `formula_text` is the same for people, with the inputs' names in braces; the three that begin with `raw` do so for
    a rule that takes the readings uncorrected. `principal` marks the keys that an
    instrument named by a rule reads, `edit` the quantity that a person would change to
    change this one. `family` is what a rebuild can make stale. `compares_readings` says that it is how
    several readings differ: one has no such value, and what moves all of them together says nothing of it. `lowest` and `highest` (with
    `lowest` itself excluded where `above_lowest`) are what the key can hold at all; `typical` is what the trade
    meets, beyond which a slip of the pen is likely. One that `is_open` is whatever a rule calls by its key: nothing says what that
    holds. Of one that a ruleset declares `declared_by` is the ruleset's id,
    `choices` are the values that it can have, if these are told, and `counts` says that it is how many of its one
    input there are.
    """

    name: str
    title: str
    sort: Sort
    unit: str
    about: str
    source: str
    example: Any
    key: Key | None = None
    inputs: tuple[Input, ...] = ()
    formula: Callable[..., Any] | None = None
    formula_text: str = ""
    raw_inputs: tuple[Input, ...] = ()
    raw_formula: Callable[..., Any] | None = None
    raw_formula_text: str = ""
    principal: tuple[Key, ...] = ()
    edit: str = ""
    family: str = ""
    compares_readings: bool = False
    lowest: int | None = 0
    above_lowest: bool = False
    highest: int | None = None
    typical: tuple[Fraction, Fraction] | None = None
    measure: str = ""
    cautions: tuple[str, ...] = ()
    is_open: bool = False
    declared_by: str = ""
    choices: tuple[str | Fraction, ...] = ()
    counts: bool = False

    @property
    def exact(self) -> bool:
        """No instrument blurs it."""
        return self.sort in EXACT_SORTS

    @property
    def is_stated(self) -> bool:
        """It stands at a key of its own in the setup or the motor."""
        return self.key is not None and self.key.home in (Home.SETUP, Home.MOTOR)

    @property
    def numeric(self) -> bool:
        """It is a number, so that limits of size make sense."""
        return self.sort in NUMBER_SORTS


def stated(home: Home, path: str, *, unit: str = "", source: str = "common practice", **more: Any) -> Quantity:
    """A quantity that is read from one key; `path` is dotted, all else is as `Quantity` has it."""
    key = Key(home, tuple(path.split(".")))
    return Quantity(unit=unit, source=source, key=key, principal=(key,), **more)


def span(low: str, high: str) -> tuple[Fraction, Fraction]:
    """The ends of a typical range, written as decimals."""
    return Fraction(low), Fraction(high)
