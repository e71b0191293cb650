"""Everything that has a page, by group, and how a name that a person wrote is found in it."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from functools import cache, partial
from typing import Final

from speclint.advice.registry import ADVICE_SORTS
from speclint.errors import UsageError
from speclint.explain.glossary import TERMS
from speclint.explain.keys import key_page, keys
from speclint.explain.page import Page, prose_section, written
from speclint.explain.quantities import quantity_page
from speclint.explain.rulebooks import declared_pages, rulebook_names, rulebook_page
from speclint.explain.words import advice_page, decision_page, problem_page, rebuild_page, term_page, verdict_page
from speclint.limits.decisions import Decision
from speclint.plain import clipped
from speclint.problems import PROBLEM_SORTS
from speclint.quantities.rebuilds import REBUILDS
from speclint.quantities.registry import OPEN_PREFIXES, QUANTITIES, quantity
from speclint.quantities.trade_words import quantity_aliases
from speclint.reports import Paper
from speclint.rules.checks import Verdict
from speclint.spelling import nearest
from speclint.workspace.ruleset_index import RulesetIndex


@dataclass(frozen=True, slots=True)
class NameGroup:
    """Names of one kind, each with what makes its page."""

    title: str
    pages: dict[str, Callable[[], Page]]


def groups() -> tuple[NameGroup, ...]:
    """Every group whose names do not depend on a ruleset."""
    return (
        NameGroup("quantities", {entry.name: partial(quantity_page, entry) for entry in QUANTITIES}),
        NameGroup("verdicts", {member.value: partial(verdict_page, member) for member in Verdict}),
        NameGroup("decision rules", {member.value: partial(decision_page, member) for member in Decision}),
        NameGroup("rebuilds", {member.kind: partial(rebuild_page, member) for member in REBUILDS}),
        NameGroup("problems", {member.id: partial(problem_page, member) for member in PROBLEM_SORTS}),
        NameGroup("advice", {member.id: partial(advice_page, member) for member in ADVICE_SORTS}),
        NameGroup("words of a report", {term.name: partial(term_page, term) for term in TERMS}),
    )


def explain(name: str, index: Callable[[], RulesetIndex], on: date, paper: Paper) -> str:
    """The page of a name.

    Args:
        name: a quantity, a verdict, a decision rule, a rebuild, a problem, a piece of advice, any word of a report, a
            key of a file or a report, or a ruleset, one of its classes or rules as `RULESET[@VERSION][/CLASS[/RULE]]`.
        index: finds the rulesets; it is asked only where the name can be one of theirs.
        on: the day that rules are explained for.
        paper: what the page is set on.

    Raises:
        UsageError: nothing has this name; the message gives the nearest that something has.
    """
    wanted = " ".join(name.split())
    pages = tuple(_pages(wanted)) or tuple(_pages(wanted.lower()))
    if wanted.startswith(OPEN_PREFIXES):
        pages = declared_pages(wanted, index()) or pages
    elif not pages:
        page = rulebook_page(wanted, index(), on)
        pages = declared_pages(wanted, index()) if page is None else (page,)
    if not pages:
        key = wanted.lower().replace(" ", "_").replace("-", "_")
        pages = (key_page(key),) if key in keys() else ()
    if not pages:
        raise UsageError(_unknown(wanted, index()))
    return written(pages, paper)


def listing(index: RulesetIndex, paper: Paper) -> str:
    """Every name that can be explained, by group."""
    quantities, *other_groups = (prose_section(group.title, *_lists(tuple(group.pages))) for group in groups())
    sections = (
        prose_section(
            quantities.label,
            *quantities.paragraphs,
            "extra.KEY and entry.KEY, for whatever else a setup or its entry states",
            ", ".join(index.declared_names),
        ),
        *other_groups,
        prose_section("classes", ", ".join(rulebook_names(index))),
        prose_section(
            "rules",
            "a class and the rule's id, such as harbour-city/stock-17/final-drive; a version as harbour-city@2026.2",
        ),
    )
    page = Page("speclint explain NAME", "what a name means, how it comes about, and where that is from", sections)
    return written((page,), paper)


def _lists(names: tuple[str, ...]) -> Iterator[str]:
    """Names in a row, in paragraphs of so many that none is cut off."""
    for start in range(0, len(names), _MOST_NAMES):
        yield ", ".join(names[start : start + _MOST_NAMES])


_MOST_NAMES: Final = 48


def _pages(name: str) -> Iterator[Page]:
    """The pages of a name that no ruleset gives; more than one where two groups share it."""
    page_makers = [group.pages[name] for group in groups() if name in group.pages]
    if page_makers:
        yield from (page() for page in page_makers)
    elif name.startswith(OPEN_PREFIXES) and (open_quantity := quantity(name)) is not None and name.partition(".")[2]:
        yield quantity_page(open_quantity)
    else:
        alias = _aliases().get(name)
        if alias is not None:
            yield from _pages(alias)


@cache
def _aliases() -> dict[str, str]:
    """Other ways to say a name: other words for a term, and those for a quantity."""
    return {**quantity_aliases(), **{word: term.name for term in TERMS for word in term.also}}


_LEAST_LIKE: Final = 0.82
"""A guess that is less like the word than this would be nonsense more often than not."""


_LONGEST: Final = 61
"""Signs of a name that are said back, with the ellipsis."""


def _unknown(name: str, index: RulesetIndex) -> str:
    names = [*(word for group in groups() for word in group.pages), *rulebook_names(index), *index.declared_names]
    near = nearest(name, names, cutoff=_LEAST_LIKE) or nearest(name, _aliases(), cutoff=_LEAST_LIKE)
    asked = f": did you mean {near}?" if near else ";"
    return f"nothing is called {clipped(name, _LONGEST)}{asked} `speclint explain` lists every name"
