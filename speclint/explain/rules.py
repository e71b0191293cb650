"""The pages of rules, classes and rulesets: what is asked on a day, who states it, and what changes later."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from speclint.explain.lists import allowed, tool
from speclint.explain.page import Page, Section, prose_section
from speclint.forms.bodies import LOOKS_PER, LimitTest, ToInspect
from speclint.forms.conditions import when_text
from speclint.forms.taken import taken_text
from speclint.limits.decisions import Decision
from speclint.moments import Period, day_text
from speclint.quantities.registry import quantity
from speclint.readings.exact import full_text
from speclint.rules.declared import declared_among, derived_text
from speclint.rules.rulebook import rulebook
from speclint.rules.wording import asked, size_text
from speclint.rulesets.library import Library
from speclint.rulesets.model import FlatClass, Rule, Ruleset
from speclint.rulesets.not_found import NotFound

_DECIDED = {
    Decision.AS_READ: "the value counts as it is read",
    Decision.MUST_SHOW: "the limit has to be met with the uncertainty counted",
    Decision.BENEFIT_OF_DOUBT: "the limit may be broken by the uncertainty, and no more",
}


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
    basis = library.layers(ruleset)
    below = [layer.name for layer in basis[:-1]] if isinstance(basis, tuple) else [basis.message]
    return Page(
        ruleset.name,
        ruleset.title,
        (
            prose_section("about", str(ruleset.data.get("about", ""))),
            prose_section("in force", _days(ruleset.in_force), indexed.note),
            prose_section("builds on", ", ".join(reversed(below))),
            Section("classes", table=tuple(rows)),
            prose_section(
                "versions", ", ".join(f"{version.name} ({_days(version.in_force)})" for version in other_versions)
            ),
            prose_section("stands in", ruleset.place.file),
            prose_section("source", str(ruleset.data.get("source", "")) or "the ruleset itself"),
        ),
    )


def class_page(indexed: IndexedRuleset, flat: FlatClass) -> Page:
    """A class with everything that it asks on the day."""
    book = rulebook(flat, indexed.on)
    rows = [("rule", "on", "asks", "clause")]
    rows += [(rule.id, subject(rule), asked(rule), rule.cite) for rule in book.rules]
    coming = [f"{_from(rule)}{rule.id}: {_ask(rule)}{_clause(rule)}" for rule in book.later]
    return Page(
        flat.label,
        f"{flat.title}, by {flat.ruleset.title} {flat.ruleset.version}",
        (
            prose_section("on", day_text(indexed.on), indexed.note),
            Section("asks", table=tuple(rows)),
            prose_section("only", *(f"{rule.id}{_where(rule)}" for rule in book.rules if rule.when)),
            prose_section("later", *coming),
            prose_section("waived", *(_waiver(flat, rule) for rule in book.rules)),
            prose_section("decided", f"{flat.decision.value}: {_DECIDED[flat.decision]}; a rule may say otherwise"),
            prose_section("winding", f"resistances are taken at {full_text(flat.reference_c)} °C"),
            prose_section("source", f"{flat.ruleset.name}, {flat.ruleset.place.file}"),
            prose_section(
                "mind", "The club's own text, the maker's instructions and the race director have the last word."
            ),
        ),
    )


def rule_page(indexed: IndexedRuleset, flat: FlatClass, rule: Rule) -> Page:
    """A rule of a class: what it asks, why, how it is measured, who states it, and what changes later."""
    decision = rule.decision or flat.decision
    decider = "the rule's own" if rule.decision is not None else "the ruleset's"
    tested = [quantity(test.quantity) for test in rule.tests]
    numeric = any(limited is not None and limited.numeric for limited in tested)
    return Page(
        f"{flat.label}/{rule.id}",
        f"{flat.title}, by {flat.ruleset.title} {flat.ruleset.version}",
        (
            prose_section("asks", _ask(rule), *_modifiers(rule), *_declared(rule), *allowed(rule, flat, indexed.on)),
            prose_section("clause", rule.cite),
            prose_section("why", rule.because),
            prose_section("measured", rule.measure, tool(rule, flat)),
            prose_section("else", rule.penalty),
            prose_section("decided", f"{decision.value}, {decider}: {_DECIDED[decision]}" if numeric else ""),
            prose_section("binds", _standing(rule, flat, indexed.on), indexed.note),
            prose_section("later", *(f"{_from(successor)}{successor.id} asks {_ask(successor)}{_clause(successor)}" for successor in _successors(rule, flat, indexed.on))),
            prose_section("waived", _waiver(flat, rule)),
            prose_section("stated by", *_stated_by(rule, flat, indexed.library)),
            prose_section("quantity", *dict.fromkeys(f"`speclint explain {test.quantity}`" for test in rule.tests)),
            prose_section("source", f"{rule.place.file}:{rule.place.line}"),
            prose_section("mind", "The club's own text and the race director have the last word."),
        ),
    )  # fmt: skip


def withdrawn_page(indexed: IndexedRuleset, flat: FlatClass, rule: Rule, base: FlatClass | None) -> Page:
    """A rule that the ruleset takes out of a class that it builds on."""
    inherited = (
        next((candidate for candidate in base.rules if candidate.id == rule.id), None) if base is not None else None
    )
    was = f"{inherited.ruleset} asks here: {_ask(inherited)}{_clause(inherited)}" if inherited is not None else ""
    return Page(
        f"{flat.label}/{rule.id}",
        f"{flat.title}, by {flat.ruleset.title} {flat.ruleset.version}",
        (
            prose_section("asks", f"nothing: {rule.ruleset} withdraws this rule, so it does not bind here", was),
            prose_section("clause", rule.cite),
            prose_section("why", rule.because),
            prose_section("on", indexed.note),
            prose_section("source", f"{rule.place.file}:{rule.place.line}"),
        ),
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
    if not rule.when:
        return ""
    return f" where {when_text(rule.when)}"


def _modifiers(rule: Rule) -> Iterator[str]:
    if rule.when:
        yield f"only{_where(rule)}"
    yield from dict.fromkeys(text for test in rule.tests for text in _terms(test))


def _declared(rule: Rule) -> Iterator[str]:
    """What the ruleset declares of the quantities that the rule names."""
    return filter(None, map(derived_text, declared_among(rule.named)))


def _terms(test: LimitTest) -> Iterator[str]:
    if test.read_to is not None:
        yield f"the value is first read to {size_text(test, test.read_to)}, halves away from zero"
    if test.taken:
        yield f"only a reading counts that was {taken_text(test.taken)}"
    if test.reference_c is not None:
        yield f"the winding is taken at {full_text(test.reference_c)} °C"
    if test.uncorrected:
        yield "the raw reading is judged, without a correction to the reference temperature"


def _clause(rule: Rule) -> str:
    return f" ({rule.cite})" if rule.cite else ""


def _from(rule: Rule) -> str:
    return f"from {day_text(rule.period.start)} " if rule.period.start is not None else ""


def _days(period: Period) -> str:
    start = f"from {day_text(period.start)}" if period.start is not None else ""
    end = f"until {day_text(period.end)}" if period.end is not None else ""
    return f"{start} {end}".strip()


def _standing(rule: Rule, flat: FlatClass, on: date) -> str:
    """Whether the rule binds on the day, and why not."""
    days = f" ({_days(rule.period)})" if _days(rule.period) else ""
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
    return "; ".join(
        f"{rule.id}{f' where {when_text(waiver.when)}' if waiver.when else ''}{f', {_days(waiver.period)}' if _days(waiver.period) else ''}"
        f"{f' ({waiver.granted})' if waiver.granted else ''}"
        for waiver in waivers
    )


def _stated_by(rule: Rule, flat: FlatClass, library: Library) -> Iterator[str]:
    """Who states the rule, how that reaches the class, and what rule of another ruleset it takes the place of."""
    layers = library.layers(flat.ruleset)
    stacked = layers if isinstance(layers, tuple) else (flat.ruleset,)
    stating = next((layer for layer in stacked if layer.id == rule.ruleset), flat.ruleset)
    if stating is flat.ruleset:
        yield f"{stating.name}, {stating.title}"
    else:
        yield f"{stating.name}, {stating.title}, which {flat.ruleset.id} builds on"
    if rule.replaces is not None:
        yield f"it amends {rule.replaces}"
    for layer in reversed(stacked[: stacked.index(stating)]):
        base = library.flat(layer, flat.id)
        inherited = (
            None
            if isinstance(base, NotFound)
            else next((candidate for candidate in base.rules if candidate.id == rule.id), None)
        )
        if inherited is not None:
            yield f"in place of {inherited.ruleset}'s rule, which asks {_ask(inherited)}{_clause(inherited)}"
            return
