"""Rules that may not mean what they say: limits turned round, limits that no instrument can decide, and ones that clash."""

from collections.abc import Iterable, Iterator
from datetime import date
from fractions import Fraction
from typing import Final

from speclint.advice.model import AdviceSort, Observation, RulesetCase
from speclint.forms.bodies import LimitTest
from speclint.forms.size import Size
from speclint.limits.decisions import Limits, undecidable
from speclint.places import Path
from speclint.quantities.model import Given, Key, Quantity, Sort
from speclint.quantities.registry import quantity
from speclint.readings.digits import with_unit
from speclint.readings.exact import decimal_text, to_float
from speclint.readings.instruments import Instrument, reading
from speclint.readings.measured import Measured, Number
from speclint.rules.wording import asked, test_asked, test_title
from speclint.rulesets.amendments import binding, changes_after
from speclint.rulesets.model import FlatClass, Rule
from speclint.rulesets.not_found import NotFound

_SENSORS: Final = 3


def own_rules(case: RulesetCase) -> Iterator[tuple[str, Rule, Path]]:
    """The rules that the ruleset's own file states, with their class and where they stand."""
    for class_id, stated in case.ruleset.classes.items():
        for index, rule in enumerate(stated.rules):
            yield class_id, rule, ("classes", class_id, "rules", index)


def sized_tests(case: RulesetCase) -> Iterator[tuple[str, Rule, Path, LimitTest, Size]]:
    """The limits of size of those rules, in options and rows too, each with its class, its rule and where the rule stands."""
    for class_id, rule, path in own_rules(case):
        for test in rule.tests:
            if isinstance(test.limit, Size):
                yield class_id, rule, path, test, test.limit


def flat_classes(case: RulesetCase) -> Iterator[FlatClass]:
    """The ruleset's own classes with all that they inherit."""
    for class_id in case.ruleset.classes:
        flat = case.library.flat(case.ruleset, class_id)
        if not isinstance(flat, NotFound):
            yield flat


def limited_sides(case: RulesetCase) -> dict[tuple[str, str, str], set[int]]:
    """By class, quantity and side (low, high) the identities of the data of the rules that limit it."""
    limited: dict[tuple[str, str, str], set[int]] = {}
    for flat in flat_classes(case):
        for rule in flat.rules:
            for test in rule.tests:
                if not isinstance(test.limit, Size):
                    continue
                for side, bound in (("low", test.limit.bounds.low), ("high", test.limit.bounds.high)):
                    if bound is not None:
                        limited.setdefault((flat.id, test.quantity, side), set()).add(id(rule.data))
    return limited


def _turned_round(case: RulesetCase) -> Iterator[Observation]:
    limited = limited_sides(case)
    for class_id, rule, path, test, limit in sized_tests(case):
        if test.quantity not in _TALLEST:
            continue
        wanted, opposite = _TALLEST[test.quantity]
        has_low, has_high = limit.bounds.low is not None, limit.bounds.high is not None
        if (wanted == "low") is has_low or has_low is has_high:
            continue
        if limited.get((class_id, test.quantity, wanted), set()) - {id(rule.data)}:
            continue
        yield Observation(
            f"{rule.id} asks for a {test_title(test)} of {test_asked(test)}, and nothing in {class_id} limits the other side, so"
            f" any taller gearing is legal. {opposite} Look at the official text; if the limit is right as it stands, a limit"
            " on the other side as well says so",
            case.document.place((*path, "id")),
        )


_OF_A_RATIO: Final = (
    "low",
    'A published "maximum ratio" often means the tallest gearing, which is the smallest number: at_least.',
)
_TALLEST: Final = {
    "final_drive_ratio": _OF_A_RATIO,
    "spur_pinion_ratio": _OF_A_RATIO,
    "rollout_mm": ("high", "The tallest gearing is the largest rollout, so a limit on it is usually at_most."),
}


def _official_instruments(case: RulesetCase) -> dict[tuple[str, str | None], Instrument]:
    """What the ruleset's own classes say of instruments, by the class and the name."""
    return {(flat.id, name): instrument for flat in flat_classes(case) for name, instrument in flat.instruments.items()}


def _undecidable(case: RulesetCase) -> Iterator[Observation]:
    official = _official_instruments(case)
    for class_id, rule, path in own_rules(case):
        limit, limited = rule.limit, quantity(rule.quantity) if rule.quantity is not None else None
        instrument = official.get((class_id, rule.instrument))
        if limited is None or instrument is None or not isinstance(limit, Size):
            continue
        low, high = limit.bounds.low, limit.bounds.high
        if low is None or high is None or limited.sort is not Sort.MEASURED or low > high:
            continue
        typical = _typical_reading(limited, (low + high) / 2, instrument)
        if typical is None or not undecidable(limit.bounds, typical.standard_uncertainty):
            continue
        spare = with_unit(f"{2 * typical.standard_uncertainty:.2g}", limited.unit)
        yield Observation(
            f"{rule.id} asks for {asked(rule)}, a window of {_width(limit.bounds, limit.places, limited)};"
            f" the {instrument.name} blurs a reading in its middle by ± {spare} (k = 2), so no reading can show a car"
            " legal with 95 % certainty: widen the window, or name a better instrument",
            case.document.place((*path, "instrument")),
        )


def _of_another_unit(case: RulesetCase) -> Iterator[Observation]:
    """Official instruments that read something else than what they are named for."""
    official = _official_instruments(case)
    for class_id, rule, path in own_rules(case):
        for test in rule.tests:
            instrument = official.get((class_id, test.instrument))
            limited = quantity(test.quantity)
            if instrument is not None and limited is not None and instrument.contradicts(limited.unit):
                unit = with_unit("1", limited.unit).removeprefix("1").strip()
                yield Observation(
                    f"{rule.id} names the {instrument.name}, which reads {instrument.unit or 'other units'}, for a"
                    f" {limited.title} in {unit}: what is said of its error does not count here. Name the instrument that is"
                    " meant, or correct its unit",
                    case.document.place((*path, *test.path, "instrument")),
                )


def _too_coarse(case: RulesetCase) -> Iterator[Observation]:
    """Official instruments whose error is more than half of the limit that they are for."""
    official = _official_instruments(case)
    for class_id, rule, path, test, limit in sized_tests(case):
        instrument = official.get((class_id, test.instrument))
        limited = quantity(test.quantity)
        bound = limit.bounds.low or limit.bounds.high
        if instrument is None or limited is None or not bound or instrument.contradicts(limited.unit):
            continue
        error_alone = instrument.in_unit(limited.unit)._replace(resolution=None)
        typical = reading((bound,), error_alone, key=test.quantity)
        if isinstance(typical, Measured) and typical.expanded() > abs(to_float(bound)) * _COARSEST:
            blur = with_unit(f"{typical.expanded():.2g}", limited.unit)
            yield Observation(
                f"the {instrument.name} can be off by ± {blur} (k = 2) where {rule.id} asks for {test_asked(test)}: look at the"
                " unit and at the decimal point of what is said of it",
                case.document.place((*path, *test.path, "instrument")),
            )


_COARSEST: Final = 0.5
"""Of the limit; common practice: a scale or a meter of the pit lane is far better, but for a spread of some tenths."""


def _typical_reading(quantity_known: Quantity, value: Fraction, instrument: Instrument) -> Measured | None:
    """A reading of this value on this instrument, with all that is not read on it taken as certain."""

    def read(key: str) -> Number:
        return reading((value,), instrument, key=key)

    if quantity_known.key is not None:
        number = read(quantity_known.name)
        return number if isinstance(number, Measured) else None
    if quantity_known.formula is None or quantity_known.name not in _LEVEL:
        return None
    taken: list[object] = []
    for input_name in quantity_known.inputs:
        if isinstance(input_name, Key) and input_name in quantity_known.principal:
            name = str(input_name.path[-1])
            taken.append(tuple(read(f"{name}[{i}]") for i in range(_SENSORS)) if input_name.each else read(name))
        elif input_name is Given.REFERENCE_C or (isinstance(input_name, Key) and input_name.path[-1] == "winding_c"):
            taken.append(Fraction(20))
        else:
            return None
    number = quantity_known.formula(*taken)
    return number if isinstance(number, Measured) else None


_LEVEL: Final = frozenset({"timing_mean_deg", "winding_mean_mohm", "winding_lowest_mohm"})
"""Computed quantities that are as large as the readings that they come from."""


def rules_by_day(flat: FlatClass) -> tuple[tuple[date, tuple[Rule, ...]], ...]:
    """The rules that bind on the first day and on each day of change; none where there are too many to compare them all."""
    start = flat.ruleset.in_force.start
    days = () if start is None else (start, *changes_after(flat, start))
    by_day: list[tuple[date, tuple[Rule, ...]]] = []
    pairs = 0
    for day in days[:_MOST_DAYS]:
        rules = binding(flat, day)
        pairs += sum(len(group) ** 2 for group in on_one_quantity(rules))
        if pairs > _MOST_PAIRS:
            return ()
        by_day.append((day, rules))
    return tuple(by_day)


def on_one_quantity(rules: Iterable[Rule]) -> list[list[Rule]]:
    """The rules with a limit of size, those on one quantity together."""
    groups: dict[str | None, list[Rule]] = {}
    for rule in rules:
        if isinstance(rule.limit, Size):
            groups.setdefault(rule.quantity, []).append(rule)
    return list(groups.values())


_MOST_DAYS: Final = 100
_MOST_PAIRS: Final = 20_000
"""What no rulebook for people reaches: advice on it is left out rather than waited for."""


def _width(bounds: Limits, places: int, limited: Quantity) -> str:
    width = (bounds.high or Fraction(0)) - (bounds.low or Fraction(0))
    return with_unit(decimal_text(width, places + 1), limited.unit)


RULESET: Final = """format: ruleset/1
id: our-club
version: "1"
in_force: {from: 2026-01-01}
reference_temperature_c: 20
instruments: {club-meter: {accuracy_percent: 0.5, resolution: 0.1}}
classes:
  stock-17:
    rules:
      - RULE
"""


def example(*rules: str) -> tuple[str, ...]:
    """A ruleset with these rules in its only class."""
    return (RULESET.replace("RULE", "\n      - ".join(rules)),)


LIMITS: Final[tuple[AdviceSort[RulesetCase], ...]] = (
    AdviceSort(
        id="ratio-turned-round",
        title="gearing limited on the unusual side",
        because='"Maximum ratio" in a rulebook often means the tallest gearing, which is the smallest number.',
        source="usage of published class rules",
        example=example("{id: final-drive, quantity: final_drive_ratio, at_most: 4.5}"),
        find=_turned_round,
    ),
    AdviceSort(
        id="limit-undecidable",
        title="limit too narrow for its instrument",
        because="Where the window is narrower than the blur of the instrument, no reading shows a car to be legal.",
        source="JCGM 106 3.3.17, ± 1.96 standard uncertainties for 95 %",
        example=example(
            "{id: winding, quantity: winding_mean_mohm, nominal: 36.6, tolerance: {percent: 0.5}, instrument: club-meter}"
        ),
        find=_undecidable,
    ),
    AdviceSort(
        id="rule-instrument-unit",
        title="official instrument that reads another unit",
        because="A scale that is named for a width says nothing of its error.",
        source="arithmetic",
        example=(
            example("{id: width, quantity: width_mm, at_most: 190, instrument: club-scale}")[0].replace(
                "club-meter: {", "club-scale: {unit: g, "
            ),
        ),
        find=_of_another_unit,
    ),
    AdviceSort(
        id="rule-instrument-coarse",
        title="official instrument that is off by half of the limit",
        because="An error in another unit, or with its point misplaced, makes every reading a close call.",
        example=(
            example("{id: width, quantity: width_mm, at_most: 190, instrument: club-meter}")[0].replace(
                "accuracy_percent: 0.5", "accuracy_percent: 50"
            ),
        ),
        find=_too_coarse,
    ),
)
