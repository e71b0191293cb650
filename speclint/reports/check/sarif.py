"""The `sarif` report: what code scanning reads, SARIF 2.1.0 (OASIS, with errata 01)."""

from collections.abc import Iterable
from typing import Any, Final

from speclint import __version__
from speclint.documents.tree import Document
from speclint.findings import EntryResult, Findings
from speclint.places import Place
from speclint.reports import Order, Paper
from speclint.reports.check.fixes import fix
from speclint.reports.check.gathered import Gathered
from speclint.reports.check.remarks import Remark, Weight, remarks_of
from speclint.reports.json_text import dumped
from speclint.rules.checks import Check
from speclint.rules.wording import asks, message, title

_SCHEMA: Final = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"

HOME: Final = "https://speclint.example.org"
"""Stands for the project's own page, of which there is none yet."""

_KINDS: Final = {
    Weight.ILLEGAL: ("fail", "error"),
    Weight.PROBLEM: ("fail", "error"),
    Weight.NOT_SHOWN: ("open", "none"),
    Weight.CLOSE_CALL: ("review", "none"),
    Weight.DIFFERS: ("fail", "warning"),
    Weight.ADVICE: ("fail", "note"),
}
"""Kind and level of a result: a level other than none is for what fails (SARIF 2.1.0, 3.27.10)."""

_SEVERITIES: Final = {"error": "error", "note": "recommendation"}

_LONGEST: Final = 1024
"""Signs of a description that code scanning takes."""

_UNRESERVED: Final = frozenset(b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._~/")
"""Bytes that stand for themselves in the path of a URI (RFC 3986, 2.3)."""

Json = dict[str, Any]


def begin(order: Order) -> Gathered:
    """The report."""
    return Gathered(render, order)


def render(findings: Findings, _: Paper) -> str:
    """The whole log."""
    remarks = remarks_of(findings)
    waived = [(entry, check) for entry in findings.entries for check in entry.checks if check.waived]
    rules = _Rules(findings.entries)
    results = [_result(remark, findings, rules) for remark in remarks]
    results += (_suppressed(entry, check, findings, rules) for entry, check in waived)
    _number_alike(results)
    driver = {
        "name": "speclint",
        "fullName": f"speclint {__version__}",
        "version": __version__,
        "semanticVersion": __version__,
        "informationUri": HOME,
        "rules": rules.described,
    }
    run = {
        "tool": {"driver": driver},
        "automationDetails": {"id": "speclint/"},
        "invocations": [{"executionSuccessful": not findings.defects}],
        "columnKind": "unicodeCodePoints",
        "results": results,
    }
    return f"{dumped({'$schema': _SCHEMA, 'version': '2.1.0', 'runs': [run]})}\n"


class _Rules:
    """The rules that results are about, each described once."""

    def __init__(self, entries: Iterable[EntryResult]) -> None:
        self._checks = {_rule_name(entry, check): check for entry in entries for check in entry.checks}
        self._indices: dict[str, int] = {}
        self.described: list[Json] = []

    def index(self, about: str, level: str) -> int:
        """Where a rule stands; it is described when it is first asked for."""
        if about not in self._indices:
            self._indices[about] = len(self.described)
            self.described.append(self._description(about, level))
        return self._indices[about]

    def place(self, about: str) -> Place | None:
        """Where the ruleset states it."""
        check = self._checks.get(about)
        return None if check is None else check.rule.place

    def _description(self, about: str, level: str) -> Json:
        check = self._checks.get(about)
        if check is None:
            short, full, tags = _sort_texts(about)
        else:
            rule = check.rule
            asked = asks(check)
            short = f"{title(check)}: {asked}" if asked else title(check)
            full = " ".join(part for part in (f"{short}.", rule.because, rule.measure) if part)
            clause = f"Clause {rule.cite} of the class rules. " if rule.cite else ""
            full, tags = f"{clause}{full}", [about.split("/")[1], "rule"]
        return {
            "id": about,
            "name": "".join(word.capitalize() for word in f"{about}-{tags[-1]}".replace("/", "-").split("-")),
            "shortDescription": {"text": _ended(short)},
            "fullDescription": {"text": _ended(full)},
            "help": {"text": f"{_ended(full)} `speclint explain {about}` says more of it."},
            "helpUri": HOME,
            "defaultConfiguration": {"level": "error" if level == "none" else level},
            "properties": {
                "tags": tags,
                "precision": "very-high",
                "problem.severity": _SEVERITIES.get(level, "warning"),
            },
        }


def _sort_texts(about: str) -> tuple[str, str, list[str]]:
    """What a sort of problem or advice means, shortly and at length, with its tag."""
    from speclint.advice.registry import ADVICE_SORTS
    from speclint.problems import SORTS_BY_ID

    sort = SORTS_BY_ID.get(about)
    if sort is not None:
        return sort.meaning, f"{sort.meaning} {sort.remedy}", ["problem"]
    advice = next((advice for advice in ADVICE_SORTS if advice.id == about), None)
    if advice is not None:
        return advice.title, f"{_ended(advice.title)} {advice.because}", ["advice"]
    return f"The class {about}.", f"The class {about}, as it is entered.", ["rule"]


def _rule_name(entry: EntryResult, check: Check) -> str:
    return f"{entry.flat.ruleset.id}/{entry.flat.id}/{check.rule.id}"


def _result(remark: Remark, findings: Findings, rules: _Rules) -> Json:
    kind, level = _KINDS[remark.weight]
    context = f" ({remark.context})" if remark.context else ""
    result = _bare(remark.about, kind, level, f"{_ended(remark.message)}{context}", remark.place, findings, rules)
    result["partialFingerprints"] = {
        "ruleAndPlace/v1": f"{remark.about}:{remark.place.file}{remark.place.pointer}:{remark.car}"
    }
    fixes = [made for remedy in remark.remedies if (made := fix(remedy, findings.document_of, _uri)) is not None]
    return {**result, "fixes": fixes} if fixes else result


def _suppressed(entry: EntryResult, check: Check, findings: Findings, rules: _Rules) -> Json:
    """A rule that the club has waived for a car."""
    about = _rule_name(entry, check)
    text = f"{_ended(message(check))} ({entry.file}, {entry.on})"
    result = _bare(about, "notApplicable", "none", text, check.place, findings, rules)
    return {
        **result,
        "partialFingerprints": {"ruleAndPlace/v1": f"{about}:{entry.file}{check.place.pointer}:waived"},
        "suppressions": [{"kind": "external", "status": "accepted", "justification": check.waived}],
    }


def _bare(about: str, kind: str, level: str, text: str, place: Place, findings: Findings, rules: _Rules) -> Json:
    index = rules.index(about, level)
    result = {
        "ruleId": about,
        "ruleIndex": index,
        "kind": kind,
        "level": level,
        "message": {"text": text},
        "locations": [{"physicalLocation": _location(place, findings.document_of(place.file))}],
    }
    stated = rules.place(about)
    if stated is not None and findings.document_of(stated.file) is not None:
        result["relatedLocations"] = [
            {
                "id": 1,
                "message": {"text": "The rule."},
                "physicalLocation": _location(stated, findings.document_of(stated.file)),
            }
        ]
    return result


def _location(place: Place, document: Document | None) -> Json:
    end_line, end_column = (place.line, place.column) if document is None else document.end_of(place)
    region = {
        "startLine": place.line,
        "startColumn": place.column,
        "endLine": end_line,
        "endColumn": max(end_column, place.column),
    }
    return {"artifactLocation": {"uri": _uri(place.file)}, "region": region}


def _uri(file: str) -> str:
    """The name of a file as a relative reference (RFC 3986): never the address of a machine."""
    encoded = file.encode("utf-8", "surrogateescape")
    return "".join(chr(byte) if byte in _UNRESERVED else f"%{byte:02X}" for byte in encoded)


def _number_alike(results: Iterable[Json]) -> None:
    """Gives fingerprints that several results share a number, since no two may be taken for one."""
    counts: dict[str, int] = {}
    for result in results:
        prints = result["partialFingerprints"]
        text = prints["ruleAndPlace/v1"]
        counts[text] = counts.get(text, 0) + 1
        if counts[text] > 1:
            prints["ruleAndPlace/v1"] = f"{text}:{counts[text]}"


def _ended(text: str) -> str:
    """A sentence, since code scanning takes the first one for a title."""
    shown = text if len(text) < _LONGEST else f"{text[: _LONGEST - 2]}…"
    return shown if shown.endswith((".", "…", "?", "!")) else f"{shown}."
