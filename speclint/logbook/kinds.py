"""The kinds of record, and where each stands."""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class RecordKind:
    """One kind of record.

    Attributes:
        name: The word for it on the command line.
        title: What it is called in a sentence.
        about: What it records.
        holder: The kind of file that it belongs to: a motor, which may stand in a setup, a setup, or an inspection.
        key: The key of the list that holds such records.
        definition: Its name among the schema's definitions.
    """

    name: str
    title: str
    about: str
    holder: str
    key: str
    definition: str

    @property
    def schema(self) -> str:
        """The format whose schema describes it."""
        return f"{self.holder}/1"

    @property
    def of_motor(self) -> bool:
        """Whether it belongs to the motor."""
        return self.holder == "motor"

    @property
    def is_dated(self) -> bool:
        """Whether it has a day of its own; a car that was inspected has that of its inspection."""
        return self.holder != "inspection"

    @property
    def apart(self) -> str:
        """What tells it from another of the same values."""
        return "the time of day in --date, or a --note" if self.is_dated else "the time of day in --at, or a --note"


KINDS: Final = (
    RecordKind("bench", "bench run", "One measurement of the motor alone.", "motor", "bench_runs", "bench_run"),
    RecordKind("track", "track run", "One run of the car on a track.", "setup", "track_runs", "track_run"),
    RecordKind("rebuild", "rebuild", "One time that the motor was opened, or a part of it changed.", "motor",
         "rebuilds", "rebuild"),
    RecordKind("car", "car", "One car as the officials found it on a race day.", "inspection", "cars", "inspected_car"),
)  # fmt: skip
"""Every kind, in the order in which they are told."""

KINDS_BY_NAME: Final = {kind.name: kind for kind in KINDS}
