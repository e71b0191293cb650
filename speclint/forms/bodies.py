"""What a rule does: it tests quantities, has something looked at, or takes another rule away."""

from collections.abc import Mapping
from enum import Enum
from fractions import Fraction
from itertools import chain
from types import MappingProxyType
from typing import Any, Final, NamedTuple, assert_never

from speclint.forms.limit import Leeway, Limit
from speclint.forms.taken import Taken
from speclint.forms.written_unit import UNIT_KEY, WrittenUnit
from speclint.places import Path
from speclint.quantities.taken import TAKEN_KEY
from speclint.schema_nodes import Schema, choice, text


class LimitTest(NamedTuple):
    """One limit on one quantity, and the terms on which it is read.

    Attributes:
        quantity: what is limited.
        limit: the limit.
        read_to: the step that a value is read to before it is compared.
        uncorrected: the reading is judged as it was read, without correction to the reference temperature.
        instrument: the name of the official instrument.
        leeway: how far beyond the limit a value still passes.
        taken: how a reading has to have been taken to count.
        reference_c: the temperature in °C that windings are corrected to, where it is not that of the class.
        written: the unit that the rulebook writes, where it is not the quantity's, in which all else is.
        path: the steps below the rule to where it stands.
        keys: what the rulebook writes of it.
    """

    quantity: str
    limit: Limit
    read_to: Fraction | None = None
    uncorrected: bool = False
    instrument: str | None = None
    leeway: Leeway | None = None
    taken: Taken = ()
    reference_c: Fraction | None = None
    written: WrittenUnit | None = None
    path: Path = ()
    keys: Mapping[str, Any] = MappingProxyType({})

    def corrected_to(self, of_class: Fraction) -> Fraction:
        """The temperature in °C that its windings are corrected to, in a class with this one."""
        return of_class if self.reference_c is None else self.reference_c

    @property
    def reading(self) -> tuple[object, ...]:
        """What decides which reading counts, and what becomes of it before it is compared."""
        return self.quantity, self.uncorrected, self.read_to, self.taken, self.reference_c


Option = tuple[LimitTest, ...]
"""Tests of which every one has to be met."""


class AnyOf(NamedTuple):
    """Several ways to meet a rule; `quantity` is the one that all of them limit, where the rule names one for all."""

    quantity: str | None
    options: tuple[Option, ...]

    @property
    def is_windows(self) -> bool:
        """Whether they are several limits on one quantity."""
        return all(len(option) == 1 and option[0].quantity == self.quantity for option in self.options)


class Otherwise(Enum):
    """What a table says of a car that stands in none of its rows."""

    ILLEGAL = "illegal"
    NOT_SHOWN = "not-shown"
    FREE = "free"


class Table(NamedTuple):
    """A limit on a quantity that depends on another one.

    Attributes:
        quantity: what is limited.
        by: the quantity that chooses the row.
        rows: by the value that chooses it, as the rulebook writes it, the limit of each row.
        otherwise: what counts where no row does.
    """

    quantity: str
    by: str
    rows: tuple[tuple[str, LimitTest], ...]
    otherwise: LimitTest | Otherwise


class ToInspect(NamedTuple):
    """Only a person can judge it."""

    subject: str


class Withdrawn(NamedTuple):
    """The inherited rule of this id, or the one that is replaced, does not bind."""


Body = LimitTest | AnyOf | Table | ToInspect | Withdrawn


def tests_of(body: Body) -> tuple[LimitTest, ...]:
    """Every test of a body, in the order of its text."""
    match body:
        case LimitTest():
            return (body,)
        case AnyOf(options=options):
            return tuple(chain.from_iterable(options))
        case Table(rows=rows, otherwise=otherwise):
            last = (otherwise,) if isinstance(otherwise, LimitTest) else ()
            return (*(test for _, test in rows), *last)
        case ToInspect() | Withdrawn():
            return ()
        case _:
            assert_never(body)


OPTIONS_KEY: Final = "any_of"
"""The key that holds several ways to meet a rule."""

BY_KEY: Final = "by"
"""The key that names what chooses the row of a table."""

TABLE_KEYS: Final = (BY_KEY, "rows", "otherwise")
"""The keys of a table."""

TOGETHER_KEY: Final = "all_of"
"""The key of an option that holds several tests."""

LEEWAY_KEY: Final = "leeway"
"""The key of a test that says how far beyond its limit a value still passes."""

REFERENCE_KEY: Final = "reference_temperature_c"
"""The key of a test that says what a winding is corrected to."""

TERM_KEYS: Final = (UNIT_KEY, LEEWAY_KEY, TAKEN_KEY, REFERENCE_KEY)
"""How a value is read, as far as it can turn a verdict beside the limit."""

LOOK_KEY: Final = "inspect"
"""The key that has something looked at."""


PER_KEY: Final = "per"
"""The key that says how often something is looked at."""

LOOKS_PER: Final = {
    "run": "once a run",
    "day": "once a day",
    "meeting": "once a meeting",
    "season": "once a season",
}
"""How often that can be, the most often first."""


def per_shape() -> Schema:
    """The shape of that key."""
    return choice(
        "per",
        f"How often an inspector looks at it, which is its place on the sheet: {', '.join(LOOKS_PER.values())}.",
        LOOKS_PER,
    )


def look_shape() -> Schema:
    """The shape of that key."""
    return text(
        "inspect",
        "What a person has to look at; no quantity is needed. Beside a limit: where the setup states nothing.",
        "the seal is whole",
    )
