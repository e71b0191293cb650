"""Text from files within Markdown: what means something there loses its meaning. The form is that of CommonMark."""

import re
from typing import Final

from speclint.plain import clipped, one_line

_LONGEST: Final = 2000
"""Signs of one text that are shown."""

_PUNCTUATION: Final = re.compile(r"[!-/:-@\[-`{-~]")
"""Signs that mean something to Markdown, each of which a backslash takes its meaning (CommonMark 0.31, 2.4)."""

_HARMLESS: Final = frozenset("!+\"%'(),-./:;=?@")
"""Those of them that mean nothing within a line, once the others are escaped."""


def escaped(text: str) -> str:
    """A text on one line, as Markdown shows it."""
    shown = one_line(clipped(text, _LONGEST)).strip()
    return _PUNCTUATION.sub(lambda sign: sign[0] if sign[0] in _HARMLESS else f"\\{sign[0]}", shown)
