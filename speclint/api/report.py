"""What a check found, as plain frozen values: the fields of the JSON report, under the same names.

`class` is a word of Python's own, so the key of that name is `class_id` here.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

Scalar = float | str | bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A place in a file: `line` and `column` count from 1, `pointer` is a JSON pointer (RFC 6901) to the value."""

    file: str
    line: int
    column: int
    pointer: str


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyChange:
    """One value to put in the place of another: `to`, at a JSON pointer in a file."""

    file: str
    pointer: str
    to: Scalar | tuple[Scalar, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy:
    """A smallest change that makes something legal. One `by_hand` is done on the car and then measured: no file says it."""

    changes: tuple[KeyChange, ...]
    by_hand: bool
    rebuilds: tuple[str, ...]
    result: float | None
    message: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Test:
    """One limit on one quantity, as it is one of several in a rule; `missing` names the keys to add."""

    quantity: str
    verdict: str
    value: Scalar | tuple[Scalar, ...] | None
    margin: float | None
    close_call: bool
    limit: Mapping[str, object]
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One rule held against one entry.

    Value, uncertainty (expanded, k = 2) and margin are in `unit`, which is 1 for a ratio; the margin is the distance to
    the nearest limit, below zero where it is broken. `limit` has the ruleset's own words. Of a rule that can be met in
    several ways `options` holds each with its tests, and these numbers are those of the one `told`, counted from 1.
    """

    rule: str
    quantity: str | None
    verdict: str
    value: Scalar | tuple[Scalar, ...] | None
    values: tuple[Scalar, ...] | None
    unit: str
    expanded_uncertainty: float | None
    probability_legal: float | None
    close_call: bool
    margin: float | None
    limit: Mapping[str, object]
    options: tuple[tuple[Test, ...], ...]
    told: int | None
    row: str | None
    decision: str
    cite: str | None
    message: str
    because: str | None
    where: Place
    remedies: tuple[Remedy, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """A rule that changes after the day of the race, and what it will say then of the car as it is."""

    rule: str
    date: date
    verdict: str
    message: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiver:
    """An exception from a rule that the club has granted, and that counted."""

    rule: str
    message: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadFile:
    """A file that an entry rests on, with the SHA-256 of its bytes."""

    file: str
    sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OfficialReading:
    """What officials read of one rule's quantity, beside what the setup declares.

    `difference` is the official value minus the declared one in words; `disagrees` where it is more than both
    uncertainties together.
    """

    rule: str
    instrument: str | None
    declared: Scalar | tuple[Scalar, ...] | None
    declared_verdict: str | None
    difference: str | None
    disagrees: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LookedAt:
    """What officials judged by eye: `outcome` is `passed` or `failed`."""

    rule: str
    outcome: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Inspected:
    """What an inspection says of an entry; `declared_verdict` is what would come out of the setup alone."""

    where: Place
    event: str | None
    number: str | None
    at: str | None
    by: str | None
    ruling: str | None
    note: str | None
    declared_verdict: str | None
    readings: tuple[OfficialReading, ...]
    looked_at: tuple[LookedAt, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A setup entered in one class of one ruleset for one day; `verdict` is `legal`, `illegal` or `not-shown`.

    Where officials `inspected` the car, their readings are what was judged.
    """

    file: str
    name: str | None
    ruleset: str
    ruleset_version: str
    ruleset_digest: str
    class_id: str
    on: date
    verdict: str
    reason: str | None
    notes: tuple[str, ...]
    files: tuple[ReadFile, ...]
    checks: tuple[Check, ...]
    notices: tuple[Notice, ...]
    waivers: tuple[Waiver, ...]
    inspected: Inspected | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Something wrong with a file itself."""

    id: str
    kind: str
    message: str
    where: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class CarRemedies:
    """What makes one car legal in all of its entries at once, the best first; or why there is nothing."""

    file: str
    name: str
    remedies: tuple[Remedy, ...]
    reason: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """A finding that no rule asks for, and where it comes from."""

    id: str
    message: str
    where: Place
    source: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Holding:
    """What a file holds that is checked without a car."""

    file: str
    name: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ComingChange:
    """What changes for a car on a day to come, as the car is now.

    `rules` is `ruleset/class`, None where no rule changes; `verdict` is what the rule turns to, of an entry its own.
    """

    on: date
    file: str
    name: str
    sort: str
    rules: str | None
    message: str
    verdict: str | None
    where: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class NotJudged:
    """A setup without a verdict, or a path that could not be looked at, and why."""

    file: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """Everything that one check found, in an order that never changes for the same files: by file, entry and rule.

    `failed` says whether something is illegal, or anything wrong with a file; `failed_strictly` whether beyond that
    something is not shown to be legal, a close call, or advice on a ruleset.
    """

    entries: tuple[Entry, ...]
    problems: tuple[Problem, ...]
    remedies: tuple[CarRemedies, ...]
    advice: tuple[Advice, ...]
    not_judged: tuple[NotJudged, ...]
    holdings: tuple[Holding, ...]
    coming: tuple[ComingChange, ...]
    failed: bool
    failed_strictly: bool
