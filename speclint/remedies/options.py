"""What a lever is, and what it can be set to."""

from dataclasses import dataclass

from speclint.rules.checks import KeyChange


@dataclass(frozen=True, slots=True)
class Option:
    """One value that a lever can take: what changes in the files, and what a person does.

    `effort` ranks options of one lever, the least first. `rebuild` is the kind of rebuild that the change is, which
    makes readings stale. What is `by_hand` is done on the car and then measured, as `measured` says: the file cannot
    know the outcome.
    """

    changes: tuple[KeyChange, ...]
    words: str
    effort: float
    rebuild: str | None = None
    by_hand: bool = False
    measured: str = ""


@dataclass(frozen=True, slots=True)
class Lever:
    """Something that can be changed: the stated quantities that it moves, and its options."""

    name: str
    moves: frozenset[str]
    options: tuple[Option, ...]
