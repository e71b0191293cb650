"""The `annotations` report: workflow commands that put remarks beside the lines of a change, and the rest as plain lines.

A CI service shows ten errors and ten warnings of a step, so that the ten worst are annotations. The form of a command is
that which GitHub Actions documents: `::error file=…,line=…::message`, with %, CR and LF escaped, in its settings : and , too.
"""

from typing import Final

from speclint.findings import Findings
from speclint.plain import clipped, in_ascii, one_line
from speclint.reports import Order, Paper
from speclint.reports.check.gathered import Gathered
from speclint.reports.check.remarks import Remark, Weight, coming_remarks, remarks_of, worst_first

_MOST: Final = 10
_LONGEST: Final = 4000
"""Signs of one message that are shown."""

_COMMANDS: Final = {
    Weight.ILLEGAL: "error",
    Weight.PROBLEM: "error",
    Weight.NOT_SHOWN: "warning",
    Weight.CLOSE_CALL: "warning",
    Weight.DIFFERS: "warning",
    Weight.COMING: "notice",
    Weight.ADVICE: "notice",
}


def begin(order: Order) -> Gathered:
    """The report."""
    return Gathered(render, order)


def render(findings: Findings, paper: Paper) -> str:
    """The ten worst remarks as commands, the others as lines, and how many these are."""
    remarks = worst_first((*remarks_of(findings), *coming_remarks(findings)))
    lines = [_command(remark, findings) for remark in remarks[:_MOST]]
    rest = remarks[_MOST:]
    lines += (f"{remark.place}: {remark.weight.value}: {_shown(remark.text)}" for remark in rest)
    if rest:
        lines.append(f"::notice title=speclint::{len(rest)} more: the log of this step has them all")
    text = "".join(f"{line}\n" for line in lines)
    return in_ascii(text) if paper.ascii_only else text


def _command(remark: Remark, findings: Findings) -> str:
    place, document = remark.place, findings.document_of(remark.place.file)
    settings = {"file": place.file, "line": place.line}
    if document is not None:
        line, column = document.end_of(place)
        settings |= {"endLine": line, "col": place.column, "endColumn": column}
    settings["title"] = f"speclint: {remark.weight.value}"
    text = ",".join(f"{name}={_setting(value)}" for name, value in settings.items())
    return f"::{_COMMANDS[remark.weight]} {text}::{_shown(remark.text).replace('%', '%25')}"


def _setting(value: object) -> str:
    return _shown(str(value)).replace("%", "%25").replace(":", "%3A").replace(",", "%2C")


def _shown(text: str) -> str:
    return one_line(clipped(text, _LONGEST))
