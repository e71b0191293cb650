"""What a person types at a terminal, as the value that is meant, or why it cannot be one."""

import re
from datetime import date
from typing import Final

from speclint.errors import UsageError
from speclint.moments import typed_day
from speclint.schema_nodes import ID

_TURNS: Final = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*(?:t|turns?)?", re.IGNORECASE)


def typed_turns(text: str) -> float:
    """The turns of a winding: 17.5, and 17,5 or 17.5T as people write it.

    Raises:
        UsageError: it is no number of turns.
    """
    turns = _TURNS.fullmatch(text.strip())
    value = float(turns[1].replace(",", ".")) if turns is not None else 0.0
    if not value > 0:
        raise UsageError(f"{text} is no number of turns; write it as 17.5")
    return value


def typed_id(text: str) -> str:
    """An id, which stands in commands and file names.

    Raises:
        UsageError: it cannot be one; the message has one that can.
    """
    if re.fullmatch(ID.removesuffix("$").removeprefix("^"), text):
        return text
    near = re.sub(r"[^a-z0-9._-]+", "-", text.lower()).strip("-._") or "our-club"
    raise UsageError(
        f"{text} is no id, as it stands in commands and file names: lower-case letters, digits and hyphens, {near}"
    )


def typed_race_day(text: str) -> date:
    """A day: 2026-03-14, or with dots the way that people write it where the day comes first.

    Raises:
        UsageError: it is no day.
    """
    day = typed_day(text)
    if day is None:
        raise UsageError(f"{text} is not a day; write it as 2026-03-14")
    return day
