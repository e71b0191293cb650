"""How a reading was taken: what can be said of that, where it stands, and whether it is as a rule asks."""

from collections.abc import Callable, Mapping
from datetime import date
from fractions import Fraction
from typing import Any, Final, NamedTuple, Protocol

from speclint.models.bench import BenchRun, FactorySheet, Measurement
from speclint.models.stated import StatedReading
from speclint.places import Path
from speclint.quantities.key_reading import Value
from speclint.quantities.model import Quantity, Sort
from speclint.readings.exact import exact
from speclint.readings.measured import mean_of

TAKEN_KEY: Final = "taken"
"""The key of a reading, and of a rule, that says how it was taken, or has to be."""


class TakenKey(NamedTuple):
    """One thing that can be said of how a reading was taken.

    Attributes:
        quantity: what it is, by the name of its key.
        phrase: the words around its value: `read at 8.2 V`.
        bench: the path of the key that says it in a bench run; () where a bench run does not say it.
        is_derived: it follows from the day and is never stated.
    """

    quantity: Quantity
    phrase: str
    bench: Path
    is_derived: bool

    @property
    def name(self) -> str:
        """Its key."""
        return self.quantity.name


def _key(
    name: str, title: str, about: str, phrase: str, bench: Path = (), *, example: Any, unit: str = "",
    is_derived: bool = False,
) -> TakenKey:  # fmt: skip
    sort = Sort.COUNT if is_derived else Sort.MEASURED if unit else Sort.TEXT
    lowest = None if unit == "c" else 0
    quantity = Quantity(name, title, sort, unit, about, "common practice", example, lowest=lowest)
    return TakenKey(quantity, phrase, bench, is_derived)


TAKEN_KEYS: Final = (
    _key("at", "moment of the reading", "When or where in the race day it was read, in words that the rules test.",
         "read at {}", example="after-run"),
    _key("on", "day of the reading", "The day on which it was read.", "read on {}", ("date",), example="2026-03-14"),
    _key("age_days", "age of the reading", "Days from the reading to the race.", "read {} before", ("date",), example=7,
         unit="days", is_derived=True),
    _key("supply_v", "supply voltage", "Voltage at the motor while it was read.", "read at {}", ("supply_v",),
         example=8.4, unit="v"),
    _key("current_a", "current", "Current while it was read.", "read at {}", ("current_a",), example=3.9, unit="a"),
    _key("speed_rpm", "speed", "Speed of the motor while it was read.", "read at {}", ("speed_rpm",), example=17800,
         unit="rpm"),
    _key("winding_c", "winding temperature", "Temperature of the winding while it was read.",
         "read with the winding at {}", ("winding", "winding_c"), example=21, unit="c"),
    _key("can_c", "can temperature", "Temperature of the motor's can while it was read.", "read with the can at {}",
         ("can_c",), example=31, unit="c"),
    _key("ambient_c", "ambient temperature", "Temperature of the air while it was read.", "read with the air at {}",
         ("ambient_c",), example=21, unit="c"),
    _key("rotor", "rotor", "Kind of the rotor that was in the motor while it was read.", "read with the rotor {}",
         ("rotor",), example="standard"),
)  # fmt: skip
"""Everything that can be said, in the order in which it is told."""


class TakenTerm(Protocol):
    """What a rule asks of how a reading was taken, in one respect."""

    @property
    def key(self) -> TakenKey:
        """In which."""

    @property
    def asked(self) -> str:
        """What has to be said there, in words."""

    def refusal(self, value: Value) -> str:
        """Why a reading does not count of which this is said; "" where it does."""


TakenTerms = tuple[TakenTerm, ...]
"""Terms that a reading has to meet together."""


class NotTakenSo(NamedTuple):
    """Why a reading does not count: it was taken otherwise, or nothing says how.

    Attributes:
        reason: in words.
        lacking: the key that would have to say it; None where it was taken otherwise.
        refused: the key that says otherwise.
    """

    reason: str
    lacking: TakenKey | None = None
    refused: TakenKey | None = None


def not_taken_so(terms: TakenTerms, circumstance: Callable[[TakenKey], Value | None]) -> NotTakenSo | None:
    """Why a reading does not count, None where it was taken as all terms ask.

    What was taken otherwise in any respect does not count, whatever else is not known of it.
    """
    lacking: NotTakenSo | None = None
    for term in terms:
        value = circumstance(term.key)
        if value is None:
            so = term.key.phrase.format(term.asked).removeprefix("read ")
            lacking = lacking or NotTakenSo(f"the rule asks for a reading {so}", lacking=term.key)
        elif reason := term.refusal(value):
            return NotTakenSo(reason, refused=term.key)
    return lacking


def said_beside(stated: Any, on: date) -> Callable[[TakenKey], Value | None]:
    """What a reading of a setup or motor says of itself under `taken`."""
    circumstances: Mapping[str, Any] = (stated.get(TAKEN_KEY) or {}) if isinstance(stated, dict) else {}

    def value_of_key(key: TakenKey) -> Value | None:
        if key.is_derived:
            day = circumstances.get("on")
            return None if day is None else _days_between(date.fromisoformat(day), on)
        value = circumstances.get(key.name)
        return value if value is None or isinstance(value, str) else exact(value)

    return value_of_key


def said_of_record(record: Measurement, on: date) -> Callable[[TakenKey], Value | None]:
    """What a bench run says of all of its readings by its own keys, or a factory sheet by its day and temperature."""

    def value_of_key(key: TakenKey) -> Value | None:
        if key.bench == ("date",):
            moment = record.made if isinstance(record, FactorySheet) else record.when
            day = None if moment is None else moment.day
            return None if day is None else _days_between(day, on) if key.is_derived else day.isoformat()
        if key.bench == ("rotor",):
            return record.rotor if isinstance(record, BenchRun) else None
        stated: object = record
        for step in key.bench:
            stated = getattr(stated, str(step), None)
        return mean_of(stated.exact_values) if isinstance(stated, StatedReading) else None

    return value_of_key


def _days_between(day: date, on: date) -> Fraction:
    return Fraction((on - day).days)
