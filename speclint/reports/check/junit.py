"""The `junit` report: a suite for each entry with a case for each rule, and one for what is wrong with files.

No standard defines the form; it keeps to junit-10.xsd, the schema of the xUnit plug-in of Jenkins, by which others read it.
"""

from collections.abc import Iterable
from typing import Final, NamedTuple

from speclint.findings import EntryResult, Tally
from speclint.plain import clipped, one_line
from speclint.reports import Order
from speclint.reports.check.remarks import problem_remarks
from speclint.rules.checks import Check, Verdict
from speclint.rules.wording import message

_LONGEST: Final = 2000
"""Signs of one text that are shown."""

_SIGNS: Final = {"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;"}


class _Case(NamedTuple):
    """A test: its name, its outcome (`failure`, `skipped` or none), what it found, and which sort of failure it is."""

    name: str
    outcome: str = ""
    message: str = ""
    text: str = ""
    sort: str = "illegal"


class JUnit:
    """Writes a suite as soon as an entry is judged."""

    def __init__(self, _: Order) -> None:
        self._before = '<?xml version="1.0" encoding="UTF-8"?>\n<testsuites name="speclint">\n'

    def extract(self, result: EntryResult) -> str:
        """The suite of an entry, with what is legal too."""
        suite = f"{result.file}: {result.flat.label}, {result.on}"
        cases = [_of_check(check) for check in result.checks]
        if result.reason:
            outcome = "failure" if result.verdict is Verdict.ILLEGAL else "skipped"
            cases.append(_Case("entry", outcome, result.reason, f"{result.place}: {result.reason}"))
        return _suite(suite, cases)

    def add(self, extract: str) -> str:
        """The suite, the first after what stands before all."""
        before, self._before = self._before, ""
        return before + extract

    def end(self, tally: Tally) -> str:
        """The suite of the files."""
        before, self._before = self._before, ""
        problems = [
            _Case(
                f"{remark.place}: {remark.about}",
                "failure",
                remark.message,
                f"{remark.place}: {remark.text}",
                remark.about,
            )
            for remark in problem_remarks(tally)
        ]
        files = _suite("files", problems or [_Case("files are sound")])
        return f"{before}{files}</testsuites>\n"


begin: Final = JUnit


def _of_check(check: Check) -> _Case:
    sentence = f"{message(check)}, a close call" if check.close_call else message(check)
    remedies = "".join(f"\nto mend it: {remedy.message}" for remedy in check.remedies)
    text = f"{check.place}: {sentence}{check.rule.cite_behind}{remedies}"
    match check.verdict:
        case Verdict.LEGAL:
            return _Case(check.rule.id)
        case Verdict.ILLEGAL:
            return _Case(check.rule.id, "failure", sentence, text)
        case Verdict.NOT_SHOWN | Verdict.TO_INSPECT | Verdict.NOT_APPLICABLE:
            return _Case(check.rule.id, "skipped", f"{check.verdict.value}: {sentence}", text)


def _suite(name: str, cases: Iterable[_Case]) -> str:
    cases = tuple(cases)
    counts = {word: sum(1 for case in cases if case.outcome == word) for word in ("failure", "skipped")}
    head = (
        f'<testsuite name="{_escaped(name)}" tests="{len(cases)}" failures="{counts["failure"]}" errors="0"'
        f' skipped="{counts["skipped"]}">'
    )
    return "\n".join((f" {head}", *(_case(name, case) for case in cases), " </testsuite>")) + "\n"


def _case(suite: str, case: _Case) -> str:
    head = f'<testcase classname="{_escaped(suite)}" name="{_escaped(case.name)}"'
    if not case.outcome:
        return f"  {head}/>"
    kind = f' type="{_escaped(case.sort)}"' if case.outcome == "failure" else ""
    element = f'<{case.outcome}{kind} message="{_escaped(case.message)}">{_lines(case.text)}</{case.outcome}>'
    return f"  {head}>{element}</testcase>"


def _lines(text: str) -> str:
    return "\n".join(map(_escaped, text.split("\n")))


def _escaped(text: str) -> str:
    """Text as XML 1.0 can hold it: without control characters, halves of pairs and noncharacters."""
    shown = "".join("?" if "\ud800" <= sign <= "\udfff" or sign in "\ufffe\uffff" else sign for sign in text)
    return "".join(_SIGNS.get(sign, sign) for sign in one_line(clipped(shown, _LONGEST)))
