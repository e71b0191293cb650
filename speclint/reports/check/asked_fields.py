"""The fields of `report/1` for what was asked of a check."""

from typing import Final

from speclint.reports import RunOptions
from speclint.reports.fields import Record, field, record

ASKED: Final[Record[RunOptions]] = record(
    "asked", "What was asked for that the files do not say.",
    field("from", "day", "Entries before this day were left unjudged.", "2026-03-14", lambda asked: asked.overrides and asked.overrides.from_day,
          null=True),
    field("coming_from", "day", "The day after which what changes is listed.", "2026-03-14",
          lambda asked: asked.coming and asked.coming.start, null=True),
    field("coming_until", "day", "The last day of which that is listed.", "2026-04-13",
          lambda asked: asked.coming and asked.coming.end, null=True),
    field("known_on", "day", "Rules that were published after this day were left out.", "2026-03-14",
          lambda asked: asked.overrides and asked.overrides.known_on, null=True),
    field("as_of", "text", "The revision that the files were read at.", "v2", lambda asked: asked.as_of, null=True),
    field("ruleset", "text", "Judged by this ruleset in place of those of the entries.", "harbour-city@2026.2",
          lambda asked: asked.overrides and asked.overrides.ruleset, null=True),
    field("class", "text", "Judged in this class in place of those of the entries.", "stock-17",
          lambda asked: asked.overrides and asked.overrides.class_id, null=True),
    field("on", "day", "Judged for this day in place of those of the entries.", "2026-03-14", lambda asked: asked.overrides and asked.overrides.on,
          null=True),
)  # fmt: skip
"""What was asked for."""
