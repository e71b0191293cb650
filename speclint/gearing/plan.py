"""One car's gearing from end to end: pairs, rules, predictions, the start, the steps up and the cautions."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from speclint.gearing.case import GearingCase
from speclint.gearing.cautions import cautions
from speclint.gearing.forecast import Forecaster, Progress
from speclint.gearing.legality import EntryRules, Standing, geared_car, standing
from speclint.gearing.next_steps import GearStep, Look, look, next_steps
from speclint.gearing.no_start import no_start_reasons
from speclint.gearing.pairs import GearChoice, GearPair
from speclint.gearing.start import Mark, RatedPair, Reason, cooler, legal, mark_of, recommended
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
class Start:
    """The pair to begin with.

    Attributes:
        rated: The pair.
        reason: Why it is the one.
        look: When to stop and look on the first run with it.
        back: The pair to go to where the look says too hot; None where no cooler one is at hand.
    """

    rated: RatedPair
    reason: Reason
    look: Look
    back: RatedPair | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """What there is to say of a car's gearing.

    Attributes:
        car: The car as its files state it.
        case: Limits, run and the model of the car.
        forecaster: Behind the predictions; None where too little is stated for one.
        choice: The gears that were looked at.
        entries: The entries that were judged, with their rules on gears.
        pairs: Every pair, by spur and then by pinion.
        fitted: The pair that is fitted, where it is known and among them.
        start: The recommended start; None where there is none.
        steps: The steps up from it.
        stop: Why there is none after them.
        no_start_reasons: Where there is no start: why, and what would help.
        notices: Rules on the gearing that begin to bind later, and what they will say of the start.
        curve: Outlooks over the range of ratios, from tall to short.
        course: Minutes and can temperatures of a run on the start.
        cautions: A sentence or two each.
    """

    car: Car
    case: GearingCase
    forecaster: Forecaster | None
    choice: GearChoice
    entries: tuple[EntryRules, ...]
    pairs: tuple[RatedPair, ...]
    fitted: RatedPair | None
    start: Start | None
    steps: tuple[GearStep, ...]
    stop: str
    no_start_reasons: tuple[str, ...]
    notices: tuple[str, ...]
    curve: tuple[Outlook, ...]
    course: tuple[tuple[float, Band], ...]
    cautions: tuple[str, ...]

    @property
    def is_fitted_wrong(self) -> bool:
        """Whether the pair that is fitted is illegal or likely too hot."""
        return self.fitted is not None and self.fitted.mark in (Mark.ILLEGAL, Mark.HOT)


def plan(
    car: Car,
    case: GearingCase,
    forecaster: Forecaster | None,
    choice: GearChoice,
    entries: Sequence[EntryRules],
    progress: Progress | None = None,
) -> Plan:
    """The gearing of a car.

    Args:
        car: The car.
        case: From `case.case_of`.
        forecaster: From `forecast.forecaster`; None where the case has no model.
        choice: The gears to choose from.
        entries: The entries whose rules count.
        progress: Called as the predictions proceed.
    """
    judged: dict[GearPair, tuple[Standing, ...]] = {}

    def standings(pair: GearPair) -> tuple[Standing, ...]:
        if pair not in judged:
            judged[pair] = tuple(standing(entry_rules, car, pair) for entry_rules in entries)
        return judged[pair]

    pairs = choice.pairs(case.internal)
    ratios = [float(pair.ratio) for pair in pairs]
    curve_ratios = _spaced(min(ratios), max(ratios)) if ratios and forecaster is not None else []
    outlooks: Sequence[Outlook | None] = [None] * len(pairs)
    if forecaster is not None and ratios:
        outlooks = forecaster.fleet.outlooks([*ratios, *curve_ratios], progress=progress)
    every = []
    for pair, outlook in zip(pairs, outlooks[: len(pairs)], strict=True):
        spare = legal(standings(pair)) and legal(standings(pair.with_pinion(pair.pinion + 1)))
        mark = mark_of(case, outlook, standings(pair), spare=spare)
        rollout = None if case.tyre is None else rollout_mm(case.tyre, pair.ratio)
        every.append(RatedPair(pair, rollout, outlook, standings(pair), spare, mark))
    learnt = forecaster is not None and forecaster.learnt.fit is not None
    start = _start(every, case, learnt=learnt)
    steps, stop = next_steps(start.rated, every, choice, case) if start is not None else ((), "")
    return Plan(
        car=car,
        case=case,
        forecaster=forecaster,
        choice=choice,
        entries=tuple(entries),
        pairs=tuple(every),
        fitted=next((rated for rated in every if (rated.pair.spur, rated.pair.pinion) == choice.fitted), None),
        start=start,
        steps=steps,
        stop=stop,
        no_start_reasons=() if start is not None else no_start_reasons(case, choice, every, standings),
        notices=() if start is None else tuple(dict.fromkeys(_notices(car, entries, start.rated.pair))),
        curve=tuple(outlook for outlook in outlooks[len(pairs) :] if outlook is not None),
        course=_course(case, forecaster, start),
        cautions=cautions(case),
    )


def _start(every: Sequence[RatedPair], case: GearingCase, *, learnt: bool) -> Start | None:
    choice = recommended(every, case, learnt=learnt)
    if choice is None:
        return None
    rated, reason = choice
    return Start(rated, reason, look(rated, case), cooler(rated, every))


def _course(case: GearingCase, forecaster: Forecaster | None, start: Start | None) -> tuple[tuple[float, Band], ...]:
    if forecaster is None or case.model is None or start is None:
        return ()
    moments = [case.minutes * step / (COURSE_POINTS - 1) for step in range(1, COURSE_POINTS)]
    air_c = case.model.conditions.ambient_c
    course = forecaster.fleet.course(float(start.rated.pair.ratio), moments)
    return (0.0, Band(air_c, air_c, air_c)), *zip(moments, course, strict=True)


def _notices(car: Car, entries: Sequence[EntryRules], pair: GearPair) -> Iterator[str]:
    for entry_rules in entries:
        book = entry_rules.book._replace(coming=entry_rules.later)
        for check in judge(book, entry_rules.facts.of(geared_car(car, pair)), entry_rules.place):
            for later in check.later:
                yield f"{entry_rules.label}, {title(check)}: {later_text(later)}"


def _spaced(low: float, high: float) -> list[float]:
    """Ratios in equal steps of their logarithm."""
    if not high > low:
        return [low]
    return [low * (high / low) ** (step / (CURVE_POINTS - 1)) for step in range(CURVE_POINTS)]
