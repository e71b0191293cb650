"""Whether some car can meet rules together: their alternatives are tried, and relations narrow what is left."""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Final, NamedTuple

from speclint.advice.branches import Box, Boxes, Relation, Variable, plain
from speclint.advice.domains import ANYTHING, Domain, half_line, possible
from speclint.limits.decisions import Limits
from speclint.quantities.declared import Sum
from speclint.quantities.registry import quantity
from speclint.readings.measured import value_of
from speclint.readings.units import in_unit

MOST_BRANCHES: Final = 4_096
"""Alternatives that are tried; beyond, nothing is known."""

_ROUNDS: Final = 8
"""How often relations narrow what is left of each other."""


_MOST_NARROWED: Final = 200_000
"""Alternatives that are held against what is left, so that nobody waits for rules by the hundred."""

_MOST_IN_ALL: Final = 300_000
"""The same for all questions about one class."""

_MOST_OPEN: Final = 200
"""Rules with several alternatives that are looked at together."""


class _TooManyError(Exception):
    """More alternatives than are tried."""


_Left = dict[Variable, Domain]


class _Total(NamedTuple):
    """A sum and its parts, each with the factor of its unit in that of the sum."""

    variable: Variable
    parts: tuple[tuple[Variable, Fraction], ...]


class Effort:
    """How many alternatives may still be held against what is left, in all questions about one class together."""

    __slots__ = ("left",)

    def __init__(self) -> None:
        self.left = _MOST_IN_ALL


def is_satisfiable(rules: Sequence[Boxes], effort: Effort) -> bool | None:
    """Whether some car meets all rules, each given by its alternatives; None where that is not known."""
    if effort.left <= 0 or sum(len(boxes) > 1 for boxes in rules) > _MOST_OPEN:
        return None
    search = _Search()
    try:
        return search.meets({}, (), rules)
    except _TooManyError:
        return None
    finally:
        effort.left -= search.narrowed


class _Search:
    """Tries alternatives, of the rule with the fewest first."""

    def __init__(self) -> None:
        self._tried = 0
        self.narrowed = 0

    def meets(self, left: _Left, relations: tuple[Relation, ...], rules: Sequence[Boxes]) -> bool:
        """Whether some alternative of each rule is left together."""
        left, is_settled = dict(left), False
        while not is_settled:
            is_settled = True
            choices: list[list[tuple[Box, _Left]]] = []
            for boxes in rules:
                viable = self._viable(left, boxes)
                if not viable:
                    return False
                # What asks for nothing more than is left anyway needs no choice.
                if any(not narrowed and not box.relations for box, narrowed in viable):
                    continue
                if len(viable) > 1:
                    choices.append(viable)
                    continue
                (box, narrowed), is_settled = viable[0], False
                left.update(narrowed)
                relations = (*relations, *box.relations)
            rules = [tuple(box for box, _ in viable) for viable in choices]
        if not choices:
            return _is_possible(left, relations)
        fewest = min(range(len(choices)), key=lambda place: len(choices[place]))
        others = (*rules[:fewest], *rules[fewest + 1 :])
        for box, narrowed in choices[fewest]:
            self._tried += 1
            if self._tried > MOST_BRANCHES:
                raise _TooManyError
            if self.meets({**left, **narrowed}, (*relations, *box.relations), others):
                return True
        return False

    def _viable(self, left: _Left, boxes: Boxes) -> list[tuple[Box, _Left]]:
        self.narrowed += len(boxes)
        if self.narrowed > _MOST_NARROWED:
            raise _TooManyError
        return [(box, narrowed) for box in boxes if (narrowed := _narrowed(left, box)) is not None]


def _narrowed(left: _Left, box: Box) -> _Left | None:
    """What becomes smaller under an alternative; None where nothing would be left."""
    changed: _Left = {}
    for variable, domain in box.domains:
        before = changed.get(variable) or left.get(variable)
        after = (possible(quantity(variable[0])) if before is None else before).within(domain)
        if after.is_empty:
            return None
        if before is None or after != before:
            changed[variable] = after
    return changed


def _is_possible(left: _Left, relations: tuple[Relation, ...]) -> bool:
    """Whether relations, sums and gears leave something; what is left of one quantity alone is not empty."""
    left = dict(left)
    totals = tuple(_totals(left))
    for _ in range(_ROUNDS if relations or totals else 0):
        before = dict(left)
        for variable, narrower in _implied(left, relations, totals):
            left[variable] = left.get(variable, ANYTHING).within(narrower)
            if left[variable].is_empty:
                return False
        if left == before:
            break
    return has_gears({name: domain for name in GEARS if (domain := left.get(plain(name))) is not None})


def _implied(
    left: _Left, relations: tuple[Relation, ...], totals: Sequence[_Total]
) -> Iterator[tuple[Variable, Domain]]:
    """What follows for each side of a relation, and for each part of a sum, from the others."""
    for variable, is_least, compared, factor, shift, strict in relations:
        value, compared_value = left.get(variable, ANYTHING).hull, left.get(compared, ANYTHING).hull
        end, is_strict = compared_value.end(is_low=is_least)
        if end is not None:
            yield variable, half_line(factor * end + shift, is_low=is_least, is_strict=strict or is_strict)
        end, is_strict = value.end(is_low=not is_least)
        if end is not None:
            yield compared, half_line((end - shift) / factor, is_low=not is_least, is_strict=strict or is_strict)
    for total in totals:
        yield from _parts_of(total, left)


def _parts_of(total: _Total, left: _Left) -> Iterator[tuple[Variable, Domain]]:
    whole = left[total.variable].hull
    hulls = [(variable, factor, left.get(variable, ANYTHING).hull) for variable, factor in total.parts]
    for is_low in (True, False):
        ends = [hull.end(is_low=is_low)[0] for _, _, hull in hulls]
        sized = [end * factor for end, (_, factor, _) in zip(ends, hulls, strict=True) if end is not None]
        if len(sized) == len(hulls):
            yield total.variable, half_line(sum(sized, Fraction(0)), is_low=is_low)
        end_of_whole, _ = whole.end(is_low=not is_low)
        if end_of_whole is None:
            continue
        for place, (variable, factor, _) in enumerate(hulls):
            others = [
                end * part_factor
                for at, (end, (_, part_factor, _)) in enumerate(zip(ends, hulls, strict=True))
                if at != place and end is not None
            ]
            if len(others) == len(hulls) - 1:
                yield variable, half_line((end_of_whole - sum(others, Fraction(0))) / factor, is_low=not is_low)


def _totals(left: Mapping[Variable, Domain]) -> Iterator[_Total]:
    """The sums among some variables."""
    for variable in left:
        described = quantity(variable[0])
        if described is None or not isinstance(described.formula, Sum):
            continue
        # A part is taken on the terms of its sum.
        names = [part for part in described.inputs if isinstance(part, str)]
        factors = [_factor(unit, described.formula.unit) for unit in described.formula.units]
        yield _Total(
            variable, tuple(((name, *variable[1:]), factor) for name, factor in zip(names, factors, strict=True))
        )


def _factor(unit: str, wanted: str) -> Fraction:
    ends = (value_of(in_unit(Fraction(at), unit, wanted)) if unit != wanted else Fraction(at) for at in (1, 0))
    return next(ends) - next(ends)


GEARS: Final = ("spur_teeth", "pinion_teeth", "internal_ratio", "spur_pinion_ratio", "tooth_sum", "final_drive_ratio")
"""Quantities that a pair of gears ties together."""

_SPURS: Final = range(12, 201)
_PINIONS: Final = range(6, 81)
"""The gears that a car of this kind can have."""


def has_gears(left: Mapping[str, Domain]) -> bool:
    """Whether a pair of gears, with some internal ratio, lies within what is left of teeth and ratios."""
    if len(left) < 2:
        return True
    spurs, pinions = (
        [Fraction(count) for count in counts if name not in left or not _at(left[name], Fraction(count)).is_empty]
        for name, counts in (("spur_teeth", _SPURS), ("pinion_teeth", _PINIONS))
    )
    return any(_has_pair(spur, pinion, left) for spur in spurs for pinion in pinions)


def _at(domain: Domain, number: Fraction) -> Domain:
    return domain.within(Domain(is_number=True, low=number, high=number))


def _has_pair(spur: Fraction, pinion: Fraction, left: Mapping[str, Domain]) -> bool:
    ratio = spur / pinion
    for name, value in (("spur_pinion_ratio", ratio), ("tooth_sum", spur + pinion)):
        if name in left and not _lies_in(left[name].limits, value):
            return False
    drive, internal = left.get("final_drive_ratio"), left.get("internal_ratio")
    if drive is None or internal is None:
        return True
    hull = drive.hull
    return not internal.within(
        Domain(
            is_number=True,
            low=None if hull.low is None else hull.low / ratio,
            low_strict=hull.low_strict,
            high=None if hull.high is None else hull.high / ratio,
            high_strict=hull.high_strict,
        )
    ).is_empty


def _lies_in(limits: Limits | None, value: Fraction) -> bool:
    return limits is None or limits.met_by(value)
