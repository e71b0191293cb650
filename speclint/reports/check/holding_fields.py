"""The fields of `report/1` for files that are checked without a car."""

from typing import Final

from speclint.findings import Holding
from speclint.reports.fields import Record, field, record

HOLDING: Final[Record[Holding]] = record(
    "holding",
    "What a file holds that is checked without a car.",
    field(
        "file", "text", "The file, with / between folders.", "rulesets/harbour-city.yaml", lambda holding: holding.file
    ),
    field("name", "text", "What it is called.", "harbour-city@2026.2", lambda holding: holding.name),
    field("text", "text", "What it holds.", "2 classes, 11 rules, 6 examples hold", lambda holding: holding.text),
)
"""What a file holds."""
