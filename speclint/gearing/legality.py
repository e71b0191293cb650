"""A gearing held against the rules of every entry by the rules engine itself."""

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from speclint.gearing.pairs import GearPair
from speclint.models.cars import Car
from speclint.models.setups import Entry
from speclint.moments import day_text
from speclint.places import Place
from speclint.quantities.facts import Facts
from speclint.quantities.registry import quantity
from speclint.readings.exact import PI
from speclint.readings.measured import Number, value_of
from speclint.remedies.trial import changed_car
from speclint.rules.checks import FAILING, Check, KeyChange, Verdict
from speclint.rules.judge import entry_facts, judge, worst_verdict
from speclint.rules.rulebook import Coming, Rulebook
from speclint.rulesets.model import Rule


@dataclass(frozen=True, slots=True)
class EntryRules:
    """An entry with its rules: those that the gears can change, and what the others say of the car as it is.

    Attributes:
        entry: The entry.
        book: Only the rules that follow the gears.
        facts: The car's facts for the entry.
        place: Where the entry stands.
        elsewhere: Checks that are not met whatever the gears.
        later: What becomes of rules on the gearing after the entry's day.
    """

    entry: Entry
    book: Rulebook
    facts: Facts
    place: Place
    elsewhere: tuple[Check, ...]
    later: tuple[Coming, ...]

    @property
    def label(self) -> str:
        """Ruleset and class, as people name a rule by them."""
        return self.book.flat.label

    @property
    def text(self) -> str:
        """The class, the day and the rules, for people."""
        flat = self.book.flat
        return f"{flat.title}, {day_text(self.entry.on)}, by {flat.ruleset.title} {flat.ruleset.version}"


@dataclass(frozen=True, slots=True)
class Standing:
    """What an entry's rules say of a pair.

    Attributes:
        verdict: Legal, illegal or not shown.
        check: The check that decides: the one that is not met, else the one with the least to spare; None where no
            rule on the gearing has a size.
        ratio_limit: That check's limit as a final drive ratio, where it is one on the gearing's height.
    """

    verdict: Verdict
    check: Check | None
    ratio_limit: Fraction | None

    @property
    def margin(self) -> Fraction | None:
        """Distance to that limit in the rule's own unit: below zero where it is broken."""
        return None if self.check is None or self.check.outcome is None else self.check.outcome.margin


@cache
def follows_gears(name: str) -> bool:
    """Whether another spur or pinion changes a quantity."""
    if name in ("spur_teeth", "pinion_teeth"):
        return True
    quantity_ = quantity(name)
    return quantity_ is not None and any(isinstance(name, str) and follows_gears(name) for name in quantity_.inputs)


def _on_gears(rule: Rule) -> bool:
    return any(map(follows_gears, rule.named))


def entry_rules_of(car: Car, entry: Entry, book: Rulebook) -> EntryRules:
    """An entry of a car, its rules parted into those on the gearing and the rest."""
    place = car.setup.document.place(entry.path)
    facts = entry_facts(car, entry, book.flat)
    on_gears = book._replace(rules=tuple(rule for rule in book.rules if _on_gears(rule)), coming=())
    rest = book._replace(rules=tuple(rule for rule in book.rules if not _on_gears(rule)), coming=())
    elsewhere = tuple(check for check in judge(rest, facts, place) if check.verdict in FAILING)
    coming = tuple(later for later in book.coming if _on_gears(later.rule))
    return EntryRules(entry, on_gears, facts, place, elsewhere, coming)


def standing(entry_rules: EntryRules, car: Car, pair: GearPair) -> Standing:
    """What an entry's rules on the gearing say of a car with this pair in it."""
    checks = judge(entry_rules.book, entry_rules.facts.of(geared_car(car, pair)), entry_rules.place)
    verdict = worst_verdict(checks)
    if verdict is not Verdict.LEGAL:
        decisive: Check | None = next(check for check in checks if check.verdict is verdict)
    else:
        sized = [check for check in checks if check.outcome is not None and check.verdict is Verdict.LEGAL]
        decisive = min(sized, key=_relative, default=None)
    return Standing(verdict, decisive, None if decisive is None else _ratio_limit(decisive, car, entry_rules, pair))


def geared_car(car: Car, pair: GearPair) -> Car:
    """The car with another spur and pinion."""
    file = car.setup.document.file
    return changed_car(
        car, (KeyChange(file, ("car", "spur_teeth"), pair.spur), KeyChange(file, ("car", "pinion_teeth"), pair.pinion))
    )


def _relative(check: Check) -> Fraction:
    outcome = check.outcome
    if outcome is None or not outcome.limit:
        return Fraction(0)
    return outcome.margin / abs(outcome.limit)


def _ratio_limit(check: Check, car: Car, entry_rules: EntryRules, pair: GearPair) -> Fraction | None:
    if check.outcome is None or not check.outcome.limit:
        return None
    match check.quantity:
        case "final_drive_ratio":
            return check.outcome.limit
        case "spur_pinion_ratio":
            return check.outcome.limit * pair.internal
        case "rollout_mm":
            tyre = entry_rules.facts.of(car).fact("tyre_diameter_mm").value
            return value_of(tyre) * PI / check.outcome.limit if isinstance(tyre, Number) else None
    return None
