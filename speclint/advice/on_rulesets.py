"""All advice on rulesets, and what of it a ruleset gets."""

from collections.abc import Iterator
from typing import Final

from speclint.advice.clashes import CLASHES
from speclint.advice.coverage import COVERAGE
from speclint.advice.days import DAYS
from speclint.advice.limits import LIMITS
from speclint.advice.lookups import LOOKUPS
from speclint.advice.loopholes import LOOPHOLES
from speclint.advice.model import Advice, AdviceSort, RulesetCase, given
from speclint.advice.overrides import OVERRIDES
from speclint.advice.rule_texts import RULE_TEXTS
from speclint.advice.rulebooks import RULEBOOKS
from speclint.advice.seasons import SEASONS
from speclint.advice.tables import TABLES

RULESET_ADVICE: Final[tuple[AdviceSort[RulesetCase], ...]] = (
    *LIMITS,
    *RULE_TEXTS,
    *LOOPHOLES,
    *LOOKUPS,
    *TABLES,
    *DAYS,
    *CLASHES,
    *RULEBOOKS,
    *OVERRIDES,
    *SEASONS,
    *COVERAGE,
)
"""Every sort of advice on a ruleset."""


def advice_on_ruleset(case: RulesetCase) -> Iterator[Advice]:
    """All advice on a sound ruleset, in the order of the registry.

    Of a version that a later one has succeeded only the calendar is looked at: it is kept for old results as it was.
    """
    start = case.ruleset.in_force.start
    begins = [version.in_force.start for version in case.library.versions(case.ruleset.id).values()]
    succeeded = start is not None and any(begin is not None and begin > start for begin in begins)
    return given(SEASONS if succeeded else RULESET_ADVICE, case)
