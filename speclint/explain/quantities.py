"""The page of a quantity: everything that the registry knows of it, and an example that the engine worked out."""

from fractions import Fraction
from typing import Final

from speclint.explain.example import example_fact, snippet
from speclint.explain.page import Page, Section, said
from speclint.places import dotted
from speclint.quantities.keys import from_bench, keys_behind
from speclint.quantities.model import Given, Home, Input, Quantity, Sort, input_name
from speclint.quantities.rebuilds import REBUILDS
from speclint.quantities.registry import OPEN_PREFIXES, quantity
from speclint.quantities.working import working
from speclint.readings.digits import UNITS, plain_text, with_unit
from speclint.readings.exact import decimal_text, decimals_of
from speclint.readings.measured import Measured, value_of

_UNIT_NAMES: Final = {
    "g": "grams", "mm": "millimetres", "v": "volts", "a": "amperes", "c": "degrees Celsius", "deg": "degrees of angle",
    "mohm": "milliohms", "mah": "milliampere-hours", "percent": "percent", "rpm": "turns a minute",
    "rpm_per_v": "turns a minute for each volt", "dp": "diametral pitch", "teeth": "teeth", "turns": "turns",
    "cells": "cells", "days": "days",
}  # fmt: skip

_GIVEN: Final = {
    Given.REFERENCE_C: "the ruleset's reference temperature",
    Given.ENTRY_DATE: "the day of the entry",
    Given.BENCH_DATE: "the day of the newest bench run",
}

_HOMES: Final = {
    Home.SETUP: "in the setup",
    Home.MOTOR: "in the motor",
    Home.BENCH: "in the newest bench run",
    Home.SHEET: "in the factory sheet",
}


def quantity_page(known: Quantity) -> Page:
    """What a quantity means, where it comes from, and what to mind about it."""
    return Page(
        known.name,
        known.title,
        (
            said("meaning", known.about),
            said("unit", _unit(known)),
            _computed(known),
            _stands(known),
            said("usually", _usually(known)),
            said("measure", known.measure, _named_instrument(known)),
            _stale(known),
            said("rules", _limits(known)),
            said("source", known.source),
            said("caution", *known.cautions),
        ),
    )


def _unit(known: Quantity) -> str:
    name = _UNIT_NAMES.get(known.unit, "")
    sign = UNITS[known.unit].sign.strip()
    if known.name.startswith(OPEN_PREFIXES):
        return f"{name} ({sign}), as its ending says" if name else "none, as its name ends in none; text or a number"
    if not known.unit:
        return f"none: it is {known.sort.value}"
    return f"{name} ({sign})" if sign != name else name


def _computed(known: Quantity) -> Section:
    """The formula by the names of its inputs, then with the numbers of the example car put in."""
    if not known.formula_text:
        return said("computed", "")
    names = {input_name(one): _plain_name(one) for one in known.inputs}
    fact = example_fact(known.name)
    lines = working(fact, "" if fact.value is None else _value(fact.value, known))
    example = [line for line in lines if not line.startswith(("read on", "standard uncertainty"))]
    given = "the reference temperature is the ruleset's; here it is 20 °C" if Given.REFERENCE_C in known.inputs else ""
    raw = known.raw_formula_text.format_map(names)
    return said(
        "computed",
        known.formula_text.format_map(names),
        *(f"for example {line}" if i == 0 else line for i, line in enumerate(example)),
        given,
        f"where a rule says `uncorrected: true`: {raw}" if raw else "",
    )


def _plain_name(one: Input) -> str:
    if isinstance(one, Given):
        return _GIVEN[one].removeprefix("the ruleset's ")
    return input_name(one).replace("sheet_", "the sheet's ")


def _value(value: object, known: Quantity) -> str:
    if not isinstance(value, Fraction | Measured):
        return str(value)
    plain, most = value_of(value), 3 if known.sort is Sort.RATIO else 2
    own = decimals_of(plain)
    return with_unit(decimal_text(plain, most if own is None or own > most else own), known.unit)


def _stands(known: Quantity) -> Section:
    """The keys, and how they are written."""
    if known.name.startswith(OPEN_PREFIXES):
        prefix, _, key = known.name.partition(".")
        example = "1" if known.unit else "as the ruleset words it"
        if prefix == "extra":
            return Section("in a file", (f"`extra.{key}` in the setup",), lines=("extra:", f"  {key}: {example}"))
        lines = (
            "entries:",
            "  - ruleset: harbour-city",
            "    class: stock-17",
            "    on: 2026-03-14",
            f"    {key}: {example}",
        )
        return Section("in a file", (f"`{key}` in the entry",), lines=lines)
    keys = keys_behind(known)
    homes = dict.fromkeys(key.home for key in keys)
    named = _joined([
        f"{_joined([f'`{dotted(key.path)}`' for key in keys if key.home is home])} {_HOMES[home]}" for home in homes
    ])  # fmt: skip
    setup, motor = snippet(keys)
    where = ("The motor has a file of its own, or stands under `motor:` in the setup.",) if motor else ()
    return Section("in a file", (*((named,) if named else ()), *where), lines=(*setup, *motor))


def _joined(words: list[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else "".join(words)


def _usually(known: Quantity) -> str:
    if known.typical is None:
        return ""
    low, high = (plain_text(end) for end in known.typical)
    return f"{low} to {with_unit(high, known.unit)} in the trade; beyond that a slip of the pen is likely"


def _named_instrument(known: Quantity) -> str:
    if known.sort is not Sort.MEASURED or known.key is None or known.key.home not in (Home.SETUP, Home.MOTOR):
        return ""
    return (
        f"Name the instrument, and the uncertainty is counted: `{known.key.path[-1]}: {{value: {known.example},"
        " instrument: NAME}`, with NAME described under `instruments:`."
    )


def _stale(known: Quantity) -> Section:
    """The rebuilds after which a reading is no longer the motor's own."""
    if not (known.family and from_bench(known)):
        return said("stale", "")
    ending = [rebuild for rebuild in REBUILDS if known.family in rebuild.ends]
    return said("stale", *(f"after {rebuild.kind}: {rebuild.because}" for rebuild in ending))


def _limits(known: Quantity) -> str:
    """Which limits a rule can put on it."""
    if known.name.startswith(OPEN_PREFIXES):
        return "A rule can put any limit on it that suits what is stated: one of size asks for a number."
    if known.numeric:
        changed = quantity(known.edit) if known.edit else None
        mend = f" To change it, change the {changed.title}." if changed is not None else ""
        exact = (
            "It is exact, so it is compared exactly." if known.exact else "It is measured, so its uncertainty counts."
        )
        return f"{exact}{mend}"
    return "It has no size: a rule names the values that it may have."
