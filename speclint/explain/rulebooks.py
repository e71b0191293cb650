"""How `RULESET[@VERSION][/CLASS[/RULE]]` is found among the rulesets, and for which day it is explained."""

from datetime import date

from speclint.errors import UsageError
from speclint.explain.page import Page
from speclint.explain.quantities import quantity_page
from speclint.explain.rules import IndexedRuleset, class_page, rule_page, ruleset_page, withdrawn_page
from speclint.moments import day_text
from speclint.rulesets.model import FlatClass, Rule, Ruleset
from speclint.spelling import known_words
from speclint.workspace.ruleset_index import RulesetIndex


def rulebook_names(index: RulesetIndex) -> tuple[str, ...]:
    """Every class of every ruleset as `RULESET/CLASS`, in order."""
    names = {f"{ruleset.id}/{class_id}" for ruleset in index.rulesets for class_id in index.library.class_ids(ruleset)}
    return tuple(sorted(names))


def declared_pages(name: str, index: RulesetIndex) -> tuple[Page, ...]:
    """The page of a quantity that rulesets declare, by its name or its title: one for each way in which they do."""
    declared = [of.quantity for ruleset in index.rulesets for of in ruleset.quantities.values()]
    meant = [described for described in declared if name in (described.name, described.title)]
    return tuple(quantity_page(described) for described in dict.fromkeys(meant))


def rulebook_page(name: str, index: RulesetIndex, on: date) -> Page | None:
    """The page of a ruleset, a class or a rule; None where no ruleset has the name's first part, and it has no other.

    Raises:
        FileProblemsError: the ruleset has problems of its own.
        UsageError: the ruleset has no such version or class, or the class no such rule; or no ruleset of this id was
            found, though the name has more parts than one.
    """
    reference, *parts = name.split("/")
    id_, _, version = reference.partition("@")
    versions = sorted((ruleset for ruleset in index.rulesets if ruleset.id == id_), key=_begins)
    if not versions:
        if not parts:
            return None
        index.refuse_broken(id_)
        raise UsageError(f"there is no ruleset {id_}{known_words(id_, index.library.ids)}")
    if version and version not in {ruleset.version for ruleset in versions}:
        version_list = ", ".join(ruleset.version for ruleset in versions)
        raise UsageError(f"there is no version {version} of {id_}; known: {version_list}")
    indexed = _shelved(versions, version or None, index, on)
    if not parts:
        return ruleset_page(indexed, (ruleset for ruleset in versions if ruleset is not indexed.ruleset))
    class_id, rule_id = parts[0], "/".join(parts[1:])
    flat = index.class_of(indexed.ruleset, class_id)
    return class_page(indexed, flat) if not rule_id else _rule_page(indexed, flat, rule_id)


def _shelved(versions: list[Ruleset], version: str | None, index: RulesetIndex, on: date) -> IndexedRuleset:
    """The version in force on the day, else the one that was asked for or the newest, on the day nearest to it."""
    in_force = index.library.in_force(versions[0].id, version, on, None)
    if isinstance(in_force, Ruleset):
        return IndexedRuleset(in_force, index.library, on, "")
    newest = next(
        (ruleset for ruleset in reversed(versions) if version is None or ruleset.version == version), versions[-1]
    )
    period = newest.in_force
    start, end = period.start or on, period.end or on
    day, day_name = (start, "first") if on < start else (end, "last")
    subject = "no version is" if version is None else f"version {newest.version} is not"
    note = f"{subject} in force on {day_text(on)}"
    return IndexedRuleset(
        newest, index.library, day, f"{note}; shown is {newest.version} on its {day_name} day, {day_text(day)}"
    )


def _rule_page(indexed: IndexedRuleset, flat: FlatClass, rule_id: str) -> Page:
    rule = flat.rule(rule_id)
    if rule is not None:
        return rule_page(indexed, flat, rule)
    withdrawn = _withdrawn(indexed, flat, rule_id)
    if withdrawn is not None:
        return withdrawn_page(indexed, flat, *withdrawn)
    hint = known_words(rule_id, (known_rule.id for known_rule in flat.rules))
    raise UsageError(f"the class {flat.label} has no rule {rule_id}{hint}")


def _withdrawn(indexed: IndexedRuleset, flat: FlatClass, rule_id: str) -> tuple[Rule, FlatClass | None] | None:
    """The line that withdraws an inherited rule, with the class as it was before."""
    layers = indexed.library.stack(indexed.ruleset)
    for i, layer in reversed(list(enumerate(layers))):
        stated_rules = layer.classes[flat.id].rules if flat.id in layer.classes else ()
        rule = next((candidate for candidate in stated_rules if candidate.id == rule_id), None)
        if rule is not None:
            below = indexed.library.flat(layers[i - 1], flat.id) if i else None
            return rule, below if isinstance(below, FlatClass) else None
    return None


def _begins(ruleset: Ruleset) -> tuple[date, str]:
    return ruleset.in_force.start or date.min, ruleset.version
