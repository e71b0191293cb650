"""A validated ruleset document as a ruleset, with the problems that its shape alone cannot show."""

from datetime import date
from functools import partial
from typing import Any

from speclint.documents.tree import Document
from speclint.forms.bodies import LOOK_KEY, PER_KEY, ToInspect, Withdrawn
from speclint.forms.conditions import When, read_when
from speclint.forms.parts_lists import ListBasis, ListItem, PartsList
from speclint.forms.words import scalars
from speclint.limits.decisions import Decision
from speclint.models.instruments import instruments_of
from speclint.moments import Period
from speclint.problems import MOST_PROBLEMS, Problem, first_problems
from speclint.quantities.declared import NOTHING_DECLARED, Declared, with_names
from speclint.quantities.kinds import QUANTITIES_KEY
from speclint.readings.exact import exact
from speclint.rulesets.bodies import StatedKeys, body_of
from speclint.rulesets.model import ClassRules, Example, Rule, Ruleset, Waiver


def ruleset_of(document: Document, inherited: Declared = NOTHING_DECLARED) -> tuple[Ruleset, tuple[Problem, ...]]:
    """The ruleset that a document of valid shape states, and what is wrong with it all the same.

    Args:
        document: the document.
        inherited: the quantities that the rulesets declare which it builds on.
    """
    data, declared = document.data, NOTHING_DECLARED
    problems: list[Problem] = []
    if inherited or QUANTITIES_KEY in data:
        from speclint.rulesets.declarations import declaration_problems, declared_in  # few rulesets declare anything

        declared = declared_in(data, inherited)
        problems.extend(declaration_problems(document, declared, inherited))
        data = with_names(data, {**inherited, **declared})
    whole = StatedKeys(document, (), data, problems)
    classes = {
        class_id: _class(whole.below(keys, "classes", class_id), class_id, data["id"])
        for class_id, keys in data["classes"].items()
    }
    in_force = _period(whole.below(data["in_force"], "in_force"))
    based_on, _, based_on_version = (data.get("based_on") or "").partition("@")
    reference = data.get("reference_temperature_c")
    ruleset = Ruleset(
        id=data["id"],
        title=data.get("title") or data["id"],
        version=data["version"],
        in_force=in_force,
        published=_day(data.get("published")),
        based_on=(based_on, based_on_version) if based_on else None,
        reference_c=None if reference is None else exact(reference),
        decision=_decision(data.get("decision")),
        instruments=instruments_of(data.get("instruments"), document.file),
        quantities=declared,
        classes=classes,
        lists={
            list_id: _list(whole.below(keys, "lists", list_id), list_id)
            for list_id, keys in (data.get("lists") or {}).items()
        },
        waivers=tuple(_waiver(whole.below(keys, "waivers", i)) for i, keys in enumerate(data.get("waivers") or ())),
        examples=tuple(example_of(i, keys) for i, keys in enumerate(data.get("examples") or ())),
        data=data,
        place=document.place(("id",)),
        basis_place=document.place(("based_on",)),
    )
    return ruleset, first_problems(problems)


def _class(text: StatedKeys, class_id: str, ruleset_id: str) -> ClassRules:
    keys = text.keys
    rules: dict[str, Rule] = {}
    when = _when(text)
    of_class = {"when_of_class": keys["when"]} if when else {}
    for i, rule_keys in enumerate(keys.get("rules") or ()):
        if len(text.problems) > MOST_PROBLEMS:
            break  # nothing is judged by it, and each problem may cost a search for what was meant
        rule_text = text.below({**rule_keys, **of_class}, "rules", i)
        rule = _rule(rule_text, ruleset_id, when)
        if rule.id in rules:
            rule_text.refuse(
                "same-rule",
                f"the class {class_id} has a rule {rule.id} already, on line {rules[rule.id].place.line}; give this one an"
                " id of its own, and `replaces` with a `from` date if it amends the first",
                "id",
            )
        else:
            rules[rule.id] = rule
    usual = keys.get("usual_ratio")
    return ClassRules(
        class_id,
        keys.get("title") or class_id,
        keys.get("based_on"),
        None if not usual else (exact(min(usual)), exact(max(usual))),
        tuple(rules.values()),
    )


def _rule(text: StatedKeys, ruleset_id: str, of_class: When) -> Rule:
    keys, body = text.keys, body_of(text)
    return Rule(
        id=keys["id"],
        body=body,
        when=(*of_class, *_when(text)),
        period=_period(text),
        replaces=keys.get("replaces"),
        decision=_decision(keys.get("decision")),
        cite=keys.get("cite", ""),
        because=keys.get("because", ""),
        measure=keys.get("measure", ""),
        penalty=keys.get("penalty", ""),
        published=_day(keys.get("published")),
        place=text.document.place((*text.path, "id")),
        ruleset=ruleset_id,
        data=keys,
        look="" if isinstance(body, ToInspect | Withdrawn) else keys.get(LOOK_KEY, ""),
        per=keys.get(PER_KEY, ""),
    )


def _when(text: StatedKeys) -> When:
    """The conditions of a rule, a class or a waiver."""
    when = read_when(text.keys.get("when"), lambda name: partial(text.decimals, "when", name))
    for condition in when:
        if len(text.problems) > MOST_PROBLEMS:
            break
        named = text.quantity(condition.quantity, "when", condition.quantity, of_key=True)
        for misfit in condition.misfits(named) if named is not None else ():
            text.refuse(misfit.problem, misfit.message, "when", condition.quantity)
    return when


def _list(text: StatedKeys, list_id: str) -> PartsList:
    keys = text.keys
    items = tuple(
        ListItem(
            item["id"],
            _period(text.below(item, "items", i)),
            _day(item.get("published")),
            {key: scalars(value) for key, value in item.items() if key not in ("id", "from", "until", "published")},
        )
        for i, item in enumerate(keys.get("items") or ())
    )
    return PartsList(list_id, _day(keys.get("frozen_on")), items, _list_basis(keys.get("based_on")))


def _list_basis(text: str | None) -> ListBasis | None:
    """The list that `id@version/list` names."""
    if text is None:
        return None
    name, _, list_id = text.partition("/")
    id_, _, version = name.partition("@")
    return ListBasis(id_, version, list_id)


def _waiver(text: StatedKeys) -> Waiver:
    keys, period = text.keys, _period(text)
    return Waiver(keys["rule"], keys.get("class"), _when(text), period, keys.get("granted", ""))


def example_of(number: int, keys: dict[str, Any]) -> Example:
    """The example that plain data of valid shape states."""
    return Example(
        keys.get("about", f"example {number + 1}"),
        keys["class"],
        date.fromisoformat(keys["on"]),
        keys.get("setup") or {},
        keys.get("entry") or {},
        keys["expect"],
        number,
    )


def _period(text: StatedKeys) -> Period:
    period = Period(_day(text.keys.get("from")), _day(text.keys.get("until")))
    if period.start is not None and period.end is not None and period.start > period.end:
        message = f"this ends on {period.end}, before it begins on {period.start}"
        text.refuse("dates-out-of-order", message, "until")
    return period


def _day(text: str | None) -> date | None:
    return None if text is None else date.fromisoformat(text)


def _decision(text: str | None) -> Decision | None:
    return None if text is None else Decision(text)
