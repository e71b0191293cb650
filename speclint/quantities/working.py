"""How a value came about: its formula with the numbers put in, and what an instrument or a temperature did to it."""

from collections.abc import Sequence
from fractions import Fraction
from typing import Any, Final

from speclint.copper import K_COPPER
from speclint.models.bench import FactorySheet, Measurement
from speclint.moments import day_text
from speclint.quantities.facts import Fact, Value
from speclint.quantities.model import Given, Input, Key, input_name
from speclint.quantities.registry import quantity, unit_of_key
from speclint.readings.digits import plain_text, reading_text, supported_places, with_unit
from speclint.readings.exact import decimal_text, decimals_of, exact
from speclint.readings.measured import Measured, Number, value_of

_BARE_UNITS: Final = frozenset({"", "teeth", "cells", "mohm", "c"})
"""Units that go without saying in a formula."""


def working(fact: Fact, result: str) -> tuple[str, ...]:
    """The lines that explain a fact, given its value as it is printed elsewhere; none where it was simply stated."""
    lines: list[str] = []
    computed = fact.quantity
    if fact.value is not None:
        lines.extend(fact.notes)
    if computed.formula_text and fact.inputs and fact.value is not None:
        lines.append(f"{_put_in(fact)} = {result}")
        corrected = _correction(fact)
        if corrected:
            lines.append(corrected)
    if fact.record is not None and fact.value is not None:
        lines.append(f"read on {_record_name(fact.record)}")
    if isinstance(fact.value, Measured):
        lines.append(_blur(fact.value, computed.unit))
    return tuple(lines)


def _put_in(fact: Fact) -> str:
    """The formula with its numbers put in; what is itself computed stands as its own formula, in brackets."""
    inner = {inner_fact.quantity.name: f"({_put_in(inner_fact)})" for inner_fact in fact.inner}
    shown = {
        input_name(quantity_input): inner.get(input_name(quantity_input)) or _text(quantity_input, value)
        for quantity_input, value in fact.inputs
    }
    text = fact.quantity.raw_formula_text if fact.uncorrected else fact.quantity.formula_text
    return text.format_map(shown)


def _text(quantity_input: Input, value: Value | None) -> str:
    if isinstance(quantity_input, str):
        input_quantity = quantity(quantity_input)
        unit = input_quantity.unit if input_quantity is not None else ""
    elif isinstance(quantity_input, Key):
        unit = unit_of_key(str(quantity_input.path[-1]))
    else:
        unit = "c" if quantity_input is Given.REFERENCE_C else ""
    return _value_text(value, unit)


def _value_text(value: Any, unit: str) -> str:
    if isinstance(value, tuple):
        return ", ".join(_value_text(item, unit) for item in value)
    if isinstance(value, Fraction) and decimals_of(value) is None:
        # A ratio that was written by its teeth: no decimal says it.
        return f"({value.numerator} ÷ {value.denominator})"
    if isinstance(value, Number):
        bare = plain_text(value_of(value))
        return bare if unit in _BARE_UNITS else with_unit(bare, unit)
    return ("no", "yes")[value] if isinstance(value, bool) else str(value)


def _correction(fact: Fact) -> str:
    """From which temperature a resistance was corrected, by how much, and with which constant."""
    given = {input_name(quantity_input): value for quantity_input, value in fact.inputs}
    reference, warm = given.get("reference_c"), given.get("winding_c")
    if not isinstance(reference, Fraction) or not isinstance(warm, Number):
        return ""
    if "sheet_winding_c" in given:
        return f"both at {reading_text(reference, 'c')} for copper (k = {K_COPPER}, IEC 60034-1)"
    factor = (K_COPPER + reference) / (K_COPPER + value_of(warm))
    change = (factor - 1) * 100
    sign = "+" if change > 0 else ""
    became = ""
    if isinstance(fact.value, Number):
        after = value_of(fact.value if fact.unrounded is None else fact.unrounded)
        became = f" {decimal_text(after / factor, 2)} → {with_unit(decimal_text(after, 2), fact.quantity.unit)},"
    return (
        f"corrected from {reading_text(warm, 'c')} to {reading_text(reference, 'c')}:{became}"
        f" {sign}{decimal_text(change, 2)} % (copper, k = {K_COPPER}, IEC 60034-1)"
    )


def _record_name(record: Measurement) -> str:
    return "the factory sheet" if isinstance(record, FactorySheet) else f"the bench run of {day_text(record.when.day)}"


def _blur(value: Measured, unit: str) -> str:
    """Where the ± comes from: the parts of its square, the largest first, which make up the whole (JCGM 100, 5.1.2).

    Like parts of several readings count as one, and what is less than half a percent goes unsaid.
    """
    squares: dict[str, float] = {}
    for influence, part in value.budget():
        influence_words = influence.what.partition(" in ")[0]
        influence_words = "scatter of the readings" if influence_words.startswith("scatter") else influence_words
        squares[influence_words] = squares.get(influence_words, 0.0) + part * part
    total = sum(squares.values())
    if not total:
        return ""
    largest_first = sorted(squares.items(), key=lambda share: -share[1])
    told = [influence_words for influence_words, square in largest_first if square >= total / 200]
    if len(told) < 2:
        parts = [largest_first[0][0]]
    else:
        shares = shares_of_hundred([squares[influence_words] for influence_words in told])
        parts = [f"{influence_words} {share} %" for influence_words, share in zip(told, shares, strict=True)]
    places = supported_places(value.expanded())
    expanded = with_unit(decimal_text(exact(value.expanded()), places), unit)
    return f"± {expanded} is from {', '.join(parts)}"


def shares_of_hundred(parts: Sequence[float]) -> list[int]:
    """Parts as whole percents of their sum that make up a hundred: what rounding down leaves goes to the largest remainders."""
    total = sum(parts)
    exact_shares = [100 * part / total for part in parts]
    shares = [int(share) for share in exact_shares]
    by_remainder = sorted(range(len(parts)), key=lambda i: (shares[i] - exact_shares[i], i))
    for i in by_remainder[: 100 - sum(shares)]:
        shares[i] += 1
    return shares
