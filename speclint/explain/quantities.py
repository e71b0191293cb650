"""The page of a quantity: everything that the registry knows of it, and an example that the engine worked out."""

from typing import Final

from speclint.explain.example import example_fact, snippet
from speclint.explain.page import Page, Section, page_of, prose_section
from speclint.forms.words import words
from speclint.places import dotted
from speclint.plain import listed
from speclint.quantities.keys import from_bench, keys_behind
from speclint.quantities.model import Given, Home, Input, Quantity, Sort, input_name
from speclint.quantities.rebuilds import REBUILDS
from speclint.quantities.registry import OPEN_PREFIXES, quantity
from speclint.quantities.working import working
from speclint.readings.digits import UNITS, plain_text, with_unit
from speclint.readings.exact import decimal_text, decimals_of
from speclint.readings.measured import Number, value_of
from speclint.structure.topics import flow_text

_UNIT_NAMES: Final = {
    "g": "grams", "mm": "millimetres", "v": "volts", "a": "amperes", "c": "degrees Celsius", "deg": "degrees of angle",
    "mohm": "milliohms", "mah": "milliampere-hours", "percent": "percent", "rpm": "turns a minute",
    "rpm_per_v": "turns a minute for each volt", "dp": "diametral pitch", "teeth": "teeth", "turns": "turns",
    "cells": "cells", "days": "days", "kg": "kilograms", "lb": "pounds", "oz": "ounces", "cm": "centimetres",
    "in": "inches", "ft": "feet", "f": "degrees Fahrenheit",
}  # fmt: skip

_GIVEN: Final = {
    Given.REFERENCE_C: "the ruleset's reference temperature",
    Given.ENTRY_DATE: "the day of the entry",
    Given.BENCH_DATE: "the day of the newest bench run",
    Given.REBUILDS: "the motor's rebuilds",
}

_HOMES: Final = {
    Home.SETUP: "in the setup",
    Home.MOTOR: "in the motor",
    Home.BENCH: "in the newest bench run",
    Home.SHEET: "in the factory sheet",
}


def quantity_page(described: Quantity) -> Page:
    """What a quantity means, where it comes from, and what to mind about it."""
    return page_of(
        described.name,
        described.title,
        prose_section("meaning", described.about),
        prose_section("unit", _unit(described)),
        _computed(described),
        _stands(described),
        prose_section("usually", _usually(described)),
        prose_section("measure", described.measure, _named_instrument(described)),
        _stale(described),
        prose_section("rules", _limits(described)),
        prose_section("source", described.source),
        prose_section("caution", *described.cautions),
    )


def _unit(described: Quantity) -> str:
    name = _UNIT_NAMES.get(described.unit, "")
    sign = UNITS[described.unit].sign.strip()
    if described.is_open:
        return f"{name} ({sign}), as its ending says" if name else "none, as its name ends in none; text or a number"
    if not described.unit:
        return f"none: it is {words(described.choices) if described.choices else described.sort.value}"
    return f"{name} ({sign})" if sign != name else name


def _computed(described: Quantity) -> Section:
    """The formula by the names of its inputs, then with the numbers of the example car put in."""
    if described.declared_by:
        return prose_section("computed", " + ".join(str(part) for part in described.inputs if described.formula))
    if not described.formula_text:
        return prose_section("computed", "")
    names = {input_name(source): _plain_name(source) for source in described.inputs}
    fact = example_fact(described.name)
    lines = working(fact, "" if fact.value is None else _value(fact.value, described))
    example = [line for line in lines if not line.startswith(("read on", "standard uncertainty"))]
    reference_text = (
        "the reference temperature is the ruleset's; here it is 20 °C" if Given.REFERENCE_C in described.inputs else ""
    )
    raw = described.raw_formula_text.format_map(names)
    return prose_section(
        "computed",
        described.formula_text.format_map(names),
        *(f"for example {line}" if i == 0 else line for i, line in enumerate(example)),
        reference_text,
        f"where a rule says `uncorrected: true`: {raw}" if raw else "",
    )


def _plain_name(source: Input) -> str:
    if isinstance(source, Given):
        return _GIVEN[source].removeprefix("the ruleset's ")
    return input_name(source).replace("sheet_", "the sheet's ")


def _value(value: object, described: Quantity) -> str:
    if not isinstance(value, Number):
        return str(value)
    plain, most = value_of(value), 3 if described.sort is Sort.RATIO else 2
    decimals = decimals_of(plain)
    return with_unit(decimal_text(plain, most if decimals is None or decimals > most else decimals), described.unit)


def _stands(described: Quantity) -> Section:
    """The keys, and how they are written."""
    if described.name.startswith(OPEN_PREFIXES):
        return _open_keys(described)
    keys = keys_behind(described)
    homes = dict.fromkeys(key.home for key in keys)
    named = listed(
        f"{listed(f'`{dotted(key.path)}`' for key in keys if key.home is home)} {_HOMES[home]}" for home in homes
    )
    setup, motor = snippet(keys)
    where = ("The motor has a file of its own, or stands under `motor:` in the setup.",) if motor else ()
    return Section("in a file", (*((named,) if named else ()), *where), lines=(*setup, *motor))


def _open_keys(described: Quantity) -> Section:
    """The keys under `extra:` or in the entry; those of its parts, of a sum or a count."""
    stated = [name for name in described.inputs if isinstance(name, str)] or [described.name]
    by_home = {home: [_line(name) for name in stated if name.startswith(home)] for home in OPEN_PREFIXES}
    extra, entry = (["extra:", *by_home["extra."]] if by_home["extra."] else [], by_home["entry."])
    first = ["entries:", "  - ruleset: harbour-city", "    class: stock-17", "    on: 2026-03-14"] if entry else []
    homes = [_home(name) for name in stated]
    return Section("in a file", (listed(homes),), lines=(*extra, *first, *(f"  {line}" for line in entry)))


def _home(name: str) -> str:
    prefix, _, key = name.partition(".")
    if not key:
        return f"what `speclint explain {name}` names"
    return f"`{name}` in the setup" if prefix == "extra" else f"`{key}` in the entry"


def _line(name: str) -> str:
    """A key with a value that it could have."""
    of = quantity(name)
    key = name.partition(".")[2]
    if of is None or of.is_open or of.example == "":
        example = "1" if of is not None and of.unit else "as the ruleset words it"
        kinds = {Sort.FLAG: "true", Sort.COUNT: "2", Sort.SETTING: "1", Sort.MEASURED: "1"}
        return f"  {key}: {example if of is None or of.is_open else kinds.get(of.sort, example)}"
    return f"  {key}: {flow_text(of.example)}"


def _usually(described: Quantity) -> str:
    if described.typical is None:
        return ""
    low, high = (plain_text(end) for end in described.typical)
    where = f"by {described.source}" if described.declared_by else "in the trade"
    return f"{low} to {with_unit(high, described.unit)} {where}; beyond that a mistyped value is likely"


def _named_instrument(described: Quantity) -> str:
    if (
        described.sort is not Sort.MEASURED
        or described.key is None
        or described.key.home not in (Home.SETUP, Home.MOTOR)
    ):
        return ""
    return (
        f"Name the instrument, and the uncertainty is counted: `{described.key.path[-1]}: {{value: {described.example},"
        " instrument: NAME}`, with NAME described under `instruments:`."
    )


def _stale(described: Quantity) -> Section:
    """The rebuilds after which a reading is no longer the motor's own."""
    if not (described.family and from_bench(described)):
        return prose_section("stale", "")
    ending = [rebuild for rebuild in REBUILDS if described.family in rebuild.ends]
    return prose_section("stale", *(f"after {rebuild.kind}: {rebuild.because}" for rebuild in ending))


def _limits(described: Quantity) -> str:
    """Which limits a rule can put on it."""
    if described.is_open:
        return "A rule can put any limit on it that suits what is stated: one of size asks for a number."
    if described.numeric:
        changed = quantity(described.edit) if described.edit else None
        mend = f" To change it, change the {changed.title}." if changed is not None else ""
        exact = (
            "It is exact, so it is compared exactly."
            if described.exact
            else "It is measured, so its uncertainty counts."
        )
        return f"{exact}{mend}"
    return "It has no size: a rule names the values that it may have."
