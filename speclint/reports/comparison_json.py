"""The JSON report of `compare`: `comparison/1`, in an order that never changes for the same input."""

import json
from typing import Any

from speclint import __version__
from speclint.comparison.compared import COMPARED
from speclint.comparison.differences import Comparison, QuantityChange
from speclint.comparison.drift import LimitCrossing
from speclint.comparison.equivalent import EntryVerdict, Equivalent, PinionChoice
from speclint.comparison.findings import CAUTIONS, ComparisonFindings, MotorFindings
from speclint.comparison.ranking import Candidate, Ranking
from speclint.comparison.runs import ComparedRun
from speclint.comparison.trend import Trend
from speclint.comparison.uncertainty import expanded_uncertainty_of
from speclint.readings.exact import to_float
from speclint.readings.measured import Measured, Number
from speclint.reports.json_values import number, where
from speclint.rules.checks import Verdict
from speclint.rules.wording import message


def render(findings: ComparisonFindings) -> str:
    """The report as text."""
    report = {
        "format": "comparison/1",
        "tool": {"name": "speclint", "version": __version__},
        "motor": None if findings.motor is None else _motor(findings.motor),
        "ranking": None if findings.ranking is None else _ranking(findings.ranking),
        "notes": list(findings.notes),
        "problems": [
            {"id": one.id, "kind": one.kind.value, "message": one.message, "where": where(one.place)}
            for one in findings.problems
        ],
        "cautions": [{"id": id_, "message": text} for id_, text in CAUTIONS],
    }
    return json.dumps(report, ensure_ascii=False, allow_nan=False, indent=1) + "\n"


def _motor(found: MotorFindings) -> dict[str, Any]:
    equivalent = found.equivalent
    return {
        "name": found.name,
        "file": found.file,
        "comparison": None if found.comparison is None else _comparison(found.comparison),
        "meanings": [
            {"id": one.id, "message": one.message, "source": one.source, "warns": one.warns}
            for one in found.interpretations
        ],
        "equivalent_gearing": _equivalent(equivalent) if isinstance(equivalent, Equivalent) else None,
        "no_equivalent_because": equivalent if isinstance(equivalent, str) and equivalent else None,
        "trends": [_trend(one) for one in found.trends],
        "meetings": [_meeting(one) for one in found.crossings],
        "instruments_from": list(found.instruments_from),
    }


def _comparison(found: Comparison) -> dict[str, Any]:
    supply = found.conditions.supply_v
    return {
        "first": _run(found.first),
        "second": _run(found.second),
        "why": found.why,
        "rebuilds": [
            {"date": str(one.data["date"]), "did": list(one.data["did"]), "note": one.data.get("note")}
            for one in found.rebuilds
        ],
        "supply_v": None if supply is None else to_float(supply),
        "temperature_c": 20,
        "changes": [_change(one) for one in found.changes],
        "assumptions": list(found.assumptions),
        "notes": list(found.notes),
    }


def _run(run: ComparedRun) -> dict[str, Any]:
    return {
        "number": run.number,
        "date": str(run.record.data["date"]),
        "rotor": run.rotor or None,
        "where": where(run.motor.document.place(run.record.path)),
    }


def _change(found: QuantityChange) -> dict[str, Any]:
    return {
        "quantity": found.quantity.name,
        "unit": found.quantity.unit,
        "first": _plain(found.first),
        "second": _plain(found.second),
        "difference": _plain(found.difference),
        "percent": None if found.percent is None else to_float(found.percent),
        "expanded_uncertainty": found.expanded_uncertainty,
        "word": found.conclusion.value,
        "reason": found.reason or None,
        "shared_instruments": list(found.shares),
    }


def _equivalent(found: Equivalent) -> dict[str, Any]:
    return {
        "setup": found.setup,
        "file": found.file,
        "old_ratio": to_float(found.old_ratio),
        "ratio": _plain(found.ratio),
        "expanded_uncertainty": found.expanded_uncertainty,
        "change_shown": found.changed,
        "spur_teeth": found.spur_teeth,
        "fitted_pinion_teeth": found.fitted,
        "judged": [_judged(one) for one in found.judged],
        "closest": _gear(found.closest),
        "closest_legal": None if found.closest_legal is None else _gear(found.closest_legal),
        "from_parts_box": found.from_box,
    }


def _gear(found: PinionChoice) -> dict[str, Any]:
    return {
        "pinion_teeth": found.pinion_teeth,
        "ratio": to_float(found.ratio),
        "off_percent": to_float(found.off_percent),
        "judged": [_judged(one) for one in found.judged],
    }


def _judged(found: EntryVerdict) -> dict[str, Any]:
    return {"entry": found.label, "verdict": found.verdict.value, "message": found.message or None}


def _trend(found: Trend) -> dict[str, Any]:
    line = found.line
    return {
        "quantity": found.quantity.name,
        "unit": found.quantity.unit,
        "direction": found.direction,
        "reason": found.reason or None,
        "since": None if found.since is None else str(found.since.data["date"]),
        "until": None if found.until is None else str(found.until.data["date"]),
        "slope_per_day": None if line is None else to_float(line.slope),
        "slope_expanded_uncertainty": None if line is None else line.slope_uncertainty,
        "scatter": None if line is None else line.scatter,
        "points": [
            {
                "run": point.run.number,
                "date": str(point.run.record.data["date"]),
                "value": _plain(point.value),
                "expanded_uncertainty": _blur(point.value),
            }
            for point in found.points
        ],
    }


def _meeting(found: LimitCrossing) -> dict[str, Any]:
    return {
        "quantity": found.trend.quantity.name,
        "unit": found.trend.quantity.unit,
        "limit": to_float(found.limit),
        "rule": found.bound.label,
        "on": found.on.isoformat(),
        "earliest": found.earliest.isoformat(),
        "latest": None if found.latest is None else found.latest.isoformat(),
        "passed": found.passed,
    }


def _ranking(found: Ranking) -> dict[str, Any]:
    supply = found.conditions.supply_v
    return {
        "supply_v": None if supply is None else to_float(supply),
        "temperature_c": 20,
        "one_spec": found.one_spec,
        "pick": None if found.pick is None else found.pick.file,
        "level_with": [one.file for one in found.level_with],
        "motors": [_candidate(one) for one in found.candidates],
        "differences": [
            {
                "quantity": name,
                "least": against[0][0].file,
                "others": [{"file": one.file, **_change(change)} for one, change in against[1:]],
            }
            for name, against in found.differences.items()
            if against
        ],
        "obstacles": list(found.obstacles),
    }


def _candidate(found: Candidate) -> dict[str, Any]:
    return {
        "name": found.name,
        "file": found.file,
        "turns": None if found.turns is None else to_float(found.turns),
        "standing": found.legality.value,
        "readings": [
            {
                "quantity": one.name,
                "unit": one.unit,
                "value": _plain(newest_values.level.number),
                "expanded_uncertainty": None
                if newest_values.level.number is None
                else _blur(newest_values.level.number),
                "run": None if newest_values.run is None else newest_values.run.number,
                "reason": newest_values.reason or None,
            }
            for one in COMPARED
            for newest_values in [found.newest_values[one.name]]
        ],
        "not_met": [
            {"entry": label, "rule": check.rule.id, "verdict": check.verdict.value, "message": message(check)}
            for label, check in found.checks
            if check.verdict in (Verdict.ILLEGAL, Verdict.NOT_SHOWN)
        ],
    }


def _blur(number: Number) -> float | None:
    return expanded_uncertainty_of(number) if isinstance(number, Measured) else None


def _plain(value: Number | None) -> float | int | None:
    return None if value is None else number(value)
