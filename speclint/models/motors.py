"""A motor as a value: where its keys stand, and its records from the newest to the oldest."""

from datetime import date
from typing import Any, NamedTuple

from speclint.documents.tree import Document
from speclint.moments import Moment, moment
from speclint.places import Path


class Record(NamedTuple):
    """One dated record: `path` is where it stands in the motor's document."""

    path: Path
    when: Moment
    data: dict[str, Any]


class Motor(NamedTuple):
    """One motor. `prefix` is where its keys begin: at the top of a motor file, under `motor` in a setup."""

    document: Document
    prefix: Path
    data: dict[str, Any]
    bench_runs: tuple[Record, ...]
    rebuilds: tuple[Record, ...]

    def bench_runs_until(self, day: date) -> tuple[Record, ...]:
        """The bench runs of the day and before it, newest first."""
        return tuple(run for run in self.bench_runs if run.when.day <= day)

    def rebuilds_until(self, day: date) -> tuple[Record, ...]:
        """The rebuilds of the day and before it, newest first."""
        return tuple(rebuild for rebuild in self.rebuilds if rebuild.when.day <= day)


def motor_of(document: Document, prefix: Path = ()) -> Motor:
    """The motor whose keys begin at the prefix of a validated document."""
    data = document.get(prefix) or {}
    return Motor(
        document, prefix, data, _records(data, prefix, "bench_runs"), _records(data, prefix, "rebuilds")
    )  # fmt: skip


def _records(data: dict[str, Any], prefix: Path, key: str) -> tuple[Record, ...]:
    listed = data.get(key)
    if not listed:
        return ()
    records = [Record((*prefix, key, i), moment(item["date"]), item) for i, item in enumerate(listed)]
    if len(records) > 1:
        # Records are added at the end, so of those that no time of day tells apart the last one is the newest.
        records.reverse()
        records.sort(key=lambda record: record.when.newest_first, reverse=True)
    return tuple(records)
