"""A motor as a value: what it states of itself, and its records from the newest to the oldest."""

from collections.abc import Callable, Mapping
from datetime import date
from fractions import Fraction
from typing import Any, NamedTuple, TypeVar

from speclint.documents.tree import Document
from speclint.models.bench import BenchRun, FactorySheet, bench_run_of, factory_sheet_of
from speclint.models.instruments import instruments_of
from speclint.models.rotors import Rotor, rotor_of
from speclint.models.stated import StatedReading, stated_reading
from speclint.moments import Moment, moment
from speclint.places import Path
from speclint.readings.exact import exact
from speclint.readings.instruments import Instrument


class Rebuild(NamedTuple):
    """One time that the motor was opened or changed: `did` are the kinds of what was done."""

    path: Path
    when: Moment
    did: tuple[str, ...]
    note: str | None


class Shims(NamedTuple):
    """Shims on the rotor's shaft, each by its thickness in mm; None for an end that is not stated."""

    drive_end: tuple[Fraction, ...] | None = None
    sensor_end: tuple[Fraction, ...] | None = None


class Motor(NamedTuple):
    """One motor. `prefix` is where its keys begin: at the top of a motor file, under `motor` in a setup."""

    document: Document
    prefix: Path
    name: str | None
    turns: Fraction | None
    part: str | None
    serial: str | None
    sealed: bool | None
    connection: str | None
    timing_deg: float | None
    rotor: Rotor | None
    shims_mm: Shims
    end_play_mm: StatedReading | None
    fan: bool | None
    limit_c: float | None
    limit_rpm: float | None
    factory_sheet: FactorySheet | None
    bench_runs: tuple[BenchRun, ...]
    rebuilds: tuple[Rebuild, ...]
    instruments: Mapping[str, Instrument]

    @property
    def records(self) -> tuple[BenchRun | Rebuild, ...]:
        """Everything that is dated: the bench runs, then the rebuilds, each from the newest to the oldest."""
        return (*self.bench_runs, *self.rebuilds)

    def bench_runs_until(self, day: date) -> tuple[BenchRun, ...]:
        """The bench runs of the day and before it, newest first."""
        return tuple(run for run in self.bench_runs if run.when.day <= day)

    def rebuilds_until(self, day: date) -> tuple[Rebuild, ...]:
        """The rebuilds of the day and before it, newest first."""
        return tuple(rebuild for rebuild in self.rebuilds if rebuild.when.day <= day)


def motor_of(document: Document, prefix: Path = ()) -> Motor:
    """The motor whose keys begin at the prefix of a validated document."""
    get = (document.get(prefix) or {}).get
    turns = get("turns")
    return Motor(
        document,
        prefix,
        get("name"),
        None if turns is None else exact(turns),
        get("part"),
        get("serial"),
        get("sealed"),
        get("connection"),
        get("timing_deg"),
        rotor_of(get("rotor")),
        _shims(get("shims_mm")),
        stated_reading(get("end_play_mm")),
        get("fan"),
        get("limit_c"),
        get("limit_rpm"),
        factory_sheet_of(get("factory_sheet"), (*prefix, "factory_sheet")),
        _newest_first(get("bench_runs"), (*prefix, "bench_runs"), bench_run_of),
        _newest_first(get("rebuilds"), (*prefix, "rebuilds"), _rebuild),
        instruments_of(get("instruments"), document.file),
    )


def _rebuild(keys: Mapping[str, Any], path: Path) -> Rebuild:
    return Rebuild(path, moment(keys["date"]), tuple(keys["did"]), keys.get("note"))


def _shims(keys: Mapping[str, Any] | None) -> Shims:
    if not keys:
        return _NO_SHIMS
    ends = (keys.get("drive_end"), keys.get("sensor_end"))
    drive_end, sensor_end = (None if shims is None else tuple(map(exact, shims)) for shims in ends)
    return Shims(drive_end, sensor_end)


_NO_SHIMS = Shims()

_Record = TypeVar("_Record", BenchRun, Rebuild)


def _newest_first(
    listed: list[Mapping[str, Any]] | None, path: Path, record_of: Callable[[Mapping[str, Any], Path], _Record]
) -> tuple[_Record, ...]:
    if not listed:
        return ()
    records = [record_of(keys, (*path, i)) for i, keys in enumerate(listed)]
    if len(records) > 1:
        # Records are added at the end, so of those that no time of day tells apart the last one is the newest.
        records.reverse()
        records.sort(key=lambda record: record.when.newest_first, reverse=True)
    return tuple(records)
