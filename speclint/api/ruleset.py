"""A ruleset as plain frozen values: its classes, and what their rules ask on one day."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from speclint.api.report import Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A rule that binds on the day; `asks` says it in words, `limit` as the ruleset does.

    `ruleset` is the id of the one that states it, which may be one that the class's ruleset builds on.
    """

    id: str
    quantity: str | None
    asks: str
    limit: Mapping[str, object]
    cite: str
    because: str
    measure: str
    penalty: str
    ruleset: str
    where: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class RulesetClass:
    """A class with every rule that binds on the day, those that it inherits among them."""

    id: str
    title: str
    rules: tuple[Rule, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruleset:
    """One version of one publisher's class rules, on one day; its days in force are counted in, None for open."""

    id: str
    version: str
    title: str
    first_day: date | None
    last_day: date | None
    digest: str
    on: date
    classes: Mapping[str, RulesetClass]
