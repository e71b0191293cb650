"""Everything that has a page, by group, and how a name that a person wrote is found in it."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from functools import partial

from speclint.advice.registry import ADVICE_SORTS
from speclint.errors import UsageError
from speclint.explain.page import Page, said, written
from speclint.explain.quantities import quantity_page
from speclint.explain.rulebooks import rulebook_names, rulebook_page
from speclint.explain.words import advice_page, decision_page, problem_page, rebuild_page, verdict_page
from speclint.limits.decisions import Decision
from speclint.places import dotted
from speclint.problems import PROBLEM_SORTS
from speclint.quantities.rebuilds import REBUILDS
from speclint.quantities.registry import OPEN_PREFIXES, QUANTITIES, quantity
from speclint.reports import Paper
from speclint.rules.checks import Verdict
from speclint.spelling import nearest
from speclint.workspace.ruleset_index import RulesetIndex


@dataclass(frozen=True, slots=True)
class Group:
    """Names of one kind, each with what makes its page."""

    title: str
    pages: dict[str, Callable[[], Page]]


def groups() -> tuple[Group, ...]:
    """Every group whose names do not depend on a ruleset."""
    return (
        Group("quantities", {one.name: partial(quantity_page, one) for one in QUANTITIES}),
        Group("verdicts", {one.value: partial(verdict_page, one) for one in Verdict}),
        Group("decision rules", {one.value: partial(decision_page, one) for one in Decision}),
        Group("rebuilds", {one.kind: partial(rebuild_page, one) for one in REBUILDS}),
        Group("problems", {one.id: partial(problem_page, one) for one in PROBLEM_SORTS}),
        Group("advice", {one.id: partial(advice_page, one) for one in ADVICE_SORTS}),
    )


def explain(name: str, index: Callable[[], RulesetIndex], on: date, paper: Paper) -> str:
    """The page of a name.

    Args:
        name: a quantity, a verdict, a decision rule, a rebuild, a problem, a piece of advice, or a ruleset, one of its
            classes or rules as `RULESET[@VERSION][/CLASS[/RULE]]`.
        index: finds the rulesets; it is asked only where the name can be one of theirs.
        on: the day that rules are explained for.
        paper: what the page is set on.

    Raises:
        UsageError: nothing has this name; the message gives the nearest that something has.
    """
    wanted = name.strip()
    pages = tuple(_pages(wanted)) or tuple(_pages(wanted.lower()))
    if not pages and not wanted.startswith(OPEN_PREFIXES):
        page = rulebook_page(wanted, index(), on)
        pages = () if page is None else (page,)
    if not pages:
        raise UsageError(_unknown(wanted, index()))
    return written(pages, paper)


def listing(index: RulesetIndex, paper: Paper) -> str:
    """Every name that can be explained, by group."""
    quantities, *others = (said(group.title, ", ".join(group.pages)) for group in groups())
    sections = (
        said(
            quantities.label,
            *quantities.paragraphs,
            "extra.KEY and entry.KEY, for whatever else a setup or its entry states",
        ),
        *others,
        said("classes", ", ".join(rulebook_names(index))),
        said(
            "rules",
            "a class and the rule's id, such as harbour-city/stock-17/final-drive; a version as harbour-city@2026.2",
        ),
    )
    page = Page("speclint explain NAME", "what a name means, how it comes about, and where that is from", sections)
    return written((page,), paper)


def _pages(name: str) -> Iterator[Page]:
    """The pages of a name that no ruleset gives; more than one where two groups share it."""
    known = [group.pages[name] for group in groups() if name in group.pages]
    if known:
        yield from (page() for page in known)
    elif name.startswith(OPEN_PREFIXES) and (found := quantity(name)) is not None and name.partition(".")[2]:
        yield quantity_page(found)
    else:
        alias = _aliases().get(name)
        if alias is not None:
            yield from _pages(alias)


def _aliases() -> dict[str, str]:
    """Other ways to say a quantity: its name for people, and the path of its key."""
    paths = {dotted(one.key.path): one.name for one in QUANTITIES if one.key is not None and len(one.key.path) > 1}
    return {**paths, **{one.title.lower(): one.name for one in QUANTITIES}}


def _unknown(name: str, index: RulesetIndex) -> str:
    known = [*(word for group in groups() for word in group.pages), *rulebook_names(index)]
    near = nearest(name, known) or _aliases().get(nearest(name, _aliases()), "")
    asked = f": did you mean {near}?" if near else ";"
    return f"nothing is called {name}{asked} `speclint explain` lists every name"
