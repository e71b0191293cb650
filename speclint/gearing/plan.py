"""One car's gearing from end to end: pairs, rules, predictions, the safe start, the ladder and the cautions."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import floor
from typing import Final

from speclint.gearing.cautions import cautions
from speclint.gearing.forecast import Forecaster, Progress
from speclint.gearing.legality import Entered, Standing, standing
from speclint.gearing.legality import rated as geared_car
from speclint.gearing.next_steps import GearStep, Look, look, next_steps
from speclint.gearing.no_start import no_start_reasons
from speclint.gearing.pairs import Pair, Parts
from speclint.gearing.start import Mark, RatedPair, legal, mark_of, reaches, safe_start
from speclint.models.cars import Car
from speclint.physics.bands import Band, Outlook
from speclint.quantities.car import rollout_mm
from speclint.rules.judge import judge
from speclint.rules.wording import later_text, title

CURVE_POINTS: Final = 25
"""Ratios of the curve of temperature over the ratio."""

COURSE_POINTS: Final = 11
"""Moments of the curve of temperature over the run, its beginning among them."""


@dataclass(frozen=True, slots=True)
class Trial:
    """A first run to measure by, where no pair is safe for the whole one.

    Attributes:
        geared: The pair.
        minutes: Whole minutes for which the whole band stays below the limit.
    """

    rated: RatedPair
    minutes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """What there is to say of a car's gearing.

    Attributes:
        car: The car as its files state it.
        forecaster: Behind the predictions: case, parameters, track runs.
        parts: The gears that were looked at.
        entered: The entries that were judged.
        pairs: Every pair, by spur and then by pinion.
        start: The safe start; None where there is none.
        start_look: When to stop and look on the first run with it.
        rungs: The steps up.
        stop: Why there is none after them.
        shortfall: Where there is no start: why, and what would help.
        trial: Where there is no start: the coolest pair that is legal with a tooth to spare, for a first short run.
        notices: Rules on the gearing that begin to bind later, and what they will say of the start.
        curve: Outlooks over the range of ratios, from tall to short.
        course: Minutes and can temperatures of a run on the start.
        cautions: A sentence or two each.
    """

    car: Car
    forecaster: Forecaster
    parts: Parts
    entered: tuple[Entered, ...]
    pairs: tuple[RatedPair, ...]
    start: RatedPair | None
    start_look: Look | None
    steps: tuple[GearStep, ...]
    stop: str
    no_start_reasons: tuple[str, ...]
    trial: Trial | None
    notices: tuple[str, ...]
    curve: tuple[Outlook, ...]
    course: tuple[tuple[float, Band], ...]
    cautions: tuple[str, ...]


def plan(
    car: Car,
    case_forecaster: Forecaster,
    parts: Parts,
    entered: Sequence[Entered],
    progress: Progress | None = None,
) -> Plan:
    """The gearing of a car.

    Args:
        car: The car.
        case_forecaster: From `forecast.forecaster`.
        parts: The gears to choose from.
        entered: The entries whose rules count.
        progress: Called as the predictions proceed.
    """
    case = case_forecaster.case
    kept: dict[Pair, tuple[Standing, ...]] = {}

    def judged(pair: Pair) -> tuple[Standing, ...]:
        found = kept.get(pair)
        if found is None:
            found = kept[pair] = tuple(standing(one, car, pair) for one in entered)
        return found

    pairs = parts.pairs(case.internal)
    ratios = [float(pair.ratio) for pair in pairs]
    curve_ratios = _spaced(min(ratios), max(ratios)) if ratios else []
    found = case_forecaster.outlooks([*ratios, *curve_ratios], progress) if ratios else ()
    every = []
    for pair, outlook in zip(pairs, found[: len(pairs)], strict=True):
        standings = judged(pair)
        spare = legal(standings) and legal(judged(pair.with_pinion(pair.pinion + 1)))
        mark = mark_of(case, outlook, standings, spare=spare)
        every.append(RatedPair(pair, rollout_mm(case.tyre, pair.ratio), outlook, standings, spare, mark))
    start = safe_start(every, spur=case.spur, tallest=None if case.starting is None else case.starting[0])
    steps, stop = next_steps(start, every, parts, case_forecaster) if start is not None else ((), "")
    moments = [case.run.minutes * step / (COURSE_POINTS - 1) for step in range(1, COURSE_POINTS)]
    course = case_forecaster.course(float(start.pair.ratio), moments) if start is not None else ()
    air = Band(case.run.ambient_c, case.run.ambient_c, case.run.ambient_c)
    return Plan(
        car=car,
        forecaster=case_forecaster,
        parts=parts,
        entered=tuple(entered),
        pairs=tuple(every),
        start=start,
        start_look=None if start is None else look(case_forecaster, start.pair),
        steps=steps,
        stop=stop,
        no_start_reasons=() if start is not None else no_start_reasons(case, parts, every, judged),
        trial=None if start is not None else _trial(every, case_forecaster),
        notices=() if start is None else tuple(_notices(car, entered, start.pair)),
        curve=tuple(each for each in found[len(pairs) :] if each is not None),
        course=((0.0, air), *zip(moments, course, strict=True)) if start is not None else (),
        cautions=cautions(case),
    )


def _trial(every: Sequence[RatedPair], ready: Forecaster) -> Trial | None:
    case = ready.case
    able = [each for each in every if each.spare and each.mark is Mark.HOT]
    whole = range(1, floor(case.run.minutes) + 1)
    if not able or not whole:
        return None
    coolest = min(able, key=lambda each: (each.can_high_c, each.pair.ratio))
    course = ready.course(float(coolest.pair.ratio), whole)
    good = [minutes for minutes, band in zip(whole, course, strict=True) if not reaches(band.high, case.limit_c)]
    return Trial(coolest, max(good)) if good else None


def _notices(car: Car, entered: Sequence[Entered], pair: Pair) -> Iterator[str]:
    for one in entered:
        book = one.book._replace(coming=one.later)
        for check in judge(book, one.facts.of(geared_car(car, pair)), one.place):
            for later in check.later:
                yield f"{one.label}, {title(check)}: {later_text(later)}"


def _spaced(low: float, high: float) -> list[float]:
    """Ratios in equal steps of their logarithm."""
    if not high > low:
        return [low]
    return [low * (high / low) ** (step / (CURVE_POINTS - 1)) for step in range(CURVE_POINTS)]
