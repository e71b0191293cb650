"""Numbers as options take them: what is expected, and what was probably meant by something else."""

from typing import Any, Final

import click

from speclint.commands.completion import ParamType

_LONGEST: Final = 9
"""Digits of the longest number that anybody means."""


class Quantity(ParamType[float]):
    """A finite number between two ends, the lower one left out where `above`; its unit tells what was meant by `5:30`."""

    name = "number"

    def __init__(self, low: float, high: float, *, above: bool = False, unit: str = "") -> None:
        self._low, self._high, self._above, self._unit = low, high, above, unit

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """The number that was written."""
        try:
            number = float(value)
        except ValueError:
            from speclint.structure.hints import of_number

            meant = of_number(str(value), self._unit)
            self.fail(f"{value} is not a number{f': {meant}' if meant else ''}", param, ctx)
        fits = self._low < number <= self._high if self._above else self._low <= number <= self._high
        if not fits:
            low = f"above {self._low:g}" if self._above else f"at least {self._low:g}"
            self.fail(f"{value} is not {low} and at most {self._high:g}", param, ctx)
        return number


class Count(ParamType[int]):
    """A whole number, 1 or more, up to a highest one where there is one, of what it counts."""

    name = "number"

    def __init__(self, what: str, highest: int | None = None) -> None:
        self._what, self._highest = what, highest

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        """The number that was written."""
        text = str(value).strip()
        number = int(text) if text.isascii() and text.isdecimal() and len(text) <= _LONGEST else 0
        if not 1 <= number <= (self._highest or number):
            bounds = f"1 to {self._highest}" if self._highest else "1 or more"
            self.fail(f"{value} is not {self._what}: write a whole number, {bounds}", param, ctx)
        return number
