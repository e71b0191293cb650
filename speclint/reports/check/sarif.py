"""The `sarif` report: what code scanning reads, SARIF 2.1.0 (OASIS, with errata 01)."""

from collections.abc import Iterator
from typing import Any, Final, NamedTuple

from speclint import __version__
from speclint.documents.tree import Document
from speclint.findings import EntryResult, Tally
from speclint.places import Place
from speclint.reports import Order
from speclint.reports.check.fixes import fix
from speclint.reports.check.remarks import (
    EntryRemarks,
    Remark,
    RemarksByCar,
    Weight,
    advice_remarks,
    problem_remarks,
    remarks_on,
)
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


class _RuleTexts(NamedTuple):
    """What is said of a rule: shortly, at length, by a tag, and where its ruleset states it."""

    short: str
    full: str
    tag: str
    place: Place | None = None


class _Waived(NamedTuple):
    """A rule that the club has waived for a car."""

    about: str
    text: str
    place: Place
    car: str
    justification: str


class _Extract(NamedTuple):
    """What the log needs of an entry; of its rules those that it is the first to have."""

    remarks: EntryRemarks
    waived: tuple[_Waived, ...]
    rules: tuple[tuple[str, _RuleTexts], ...]


class Sarif:
    """Puts what there is to say aside as it comes: the descriptions of rules stand before all results."""

    def __init__(self, order: Order) -> None:
        self._spool = order.spool()
        self._remarks: list[int] = []
        self._waived: list[int] = []
        self._by_car = RemarksByCar()
        self._extracted: set[str] = set()
        self._rules = _Rules()
        self._waived_rules: dict[str, None] = {}
        self._fingerprints: dict[str, int] = {}

    def extract(self, result: EntryResult) -> _Extract:
        """The remarks on it, its waived rules, and the texts of rules that were not extracted yet."""
        checks = [(f"{result.flat.label}/{check.rule.id}", check) for check in result.checks]
        new = [(about, check) for about, check in checks if about not in self._extracted]
        self._extracted.update(about for about, _ in new)
        return _Extract(
            remarks_on(result),
            tuple(_waived(about, check, result) for about, check in checks if check.waived),
            tuple((about, _texts(about, check)) for about, check in new),
        )

    def add(self, extract: _Extract) -> str:
        """Nothing yet."""
        for about, texts in extract.rules:
            self._rules.add(about, texts)
        for remark in self._by_car.add(extract.remarks):
            self._put(remark)
        for waived in extract.waived:
            self._waived_rules[waived.about] = None
            self._waived.append(self._spool.put(waived))
        return ""

    def end(self, tally: Tally) -> Iterator[str]:
        """The whole log."""
        for remark in (*self._by_car.last(), *problem_remarks(tally), *advice_remarks(tally)):
            self._put(remark)
        for about in self._waived_rules:
            self._rules.index(about, "none")
        driver = {
            "name": "speclint",
            "fullName": f"speclint {__version__}",
            "version": __version__,
            "semanticVersion": __version__,
            "informationUri": HOME,
            "rules": self._rules.described,
        }
        run = {
            "tool": {"driver": driver},
            "automationDetails": {"id": "speclint/"},
            "invocations": [{"executionSuccessful": not tally.defects}],
            "columnKind": "unicodeCodePoints",
            "results": [],
        }
        before, after = dumped({"$schema": _SCHEMA, "version": "2.1.0", "runs": [run]}).rsplit("[]", 1)
        yield f"{before}["
        for number, result in enumerate(self._results(tally)):
            self._number_alike(result)
            yield f"{', ' if number else ''}{dumped(result)}"
        yield f"]{after}\n"

    def _put(self, remark: Remark) -> None:
        """Puts it aside, with its rule described before it is asked for."""
        self._rules.index(remark.about, _KINDS[remark.weight][1])
        self._remarks.append(self._spool.put(remark))

    def _results(self, tally: Tally) -> Iterator[Json]:
        """The remarks in their order, and after them the waived rules."""
        for number in self._remarks:
            yield _result(self._spool.get(number), tally, self._rules)
        for number in self._waived:
            yield _suppressed(self._spool.get(number), tally, self._rules)

    def _number_alike(self, result: Json) -> None:
        """Gives fingerprints that several results share a number, since no two may be taken for one."""
        prints = result["partialFingerprints"]
        text = prints["ruleAndPlace/v1"]
        count = self._fingerprints[text] = self._fingerprints.get(text, 0) + 1
        if count > 1:
            prints["ruleAndPlace/v1"] = f"{text}:{count}"


begin: Final = Sarif


class _Rules:
    """The rules that results are about, each described once."""

    def __init__(self) -> None:
        self._texts: dict[str, _RuleTexts] = {}
        self._indices: dict[str, int] = {}
        self.described: list[Json] = []

    def add(self, about: str, texts: _RuleTexts) -> None:
        """Takes in what is said of a rule, where nothing is known of it yet."""
        self._texts.setdefault(about, texts)

    def index(self, about: str, level: str) -> int:
        """Where a rule stands; it is described when it is first asked for."""
        if about not in self._indices:
            self._indices[about] = len(self.described)
            self.described.append(self._description(about, level))
        return self._indices[about]

    def place(self, about: str) -> Place | None:
        """Where the ruleset states it."""
        texts = self._texts.get(about)
        return None if texts is None else texts.place

    def _description(self, about: str, level: str) -> Json:
        short, full, tag, place = self._texts.get(about) or _sort_texts(about)
        tags = [tag] if place is None else [tag, "rule"]
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


def _texts(about: str, check: Check) -> _RuleTexts:
    rule, asked = check.rule, asks(check)
    short = f"{title(check)}: {asked}" if asked else title(check)
    full = " ".join(part for part in (f"{short}.", rule.because, rule.measure) if part)
    clause = f"Clause {rule.cite} of the class rules. " if rule.cite else ""
    return _RuleTexts(short, f"{clause}{full}", about.split("/")[1], rule.place)


def _waived(about: str, check: Check, result: EntryResult) -> _Waived:
    text = f"{_ended(message(check))} ({result.file}, {result.on})"
    return _Waived(about, text, check.place, result.file, check.waived)


def _sort_texts(about: str) -> _RuleTexts:
    """What a sort of problem or advice means, shortly and at length, with its tag."""
    from speclint.advice.registry import ADVICE_SORTS
    from speclint.problems import SORTS_BY_ID

    sort = SORTS_BY_ID.get(about)
    if sort is not None:
        return _RuleTexts(sort.meaning, f"{sort.meaning} {sort.remedy}", "problem")
    advice = next((advice for advice in ADVICE_SORTS if advice.id == about), None)
    if advice is not None:
        return _RuleTexts(advice.title, f"{_ended(advice.title)} {advice.because}", "advice")
    return _RuleTexts(f"The class {about}.", f"The class {about}, as it is entered.", "rule")


def _result(remark: Remark, tally: Tally, rules: _Rules) -> Json:
    kind, level = _KINDS[remark.weight]
    context = f" ({remark.context})" if remark.context else ""
    result = _bare(remark.about, kind, level, f"{_ended(remark.message)}{context}", remark.place, tally, rules)
    result["partialFingerprints"] = {
        "ruleAndPlace/v1": f"{remark.about}:{remark.place.file}{remark.place.pointer}:{remark.car}"
    }
    fixes = [made for remedy in remark.remedies if (made := fix(remedy, tally.document_of, _uri)) is not None]
    return {**result, "fixes": fixes} if fixes else result


def _suppressed(waived: _Waived, tally: Tally, rules: _Rules) -> Json:
    result = _bare(waived.about, "notApplicable", "none", waived.text, waived.place, tally, rules)
    return {
        **result,
        "partialFingerprints": {"ruleAndPlace/v1": f"{waived.about}:{waived.car}{waived.place.pointer}:waived"},
        "suppressions": [{"kind": "external", "status": "accepted", "justification": waived.justification}],
    }


def _bare(about: str, kind: str, level: str, text: str, place: Place, tally: Tally, rules: _Rules) -> Json:
    index = rules.index(about, level)
    result = {
        "ruleId": about,
        "ruleIndex": index,
        "kind": kind,
        "level": level,
        "message": {"text": text},
        "locations": [{"physicalLocation": _location(place, tally.document_of(place.file))}],
    }
    stated = rules.place(about)
    if stated is not None and tally.document_of(stated.file) is not None:
        result["relatedLocations"] = [
            {
                "id": 1,
                "message": {"text": "The rule."},
                "physicalLocation": _location(stated, tally.document_of(stated.file)),
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


def _ended(text: str) -> str:
    """A sentence, since code scanning takes the first one for a title."""
    shown = text if len(text) < _LONGEST else f"{text[: _LONGEST - 2]}…"
    return shown if shown.endswith((".", "…", "?", "!")) else f"{shown}."
