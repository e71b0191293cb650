"""The `json` report: `report/1`, one entry a line, in an order that never changes for the same input."""

import json
import re
from fractions import Fraction
from typing import Any, Final

from speclint import __version__
from speclint.advice.model import Advice
from speclint.findings import EntryResult, Findings
from speclint.forms.registry import LIMIT_KEYS
from speclint.places import pointer
from speclint.problems import Problem
from speclint.readings.exact import to_float
from speclint.readings.measured import Measured
from speclint.reports import Paper
from speclint.reports.json_values import number, where
from speclint.rules.checks import Check, Remedy, Verdict
from speclint.rules.wording import later_text, message, unit


def render(findings: Findings, paper: Paper) -> str:
    """The report as text; of `paper` it matters only whether it takes more than ASCII, as programs read it."""
    head = {"format": "report/1", "tool": {"name": "speclint", "version": __version__}, "summary": _summary(findings)}
    not_judged = sorted((*findings.not_judged, *findings.not_entered), key=lambda one: one.place)
    parts = [f"{json.dumps(key)}: {_dumped(value)}" for key, value in head.items()]
    for key, values in (
        ("entries", [_entry(entry) for entry in findings.entries]),
        ("problems", [_problem(problem) for problem in findings.problems]),
        ("advice", [_advice(advice) for advice in findings.advice]),
        ("not_judged", [{"file": one.file, "reason": one.reason} for one in not_judged]),
    ):
        rows = ",\n".join(f"  {_dumped(value)}" for value in values)
        parts.append(f'"{key}": [\n{rows}\n ]' if rows else f'"{key}": []')
    text = "{" + ",\n ".join(parts) + "}\n"
    return (_NOT_ASCII if paper.ascii_only else _STEERING).sub(_escaped, text)


_STEERING: Final = re.compile("[\x7f-\x9f\xad\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ud800-\udfff\ufeff]")
"""Signs that JSON may hold as they are, but that steer a terminal, or are no text at all."""

_NOT_ASCII: Final = re.compile("[^\x00-\x7e]")


def _escaped(found: re.Match[str]) -> str:
    """A sign as JSON escapes it."""
    return json.dumps(found[0])[1:-1]


def _dumped(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def _summary(findings: Findings) -> dict[str, int]:
    return {
        "files": findings.files,
        "setups": findings.setups,
        "entries": len(findings.entries),
        "legal": findings.count(Verdict.LEGAL),
        "illegal": findings.count(Verdict.ILLEGAL),
        "not_shown": findings.count(Verdict.NOT_SHOWN),
        "problems": len(findings.problems),
        "advice": len(findings.advice),
    }


def _entry(entry: EntryResult) -> dict[str, Any]:
    return {
        "file": entry.file,
        "name": entry.name,
        "ruleset": entry.flat.ruleset.id,
        "ruleset_version": entry.flat.ruleset.version,
        "ruleset_digest": entry.digest,
        "class": entry.flat.id,
        "on": entry.on.isoformat(),
        "verdict": entry.verdict.value,
        "checks": [_check(check) for check in entry.checks],
    }


def _check(check: Check) -> dict[str, Any]:
    rule, outcome = check.rule, check.outcome
    fact = check.fact if check.fact is not None and check.fact.quantity.name == rule.quantity else None
    numeric = outcome is not None
    return {
        "rule": rule.id,
        "quantity": rule.quantity,
        "verdict": check.verdict.value,
        "value": None if fact is None else _plain(fact.value),
        "unit": unit(check) or ("1" if numeric else ""),
        "expanded_uncertainty": None if outcome is None else outcome.expanded_uncertainty,
        "probability_legal": None if outcome is None else outcome.probability,
        "close_call": check.close_call,
        "margin": None if outcome is None else to_float(outcome.margin),
        "limit": {key: rule.data[key] for key in LIMIT_KEYS if key in rule.data},
        "decision": check.decision.value,
        "waived": bool(check.waived),
        "cite": rule.cite or None,
        "message": message(check),
        "because": rule.because or None,
        "where": where(check.place),
        "remedies": [_remedy(remedy) for remedy in check.remedies],
        "notices": [{"date": later.on.isoformat(), "message": later_text(later)} for later in check.later],
    }


def _remedy(remedy: Remedy) -> dict[str, Any]:
    return {
        "change": {pointer(change.path): change.value for change in remedy.changes},
        "result": _plain(remedy.result),
        "message": remedy.message,
    }


def _problem(problem: Problem) -> dict[str, Any]:
    return {
        "id": problem.id,
        "kind": problem.kind.value,
        "message": problem.message,
        "where": where(problem.place),
    }


def _advice(advice: Advice) -> dict[str, Any]:
    return {
        "id": advice.id,
        "message": advice.message,
        "where": where(advice.place),
        "source": advice.source,
    }


def _plain(value: Any) -> Any:
    if isinstance(value, Fraction | Measured):
        return number(value)
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    return value
