"""What a rebuild does to what is known of a motor: which readings it ends, and what to measure and write down anew."""

from collections.abc import Iterator
from typing import Final

from speclint.logbook.entering import EnteredRecord
from speclint.models.bench import BenchRun, bench_run_of
from speclint.models.motors import Motor
from speclint.models.stated import is_stated
from speclint.moments import Moment, day_text, moment
from speclint.places import Path, dotted
from speclint.plain import listed
from speclint.quantities.checklists import CHECKLISTS_BY_KIND, MANUAL_FIRST
from speclint.quantities.model import Home, Quantity
from speclint.quantities.rebuilds import FAMILIES, REBUILDS_BY_KIND, WINDING
from speclint.quantities.registry import BY_NAME, QUANTITIES


def after_rebuild(entered: EnteredRecord, motor: Motor) -> Iterator[str]:
    """What follows from a rebuild that was entered: stale readings, what to measure, what to write down, cautions."""
    kinds = [kind for kind in REBUILDS_BY_KIND if kind in entered.record["did"]]
    yield from _stale_readings(kinds, motor, moment(entered.record["date"]))
    stated = [key for key in _stated(kinds, motor) if key not in entered.changed]
    if stated:
        yield f"see whether {listed(stated)} in {motor.document.file} still {'say' if len(stated) > 1 else 'says'} what is in the motor"
    yield MANUAL_FIRST
    yield from dict.fromkeys(caution for kind in kinds for caution in CHECKLISTS_BY_KIND[kind].cautions)
    yield f"the steps, and what to look at: {', '.join(f'speclint explain {kind}' for kind in kinds)}"


def _stale_readings(kinds: list[str], motor: Motor, when: Moment) -> Iterator[str]:
    """Which readings no longer count after these kinds of rebuild at a time."""
    ended = {family for kind in kinds for family in REBUILDS_BY_KIND[kind].ends}
    stale: dict[str, list[str]] = {}
    sheet_holds_winding = any(is_stated(motor.factory_sheet, path) for path in _BENCH_KEYS[WINDING])
    for family in FAMILIES:
        newest = _newest(motor, family) if family in ended else None
        if newest is not None and not newest.when.certainly_after(when):
            stale.setdefault(f"the bench run of {day_text(newest.when.day)}", []).append(family)
        elif newest is None and family == WINDING and family in ended and sheet_holds_winding:
            stale.setdefault("the factory sheet", []).append(family)
    for source, families in stale.items():
        yield f"what {source} says of {listed(families)} no longer counts: measure it again"
    if ended and not stale:
        newer = any(_newest(motor, family) for family in ended)
        yield f"no reading became stale: {'the newest are from after it' if newer else 'there was none of this kind'}"


def clash_with_rebuilds(entered: EnteredRecord, motor: Motor) -> Iterator[str]:
    """A bench run that counts as before a rebuild of its own day, because nothing says which came first."""
    when = moment(entered.record["date"])
    held = set(_families_in(bench_run_of(entered.record, ())))
    for rebuild in motor.rebuilds:
        ended = held & {family for kind in rebuild.did for family in REBUILDS_BY_KIND[kind].ends}
        undecided = rebuild.when.day == when.day and (rebuild.when.at is None or when.at is None)
        if undecided and ended:
            yield (
                f"the motor was rebuilt on the same day, {day_text(when.day)}, and nothing says which came first, so the"
                f' run counts as before the rebuild: give both a time of day, as in --date "{when.day.isoformat()} 19:30"'
            )


def _newest(motor: Motor, family: str) -> BenchRun | None:
    return next((run for run in motor.bench_runs if family in _families_in(run)), None)


def _families_in(run: BenchRun) -> Iterator[str]:
    for family, paths in _BENCH_KEYS.items():
        if any(is_stated(run, path) for path in paths):
            yield family


def _stated(kinds: list[str], motor: Motor) -> list[str]:
    """The keys of the motor that a rebuild may have made untrue, as far as the motor states them."""
    names = dict.fromkeys(name for kind in kinds for name in CHECKLISTS_BY_KIND[kind].write_down)
    keys = (BY_NAME[name].key for name in names if name in BY_NAME)
    paths = [key.path for key in keys if key is not None and key.home is Home.MOTOR and is_stated(motor, key.path)]
    return list(dict.fromkeys(dotted(path[:1]) for path in paths))


def _bench_keys(measured: Quantity) -> Iterator[Path]:
    for key in measured.principal:
        if key.home is Home.BENCH:
            yield key.path


_BENCH_KEYS: Final = {
    family: frozenset(path for measured in QUANTITIES if measured.family == family for path in _bench_keys(measured))
    for family in FAMILIES
}
"""For each family of readings, the keys of a bench run that show it."""
