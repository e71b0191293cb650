"""Setups with all that a check and a gearing find in them, held against each other."""

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from typing import Final, NamedTuple

from speclint.check.judging import judge_car
from speclint.comparison.findings import ComparisonFindings
from speclint.comparison.setups import (
    EntryOutcome,
    FittedForecast,
    RuleOutcome,
    SetupState,
    StatedValue,
    compare_setups,
)
from speclint.errors import UnreadableError, UsageError
from speclint.files import FileText
from speclint.findings import EntryResult
from speclint.forms.words import value_text
from speclint.gearing.of_setup import gear
from speclint.gearing.options import GearingOptions
from speclint.gearing.plan import Plan
from speclint.models.cars import Car
from speclint.models.setups import setup_of
from speclint.moments import day_text
from speclint.physics.bands import Band, Outlook
from speclint.problems import NO_ACCESS, Problem
from speclint.quantities.facts import Facts, Value
from speclint.quantities.model import Quantity, Sort
from speclint.quantities.rebuilds import REBUILDS_BY_KIND
from speclint.quantities.registry import QUANTITIES, quantity
from speclint.readings.copper import REFERENCE_C
from speclint.readings.digits import with_unit
from speclint.readings.exact import decimal_text, decimals_of
from speclint.readings.measured import Number, value_of
from speclint.workspace.loaded import Files
from speclint.workspace.overrides import Overrides
from speclint.workspace.source import Source
from speclint.workspace.workspace import Workspace

_KMH: Final = 3.6


class SetupAt(NamedTuple):
    """A setup's file in one source: the working tree, or a revision; `label` tells it from the others."""

    file: str
    source: Source
    label: str


def compare_files(setups: Sequence[SetupAt], overrides: Overrides) -> ComparisonFindings:
    """Setups held against each other; where one has problems, they are all that is said.

    Raises:
        UnreadableError: a file is not there, or cannot be read.
        UsageError: a file is no setup.
    """
    states: list[SetupState] = []
    problems: list[Problem] = []
    for setup in setups:
        state = _state(setup, overrides)
        if isinstance(state, SetupState):
            states.append(state)
        else:
            problems += state
    return ComparisonFindings(
        setups=compare_setups(states) if not problems else None,
        problems=tuple(dict.fromkeys(problems)),
    )


def _state(at: SetupAt, overrides: Overrides) -> SetupState | tuple[Problem, ...]:
    text = at.source.read(at.file)
    if text.problem is not None and text.problem.id in NO_ACCESS:
        raise UnreadableError(f"{at.label}: {text.problem.message}")
    files = Files(at.source)
    loaded = files.take(text)
    if loaded.format not in ("setup/1", None):
        raise UsageError(f"{at.file} is a {loaded.format.partition('/')[0]}: setups are compared with setups")
    if loaded.sound is None:
        return loaded.problems
    setup = setup_of(loaded.sound)
    workspace = Workspace(files, overrides, near=(at.file,))
    outcome = judge_car(workspace, setup, text, with_advice=True)
    car = workspace.car(setup).car
    on = outcome.entries[0].on if outcome.entries else overrides.on or overrides.today
    facts = Facts(car, on=on, reference_c=REFERENCE_C, entry_keys=setup.entries[0].keys if setup.entries else {})
    forecast = _forecast(text, at.source, overrides, facts)
    return SetupState(
        at.label,
        at.file,
        setup.name,
        (*_values(car, facts, outcome.entries), *_records(car)),
        tuple(_entry(entry) for entry in outcome.entries),
        forecast if isinstance(forecast, FittedForecast) else None,
        forecast if isinstance(forecast, str) else "",
        tuple((advice.id, advice.message) for advice in outcome.advice),
    )


def _values(car: Car, facts: Facts, entries: Iterable[EntryResult]) -> Iterator[StatedValue]:
    """Every quantity that the car states or that follows from what it states, by the rulesets of its entries too."""
    names = [f"extra.{key}" for key in car.setup.document.get(("extra",)) or {}]
    declared = {str(name): name for entry in entries for name in entry.flat.quantities.values()}
    open_names = [
        *(declared.pop(name, name) for name in names),
        *(name for name in declared.values() if name.quantity.inputs),
    ]
    for name in (*(listed.name for listed in QUANTITIES), *open_names):
        listed_quantity = quantity(name)
        if listed_quantity is None:
            continue
        value = facts.fact(name).value
        if value is not None:
            exact = value_of(value) if isinstance(value, Number) else value
            yield StatedValue(
                listed_quantity.name,
                listed_quantity.title,
                _text(value, listed_quantity),
                str(exact),
                listed_quantity.key is None and (not name.startswith("extra.") or bool(listed_quantity.inputs)),
            )


_MOST_DECIMALS: Final = {Sort.RATIO: 3}


def _text(value: Value, described: Quantity) -> str:
    """A value as people read it; of one that no decimal writes exactly, two decimals, of a ratio three."""
    if isinstance(value, Fraction):
        most, decimals = _MOST_DECIMALS.get(described.sort, 2), decimals_of(value)
        return with_unit(decimal_text(value, most if decimals is None or decimals > most else decimals), described.unit)
    return value_text(value, described.unit)


def _records(car: Car) -> Iterator[StatedValue]:
    """The records of motor and car, the newest of each kind told."""
    if car.motor is not None:
        runs, rebuilds = car.motor.bench_runs, car.motor.rebuilds
        yield _record("bench runs", len(runs), day_text(runs[0].when.day) if runs else "")
        did = ", ".join(REBUILDS_BY_KIND[kind].title for kind in rebuilds[0].did) if rebuilds else ""
        yield _record("rebuilds", len(rebuilds), f"{did}, {day_text(rebuilds[0].when.day)}" if rebuilds else "")
    yield _record("track runs", len(car.setup.track_runs), "")


def _record(name: str, count: int, newest: str) -> StatedValue:
    return StatedValue(name, name, f"{count}{f' (newest: {newest})' if newest else ''}", (count, newest), follows=False)


def _entry(entry: EntryResult) -> EntryOutcome:
    return EntryOutcome(entry.flat.label, entry.verdict, tuple(map(RuleOutcome.of, entry.checks)))


def _forecast(text: FileText, source: Source, overrides: Overrides, facts: Facts) -> FittedForecast | str:
    """What the fitted pair does, or why nobody can say."""
    spur, pinion = (facts.fact(name).value for name in ("spur_teeth", "pinion_teeth"))
    if not isinstance(spur, Fraction) or not isinstance(pinion, Fraction):
        return "no spur and pinion are stated"
    teeth = int(spur + pinion)
    try:
        plan = gear(text, source, overrides, GearingOptions(sums=(teeth, teeth)), progress=lambda *_: None)
    except UsageError as error:
        return str(error)
    if not isinstance(plan, Plan):
        return "the files have problems"
    if plan.fitted is None or plan.fitted.outlook is None:
        return "nothing can be predicted for the pair that is fitted"
    return _outlook(plan.fitted.outlook, plan.case.minutes)


def _outlook(outlook: Outlook, minutes: float) -> FittedForecast:
    return FittedForecast(
        minutes,
        _ends(outlook.can_c),
        _ends(outlook.winding_c),
        _ends(outlook.top_m_per_s, _KMH),
        _ends(outlook.lap_s),
    )


def _ends(band: Band, factor: float = 1.0) -> tuple[float, float, float]:
    return band.low * factor, band.median * factor, band.high * factor
