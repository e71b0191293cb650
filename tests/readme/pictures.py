"""Pictures of a slip and of a field, drawn from the text that a check writes: `python -m tests.readme` makes them anew."""

import re
from collections.abc import Iterator
from datetime import date
from html import escape
from pathlib import Path
from typing import Final

from speclint.check.pipeline import check, gathered
from speclint.files import Folder
from speclint.plain import columns
from speclint.reports import Order, Paper
from speclint.reports.check.text import begin
from speclint.workspace.overrides import Overrides

ROOT: Final = Path(__file__).resolve().parents[2]
PICTURES: Final = ROOT / "examples" / "pictures"
SUBJECTS: Final = {"slip.svg": "examples/cars/car-14-one-tooth-too-tall.yaml", "field.svg": "examples/cars"}
"""The picture of each file or folder."""

_WIDTH: Final = 100
_ADVANCE: Final = 8.4
"""How far one column of type goes, in the units of the picture."""

_LINE: Final = 19
_MARGIN: Final = 16
_PAINTED: Final = re.compile("\x01([a-z]+)\x02([^\x03]*)\x03|([^\x01]+)")
_STYLE: Final = """\
rect{fill:#fff}text{font:14px ui-monospace,Menlo,Consolas,monospace;fill:#1b1d1f;white-space:pre}\
.head{font-weight:700}.fail{fill:#a3262a;font-weight:700}.ask{fill:#8a5a00;font-weight:700}.do{fill:#1f6f54}.soft{fill:#5b6166}\
@media(prefers-color-scheme:dark){rect{fill:#14171a}text{fill:#e9ecee}.fail{fill:#ff8d86}.ask{fill:#e6b65c}.do{fill:#6cc7a3}\
.soft{fill:#9aa3aa}}"""


def painted_text(path: str) -> str:
    """What `check` writes of a path on a terminal of 100 columns, each styled word between marks."""
    folder = Folder(str(ROOT))
    listing = folder.find((path,))
    results = check(listing.files, folder, Overrides(today=date(2026, 3, 14)), named=listing.named)
    findings = gathered(results)
    report = begin(Order(Paper(width=_WIDTH, paint=lambda text, style: f"\x01{style}\x02{text}\x03")))
    return "".join([*(report.add(report.extract(entry)) for entry in findings.entries), report.end(findings)])


def picture(text: str, about: str) -> str:
    """The text as an SVG picture, light or dark as its reader has it."""
    lines = text.rstrip("\n").split("\n")
    width = round(_MARGIN * 2 + _WIDTH * _ADVANCE)
    height = _MARGIN * 2 + _LINE * len(lines)
    rows = "\n".join(_row(line, _MARGIN + _LINE * (i + 0.75)) for i, line in enumerate(lines) if line)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" role="img" aria-label="{escape(about)}">\n'
        f'<style>{_STYLE}</style>\n<rect width="{width}" height="{height}"/>\n{rows}\n</svg>\n'
    )


def pictures() -> Iterator[tuple[Path, str]]:
    """Every picture with its text."""
    for name, path in SUBJECTS.items():
        yield PICTURES / name, picture(painted_text(path), f"What speclint check {path} writes")


def _row(line: str, height: float) -> str:
    """A line of text, each stretch of it at the column where it stands."""
    spans, column = [], 0
    for style, painted, plain in _PAINTED.findall(line):
        text = painted or plain
        if text.strip():
            place = f'x="{_MARGIN + (column + len(text) - len(text.lstrip())) * _ADVANCE:.1f}"'
            kind = f' class="{style}"' if style not in ("", "plain") else ""
            spans.append(f"<tspan {place}{kind}>{escape(text.strip())}</tspan>")
        column += columns(text)
    return f'<text y="{height:g}">{"".join(spans)}</text>'
