"""The inspection slip of an entry: what stands on it, row by row, in words and numbers."""

import math
from collections.abc import Iterator
from typing import Final, NamedTuple

from speclint.findings import EntryResult
from speclint.forms.bodies import LOOKS_PER
from speclint.forms.words import value_text
from speclint.limits.decisions import Decision, Outcome
from speclint.moments import day_text
from speclint.pages.gauge import Gauge
from speclint.plain import capitalised
from speclint.readings.exact import to_float
from speclint.readings.measured import value_of
from speclint.reports.check.inspected_text import about_inspection, declared_text
from speclint.rules.checks import FAILING, Check, Verdict
from speclint.rules.wording import asks, explanation, has, later_text, margin, message, title


class SlipRow(NamedTuple):
    """A rule on the slip; `how` says how it is measured and who gets the doubt."""

    name: str
    clause: str
    how: str
    has: str
    asked: str
    margin: str
    gauge: Gauge | None
    verdict: str
    is_close: bool
    is_waived: bool
    declared: str = ""


class SlipTask(NamedTuple):
    """Something to do before the car is legal, or is shown to be: what is the matter, and what mends it."""

    verdict: str
    heading: str
    remedies: tuple[str, ...]
    notes: tuple[str, ...]


class Slip(NamedTuple):
    """One entry on its slip."""

    name: str
    facts: tuple[str, ...]
    verdict: str
    tasks: tuple[SlipTask, ...]
    close_calls: tuple[str, ...]
    notices: tuple[str, ...]
    rows: tuple[SlipRow, ...]
    idle: tuple[str, ...]
    cautions: tuple[str, ...]
    ruleset: str
    digest: str
    file: str
    inspection: tuple[str, ...] = ()


def slip_of(result: EntryResult) -> Slip:
    """The slip of an entry."""
    ruleset, checks = result.flat.ruleset, result.checks
    shown = [check for check in checks if _is_shown(check)]
    return Slip(
        name=result.name,
        facts=(
            *_entry_facts(result),
            result.flat.title,
            day_text(result.on),
            f"{ruleset.title}, version {ruleset.version}",
        ),
        verdict=result.verdict.value,
        tasks=tuple(_task(check) for verdict in FAILING for check in shown if check.verdict is verdict),
        close_calls=tuple(message(check) for check in shown if check.close_call and check.verdict not in FAILING),
        notices=tuple(f"{capitalised(title(check))}: {later_text(later)}" for check in checks for later in check.later),
        rows=tuple(_row(check, result) for check in shown),
        idle=tuple(_idle(check) for check in checks if not _is_shown(check)),
        cautions=tuple(dict.fromkeys(_cautions(shown))),
        ruleset=ruleset.name,
        digest=result.digest,
        file=result.file,
        inspection=tuple(about_inspection(result)),
    )


def gauge_of(check: Check) -> Gauge | None:
    """The margin as a gauge; None where no limit of size was held against a number."""
    outcome = check.outcome
    if outcome is None:
        return None
    limits = outcome.limits
    allowed = tuple(None if bound is None else to_float(bound) for bound in (limits.low, limits.high))
    return Gauge(
        allowed=((allowed[0], allowed[1]),),
        value=to_float(value_of(outcome.value)),
        reach=_reach(outcome),
        verdict=check.verdict.value,
        text=f"{has(check)}, {asks(check)}: {margin(check) or check.verdict.value}",
    )


def _reach(outcome: Outcome) -> float:
    expanded = outcome.expanded_uncertainty
    return expanded if expanded is not None and math.isfinite(expanded) else 0.0


def _entry_facts(result: EntryResult) -> Iterator[str]:
    """What an inspector finds the car by, where its entry says so."""
    for key in ("number", "driver", "heat"):
        value = result.facts.fact(f"entry.{key}").value
        if value is not None:
            yield f"{key} {value_text(value, '')}"


def _row(check: Check, result: EntryResult) -> SlipRow:
    rule = check.rule
    named = check.test.instrument if check.test is not None else rule.instrument
    instrument = result.flat.instruments.get(named) if named is not None else None
    terms = (
        "" if instrument is None else f"On the {instrument.name}",
        _DOUBT.get(check.decision, "") if check.outcome is not None else "",
    )
    how = (
        check.waived,
        check.measure,
        LOOKS_PER.get(rule.per, "") if check.verdict is Verdict.TO_INSPECT else "",
        "; ".join(term for term in terms if term),
    )
    return SlipRow(
        name=title(check),
        clause=rule.cite,
        how=" ".join(map(_sentence, filter(None, how))),
        has=has(check),
        asked=asks(check),
        margin=margin(check),
        gauge=gauge_of(check),
        verdict=check.verdict.value,
        is_close=check.close_call,
        is_waived=bool(check.waived),
        declared=declared_text(check, result),
    )


_DOUBT: Final = {
    Decision.MUST_SHOW: "the reading must show it, ± counted",
    Decision.BENEFIT_OF_DOUBT: "doubt favours the racer",
}
"""Whom the ± counts against, where that is anybody."""


def _task(check: Check) -> SlipTask:
    rule = check.rule
    by = margin(check) if check.verdict is Verdict.ILLEGAL else ""
    heading = f"{title(check)}: {by}" if by else message(check)
    remedies = tuple(remedy.message for remedy in check.remedies)
    notes = [check.measure] if check.verdict is Verdict.NOT_SHOWN else []
    if check.verdict is Verdict.ILLEGAL:
        notes += [line for line in explanation(check) if "=" in line or "corrected" in line]
    notes += [
        rule.because,
        f"Penalty: {rule.penalty}" if rule.penalty else "",
        f"Clause {rule.cite}." if rule.cite else "",
    ]
    return SlipTask(check.verdict.value, capitalised(heading), remedies, tuple(map(_sentence, filter(None, notes))))


def _is_shown(check: Check) -> bool:
    """Whether it has a row: it binds, or somebody has waived it, which an inspector has to know."""
    return check.verdict is not Verdict.NOT_APPLICABLE or bool(check.waived)


def _idle(check: Check) -> str:
    return f"{title(check)}{check.rule.cite_behind}: {check.reason}"


def _cautions(checks: list[Check]) -> Iterator[str]:
    for check in checks:
        if check.verdict in FAILING and check.fact is not None:
            yield from check.fact.quantity.cautions


def _sentence(text: str) -> str:
    return capitalised(text if text.endswith((".", "!", "?")) else f"{text}.")
