"""Setups held against each other, as text: what changed, what it did to verdicts and margins, and how warm the motor gets."""

from collections.abc import Iterator
from typing import Final

from speclint.comparison.setups import FittedForecast, RuleOutcome, SetupComparison
from speclint.reports.comparison.layout import columns, heading, section
from speclint.reports.layout import Layout, Line, Span, Style

_NONE: Final = "-"


def setup_blocks(comparison: SetupComparison, layout: Layout) -> Iterator[list[Line]]:
    """The parts of the sheet, one after another."""
    labels = tuple(state.label for state in comparison.states)
    yield layout.wrapped(Span(comparison.answer, Style.DO), "", "  ")
    if comparison.changes:
        rows = [
            (f"{'' if change.follows else '* '}{change.title}", *(text or _NONE for text in change.texts))
            for change in comparison.changes
        ]
        yield [*heading("What changed (* stated, the rest follows)", layout), *columns(("", *labels), rows, layout)]
    yield from _rules(comparison, labels, layout)
    yield from _forecasts(comparison, labels, layout)
    advice = [
        *(f"no longer: {message}" for message in comparison.advice_gone),
        *(f"{label}: {message}" for label, message in comparison.advice_new),
    ]
    if advice:
        yield section("Advice", advice, layout)


def _rules(comparison: SetupComparison, labels: tuple[str, ...], layout: Layout) -> Iterator[list[Line]]:
    for entry in comparison.entries:
        rows = [
            (change.title, *(_margin(outcome) for outcome in change.outcomes), change.clause)
            for change in comparison.rules
            if change.race == entry.race
        ]
        yield [
            *heading(entry.race, layout),
            *columns(("", *labels, "clause"), [("verdict", *entry.words, ""), *rows], layout),
        ]


def _margin(outcome: RuleOutcome | None) -> str:
    if outcome is None:
        return _NONE
    verdict = outcome.verdict.words
    return f"{outcome.margin}, {verdict}" if outcome.margin else f"{outcome.has}, {verdict}" if outcome.has else verdict


def _forecasts(comparison: SetupComparison, labels: tuple[str, ...], layout: Layout) -> Iterator[list[Line]]:
    forecasts = [state.forecast for state in comparison.states]
    reasons = [
        f"{state.label}: {state.no_forecast_because}" for state in comparison.states if state.no_forecast_because
    ]
    minutes = next((forecast.minutes for forecast in forecasts if forecast is not None), None)
    if minutes is not None:
        yield [
            *heading(f"The fitted pair after {minutes:g} minutes: likely (from to, 9 of 10 cars)", layout),
            *columns(("", *labels), [(name, *texts) for name, texts in _forecast_rows(forecasts)], layout),
        ]
    if reasons:
        yield section("No prediction", reasons, layout)


def _forecast_rows(forecasts: list[FittedForecast | None]) -> Iterator[tuple[str, list[str]]]:
    for name, field, unit, places in (
        ("can", "can_c", "°C", 0),
        ("winding", "winding_c", "°C", 0),
        ("top speed", "top_kmh", "km/h", 0),
        ("lap", "lap_s", "s", 1),
    ):
        yield (
            name,
            [_NONE if forecast is None else _band(getattr(forecast, field), unit, places) for forecast in forecasts],
        )


def _band(ends: tuple[float, float, float], unit: str, places: int) -> str:
    low, likely, high = (f"{end:.{places}f}" for end in ends)
    return f"{likely} {unit} ({low} to {high})"
