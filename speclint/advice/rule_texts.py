"""Rules whose text may be a slip: the wrong side or unit, a step that is too coarse, names that are nearly others."""

from collections.abc import Collection, Iterable, Iterator, Sequence, Set
from datetime import date
from itertools import chain
from typing import TYPE_CHECKING, Final

from speclint.advice.days import is_apart
from speclint.advice.limits import RULESET, example, flat_classes, limited_sides, own_rules, sized_tests
from speclint.advice.model import AdviceSort, Observation, RulesetCase
from speclint.forms.parts_lists import DayLists
from speclint.places import Path
from speclint.quantities.kinds import COUNT_KEY, QUANTITIES_KEY, SUM_KEY
from speclint.quantities.model import Sort
from speclint.quantities.registry import OPEN_PREFIXES, quantity
from speclint.readings.digits import plain_text, with_unit
from speclint.rules.wording import test_asked, test_title
from speclint.rulesets.implication import BindingRule, implies
from speclint.rulesets.model import FlatClass, Rule, Ruleset
from speclint.rulesets.not_found import NotFound

if TYPE_CHECKING:
    from speclint.moments import Period


def _other_side(case: RulesetCase) -> Iterator[Observation]:
    limited = limited_sides(case)
    for class_id, rule, path, test, limit in sized_tests(case):
        usual = _USUAL_SIDE.get(test.quantity)
        has_low, has_high = limit.bounds.low is not None, limit.bounds.high is not None
        if usual is None or has_low is has_high or (usual == "low") is has_low:
            continue
        if (class_id, test.quantity, usual) in limited:
            continue
        wanted = "at_least" if usual == "low" else "at_most"
        yield Observation(
            f"{rule.id} asks for a {test_title(test)} of {test_asked(test)}, and nothing limits the other side, which is the one"
            f" that rulebooks limit: is {wanted} meant? If it is right as it stands, a limit on the other side says so",
            case.document.place((*path, "id")),
        )


_USUAL_SIDE: Final = {
    "mass_g": "low", "ride_height_mm": "low", "winding_mean_mohm": "low", "winding_lowest_mohm": "low",
    "width_mm": "high", "length_mm": "high", "battery_voltage_v": "high", "cell_voltage_v": "high",
    "battery_capacity_mah": "high", "kv_rpm_per_v": "high", "timing_mean_deg": "high", "timing_set_deg": "high",
    "bench_age_days": "high", "rotor_diameter_mm": "high",
}  # fmt: skip
"""The side on which a limit keeps a car from an advantage."""


def _unusual(case: RulesetCase) -> Iterator[Observation]:
    for class_id, rule, path, test, limit in sized_tests(case):
        described = quantity(test.quantity)
        if described is None or described.typical is None:
            continue
        of_class = case.ruleset.classes[class_id].usual_ratio if described.name == "final_drive_ratio" else None
        low, high = of_class or described.typical
        outside = [bound for bound in (limit.bounds.low, limit.bounds.high) if bound and not low <= bound <= high]
        if outside:
            shown, least, most = (with_unit(plain_text(number), described.unit) for number in (outside[0], low, high))
            yield Observation(
                f"{rule.id} limits the {described.title} at {shown}, where cars have {least} to {most}: look at the unit"
                " and at the decimal point",
                case.document.place((*path, "id")),
            )


def _equals_on_a_reading(case: RulesetCase) -> Iterator[Observation]:
    for _, rule, path, test, limit in sized_tests(case):
        if (
            limit.bounds.low == limit.bounds.high != 0
            and (described := quantity(test.quantity)) is not None
            and described.sort is Sort.MEASURED
        ):
            yield Observation(
                f"{rule.id} asks for a {test_title(test)} of {test_asked(test)}: it is read, and no two readings agree to the last digit."
                " Say `nominal` with a `tolerance`, or `between`",
                case.document.place((*path, "id")),
            )


def _coarse(case: RulesetCase) -> Iterator[Observation]:
    for _, rule, path, test, limit in sized_tests(case):
        step = test.read_to
        bounds = [bound for bound in (limit.bounds.low, limit.bounds.high) if bound is not None]
        if step is not None and any((bound / step).denominator != 1 for bound in bounds):
            yield Observation(
                f"{rule.id} asks for {test_asked(test)} and reads to {plain_text(step)}, so that the limit lies between two"
                " values that can be read: state a limit that can, or a finer step",
                case.document.place((*path, *test.path, "read_to")),
            )


def _nearly_alike(case: RulesetCase) -> Iterator[Observation]:
    """Names that are nearly others: of classes, and of what only the club knows."""
    inherited = set(case.library.class_ids(case.ruleset)) - set(case.ruleset.classes)
    for class_id in case.ruleset.classes:
        near = next((name for name in sorted(inherited) if _is_slip(class_id, name)), "")
        if near:
            yield Observation(
                f"the class {class_id} is nearly called like {near}, which is inherited: with another id it inherits nothing"
                " of it",
                case.document.place(("classes", class_id), of_key=True),
            )
    named: dict[str, list[Path]] = {}
    for _, rule, path in own_rules(case):
        for name in (*(test.quantity for test in rule.tests), *sorted(rule.conditions)):
            if name.startswith(OPEN_PREFIXES):
                named.setdefault(name, []).append((*path, "id"))
    for name, path in _in_declarations(case):
        named.setdefault(name, []).append(path)
    words: dict[str, dict[str, list[Path]]] = {}
    for _, rule, path in own_rules(case):
        for condition in rule.when:
            of_quantity = words.setdefault(condition.quantity, {})
            for value in condition.limit.choices(DayLists({}, date.min)) or ():
                of_quantity.setdefault(f"{value}", []).append(path)
    declared = frozenset(name for flat in flat_classes(case) for name in flat.quantities)
    named = {**{name: [] for name in declared}, **named}
    for name, near in chain(_slips(named, declared), _nearly_of_an_entry(named)):
        message = f"{name} is nearly written like {near}: a car that states the one does not state the other"
        yield Observation(message, case.document.place(named[name][0]))
    for name, values in words.items():
        for value, near in _slips(values):
            message = (
                f"{name} {value} is nearly written like {name} {near}: a rule that applies to the one does not apply to the"
                " other"
            )
            yield Observation(message, case.document.place((*values[value][0], "when")))


def _in_declarations(case: RulesetCase) -> Iterator[tuple[str, Path]]:
    """The open keys that the ruleset's own sums and counts name."""
    for name, declared in case.ruleset.quantities.items():
        for i, part in enumerate(declared.quantity.inputs):
            if isinstance(part, str) and part.startswith(OPEN_PREFIXES):
                steps: Path = (COUNT_KEY,) if declared.quantity.counts else (SUM_KEY, i)
                yield part, (QUANTITIES_KEY, name, *steps)


def _slips(named: dict[str, list[Path]], declared: Set[str] = frozenset()) -> Iterator[tuple[str, str]]:
    """Each name that is nearly another one, with that: the one that is not declared, the rarer of the two, or the later."""
    for first, second in _near(named):
        is_rarer = len(named[first]) < len(named[second])
        rarer, likelier = (
            (first, second) if second in declared or (is_rarer and first not in declared) else (second, first)
        )
        if _is_slip(first, second) and rarer not in declared:
            yield rarer, likelier


def _nearly_of_an_entry(named: Collection[str]) -> Iterator[tuple[str, str]]:
    """Each name that is nearly that of a key which every entry may have, with that."""
    keys = [key for key in _ENTRY_KEYS if key not in named]
    for name in named:
        near = next((key for key in keys if _is_slip(name, key)), "") if name.startswith(_ENTRY_PREFIX) else ""
        if near:
            yield name, near


_ENTRY_PREFIX: Final = "entry."
_ENTRY_KEYS: Final = tuple(f"{_ENTRY_PREFIX}{key}" for key in ("driver", "heat", "number", "round", "track", "venue"))


def _near(names: Iterable[str]) -> Iterator[tuple[str, str]]:
    """The pairs of names that are alike once a letter of each is left out; the work grows with the names, not their pairs.

    A digit is not left out: names that differ in one are numbered, not misspelt.
    """
    by_rest: dict[str, tuple[str, ...]] = {}
    for name in names:
        if len(name) > _LONGEST:
            continue
        rests = {name, *(name[:i] + name[i + 1 :] for i, sign in enumerate(name) if not sign.isdigit())}
        yield from ((alike, name) for alike in dict.fromkeys(chain(*(by_rest.get(rest, ()) for rest in sorted(rests)))))
        for rest in rests:
            earlier = by_rest.get(rest, ())
            if len(earlier) < _MOST_ALIKE:
                by_rest[rest] = (*earlier, name)
        if len(by_rest) > _MOST_RESTS:
            return


_LONGEST: Final = 60
"""In letters: what is longer is a sentence. Each of its letters is left out once, so the work is the square of them."""

_MOST_RESTS: Final = 300_000
"""What fits into memory; no honest ruleset has a hundredth of the names."""

_MOST_ALIKE: Final = 3
"""More names that differ by a letter are numbered, not misspelt."""


def _is_slip(first: str, second: str) -> bool:
    """Whether two names differ by one letter that is another, too many or too few, or by two that changed places."""
    if first == second or abs(len(first) - len(second)) > 1:
        return False
    start = next(
        (i for i, pair in enumerate(zip(first, second, strict=False)) if pair[0] != pair[1]),
        min(len(first), len(second)),
    )
    left, right = first[start:], second[start:]
    is_letter = not any(sign.isdigit() for sign in (left[:1] + right[:1]))
    swapped = left[:2] == right[1::-1] and left[2:] == right[2:]
    return is_letter and (left[1:] == right[1:] or left[1:] == right or left == right[1:] or swapped)


def _twice_on_a_list(case: RulesetCase) -> Iterator[Observation]:
    for list_id, parts in case.ruleset.lists.items():
        periods: dict[str, list[Period]] = {}
        for index, item in enumerate(parts.items):
            earlier = periods.setdefault(item.id, [])
            if not all(is_apart(period, item.period) for period in earlier[-_MOST_TURNS:]):
                yield Observation(
                    f"{item.id} stands on the list {list_id} twice: of what they say of it, one contradicts the other, or is idle",
                    case.document.place(("lists", list_id, "items", index, "id")),
                )
            earlier.append(item.period)


_MOST_TURNS: Final = 20
"""How many of the turns that a part was on a list before are looked at."""


def _waiver_for_all(case: RulesetCase) -> Iterator[Observation]:
    for index, waiver in enumerate(case.ruleset.waivers):
        if not waiver.when:
            yield Observation(
                f"the waiver of {waiver.rule} names no car, so that the rule binds nobody: name whom it excuses, as"
                ' `when: {motor_serial: "00417"}`, or withdraw the rule',
                case.document.place(("waivers", index)),
            )


def _loosened(case: RulesetCase) -> Iterator[Observation]:
    """Rules that ask less than the inherited ones whose place they take, and lists in the place of inherited ones, without a word why."""
    *below, _ = case.library.stack(case.ruleset)
    if below:
        yield from _loosened_rules(case, below[-1])
        yield from _replaced_lists(case, below)


def _loosened_rules(case: RulesetCase, base: Ruleset) -> Iterator[Observation]:
    day = case.ruleset.in_force.start
    inherited: dict[str, dict[str, Rule]] = {}
    for class_id, rule, path in own_rules(case):
        before, after = case.library.flat(base, class_id), case.library.flat(case.ruleset, class_id)
        if rule.because or isinstance(before, NotFound) or isinstance(after, NotFound) or day is None:
            continue
        if rule.test is None and not rule.withdrawn:
            continue
        if class_id not in inherited:
            inherited[class_id] = {old.id: old for old in reversed(before.rules)}
        replaced = inherited[class_id].get(rule.replaces or rule.id)
        if replaced is not None and not _is_kept(replaced, before, rule, after, case):
            yield Observation(
                f"{rule.id} does not ask all that {replaced.id} of {base.name} asks, and does not say why: add `because`, which"
                " a driver from another club will want to read",
                case.document.place((*path, "id")),
            )


def _replaced_lists(case: RulesetCase, below: Sequence[Ruleset]) -> Iterator[Observation]:
    inherited_lists = {list_id for layer in below for list_id in layer.lists}
    stated = case.ruleset.data.get("lists") or {}
    for list_id in case.ruleset.lists:
        if list_id in inherited_lists and not {"about", "based_on"} & set(stated[list_id]):
            yield Observation(
                f"the list {list_id} takes the place of the one of {below[-1].name}, of which nothing is left: say under `about` why,"
                " or give it an id of its own",
                case.document.place(("lists", list_id), of_key=True),
            )


def _is_kept(old: Rule, before: FlatClass, new: Rule, after: FlatClass, case: RulesetCase) -> bool:
    day = new.period.start or case.ruleset.in_force.start
    return day is not None and implies(BindingRule(new, after, day), BindingRule(old, before, day))


_WIDTH: Final = "{id: width, quantity: width_mm, at_most: 190}"
_LEAGUE: Final = RULESET.replace("our-club", "our-league").replace("RULE", _WIDTH)
_CLUB: Final = RULESET.replace('version: "1"', 'version: "1"\nbased_on: our-league@1')
RULE_TEXTS: Final[tuple[AdviceSort[RulesetCase], ...]] = (
    AdviceSort(
        id="limit-turned-round",
        title="limit on the side that costs nobody an advantage",
        because="at_least where at_most is meant lets every car through that the rule is there for.",
        example=example("{id: width, quantity: width_mm, at_least: 190}"),
        find=_other_side,
    ),
    AdviceSort(
        id="limit-unusual",
        title="limit outside what its quantity usually is",
        because="A unit or a decimal point is soon written wrongly, and such a rule lets all cars through, or none.",
        example=example("{id: width, quantity: width_mm, at_most: 19000}"),
        find=_unusual,
    ),
    AdviceSort(
        id="equals-on-a-reading",
        title="one exact value asked of a reading",
        because="A reading has a scatter: a rule that allows one value alone fails every honest car.",
        source="JCGM 106 8.2",
        example=example("{id: width, quantity: width_mm, equals: 190}"),
        find=_equals_on_a_reading,
    ),
    AdviceSort(
        id="step-too-coarse",
        title="reading step coarser than the limit",
        because="A value that is read to whole steps never lies on a limit between two of them.",
        source="arithmetic",
        example=example("{id: width, quantity: width_mm, at_most: 190.5, read_to: 1}"),
        find=_coarse,
    ),
    AdviceSort(
        id="names-alike",
        title="names that are nearly others",
        because="A letter too few makes another class, or a key that no car states.",
        example=example("{id: tyre, quantity: extra.tyre, equals: HT-36, when: {entry.venu: indoor}}"),
        find=_nearly_alike,
    ),
    AdviceSort(
        id="item-twice",
        title="item that stands on a list twice",
        because="Where two lines say something of one part, nobody knows which of them counts.",
        source="arithmetic",
        example=(
            example("{id: tyre, quantity: extra.tyre, listed_in: tyres}")[0]
            + "lists: {tyres: {items: [{id: T-1}, {id: T-1, compound: soft}]}}\n",
        ),
        find=_twice_on_a_list,
    ),
    AdviceSort(
        id="waiver-for-all",
        title="waiver that excuses every car",
        because="A waiver is for one motor or one car for a while; a rule that binds nobody is withdrawn.",
        example=(example(_WIDTH)[0] + "waivers: [{rule: width, class: stock-17}]\n",),
        find=_waiver_for_all,
    ),
    AdviceSort(
        id="loosened-without-reason",
        title="league's rule or list loosened without a reason",
        because="Drivers who come from another club keep to the league's rule, and want to know why this one is another.",
        example=(_CLUB.replace("RULE", _WIDTH.replace("190", "195")), _LEAGUE),
        find=_loosened,
    ),
)
