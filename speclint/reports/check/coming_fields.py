"""The fields of `report/1` for what changes for cars on days to come."""

from typing import Final

from speclint.findings import ComingChange, ComingSort
from speclint.reports.fields import Record, field, part, record
from speclint.reports.places import WHERE
from speclint.rules.checks import Verdict

COMING: Final[Record[ComingChange]] = record(
    "coming", "What changes for a car on a day to come, as the car is now.",
    field("on", "day", "The day.", "2026-05-01", lambda change: change.on),
    field("file", "text", "The setup's file, with / between folders.", "setups/car-12.yaml",
          lambda change: change.file),
    field("name", "text", "The car.", "Car 12", lambda change: change.name),
    field("sort", ComingSort, "What it is that changes.", "rule", lambda change: change.sort),
    field("rules", "text", "The ruleset and the class that it is about.", "harbour-city/stock-17",
          lambda change: change.book, null=True),
    field("message", "text", "What changes.",
          "mass: this rule asks at least 1360 g: the car with 1350 g will be illegal", lambda change: change.text),
    field("verdict", Verdict, "What the rule turns to, or what is said of the entry.", "illegal",
          lambda change: change.verdict, null=True),
    part("where", WHERE, "Where it stands.", lambda change: change.place),
)  # fmt: skip
"""What changes for a car."""
