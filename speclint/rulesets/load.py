"""A validated ruleset document as a ruleset, with the problems that its shape alone cannot show."""

from collections.abc import Callable, Iterator
from datetime import date
from fractions import Fraction
from typing import Any, Final

from speclint.documents.tree import Document
from speclint.limits.decisions import Decision, Limits
from speclint.limits.forms import Inspect, Limit, ListedFor, ListedIn, NoneOf, OneOf, Size, Stated
from speclint.models.instruments import instruments_of
from speclint.places import Path
from speclint.problems import Problem
from speclint.quantities.model import Quantity, Sort
from speclint.quantities.registry import BY_NAME, OPEN_PREFIXES, quantity
from speclint.readings.digits import plain_text
from speclint.readings.exact import exact
from speclint.rulesets.model import ClassRules, Example, ListItem, PartsList, Period, Rule, Ruleset, Scalar, Waiver
from speclint.spelling import nearest

_SIZE_KEYS: Final = frozenset({"at_least", "at_most", "above", "below", "between", "nominal"})


def ruleset_of(document: Document) -> tuple[Ruleset, tuple[Problem, ...]]:
    """The ruleset that a document of valid shape states, and what is wrong with it all the same."""
    data = document.data
    problems: list[Problem] = []
    classes = {
        class_id: _class(document, class_id, keys, data["id"], problems) for class_id, keys in data["classes"].items()
    }
    in_force = _period(document, ("in_force",), data["in_force"], problems)
    based_on, _, based_on_version = (data.get("based_on") or "").partition("@")
    reference = data.get("reference_temperature_c")
    ruleset = Ruleset(
        id=data["id"],
        title=data.get("title") or data["id"],
        version=data["version"],
        in_force=in_force,
        published=_day(data.get("published")),
        based_on=(based_on, based_on_version or None) if based_on else None,
        reference_c=None if reference is None else exact(reference),
        decision=_decision(data.get("decision")),
        instruments=instruments_of(data.get("instruments")),
        classes=classes,
        lists={
            list_id: _list(document, list_id, keys, problems) for list_id, keys in (data.get("lists") or {}).items()
        },
        waivers=tuple(_waiver(document, i, keys, problems) for i, keys in enumerate(data.get("waivers") or ())),
        examples=tuple(_example(i, keys) for i, keys in enumerate(data.get("examples") or ())),
        data=data,
        place=document.place(("id",)),
    )
    return ruleset, tuple(problems)


def _class(
    document: Document, class_id: str, keys: dict[str, Any], ruleset_id: str, problems: list[Problem]
) -> ClassRules:
    path: Path = ("classes", class_id)
    rules: dict[str, Rule] = {}
    for i, rule_keys in enumerate(keys.get("rules") or ()):
        rule_path = (*path, "rules", i)
        rule = _rule(document, rule_path, rule_keys, ruleset_id, problems)
        if rule.id in rules:
            first = rules[rule.id].place.line
            problems.append(
                Problem(
                    "same-rule",
                    f"the class {class_id} has a rule {rule.id} already, on line {first}; give this one an id of its"
                    " own, and `replaces` with a `from` date if it amends the first",
                    document.place((*rule_path, "id")),
                )
            )
        else:
            rules[rule.id] = rule
    return ClassRules(
        class_id, keys.get("title") or class_id, keys.get("based_on"), tuple(rules.values()), document.place(path)
    )


def _rule(document: Document, path: Path, keys: dict[str, Any], ruleset_id: str, problems: list[Problem]) -> Rule:
    name = keys.get("quantity")
    found = None if name is None else _known_quantity(document, (*path, "quantity"), name, problems)
    limit = _limit(document, path, keys)
    if found is not None and limit is not None:
        problems.extend(_misfits(document, path, keys, found, limit))
    when = []
    for condition, allowed in sorted((keys.get("when") or {}).items()):
        _known_quantity(document, (*path, "when", condition), condition, problems, of_key=True)
        when.append((condition, _scalars(allowed)))
    if isinstance(limit, ListedFor):
        _known_quantity(document, (*path, "listed_for", "item"), limit.item, problems)
    read_to = keys.get("read_to")
    return Rule(
        id=keys["id"],
        quantity=name,
        limit=limit,
        when=tuple(when),
        period=_period(document, path, keys, problems),
        replaces=keys.get("replaces"),
        withdrawn=keys.get("withdrawn", False),
        read_to=None if read_to is None else exact(read_to),
        uncorrected=keys.get("uncorrected", False),
        decision=_decision(keys.get("decision")),
        instrument=keys.get("instrument"),
        cite=keys.get("cite", ""),
        because=keys.get("because", ""),
        measure=keys.get("measure", ""),
        penalty=keys.get("penalty", ""),
        published=_day(keys.get("published")),
        place=document.place((*path, "id")),
        ruleset=ruleset_id,
        data=keys,
    )


def _known_quantity(
    document: Document, path: Path, name: str, problems: list[Problem], *, of_key: bool = False
) -> Quantity | None:
    found = quantity(name)
    if found is None:
        near = nearest(name, BY_NAME)
        hint = (
            f"did you mean {near}?" if near else f"for anything else, name a key of the setup as {OPEN_PREFIXES[0]}KEY"
        )
        problems.append(
            Problem("unknown-quantity", f"there is no quantity {name}: {hint}", document.place(path, of_key=of_key))
        )
    return found


def _limit(document: Document, path: Path, keys: dict[str, Any]) -> Limit | None:
    def places(*steps: str | int) -> int:
        return _places(document.written((*path, *steps)))

    if not _SIZE_KEYS.isdisjoint(keys):
        return _size(keys, places)
    if "equals" in keys:
        value = _scalar(keys["equals"])
        if isinstance(value, Fraction):
            return Size(Limits(low=value, high=value), places("equals"), nominal=value)
        return OneOf((value,))
    for key, form in (("one_of", OneOf), ("none_of", NoneOf)):
        if key in keys:
            return form(_scalars(keys[key]))
    if "listed_in" in keys:
        return ListedIn(keys["listed_in"])
    if "listed_for" in keys:
        for_ = keys["listed_for"]
        return ListedFor(for_["list"], for_["item"], for_["under"])
    if "inspect" in keys:
        return Inspect(keys["inspect"])
    return Stated() if keys.get("stated") else None


def _size(keys: dict[str, Any], places: Callable[..., int]) -> Size:
    if "nominal" in keys:
        tolerance = keys["tolerance"]
        nominal = exact(keys["nominal"])
        if "percent" in tolerance:
            half = abs(nominal) * exact(tolerance["percent"]) / 100
            plus = minus = half
            text = f"± {tolerance['percent']} %"
            written = places("nominal")
        else:
            plus, minus = exact(tolerance["plus"]), exact(tolerance["minus"])
            above, below = plain_text(plus), plain_text(minus)
            text = f"± {above}" if plus == minus else f"+ {above} − {below}"
            written = max(places("nominal"), *(places("tolerance", side) for side in ("plus", "minus")))
        return Size(Limits(low=nominal - minus, high=nominal + plus), written, nominal=nominal, tolerance=text)
    if "between" in keys:
        low, high = keys["between"]
        return Size(Limits(low=exact(low), high=exact(high)), max(places("between", 0), places("between", 1)))
    low = keys.get("at_least", keys.get("above"))
    high = keys.get("at_most", keys.get("below"))
    bounds = Limits(
        low=None if low is None else exact(low),
        high=None if high is None else exact(high),
        low_strict="above" in keys,
        high_strict="below" in keys,
    )
    return Size(bounds, max(places(key) for key in ("at_least", "above", "at_most", "below") if key in keys))


def _misfits(document: Document, path: Path, keys: dict[str, Any], found: Quantity, limit: Limit) -> Iterator[Problem]:
    """Limits that no value can meet, or that are put on a quantity they do not suit."""
    is_open = found.name.startswith(OPEN_PREFIXES)
    if isinstance(limit, Size):
        bounds = limit.bounds
        size_key = next(key for key in (*keys,) if key in _SIZE_KEYS or key == "equals")
        if not found.numeric and not is_open:
            yield Problem(
                "limit-unfit",
                f"{found.name} is {found.sort.value}, which has no size: use one_of, none_of, equals or listed_in"
                f" where this rule says {size_key}",
                document.place((*path, size_key), of_key=True),
            )
        if bounds.low is not None and bounds.high is not None:
            empty = bounds.low > bounds.high or (
                bounds.low == bounds.high and (bounds.low_strict or bounds.high_strict)
            )
            if empty:
                yield Problem(
                    "limit-contradicts",
                    f"no value can meet this limit: it would have to be {_side(bounds.low, bounds.low_strict, 'low')}"
                    f" and {_side(bounds.high, bounds.high_strict, 'high')}",
                    document.place((*path, size_key), of_key=True),
                )
    elif isinstance(limit, ListedIn) and not is_open and found.sort is not Sort.TEXT:
        yield Problem(
            "limit-unfit",
            f"{found.name} is {found.sort.value}, and the items of a list are texts, so it is never one of them",
            document.place((*path, "listed_in"), of_key=True),
        )
    elif isinstance(limit, OneOf | NoneOf) and not is_open:
        wanted = Fraction if found.numeric else bool if found.sort is Sort.FLAG else str
        key = next(key for key in ("one_of", "none_of", "equals") if key in keys)
        for value in limit.values:
            if not isinstance(value, wanted):
                yield Problem(
                    "limit-unfit",
                    f"{found.name} is {found.sort.value}; {_shown(value)} is not, so nothing can be equal to it",
                    document.place((*path, key)),
                )


def _side(value: Fraction, strict: bool, which: str) -> str:
    words = {("low", False): "at least", ("low", True): "above", ("high", False): "at most", ("high", True): "below"}
    return f"{words[which, strict]} {plain_text(value)}"


def _shown(value: Scalar) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    return plain_text(value) if isinstance(value, Fraction) else f'"{value}"'


def _list(document: Document, list_id: str, keys: dict[str, Any], problems: list[Problem]) -> PartsList:
    items = tuple(
        ListItem(
            item["id"],
            _period(document, ("lists", list_id, "items", i), item, problems),
            _day(item.get("published")),
            {key: _scalars(value) for key, value in item.items() if key not in ("id", "from", "until", "published")},
        )
        for i, item in enumerate(keys.get("items") or ())
    )
    return PartsList(list_id, _day(keys.get("frozen_on")), items)


def _waiver(document: Document, index: int, keys: dict[str, Any], problems: list[Problem]) -> Waiver:
    path: Path = ("waivers", index)
    period = _period(document, path, keys, problems)
    return Waiver(
        keys["rule"], keys.get("class"), keys.get("serial"), period, keys.get("granted", ""), document.place(path)
    )


def _example(index: int, keys: dict[str, Any]) -> Example:
    return Example(
        keys.get("about", f"example {index + 1}"),
        keys["class"],
        date.fromisoformat(keys["on"]),
        keys.get("setup") or {},
        keys.get("entry") or {},
        keys["expect"],
        index,
    )


def _period(document: Document, path: Path, keys: dict[str, Any], problems: list[Problem]) -> Period:
    period = Period(_day(keys.get("from")), _day(keys.get("until")))
    if period.start is not None and period.end is not None and period.start > period.end:
        problems.append(
            Problem(
                "dates-out-of-order",
                f"this ends on {period.end}, before it begins on {period.start}",
                document.place((*path, "until")),
            )
        )
    return period


def _day(text: str | None) -> date | None:
    return None if text is None else date.fromisoformat(text)


def _decision(text: str | None) -> Decision | None:
    return None if text is None else Decision(text)


def _scalar(value: Any) -> Scalar:
    return value if isinstance(value, str | bool) else exact(value)


def _scalars(value: Any) -> tuple[Scalar, ...]:
    return tuple(_scalar(item) for item in value) if isinstance(value, list) else (_scalar(value),)


def _places(written: str) -> int:
    """Decimals that the rulebook writes: `4.20` has two."""
    digits = written.partition(".")[2]
    return len(digits) if digits.isdecimal() else 0
