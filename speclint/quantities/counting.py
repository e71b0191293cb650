"""Which record counts: the newest of the day or before it, unless a later rebuild could have changed what it shows."""

from collections.abc import Iterator
from datetime import date

from speclint.models.bench import FactorySheet, Measurement
from speclint.models.motors import Motor
from speclint.models.stated import is_stated
from speclint.moments import day_text
from speclint.places import dotted
from speclint.quantities.key_reading import KeyReading
from speclint.quantities.model import Key
from speclint.quantities.rebuilds import REBUILDS_BY_KIND, WINDING


def newest_with(motor: Motor, keys: tuple[Key, ...], on: date) -> Measurement | None:
    """The newest record until the day that states any of these keys: one that lacks some of them is still the newest."""
    return next(records_with(motor, keys, on), None)


def records_with(motor: Motor, keys: tuple[Key, ...], on: date) -> Iterator[Measurement]:
    """The records until the day that state any of these keys, newest first.

    The factory sheet is a reading like any other, but older than all.
    """
    for run in motor.bench_runs_until(on):
        if not keys or any(is_stated(run, key.path) for key in keys):
            yield run
    sheet = motor.factory_sheet
    if sheet is not None and any(is_stated(sheet, key.path) for key in keys):
        yield sheet


def rebuilds_done(motor: Motor, on: date) -> KeyReading:
    """The kinds of rebuild in the motor's records until a day, the oldest first; a list without one says that there was none."""
    path = (*motor.prefix, "rebuilds")
    rebuilds = motor.rebuilds_until(on)
    if motor.document.get(path) is None:
        return KeyReading(None, ((motor.document, path),), (dotted(path),))
    origins = tuple((motor.document, (*rebuild.path, "did")) for rebuild in rebuilds)
    done = dict.fromkeys(kind for rebuild in reversed(rebuilds) for kind in rebuild.did)
    return KeyReading(tuple(done), origins or ((motor.document, path),))


def why_stale(motor: Motor, record: Measurement, family: str, title: str, on: date) -> str:
    """Why a record no longer shows a quantity of this family and title, in words; empty where it does."""
    if not family:
        return ""
    from_sheet = isinstance(record, FactorySheet)
    for rebuild in motor.rebuilds_until(on):
        if not from_sheet and record.when.certainly_after(rebuild.when):
            # Not the end of the search: of one day's rebuilds, one without a time may still have come later.
            continue
        ending = [REBUILDS_BY_KIND[kind] for kind in rebuild.did if family in REBUILDS_BY_KIND[kind].ends]
        if ending:
            source = "the factory sheet" if from_sheet else f"the bench run of {day_text(record.when.day)}"
            same_day = not from_sheet and record.when.day == rebuild.when.day
            unsure = " (same day: give both a time, as in 2026-03-14 19:30, if it came after)" if same_day else ""
            return (
                f"{source} is from before the {ending[0].title} of {day_text(rebuild.when.day)}{unsure},"
                f" so it no longer shows the {title}: measure it again"
            )
    return ""


def why_another_winding(motor: Motor, title: str, on: date) -> str:
    """Why the factory sheet shows another winding than the motor has now, in words; empty where it does not."""
    for rebuild in motor.rebuilds_until(on):
        ending = [REBUILDS_BY_KIND[kind] for kind in rebuild.did if WINDING in REBUILDS_BY_KIND[kind].ends]
        if ending:
            return (
                f"the factory sheet is from before the {ending[0].title} of {day_text(rebuild.when.day)}, so that it shows"
                f" another winding: no {title} can be told from it"
            )
    return ""
