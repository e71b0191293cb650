"""The quantities that a ruleset declares, read from its text: what each is, and what cannot be so."""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from itertools import chain
from typing import Any

from speclint.documents.tree import Document
from speclint.places import Path
from speclint.plain import listed
from speclint.problems import Problem
from speclint.quantities.declared import NOTHING_DECLARED, Declared, QuantityName, Sum
from speclint.quantities.kinds import COUNT_KEY, KINDS, QUANTITIES_KEY, SUM_KEY, is_of_kind, takes
from speclint.quantities.model import NUMBER_SORTS, Quantity, Sort, input_name
from speclint.quantities.registry import OPEN_PREFIXES, open_key_path, quantity, title_of_key, unit_of_key
from speclint.quantities.trade_words import quantity_meant
from speclint.readings.digits import UNITS, with_unit
from speclint.readings.exact import exact
from speclint.readings.measured import value_of
from speclint.readings.units import in_unit, is_of_one_dimension
from speclint.rulesets.model import Ruleset


def declared_in(data: Mapping[str, Any], inherited: Declared) -> Declared:
    """What the data of a ruleset of valid shape declare, beside what it inherits: this alone."""
    keys = data.get(QUANTITIES_KEY)
    if not keys:
        return NOTHING_DECLARED
    stated = {
        name: QuantityName(_stated(name, of_name or {}, data["id"]))
        for name, of_name in keys.items()
        if not _is_derived(of_name)
    }
    reachable: Declared = {**inherited, **stated}
    derived = {
        name: QuantityName(_derived(name, of_name, data["id"], reachable))
        for name, of_name in keys.items()
        if _is_derived(of_name)
    }
    return {name: derived.get(name) or stated[name] for name in keys}


def inherited_by(layers: tuple[Ruleset, ...]) -> Declared:
    """What the rulesets declare that others build on, the first of all at the front."""
    declared: Declared = NOTHING_DECLARED
    for layer in layers:
        if QUANTITIES_KEY in layer.data:
            declared = {**declared, **declared_in(layer.data, declared)}
    return declared


def declaration_problems(document: Document, declared: Declared, inherited: Declared) -> Iterator[Problem]:
    """Why what a ruleset declares cannot be so, in the order of its text."""
    reachable: Declared = {**inherited, **declared}
    for name, quantity_name in declared.items():
        keys = document.get((QUANTITIES_KEY, name)) or {}
        path: Path = (QUANTITIES_KEY, name)
        described = quantity_name.quantity
        if name in inherited:
            message = f"{inherited[name].quantity.declared_by} declares {name} already, and this builds on it: leave it out here"
            yield Problem("quantity-unfit", message, document.place(path, of_key=True))
        of_parts = _in_sum(described, keys, reachable) if SUM_KEY in keys else ()
        of_count = _in_count(described, keys, reachable) if COUNT_KEY in keys else ()
        for steps, message in chain(_in_words(described, keys), of_parts, of_count):
            yield Problem("quantity-unfit", message, document.place((*path, *steps)))


def derived_stated(declared: Declared, document: Document, extra: Path, entry: Path) -> Iterator[Problem]:
    """The sums and counts that a car states, though they are worked out from what they are of.

    Args:
        declared: the quantities of the car's ruleset.
        document: the car's setup.
        extra: where its `extra:` stands.
        entry: where its entry stands.
    """
    for name, quantity_name in declared.items():
        described = quantity_name.quantity
        if not described.inputs:
            continue
        path = open_key_path(name, extra, entry)
        if document.get(path) is not None:
            does = "counts it from" if described.counts else "adds it up from"
            parts = " and ".join(map(str, described.inputs))
            message = f"{described.declared_by} {does} {parts}: leave {name} out, and state {'these' if described.formula else 'that'}"
            yield Problem("derived-stated", message, document.place(path, of_key=True))


_Misdeclared = Iterator[tuple[Path, str]]
"""Steps below a declaration, and why what stands there cannot be so."""


def _is_derived(keys: Mapping[str, Any] | None) -> bool:
    return keys is not None and (SUM_KEY in keys or COUNT_KEY in keys)


def _stated(name: str, keys: Mapping[str, Any], ruleset_id: str) -> Quantity:
    key = name.partition(".")[2]
    sort = KINDS[keys["kind"]]
    unit = keys.get("unit") or unit_of_key(key) if sort in NUMBER_SORTS else ""
    usual = keys.get("usual")
    choices = tuple(choice if isinstance(choice, str) else exact(choice) for choice in keys.get("choices") or ())
    typical = None if usual is None else (exact(usual[0]), exact(usual[1]))
    where = "the setup's `extra:`" if name.startswith("extra.") else "the entry"
    return Quantity(
        name=name, title=keys.get("title") or title_of_key(key, unit), sort=sort, unit=unit,
        about=keys.get("about") or f"What {where} states as `{key}`.", source=f"the ruleset {ruleset_id}",
        example=_example(keys, typical), lowest=None, typical=typical, measure=keys.get("measure", ""),
        declared_by=ruleset_id, choices=choices,
    )  # fmt: skip


def _example(keys: Mapping[str, Any], typical: tuple[Fraction, Fraction] | None) -> Any:
    if keys.get("choices"):
        return keys["choices"][0]
    if typical is None:
        return ""
    middle = sum(typical) / 2
    return int(middle) if KINDS[keys["kind"]] is Sort.COUNT else float(middle)


def _derived(name: str, keys: Mapping[str, Any], ruleset_id: str, declared: Declared) -> Quantity:
    described = _stated(name, keys, ruleset_id)
    if COUNT_KEY in keys:
        counted = declared.get(keys[COUNT_KEY], keys[COUNT_KEY])
        about = keys.get("about") or f"How many {counted} holds; an empty list is none."
        return described._replace(about=about, inputs=(counted,), counts=True)
    parts = tuple(declared.get(part, part) for part in keys[SUM_KEY])
    named = [quantity(part) for part in parts]
    units = tuple(described.unit if part is None else part.unit for part in named)
    titles = [part if of is None else of.title for part, of in zip(parts, named, strict=True)]
    return described._replace(
        typical=described.typical or _usual_sum(named, described.unit),
        about=keys.get("about") or f"The sum of {listed(titles)}.",
        inputs=parts,
        formula=Sum(units, described.unit),
        formula_text=" + ".join(f"{{{part}}}" for part in map(input_name, parts)),
    )


def _usual_sum(parts: list[Quantity | None], unit: str) -> tuple[Fraction, Fraction] | None:
    """What is usual for a sum whose parts all say what is usual for them, and can be added."""
    ends = [
        [value_of(in_unit(end, part.unit, unit)) for end in part.typical]
        for part in parts
        if part is not None and part.typical is not None and is_of_one_dimension(part.unit, unit)
    ]
    if len(ends) < len(parts):
        return None
    return sum((low for low, _ in ends), Fraction(0)), sum((high for _, high in ends), Fraction(0))


def _in_words(described: Quantity, keys: Mapping[str, Any]) -> _Misdeclared:
    ending = unit_of_key(described.name.partition(".")[2])
    is_number = described.sort in NUMBER_SORTS
    if "unit" in keys and not is_number:
        yield ("unit",), f"{described.name} is {described.sort.value}, which has no unit"
    elif "unit" in keys and ending and keys["unit"] != ending:
        yield ("unit",), f"{described.name} is in {UNITS[ending].sign.strip()} by its ending: leave `unit` out"
    usual = keys.get("usual")
    if usual is not None and (not is_number or usual[0] > usual[1]):
        message = (
            "what is usual is the lowest and the highest number" if is_number else f"{described.name} is no number"
        )
        yield ("usual",), message
    if keys.get("choices") and described.sort in (Sort.MEASURED, Sort.FLAG):
        yield ("choices",), f"{described.name} is {described.sort.value}, of which no choices can be listed"
        return
    plain = described._replace(choices=())
    for i, choice in enumerate(keys.get("choices") or ()):
        if not is_of_kind(choice, plain):
            yield ("choices", i), f"a value of {described.name} cannot be this: {takes(plain, choice)}"


def _in_sum(described: Quantity, keys: Mapping[str, Any], declared: Declared) -> _Misdeclared:
    parts = keys[SUM_KEY]
    named = [quantity(declared.get(part, part)) for part in parts]
    for i, (part, of) in enumerate(zip(parts, named, strict=True)):
        steps = (SUM_KEY, i)
        if of is None:
            yield steps, f"there is no quantity {part}{_meant(part, declared)}"
        elif part in parts[:i]:
            yield steps, f"{part} is a part of the sum already"
        elif _is_derived_one(of):
            yield steps, f"{part} is itself a sum or a count: name what is stated, or a quantity that is built in"
        elif not of.numeric:
            hint = f"declare it with a `kind`{_meant(part, declared)}" if not of.declared_by else "a sum takes numbers"
            yield steps, f"{part} is {of.sort.value}: {hint}"
        elif not is_of_one_dimension(of.unit, described.unit):
            units = [with_unit("1", unit) if unit else "no unit" for unit in (of.unit, described.unit)]
            yield (
                steps,
                f"{part} ({units[0]}) cannot be added to {described.name} ({units[1]}): it measures something else",
            )
    if described.sort not in NUMBER_SORTS or (described.sort is Sort.COUNT and _sorts(named) != {Sort.COUNT}):
        yield ("kind",), "a sum is measured, or a setting where all of its parts are exact, or a count of counts"
    elif described.exact and Sort.MEASURED in _sorts(named):
        part = next(part for part, of in zip(parts, named, strict=True) if of is not None and of.sort is Sort.MEASURED)
        yield ("kind",), f"{part} is measured, and so the sum is: write `kind: measured`"
    elif described.unit in ("c", "f"):
        yield (SUM_KEY,), "temperatures cannot be added: where their scale begins is by agreement"


def _sorts(named: list[Quantity | None]) -> set[Sort]:
    return {of.sort for of in named if of is not None}


def _in_count(described: Quantity, keys: Mapping[str, Any], declared: Declared) -> _Misdeclared:
    counted = keys[COUNT_KEY]
    of = quantity(declared.get(counted, counted))
    if not counted.startswith(OPEN_PREFIXES):
        yield (COUNT_KEY,), f"{counted} is no key that holds a list: name one as extra.KEY"
    elif of is not None and _is_derived_one(of):
        yield (COUNT_KEY,), f"{counted} is itself a sum or a count: name a key that is stated"
    if described.sort is not Sort.COUNT:
        yield ("kind",), "how many there are is a count: write `kind: count`"


def _is_derived_one(of: Quantity) -> bool:
    return bool(of.declared_by and of.inputs)


def _meant(name: str, declared: Declared) -> str:
    near = quantity_meant(name, declared)
    return f"; did you mean {near}?" if near else ""
