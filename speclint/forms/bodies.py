"""What a rule does: it tests a quantity, has something looked at, or takes another rule away."""

from fractions import Fraction
from typing import Final, NamedTuple

from speclint.forms.limit import Limit
from speclint.schema_nodes import Schema, text


class LimitTest(NamedTuple):
    """One limit on one quantity, and the terms on which it is read.

    Attributes:
        quantity: what is limited.
        limit: the limit.
        read_to: the step that a value is read to before it is compared.
        uncorrected: the reading is judged as it was read, without correction to the reference temperature.
        instrument: the name of the official instrument.
    """

    quantity: str
    limit: Limit
    read_to: Fraction | None = None
    uncorrected: bool = False
    instrument: str | None = None


class ToInspect(NamedTuple):
    """Only a person can judge it."""

    subject: str


class Withdrawn(NamedTuple):
    """The inherited rule of this id, or the one that is replaced, does not bind."""


Body = LimitTest | ToInspect | Withdrawn

LOOK_KEY: Final = "inspect"
"""The key that has something looked at."""


def look_shape() -> Schema:
    """The shape of that key."""
    return text("inspect", "What a person has to look at; no quantity is needed.", "the seal is whole")
