"""Setups held against each other: what they state differently, and what that does to verdicts, margins, prediction, advice."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple, TypeVar

from speclint.plain import capitalised
from speclint.rules.checks import Check, Verdict
from speclint.rules.wording import has, margin, title


class StatedValue(NamedTuple):
    """A quantity of one setup as people read it; "" where it is not stated. `key` identifies equal values.

    `follows` says that it is computed from others.
    """

    name: str
    title: str
    text: str
    key: object
    follows: bool


class RuleOutcome(NamedTuple):
    """What one rule of an entry comes to: its verdict, what the car has, and the margin in words."""

    rule: str
    title: str
    clause: str
    verdict: Verdict
    has: str
    margin: str

    @classmethod
    def of(cls, check: Check) -> "RuleOutcome":
        """What a rule comes to by the check of it."""
        by_how_much = ", ".join(words for words in (margin(check), "a close call" if check.close_call else "") if words)
        return cls(check.rule.id, title(check), check.rule.cite, check.verdict, has(check), by_how_much)


class EntryOutcome(NamedTuple):
    """One entry of a setup; `race` says ruleset and class."""

    race: str
    verdict: Verdict
    rules: tuple[RuleOutcome, ...]


class FittedForecast(NamedTuple):
    """What the fitted pair does in a run, each likely with the band of nine in ten cars: from, likely, to."""

    minutes: float
    can_c: tuple[float, float, float]
    winding_c: tuple[float, float, float]
    top_kmh: tuple[float, float, float]
    lap_s: tuple[float, float, float]


class SetupState(NamedTuple):
    """One setup at one time; `label` tells it from the others, and `no_forecast_because` why there is no forecast."""

    label: str
    file: str
    name: str
    values: tuple[StatedValue, ...]
    entries: tuple[EntryOutcome, ...]
    forecast: FittedForecast | None
    no_forecast_because: str
    advice: tuple[tuple[str, str], ...]


class ValueChange(NamedTuple):
    """A quantity that is not alike in all setups: its text in each, in their order."""

    name: str
    title: str
    texts: tuple[str, ...]
    follows: bool


class RuleChange(NamedTuple):
    """A rule that does not come to the same in all setups; None for one that has no such entry or rule."""

    race: str
    rule: str
    title: str
    clause: str
    outcomes: tuple[RuleOutcome | None, ...]


class EntryChange(NamedTuple):
    """A class that setups are entered in, and the verdict on each; None for one that is not entered."""

    race: str
    verdicts: tuple[Verdict | None, ...]

    @property
    def words(self) -> tuple[str, ...]:
        """The verdicts as people read them."""
        return tuple("not entered" if verdict is None else verdict.words for verdict in self.verdicts)


@dataclass(frozen=True, slots=True, kw_only=True)
class SetupComparison:
    """Two setups or more, the one that the others are held against at the front.

    Attributes:
        states: the setups.
        changes: what they state differently, then what follows from it.
        entries: the verdicts in every class that any of them is entered in.
        rules: the rules that come to something else.
        advice_gone: advice on the first setup that none of the others gets.
        advice_new: advice on any of the others that the first does not get, with its label.
    """

    states: tuple[SetupState, ...]
    changes: tuple[ValueChange, ...]
    entries: tuple[EntryChange, ...]
    rules: tuple[RuleChange, ...]
    advice_gone: tuple[str, ...]
    advice_new: tuple[tuple[str, str], ...]

    @property
    def answer(self) -> str:
        """What it comes to, in a sentence or two."""
        return " ".join(filter(None, (_changed(self), _verdicts(self), _warmer(self))))


def compare_setups(states: Sequence[SetupState]) -> SetupComparison:
    """Everything that differs between setups."""
    first, later_states = states[0], states[1:]
    on_first = {message for _, message in first.advice}
    elsewhere = {message for state in later_states for _, message in state.advice}
    changes = list(_value_changes(states))
    return SetupComparison(
        states=tuple(states),
        changes=(
            *(change for change in changes if not change.follows),
            *(change for change in changes if change.follows),
        ),
        entries=tuple(_entry_changes(states)),
        rules=tuple(_rule_changes(states)),
        advice_gone=tuple(message for _, message in first.advice if message not in elsewhere),
        advice_new=tuple(
            (state.label, message) for state in later_states for _, message in state.advice if message not in on_first
        ),
    )


def _value_changes(states: Sequence[SetupState]) -> Iterator[ValueChange]:
    by_name = [{value.name: value for value in state.values} for state in states]
    for name in _in_order(by_name):
        held = [values.get(name) for values in by_name]
        stated = next(value for value in held if value is not None)
        if len({None if value is None else value.key for value in held}) > 1:
            texts = tuple("" if value is None else value.text for value in held)
            yield ValueChange(name, stated.title, texts, stated.follows)


def _entry_changes(states: Sequence[SetupState]) -> Iterator[EntryChange]:
    by_race = [_by(state.entries, lambda entry: entry.race) for state in states]
    for race in _in_order(by_race):
        entries = [entered.get(race) for entered in by_race]
        yield EntryChange(race, tuple(entry and entry.verdict for entry in entries))


def _rule_changes(states: Sequence[SetupState]) -> Iterator[RuleChange]:
    by_race = [_by(state.entries, lambda entry: entry.race) for state in states]
    for race in _in_order(by_race):
        entries = [entered.get(race) for entered in by_race]
        by_rule = [_by(() if entry is None else entry.rules, lambda rule: rule.rule) for entry in entries]
        for name in _in_order(by_rule):
            outcomes = tuple(rules.get(name) for rules in by_rule)
            # A setup that is not entered here at all says nothing of the rule.
            seen = {outcome for outcome, entry in zip(outcomes, entries, strict=True) if entry is not None}
            rule = next(outcome for outcome in outcomes if outcome is not None)
            summaries = {None if outcome is None else (outcome.verdict, outcome.margin) for outcome in seen}
            if len(summaries) > 1:
                yield RuleChange(race, name, rule.title, rule.clause, outcomes)


_Item = TypeVar("_Item")


def _by(items: Iterable[_Item], key: Callable[[_Item], str]) -> dict[str, _Item]:
    by_key: dict[str, _Item] = {}
    for item in items:
        by_key.setdefault(key(item), item)
    return by_key


def _in_order(names: Iterable[Iterable[str]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(name for listed in names for name in listed))


# --- the answer


def _changed(comparison: SetupComparison) -> str:
    stated = [change for change in comparison.changes if not change.follows]
    if len(comparison.states) > 2:
        return f"{len(comparison.states)} setups, which differ in {len(stated)} things that they state."
    if not stated:
        return "Both state the same."
    stated.sort(key=lambda change: _FIRST.index(change.name) if change.name in _FIRST else len(_FIRST))
    texts = "; ".join(_change_text(change) for change in stated[:_MOST_TOLD])
    more = f"; and {len(stated) - _MOST_TOLD} more" if len(stated) > _MOST_TOLD else ""
    return f"{capitalised(texts)}{more}."


_MOST_TOLD: Final = 3
_FIRST: Final = (
    "pinion_teeth",
    "spur_teeth",
    "timing_set_deg",
    "rotor_part",
    "mass_g",
    "tyre_diameter_mm",
    "motor_serial",
)
"""What a racer changes between two runs, told first."""


def _change_text(change: ValueChange) -> str:
    before, after = (text or "not stated" for text in change.texts)
    return f"{change.title} {before} → {after}"


def _verdicts(comparison: SetupComparison) -> str:
    texts = [f"{entry.race}: {' → '.join(dict.fromkeys(entry.words))}" for entry in comparison.entries]
    return f"{'; '.join(texts)}." if texts else ""


def _warmer(comparison: SetupComparison) -> str:
    forecasts = [state.forecast for state in comparison.states]
    if len(forecasts) != 2 or forecasts[0] is None or forecasts[1] is None:
        return ""
    change = forecasts[1].can_c[1] - forecasts[0].can_c[1]
    if abs(change) < 1:
        return "The can stays as warm."
    return f"The can gets about {abs(change):.0f} K {'warmer' if change > 0 else 'cooler'}."
