"""Rulesets that leave something open: how to measure, which temperature, which clause, which examples."""

from collections.abc import Iterable, Iterator
from typing import Final

from speclint.advice.limits import example, own_rules
from speclint.advice.model import AdviceSort, Observation, RulesetCase
from speclint.forms.size import Size
from speclint.plain import first_few
from speclint.readings.copper import REFERENCE_C
from speclint.readings.exact import full_text
from speclint.rulesets.not_found import NotFound

_RESISTANCES: Final = frozenset({"winding_mean_mohm", "winding_lowest_mohm"})
_MOST_NAMED: Final = 6


def _no_meter(case: RulesetCase) -> Iterator[Observation]:
    for _, rule, path in own_rules(case):
        if rule.quantity in _RESISTANCES and isinstance(rule.limit, Size) and rule.instrument is None:
            yield Observation(
                f"{rule.id} limits a resistance and names no instrument: meters of the pit lane differ by some percent, and the"
                " first argument will be about which one counts. Describe the club's under instruments, and name it here",
                case.document.place((*path, "id")),
            )


def _no_temperature(case: RulesetCase) -> Iterator[Observation]:
    layers = case.library.layers(case.ruleset)
    if isinstance(layers, NotFound) or any(layer.reference_c is not None for layer in layers):
        return
    for _, rule, path in own_rules(case):
        if ((test := rule.test) is not None and test.quantity in _RESISTANCES) and (
            isinstance(test.limit, Size) and not test.uncorrected and test.reference_c is None
        ):
            yield Observation(
                f"{rule.id} limits a resistance, and no reference_temperature_c is stated: it is taken at"
                f" {full_text(REFERENCE_C)} °C, and a rulebook that means 25 °C is 2 % off by that. State it, or"
                " `uncorrected: true` if the meter's reading counts as it is",
                case.document.place((*path, "id")),
            )


def _other_temperature(case: RulesetCase) -> Iterator[Observation]:
    *below, _ = case.library.stack(case.ruleset)
    reference_c = case.ruleset.reference_c
    base = next((layer for layer in reversed(below) if layer.reference_c is not None), None)
    if reference_c is None or base is None or base.reference_c is None or base.reference_c == reference_c:
        return
    shown = [full_text(value) for value in (reference_c, base.reference_c)]
    yield Observation(
        f"the reference temperature is {shown[0]} °C here and {shown[1]} °C in {base.name}: resistance limits that are"
        f" inherited from there are now judged at {shown[0]} °C, where the same winding reads otherwise. State the"
        " limits anew, or the same temperature",
        case.document.place(("reference_temperature_c",)),
    )


def _no_clause(case: RulesetCase) -> Iterator[Observation]:
    rules = [(class_id, rule, path) for class_id, rule, path in own_rules(case) if not rule.withdrawn]
    bare = [row for row in rules if not row[1].cite]
    # A ruleset that cites nothing has no numbered text to cite.
    if not bare or len(bare) == len(rules):
        return
    named = _named(f"{class_id}/{rule.id}" for class_id, rule, _ in bare)
    is_are = "has no clause" if len(bare) == 1 else "have no clause"
    yield Observation(
        f"{named} {is_are} to cite, as the other rules have: a driver who is told of a rule wants to read it. Add cite",
        case.document.place((*bare[0][2], "id")),
    )


def _what_is_weighed(case: RulesetCase) -> Iterator[Observation]:
    bare = [
        (class_id, rule, path)
        for class_id, rule, path in own_rules(case)
        if rule.quantity == "mass_g" and isinstance(rule.limit, Size) and not rule.measure
    ]
    if not bare:
        return
    named = _named(f"{class_id}/{rule.id}" for class_id, rule, _ in bare)
    yield Observation(
        f"{named} limit{'s' if len(bare) == 1 else ''} the mass without saying what is weighed: with transponder, ready"
        " to race? Say so under measure",
        case.document.place((*bare[0][2], "id")),
    )


def _tries_nothing(case: RulesetCase) -> Iterator[Observation]:
    for shown in case.ruleset.examples:
        if not shown.expect:
            yield Observation(
                f'the example "{shown.about}" expects nothing, so it holds whatever the rules say: write under `expect` what'
                " becomes of a rule",
                case.document.place(("examples", shown.number)),
            )


def _one_title(case: RulesetCase) -> Iterator[Observation]:
    first: dict[str, str] = {}
    for class_id, stated in case.ruleset.classes.items():
        if stated.title and first.setdefault(stated.title, class_id) != class_id:
            yield Observation(
                f"{class_id} has the title of {first[stated.title]}, {stated.title}: nobody can tell the two apart on a report",
                case.document.place(("classes", class_id, "title")),
            )


def _named(names: Iterable[str]) -> str:
    return first_few([*names], _MOST_NAMED)


_WINDING: Final = "{id: winding, quantity: winding_mean_mohm, at_least: 35.4, instrument: club-meter}"
_WEIGHT: Final = "{id: weight, quantity: mass_g, at_least: 1350, measure: Ready to race., cite: '3.1'}"
_WIDTH: Final = "{id: width, quantity: width_mm, at_most: 190}"

RULEBOOKS: Final[tuple[AdviceSort[RulesetCase], ...]] = (
    AdviceSort(
        id="resistance-without-instrument",
        title="resistance limited without naming the meter",
        because="Two meters differ by more than many tolerances, so the rule must say whose counts.",
        example=example(_WINDING.replace(", instrument: club-meter", "")),
        find=_no_meter,
    ),
    AdviceSort(
        id="resistance-without-temperature",
        title="resistance limited without a temperature",
        because="Copper reads 0.4 % higher for each degree; a limit means nothing without the temperature it is for.",
        source="IEC 60034-1, resistance method",
        example=(example(_WINDING)[0].replace("reference_temperature_c: 20\n", ""),),
        find=_no_temperature,
    ),
    AdviceSort(
        id="reference-temperature-differs",
        title="reference temperature other than the inherited one",
        because="Limits that were set for one temperature are judged at another.",
        source="IEC 60034-1, resistance method",
        example=(
            example(_WIDTH.replace("}", ", because: A narrow hall.}"))[0].replace(
                "temperature_c: 20", "temperature_c: 25\nbased_on: coastal-league@2026.1"
            ),
        ),
        find=_other_temperature,
    ),
    AdviceSort(
        id="rule-without-clause",
        title="rules without a clause",
        because="The rulebook has the last word, so a rule should say where in it.",
        example=example(_WEIGHT, _WIDTH),
        find=_no_clause,
    ),
    AdviceSort(
        id="mass-of-what",
        title="mass limited without saying what is weighed",
        because="Some clubs weigh with the transponder and some without; it is 10 g or so.",
        source="usage of published class rules",
        example=example("{id: weight, quantity: mass_g, at_least: 1350}"),
        find=_what_is_weighed,
    ),
    AdviceSort(
        id="example-idle",
        title="example that expects nothing",
        because="An example is a test; one that cannot fail tells that all is well when it is not.",
        source="arithmetic",
        example=(
            example(_WIDTH)[0]
            + "examples:\n"
            + "".join(
                f"  - {{class: stock-17, on: 2026-03-14, setup: {{car: {{width_mm: {width}}}}}, expect: {{{expected}}}}}\n"
                for width, expected in (
                    (189, "width: legal"),
                    (190, "width: legal"),
                    (191, "width: illegal"),
                    (192, ""),
                )
            ),
        ),
        find=_tries_nothing,
    ),
    AdviceSort(
        id="title-twice",
        title="two classes of one title",
        because="A copied class keeps its old title, and its cars stand on the sheet of another.",
        example=(
            example(_WIDTH)[0].replace("    rules:", "    title: Stock\n    rules:")
            + "  stock-13:\n    title: Stock\n    rules:\n      - {id: length, quantity: length_mm, at_most: 400}\n",
        ),
        find=_one_title,
    ),
)
