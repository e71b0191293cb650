"""Days and moments, as every document writes them."""

from typing import Final

from speclint.schema_nodes import Schema, node
from speclint.structure.dates import MOMENT_PATTERN

DEFS: Final[dict[str, Schema]] = {
    "day": node("day", "A calendar day: year-month-day.", ("2026-03-14",), type="string",
                pattern="^[0-9]{4}-[0-9]{2}-[0-9]{2}$", format="date"),
    "moment": node("day or moment", "A calendar day, with the time of day where the order within it matters.",
                   ("2026-03-14", "2026-03-14 19:30"), type="string", pattern=MOMENT_PATTERN),
}  # fmt: skip
