"""The nearest legal pinion and the nearest legal spur, where a rule on the gearing is broken."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from typing import Final

from speclint.models.cars import Car
from speclint.places import Path, Place
from speclint.quantities.facts import Facts
from speclint.readings.measured import Measured, value_of
from speclint.remedies.trial import changed_car
from speclint.rules.checks import Change, Check, Remedy, Verdict
from speclint.rules.judge import Rulebook, judge, judge_rule
from speclint.rules.wording import has, margin, title

GEARING: Final = frozenset({"final_drive_ratio", "spur_pinion_ratio", "rollout_mm", "tooth_sum"})
"""Quantities that another pinion or spur changes."""

_MOST_TEETH: Final = 60
"""How many teeth away another gear is looked for; no motor mount has room for more."""

_PINION: Final = ("pinion_teeth", "pinion", ("car", "pinion_teeth"))
_SPUR: Final = ("spur_teeth", "spur", ("car", "spur_teeth"))


def with_gear_changes(checks: tuple[Check, ...], book: Rulebook, car: Car, facts: Facts, entry: Place) -> tuple[Check, ...]:
    """The checks, where a rule on the gearing is broken with the nearest gears that would make it legal."""
    if not any(_wants_gears(check) for check in checks):
        return checks
    return tuple(
        replace(check, remedies=tuple(_gears(check, checks, book, car, facts, entry))) if _wants_gears(check) else check
        for check in checks
    )


def _wants_gears(check: Check) -> bool:
    return check.verdict is Verdict.ILLEGAL and check.rule.quantity in GEARING


def _gears(
    check: Check, checks: tuple[Check, ...], book: Rulebook, car: Car, facts: Facts, entry: Place
) -> Iterator[Remedy]:
    for name, word, path in (_PINION, _SPUR):
        fitted = facts.fact(name).value
        if isinstance(fitted, Fraction):
            found = _nearest(check, checks, book, car, facts, entry, path, int(fitted))
            if found is not None:
                teeth, after = found
                value = after.fact.value if after.fact is not None else None
                result = value_of(value) if isinstance(value, Fraction | Measured) else None
                yield Remedy(
                    (Change(car.setup.document.file, path, teeth),),
                    result,
                    f"{word} {teeth} instead of {int(fitted)}: {title(after)} {has(after)}, {margin(after)}",
                )


def _nearest(
    check: Check,
    checks: tuple[Check, ...],
    book: Rulebook,
    car: Car,
    facts: Facts,
    entry: Place,
    path: Path,
    fitted: int,
) -> tuple[int, Check] | None:
    """The number of teeth next to those fitted with which this rule is met and no other is newly broken."""
    broken = {one.rule.id for one in checks if one.verdict is Verdict.ILLEGAL}
    for step in range(1, _MOST_TEETH):
        for teeth in (fitted - step, fitted + step):
            if teeth < 1:
                continue
            trial = facts.of(changed_car(car, (Change(car.setup.document.file, path, teeth),)))
            after = judge_rule(check.rule, book, trial, entry)
            if after.verdict is Verdict.LEGAL and not any(
                one.verdict is Verdict.ILLEGAL and one.rule.id not in broken for one in judge(book, trial, entry)
            ):
                return teeth, after
    return None
