"""The one list of advice."""

from typing import Any, Final

from speclint.advice.model import AdviceSort
from speclint.advice.on_cars import CAR_ADVICE
from speclint.advice.on_rulesets import RULESET_ADVICE
from speclint.advice.paddock import PADDOCK

ADVICE_SORTS: Final[tuple[AdviceSort[Any], ...]] = (*CAR_ADVICE, *PADDOCK, *RULESET_ADVICE)
"""Every sort of advice there is."""
