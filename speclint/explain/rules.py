"""The pages of rules, classes and rulesets: what is asked on a day, who states it, and what changes later."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from speclint.explain.page import Page, Section, page_of, prose_section
from speclint.forms.bodies import LOOKS_PER, ToInspect
from speclint.forms.conditions import when_text
from speclint.forms.parts_lists import DayLists
from speclint.moments import day_text
from speclint.quantities.registry import quantity
from speclint.readings.exact import full_text
from speclint.reports import LAST_WORD
from speclint.rules.rulebook import rulebook
from speclint.rules.sentences import DOUBT, doubt_text, terms, waiver_text
from speclint.rules.wording import asked
from speclint.rulesets.library import Library
from speclint.rulesets.model import FlatClass, Rule, Ruleset
from speclint.rulesets.not_found import NotFound


@dataclass(frozen=True, slots=True)
class IndexedRuleset:
    """A ruleset among the others: the day that its pages are for, and what to say of that day."""

    ruleset: Ruleset
    library: Library
    on: date
    note: str


def ruleset_page(indexed: IndexedRuleset, other_versions: Iterable[Ruleset]) -> Page:
    """A ruleset with its classes."""
    ruleset, library = indexed.ruleset, indexed.library
    rows = [("class", "title")]
    for class_id in library.class_ids(ruleset):
        flat = library.flat(ruleset, class_id)
        rows.append((f"{ruleset.id}/{class_id}", flat.title if isinstance(flat, FlatClass) else flat.message))
    layers = library.layers(ruleset)
    below = [layers.message] if isinstance(layers, NotFound) else [layer.name for layer in layers[:-1]]
    return page_of(
        ruleset.name,
        ruleset.title,
        prose_section("about", str(ruleset.data.get("about", ""))),
        prose_section("in force", ruleset.in_force.text, indexed.note),
        prose_section("builds on", ", ".join(reversed(below))),
        Section("classes", table=tuple(rows)),
        prose_section("versions", ", ".join(f"{version.name} ({version.in_force.text})" for version in other_versions)),
        prose_section("stands in", ruleset.place.file),
        prose_section("source", str(ruleset.data.get("source", "")) or "the ruleset itself"),
    )


def class_page(indexed: IndexedRuleset, flat: FlatClass) -> Page:
    """A class with everything that it asks on the day."""
    book = rulebook(flat, indexed.on)
    rows = [("rule", "on", "asks", "clause")]
    rows += [(rule.id, subject(rule), asked(rule), rule.cite) for rule in book.rules]
    coming = [f"{_from(rule)}{rule.id}: {_ask(rule)}{rule.cite_behind}" for rule in book.later]
    return page_of(
        flat.label,
        f"{flat.title}, by {flat.ruleset.title} {flat.ruleset.version}",
        prose_section("on", day_text(indexed.on), indexed.note),
        Section("asks", table=tuple(rows)),
        prose_section("only", *(f"{rule.id}{_where(rule)}" for rule in book.rules if rule.when)),
        prose_section("later", *coming),
        prose_section("waived", *(_waiver(flat, rule) for rule in book.rules)),
        prose_section("decided", f"{flat.decision.value}. {DOUBT[flat.decision]} A rule may say otherwise."),
        prose_section("winding", f"resistances are taken at {full_text(flat.reference_c)} °C"),
        prose_section("source", f"{flat.ruleset.name}, {flat.ruleset.place.file}"),
        prose_section("mind", LAST_WORD),
    )


def rule_page(indexed: IndexedRuleset, flat: FlatClass, rule: Rule) -> Page:
    """A rule of a class: what it asks, why, how it is measured, who states it, and what changes later."""
    decision = rule.decision or flat.decision
    decider = "the rule's own" if rule.decision is not None else "the ruleset's"
    doubt = doubt_text(rule, flat)
    return page_of(
        f"{flat.label}/{rule.id}",
        f"{flat.title}, by {flat.ruleset.title} {flat.ruleset.version}",
        prose_section("asks", _ask(rule), f"only{_where(rule)}" if rule.when else "", *terms(rule, flat), *_listing(rule, flat, indexed.on)),
        prose_section("clause", rule.cite),
        prose_section("why", rule.because),
        prose_section("measured", rule.measure),
        prose_section("else", rule.penalty),
        prose_section("decided", f"{decision.value}, {decider}. {doubt}" if doubt else ""),
        prose_section("binds", _standing(rule, flat, indexed.on), indexed.note),
        prose_section("later", *(f"{_from(successor)}{successor.id} asks {_ask(successor)}{successor.cite_behind}" for successor in _successors(rule, flat, indexed.on))),
        prose_section("waived", _waiver(flat, rule)),
        prose_section("stated by", *_stated_by(rule, flat, indexed.library)),
        prose_section("quantity", *dict.fromkeys(f"`speclint explain {test.quantity}`" for test in rule.tests)),
        prose_section("source", f"{rule.place.file}:{rule.place.line}"),
        prose_section("mind", LAST_WORD),
    )  # fmt: skip


def withdrawn_page(indexed: IndexedRuleset, flat: FlatClass, rule: Rule, base: FlatClass | None) -> Page:
    """A rule that the ruleset takes out of a class that it builds on."""
    inherited = base.rule(rule.id) if base is not None else None
    was = f"{inherited.ruleset} asks here: {_ask(inherited)}{inherited.cite_behind}" if inherited is not None else ""
    return page_of(
        f"{flat.label}/{rule.id}",
        f"{flat.title}, by {flat.ruleset.title} {flat.ruleset.version}",
        prose_section("asks", f"nothing: {rule.ruleset} withdraws this rule, so it does not bind here", was),
        prose_section("clause", rule.cite),
        prose_section("why", rule.because),
        prose_section("on", indexed.note),
        prose_section("source", f"{rule.place.file}:{rule.place.line}"),
    )


def subject(rule: Rule) -> str:
    """What a rule is on, by the quantity's name for people."""
    limited = quantity(rule.quantity) if rule.quantity is not None else None
    return limited.title if limited is not None else ""


def _ask(rule: Rule) -> str:
    if rule.withdrawn:
        return "nothing: the rule is withdrawn"
    if isinstance(rule.body, ToInspect):
        return f"to look at{f' {LOOKS_PER[rule.per]}' if rule.per else ''}: {asked(rule)}"
    return f"{subject(rule)} {asked(rule)}".strip()


def _where(rule: Rule) -> str:
    return f" where {when_text(rule.when)}" if rule.when else ""


def _listing(rule: Rule, flat: FlatClass, on: date) -> Iterator[str]:
    """What stands on the lists that the rule names, in force on the day, and what does not count."""
    for test in rule.tests:
        yield from test.limit.listing(DayLists(flat.lists, on))


def _from(rule: Rule) -> str:
    return f"from {day_text(rule.period.start)} " if rule.period.start is not None else ""


def _standing(rule: Rule, flat: FlatClass, on: date) -> str:
    """Whether the rule binds on the day, and why not."""
    days = f" ({rule.period.text})" if rule.period.text else ""
    if any(bound.data is rule.data for bound in rulebook(flat, on).rules):
        return f"on {day_text(on)}{days}"
    if rule.period.start is not None and on < rule.period.start:
        return f"not yet on {day_text(on)}{days}"
    if rule.period.end is not None and on > rule.period.end:
        return f"no longer on {day_text(on)}{days}"
    successor = next((candidate for candidate in flat.rules if candidate.replaces == rule.id), None)
    return f"no longer on {day_text(on)}: {successor.id} has taken its place" if successor is not None else ""


def _successors(rule: Rule, flat: FlatClass, on: date) -> Iterator[Rule]:
    """The amendments that take the rule's place, one after the other, as far as they have yet to begin."""
    current, seen = rule, {rule.id}
    while True:
        following = next(
            (candidate for candidate in flat.rules if candidate.replaces == current.id and candidate.id not in seen),
            None,
        )
        if following is None:
            return
        if following.period.start is not None and following.period.start > on:
            yield following
        current = following
        seen.add(following.id)


def _waiver(flat: FlatClass, rule: Rule) -> str:
    waivers = [waiver for waiver in flat.waivers if waiver.rule == rule.id and waiver.class_id in (None, flat.id)]
    return "; ".join(map(waiver_text, waivers))


def _stated_by(rule: Rule, flat: FlatClass, library: Library) -> Iterator[str]:
    """Who states the rule, how that reaches the class, and what rule of another ruleset it takes the place of."""
    stacked = library.stack(flat.ruleset)
    stating = next((layer for layer in stacked if layer.id == rule.ruleset), flat.ruleset)
    if stating is flat.ruleset:
        yield f"{stating.name}, {stating.title}"
    else:
        yield f"{stating.name}, {stating.title}, which {flat.ruleset.id} builds on"
    if rule.replaces is not None:
        yield f"it amends {rule.replaces}"
    for layer in reversed(stacked[: stacked.index(stating)]):
        base = library.flat(layer, flat.id)
        inherited = None if isinstance(base, NotFound) else base.rule(rule.id)
        if inherited is not None:
            yield f"in place of {inherited.ruleset}'s rule, which asks {_ask(inherited)}{inherited.cite_behind}"
            return
