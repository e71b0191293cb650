"""The three kinds of record, and where each stands."""

from dataclasses import dataclass
from typing import Final

from speclint.places import Path


@dataclass(frozen=True, slots=True)
class RecordKind:
    """One kind of record.

    Attributes:
        name: The word for it on the command line.
        title: What it is called in a sentence.
        about: What it records.
        of_motor: Whether it belongs to the motor, which may have a file of its own; else to the setup.
        key: The key of the list that holds such records.
        definition: Its name among the schema's definitions.
    """

    name: str
    title: str
    about: str
    of_motor: bool
    key: str
    definition: str

    @property
    def schema(self) -> str:
        """The format whose schema describes it."""
        return "motor/1" if self.of_motor else "setup/1"

    def sample_path(self) -> Path:
        """Where the only record of a file of that format stands."""
        return (self.key, 0)


KINDS: Final = (
    RecordKind("bench", "bench run", "One measurement of the motor alone.", True, "bench_runs", "bench_run"),
    RecordKind("track", "track run", "One run of the car on a track.", False, "track_runs", "track_run"),
    RecordKind("rebuild", "rebuild", "One time that the motor was opened, or a part of it changed.", True, "rebuilds",
         "rebuild"),
)  # fmt: skip
"""Every kind, in the order in which they are told."""

KINDS_BY_NAME: Final = {kind.name: kind for kind in KINDS}
