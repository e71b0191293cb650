"""Readings: lucky blur, too much certainty, values that are merely unusual, order of records."""

from collections.abc import Iterator, Sequence
from typing import Final

from speclint.advice.model import AdviceSort, CarCase, Observation
from speclint.documents.tree import Document
from speclint.limits.decisions import Decision
from speclint.models.bench import BenchRun
from speclint.models.motors import Rebuild
from speclint.models.track_runs import TrackRun
from speclint.readings.digits import with_unit
from speclint.readings.instruments import FINEST
from speclint.rules.checks import Verdict


def _by_blur(case: CarCase) -> Iterator[Observation]:
    for check in case.checks:
        if check.decision is not Decision.BENEFIT_OF_DOUBT or check.verdict is not Verdict.LEGAL:
            continue
        if check.outcome is None or not check.outcome.margin < 0:
            continue
        from speclint.rules.wording import asks, has, title  # few cars are legal by doubt alone

        yield Observation(
            f"{title(check)} is {has(check)}, past the limit of {asks(check)}, and is legal only because the doubt"
            " of this reading counts for you: the inspector's instrument decides, and a better one has less doubt to"
            " give. Measure on the club's before it does",
            check.place,
        )


def _too_fine(case: CarCase) -> Iterator[Observation]:
    """Readings that are taken for surer than any instrument makes them, so that a guarded limit believes too much."""
    for check in case.checks:
        sure_to = None if check.outcome is None else check.outcome.expanded_uncertainty
        if not sure_to or check.fact is None or sure_to >= FINEST.get(check.fact.quantity.unit, 0.0):
            continue
        from speclint.rules.wording import has, title

        finest = with_unit(f"{FINEST[check.fact.quantity.unit]:.6f}".rstrip("0"), check.fact.quantity.unit)
        yield Observation(
            f"{title(check)} is {has(check)}, surer than any instrument for it is (± {finest} at the best): look at the"
            " accuracy, the resolution and the unit of its instrument, or at its standard uncertainty",
            check.place,
        )


def _unusual(case: CarCase) -> Iterator[Observation]:
    if not case.implausible:
        return
    for implausible_value in case.implausible:
        if not implausible_value.slip:
            yield Observation(implausible_value.message, implausible_value.document.place(implausible_value.path))


def _order(case: CarCase) -> Iterator[Observation]:
    """Lists of records that run neither forwards nor backwards in time."""
    setup, motor = case.car.setup, case.car.motor
    yield from _out_of_order(setup.document, setup.track_runs)
    if motor is not None:
        yield from _out_of_order(motor.document, motor.bench_runs)
        yield from _out_of_order(motor.document, motor.rebuilds)


def _out_of_order(document: Document, records: Sequence[BenchRun | Rebuild | TrackRun]) -> Iterator[Observation]:
    if len(records) < 3:
        return
    in_file = sorted(records, key=lambda record: record.path)
    days = [record.when.day for record in in_file]
    if days == sorted(days) or days == sorted(days, reverse=True):
        return
    falls = days[0] > days[-1]
    index = next(i for i in range(1, len(days)) if (days[i] > days[i - 1]) is falls and days[i] != days[i - 1])
    yield Observation(
        f"this record is dated {days[index]} and stands after {days[index - 1]}, while the others run"
        f" {'from new to old' if falls else 'from old to new'}: the dates count, not the order, so make sure that they are"
        " right",
        document.place((*in_file[index].path, "date")),
    )


_WEIGHED: Final = """format: setup/1
entries: [{ruleset: coastal-league, class: stock-17, on: 2026-03-21}]
instruments: {pit-scale: {accuracy_percent: 0.1, resolution: 1}}
car: {mass_g: {value: MASS, instrument: pit-scale}}
track_runs: [{date: 2026-03-01}, {date: 2026-03-08}, {date: 2026-03-15}]
"""

READINGS: Final[tuple[AdviceSort[CarCase], ...]] = (
    AdviceSort(
        id="legal-by-doubt",
        title="legal only by the doubt of a reading",
        because="Doubt that counts for the racer shrinks when the inspector's better instrument is used.",
        source="guarded rejection, JCGM 106 8.3.3",
        example=(
            """format: setup/1
entries: [{ruleset: harbour-city, class: stock-17, on: 2026-03-14}]
instruments: {pocket-meter: {accuracy_percent: 4, resolution: 0.1, unit: mohm}}
motor:
  bench_runs:
    - date: 2026-03-10
      winding: {ab_mohm: 34.9, bc_mohm: 34.7, ca_mohm: 34.9, winding_c: 20, instrument: pocket-meter}
""",
        ),
        find=_by_blur,
    ),
    AdviceSort(
        id="reading-too-sure",
        title="reading surer than any instrument",
        because="A rule that wants its limit shown, and a close call, believe what an instrument's description says of it.",
        source="common practice, estimates of the finest instruments",
        example=(
            """format: setup/1
entries: [{ruleset: harbour-city, class: stock-17, on: 2026-03-14}]
instruments: {pit-scale: {accuracy: 0.000000000001, unit: g}}
car: {mass_g: {value: 1352, instrument: pit-scale}}
""",
        ),
        find=_too_fine,
    ),
    AdviceSort(
        id="value-unusual",
        title="value outside what is usual",
        because="Most values that nobody has seen before are slips of the pen.",
        example=(_WEIGHED.replace("MASS", "250"),),
        find=_unusual,
    ),
    AdviceSort(
        id="records-out-of-order",
        title="record out of order",
        because="A mistyped month makes an old reading the newest.",
        example=(_WEIGHED.replace("MASS", "1352").replace("2026-03-08}", "2026-02-08}"),),
        find=_order,
    ),
)
