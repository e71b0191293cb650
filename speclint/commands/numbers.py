"""Numbers as options take them: what is expected, and what was probably meant by something else."""

from typing import Final

from speclint.commands.shell import Typed
from speclint.errors import UsageError

_LONGEST: Final = 9
"""Digits of the longest number that anybody means."""


def quantity(low: float, high: float, *, above: bool = False, unit: str = "") -> Typed[float]:
    """A finite number between two ends, the lower one left out where `above`; its unit tells what was meant by `5:30`."""

    def read(text: str) -> float:
        try:
            number = float(text)
        except ValueError as error:
            from speclint.structure.hints import of_number

            meant = of_number(text, unit)
            raise UsageError(f"{text} is not a number{f': {meant}' if meant else ''}") from error
        if not (low < number <= high if above else low <= number <= high):
            raise UsageError(f"{text} is not {'above' if above else 'at least'} {low:g} and at most {high:g}")
        return number

    return Typed("number", read)


def count(counted: str, highest: int | None = None) -> Typed[int]:
    """A whole number, 1 or more, up to a highest one where there is one, of what it counts."""

    def read(text: str) -> int:
        digits = text.strip()
        number = int(digits) if digits.isascii() and digits.isdecimal() and len(digits) <= _LONGEST else 0
        if not 1 <= number <= (highest or number):
            bounds = f"1 to {highest}" if highest else "1 or more"
            raise UsageError(f"{text} is not {counted}: write a whole number, {bounds}")
        return number

    return Typed("number", read)
