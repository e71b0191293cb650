"""A validated ruleset document as a ruleset, with the problems that its shape alone cannot show."""

from datetime import date
from typing import Any

from speclint.documents.tree import Document
from speclint.forms.bodies import LOOK_KEY, PER_KEY, ToInspect, Withdrawn
from speclint.forms.conditions import When, read_when
from speclint.forms.parts_lists import ListBasis, ListItem, PartsList
from speclint.forms.words import scalars
from speclint.limits.decisions import Decision
from speclint.models.instruments import instruments_of
from speclint.moments import Period
from speclint.places import Path
from speclint.problems import MOST_PROBLEMS, Problem, first_problems
from speclint.quantities.declared import NOTHING_DECLARED, Declared, with_names
from speclint.quantities.kinds import QUANTITIES_KEY
from speclint.readings.exact import exact
from speclint.rulesets.bodies import RuleText, body_of, decimals_at, quantity_named
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
        instruments=instruments_of(data.get("instruments"), document.file),
        quantities=declared,
        classes=classes,
        lists={
            list_id: _list(document, list_id, keys, problems) for list_id, keys in (data.get("lists") or {}).items()
        },
        waivers=tuple(_waiver(document, i, keys, problems) for i, keys in enumerate(data.get("waivers") or ())),
        examples=tuple(example_of(i, keys) for i, keys in enumerate(data.get("examples") or ())),
        data=data,
        place=document.place(("id",)),
        basis_place=document.place(("based_on",)),
    )
    return ruleset, first_problems(problems)


def _class(
    document: Document, class_id: str, keys: dict[str, Any], ruleset_id: str, problems: list[Problem]
) -> ClassRules:
    path: Path = ("classes", class_id)
    rules: dict[str, Rule] = {}
    when = _when(document, path, keys, problems)
    of_class = {"when_of_class": keys["when"]} if when else {}
    for i, rule_keys in enumerate(keys.get("rules") or ()):
        if len(problems) > MOST_PROBLEMS:
            break  # nothing is judged by it, and each problem may cost a search for what was meant
        rule_path = (*path, "rules", i)
        rule = _rule(document, rule_path, {**rule_keys, **of_class}, ruleset_id, when, problems)
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
    usual = keys.get("usual_ratio")
    return ClassRules(
        class_id,
        keys.get("title") or class_id,
        keys.get("based_on"),
        None if not usual else (exact(min(usual)), exact(max(usual))),
        tuple(rules.values()),
    )


def _rule(
    document: Document, path: Path, keys: dict[str, Any], ruleset_id: str, of_class: When, problems: list[Problem]
) -> Rule:
    body = body_of(RuleText(document, path, keys, problems))
    return Rule(
        id=keys["id"],
        body=body,
        when=(*of_class, *_when(document, path, keys, problems)),
        period=_period(document, path, keys, problems),
        replaces=keys.get("replaces"),
        decision=_decision(keys.get("decision")),
        cite=keys.get("cite", ""),
        because=keys.get("because", ""),
        measure=keys.get("measure", ""),
        penalty=keys.get("penalty", ""),
        published=_day(keys.get("published")),
        place=document.place((*path, "id")),
        ruleset=ruleset_id,
        data=keys,
        look="" if isinstance(body, ToInspect | Withdrawn) else keys.get(LOOK_KEY, ""),
        per=keys.get(PER_KEY, ""),
    )


def _when(document: Document, path: Path, keys: dict[str, Any], problems: list[Problem]) -> When:
    """The conditions of a rule, a class or a waiver."""
    when = read_when(keys.get("when"), lambda name: decimals_at(document, (*path, "when", name)))
    for condition in when:
        if len(problems) > MOST_PROBLEMS:
            break
        at = (*path, "when", condition.quantity)
        named = quantity_named(document, at, condition.quantity, problems, of_key=True)
        if named is not None:
            problems.extend(
                Problem(misfit.problem, misfit.message, document.place(at)) for misfit in condition.misfits(named)
            )
    return when


def _list(document: Document, list_id: str, keys: dict[str, Any], problems: list[Problem]) -> PartsList:
    items = tuple(
        ListItem(
            item["id"],
            _period(document, ("lists", list_id, "items", i), item, problems),
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


def _waiver(document: Document, index: int, keys: dict[str, Any], problems: list[Problem]) -> Waiver:
    path: Path = ("waivers", index)
    period = _period(document, path, keys, problems)
    return Waiver(
        keys["rule"],
        keys.get("class"),
        _when(document, path, keys, problems),
        period,
        keys.get("granted", ""),
    )


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
