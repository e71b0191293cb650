"""Two runs held against each other: each quantity's change, how far the bench can blur it, and what that shows."""

import math
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from speclint.comparison.common_conditions import Conditions, common_conditions, levels_of
from speclint.comparison.compared import COMPARED, Compared, Level
from speclint.comparison.obstacles import Obstacle, obstacles_between
from speclint.comparison.recorded import Recorded
from speclint.comparison.runs import Pair, Run, between
from speclint.comparison.uncertainty import blur_of
from speclint.models.motors import Record
from speclint.readings.measured import Number, value_of


class Word(Enum):
    """What two readings show of a quantity."""

    CHANGED = "changed"
    NO_CHANGE = "no change shown"
    CANNOT_TELL = "can't tell"


@dataclass(frozen=True, slots=True)
class Change:
    """One quantity in two runs.

    Attributes:
        first: the value in the first run at common conditions; None where it cannot be had.
        second: the same in the second.
        difference: second − first, with all that blurs it; what both share has cancelled.
        blur: the expanded uncertainty of the difference; None where it is not known.
        apart: what it would be if the two had been read on two instruments of the kind.
        word: what that shows.
        reason: why nothing can be told, in words; "" where something can.
        shares: the instruments that both were read on; none where one of their readings was on another.
    """

    quantity: Compared
    first: Number | None
    second: Number | None
    difference: Number | None
    blur: float | None
    apart: float | None
    word: Word
    reason: str = ""
    shares: tuple[str, ...] = ()

    @property
    def percent(self) -> Fraction | None:
        """The difference in percent of the first value."""
        if self.difference is None or self.first is None or not value_of(self.first):
            return None
        return value_of(self.difference) / value_of(self.first) * 100

    @property
    def sign(self) -> int | None:
        """Which way it changed, 1 for more and -1 for less; 0 where no change is shown, None where nothing is told."""
        if self.word is Word.CANNOT_TELL or self.difference is None:
            return None
        if self.word is Word.NO_CHANGE:
            return 0
        return 1 if value_of(self.difference) > 0 else -1


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Two runs of one motor held against each other; `rebuilds` are those between them, the oldest first."""

    first: Run
    second: Run
    why: str
    rebuilds: tuple[Record, ...]
    conditions: Conditions
    changes: tuple[Change, ...]
    obstacles: tuple[Obstacle, ...]
    notes: tuple[str, ...]

    def change(self, name: str) -> Change:
        """The change of a quantity by its name, which is one of `COMPARED`."""
        return next(one for one in self.changes if one.quantity.name == name)

    @property
    def did(self) -> frozenset[str]:
        """The kinds of rebuild between the runs."""
        return frozenset(kind for rebuild in self.rebuilds for kind in rebuild.data["did"])


def compare(pair: Pair) -> Comparison:
    """Everything that two runs show of a motor: second against first, at common conditions."""
    first, second = pair.old, pair.new
    older, newer = sorted((first, second), key=lambda run: run.number)
    rebuilt = between(older, newer)
    did = frozenset(kind for rebuild in rebuilt for kind in rebuild.data["did"])
    conditions = common_conditions((first, second))
    at_first, at_second = levels_of(first, conditions), levels_of(second, conditions)
    obstacles = tuple(obstacles_between(at_first, at_second, did, conditions))
    return Comparison(
        first=first,
        second=second,
        why=pair.why,
        rebuilds=rebuilt,
        conditions=conditions,
        changes=tuple(
            change_of(
                one, at_first.by_name[one.name], at_second.by_name[one.name], (first.title, second.title), obstacles
            )
            for one in COMPARED
        ),
        obstacles=obstacles,
        notes=(*at_first.notes, *at_second.notes),
    )


def change_of(
    quantity: Compared, first: Level, second: Level, titles: tuple[str, str], obstacles: tuple[Obstacle, ...] = ()
) -> Change:
    """The change of one quantity. It is shown where it is larger than the blur of the difference, and only there."""
    if first.number is None or second.number is None:
        lacking = [
            f"{title}: add {', '.join(level.missing)}"
            for title, level in zip(titles, (first, second), strict=True)
            if level.missing
        ]
        reason = "; ".join(lacking) or "the supply voltage of the other run is not stated"
        return Change(quantity, first.number, second.number, None, None, None, Word.CANNOT_TELL, reason)
    difference = second.number - first.number
    hindered = next((one.message for one in obstacles if quantity.family in one.families), "")
    doubt = doubt_between(first, second, titles)
    if doubt:
        return Change(
            quantity, first.number, second.number, difference, None, None, Word.CANNOT_TELL, hindered or doubt
        )
    blur = blur_of(difference)
    apart = math.hypot(blur_of(first.number), blur_of(second.number))
    shares = shared_instruments(first, second)
    if hindered:
        return Change(
            quantity, first.number, second.number, difference, blur, apart, Word.CANNOT_TELL, hindered, shares
        )
    word = Word.CHANGED if abs(float(value_of(difference))) > blur else Word.NO_CHANGE
    return Change(quantity, first.number, second.number, difference, blur, apart, word, "", shares)


def doubt_between(first: Level, second: Level, titles: tuple[str, str]) -> str:
    """Why the blur of a difference is not known, in words; "" where it is."""
    for title, level in zip(titles, (first, second), strict=True):
        doubt = next((one.doubt for one in level.sources if one.doubt), "")
        if doubt:
            return f"{title}: {doubt}, so nobody knows how far the reading may be off"
    for one, other in _partners(first, second):
        if one.identity and one.identity == other.identity:
            continue
        vague = next((source for source in (one, other) if not source.accuracy_known), None)
        if vague is not None:
            name = vague.instrument or "one of the instruments"
            return f"the runs were read on different instruments, and the accuracy of {name} is not stated"
    return ""


def shared_instruments(first: Level, second: Level) -> tuple[str, ...]:
    """The instruments that all readings behind two levels share, none where one of them was read on another."""
    partners = _partners(first, second)
    if not all(one.identity and one.identity == other.identity for one, other in partners):
        return ()
    return tuple(dict.fromkeys(one.instrument for one, _ in partners))


def _partners(first: Level, second: Level) -> list[tuple[Recorded, Recorded]]:
    """Readings of the two that stand for the same thing; of sensors that differ in number, the first ones."""
    if len(first.sources) == len(second.sources):
        return list(zip(first.sources, second.sources, strict=True))
    return [(first.sources[0], second.sources[0])] if first.sources and second.sources else []
