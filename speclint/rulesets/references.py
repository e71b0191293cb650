"""What a ruleset names must be there: bases, lists, instruments, and the rules that it replaces or waives."""

from collections.abc import Callable, Collection, Iterator
from datetime import date
from fractions import Fraction
from functools import cache, partial
from itertools import chain, islice, pairwise

from speclint.documents.tree import Document
from speclint.moments import day_text
from speclint.places import Path
from speclint.problems import MOST_PROBLEMS, Problem, first_problems
from speclint.rulesets.library import Library
from speclint.rulesets.list_bases import whole_list
from speclint.rulesets.model import ClassRules, FlatClass, Rule, Ruleset
from speclint.rulesets.not_found import NotFound
from speclint.rulesets.oversize import oversize
from speclint.spelling import known_words


def reference_problems(ruleset: Ruleset, document: Document, library: Library) -> tuple[Problem, ...]:
    """Every name in a ruleset's document that leads nowhere, in the order of the text."""
    layers = library.layers(ruleset)
    if isinstance(layers, NotFound):
        return (Problem(layers.problem, layers.message, document.place(("based_on",))),)
    too_much = oversize(ruleset, document, library)
    if too_much is not None:
        return (too_much,)
    problems: list[Problem] = []
    for list_id in ruleset.lists:
        whole = whole_list(library, ruleset, list_id, None)
        if isinstance(whole, NotFound):
            problems.append(Problem(whole.problem, whole.message, document.place(("lists", list_id, "based_on"))))
    for class_id, class_rules in ruleset.classes.items():
        flat = library.flat(ruleset, class_id)
        if isinstance(flat, NotFound):
            problems.append(Problem(flat.problem, flat.message, document.place(("classes", class_id, "based_on"))))
        else:
            in_class = _in_class(flat, class_rules, document, library.inherited(ruleset, class_id))
            problems.extend(islice(in_class, MOST_PROBLEMS + 1))
        if len(problems) > MOST_PROBLEMS:
            break
    rules_of = cache(partial(_rules_of, library, ruleset))
    others = chain(
        _in_items(ruleset, document, library),
        _in_waivers(ruleset, document, rules_of),
        _in_examples(ruleset, document, library, rules_of),
    )
    problems.extend(islice(others, max(0, MOST_PROBLEMS + 1 - len(problems))))
    # Each costs a search for what was meant; whoever mends these is told the next ones.
    return first_problems(problems)


def ended_bases(ruleset: Ruleset, library: Library, on: date) -> tuple[Problem, ...]:
    """The layers of a ruleset that are no longer in force on a day on which it is itself, told where they are named."""
    layers = library.layers(ruleset)
    if isinstance(layers, NotFound) or on not in ruleset.in_force:
        return ()
    return tuple(
        Problem(
            "base-over",
            f"{layer.name} builds on {base.name}, which was in force until {day_text(base.in_force.end)}: base a new version on"
            " one that is in force",
            layer.basis_place,
        )
        for base, layer in pairwise(layers)
        if base.in_force.end is not None and base.in_force.end < on
    )


def _in_class(
    flat: FlatClass, class_rules: ClassRules, document: Document, inherited: frozenset[str]
) -> Iterator[Problem]:
    rule_ids, circles = {rule.id for rule in flat.rules}, _circles(flat)
    for i, rule in enumerate(class_rules.rules):
        keys, path = rule.data, ("classes", class_rules.id, "rules", i)
        for problem, kind, steps, name, names in _names(rule, flat, rule_ids):
            if name not in names:
                message = f"there is no {kind} {name}{known_words(name, names)}"
                yield Problem(problem, message, document.place((*path, *steps)))
        if keys.get("replaces") == keys["id"]:
            yield Problem("unknown-rule", "a rule cannot replace itself", document.place((*path, "replaces")))
        elif chain := circles.get(keys["id"]):
            message = f"rules replace each other in a circle: {chain}"
            yield Problem("circular-basis", message, document.place((*path, "replaces")))
        if keys.get("withdrawn") and "replaces" not in keys and keys["id"] not in inherited:
            message = f"there is no inherited rule {keys['id']} to withdraw{known_words(keys['id'], inherited)}"
            yield Problem("unknown-rule", message, document.place((*path, "id")))


def _names(
    rule: Rule, flat: FlatClass, rule_ids: Collection[str]
) -> Iterator[tuple[str, str, Path, str, Collection[str]]]:
    """What a rule names: the problem if it is not there, what it is, where and how it is named, and what there is."""
    for steps, name in rule.lists:
        yield "unknown-list", "list", steps, name, flat.lists
    for test in rule.tests:
        if test.instrument is not None:
            yield "unknown-instrument", "instrument", (*test.path, "instrument"), test.instrument, flat.instruments
    if rule.replaces is not None:
        yield "unknown-rule", "rule", ("replaces",), rule.replaces, rule_ids


def _circles(flat: FlatClass) -> dict[str, str]:
    """By rule, the rules that it replaces one after the other, where they lead back to it."""
    replaced = {rule.id: rule.replaces for rule in flat.rules}
    circles: dict[str, str] = {}
    passed: set[str] = set()
    for rule_id in replaced:
        way: dict[str, None] = {}
        step: str | None = rule_id
        while step is not None and step not in passed and step not in way:
            way[step] = None
            step = replaced.get(step)
        passed.update(way)
        if step is not None and step in way:
            ids = list(way)[list(way).index(step) :]
            circles |= {id_: " → ".join((*ids[i:], *ids[:i], id_)) for i, id_ in enumerate(ids)}
    return circles


_RulesOf = Callable[[str | None], set[str] | NotFound]
"""Gives the ids of the rules of a class, or of all classes, or why there are none."""


def _rules_of(library: Library, ruleset: Ruleset, class_id: str | None) -> set[str] | NotFound:
    named: set[str] = set()
    for name in library.class_ids(ruleset) if class_id is None else (class_id,):
        flat = library.flat(ruleset, name)
        if isinstance(flat, NotFound):
            if class_id is not None:
                return flat
            continue
        named.update(rule.id for rule in flat.rules)
    return named


def _in_items(ruleset: Ruleset, document: Document, library: Library) -> Iterator[Problem]:
    """Items of the ruleset's lists without what a rule of its classes looks up in them, or with what no limit can be."""
    flats = (library.flat(ruleset, class_id) for class_id in (library.class_ids(ruleset) if ruleset.lists else ()))
    looked_up = {
        wanted: rule.id
        for flat in flats
        if isinstance(flat, FlatClass)
        for rule in flat.rules
        for test in rule.tests
        for wanted in test.limit.names.looked_up
        if wanted.list_id in ruleset.lists
    }
    for (list_id, key, is_size), rule_id in looked_up.items():
        for i, item in enumerate(ruleset.lists[list_id].items):
            path = ("lists", list_id, "items", i)
            values = item.keys.get(key)
            if values is None:
                message = f"item {item.id} has no {key}, which the rule {rule_id} looks up: add it"
                yield Problem("missing-key", message, document.place(path))
            elif is_size and not (len(values) == 1 and isinstance(values[0], Fraction)):
                message = f"{key} of item {item.id} is no single number, and the rule {rule_id} takes it for a limit"
                yield Problem("limit-unfit", message, document.place((*path, key)))


def _in_waivers(ruleset: Ruleset, document: Document, rules_of: _RulesOf) -> Iterator[Problem]:
    for i, waiver in enumerate(ruleset.waivers):
        rules = rules_of(waiver.class_id)
        if isinstance(rules, NotFound):
            yield Problem(rules.problem, rules.message, document.place(("waivers", i, "class")))
        elif waiver.rule not in rules:
            message = f"there is no rule {waiver.rule} to waive{known_words(waiver.rule, rules)}"
            yield Problem("unknown-rule", message, document.place(("waivers", i, "rule")))


def _in_examples(ruleset: Ruleset, document: Document, library: Library, rules_of: _RulesOf) -> Iterator[Problem]:
    for example in ruleset.examples:
        rules = rules_of(example.class_id)
        if isinstance(rules, NotFound):
            yield Problem(rules.problem, rules.message, document.place(("examples", example.number, "class")))
            continue
        flat, at = library.flat(ruleset, example.class_id), ("examples", example.number)
        if isinstance(flat, FlatClass) and flat.quantities:
            from speclint.rulesets.declarations import derived_stated  # few rulesets declare anything

            yield from derived_stated(flat.quantities, document, (*at, "setup", "extra"), (*at, "entry"))
        for name in example.expect:
            if name not in rules:
                place = document.place(("examples", example.number, "expect", name), of_key=True)
                message = f"the class {example.class_id} has no rule {name}{known_words(name, rules)}"
                yield Problem("unknown-rule", message, place)
