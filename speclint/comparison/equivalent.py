"""The final drive ratio that keeps the car's top speed after a change of the motor, and the pinion that comes closest.

A car's top speed is the motor's speed times the rollout over the final drive ratio. Motor speed goes with the speed per
volt at the same voltage, so the ratio goes with it too: new = old × kv_new ÷ kv_old. What the stronger or weaker motor
does to the drop under load is left out, which is right for the speed at the end of a straight as far as the car runs
out of revolutions there, not of torque.
"""

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from speclint.comparison.differences import Comparison, Conclusion
from speclint.comparison.uncertainty import expanded_uncertainty_of
from speclint.models.cars import Car
from speclint.models.parts import PartsBox
from speclint.places import Place
from speclint.quantities.car import final_drive_ratio
from speclint.quantities.facts import Facts
from speclint.readings.copper import REFERENCE_C
from speclint.readings.measured import Number, value_of
from speclint.remedies.levers import rests_on
from speclint.remedies.trial import changed_car
from speclint.rules.checks import Check, KeyChange, Verdict
from speclint.rules.judge import judge, worst_verdict
from speclint.rules.rulebook import Rulebook
from speclint.rules.wording import message

REACH_TEETH: Final = 20
"""How far from the fitted pinion another one is looked for where no parts box says which there are."""

_PINION: Final = ("car", "pinion_teeth")
_GEARS: Final = ("spur_teeth", "pinion_teeth", "internal_ratio")
_BY_RATIO: Final = frozenset({"final_drive_ratio", "spur_pinion_ratio", "rollout_mm"})
"""What a ratio between two teeth can be held against."""


@dataclass(frozen=True, slots=True)
class EntryRules:
    """One entry of the car that a gearing is held against."""

    label: str
    book: Rulebook
    facts: Facts
    place: Place


@dataclass(frozen=True, slots=True)
class EntryVerdict:
    """What the rules on the gearing of one entry say, with the sentence about the rule that decides."""

    label: str
    verdict: Verdict
    message: str


@dataclass(frozen=True, slots=True)
class PinionChoice:
    """A pinion on the car's own spur, and what the entries say of it."""

    pinion_teeth: int
    ratio: Fraction
    off_percent: Fraction
    judged: tuple[EntryVerdict, ...]

    @property
    def legal(self) -> bool:
        """Whether every entry takes it."""
        return all(judgement.verdict is Verdict.LEGAL for judgement in self.judged)


@dataclass(frozen=True, slots=True, kw_only=True)
class Equivalent:
    """The equivalent gearing of one car.

    Attributes:
        old_ratio: the final drive ratio that the setup states, taken as the one before the change.
        ratio: the equivalent one, with the uncertainty of the speeds per volt.
        expanded_uncertainty: its expanded uncertainty; None where the speeds' is not known.
        changed: whether a change of the speed per volt is shown at all.
        spur_teeth: the spur, which stays.
        fitted: the pinion that is on the car.
        judged: what the entries say of the equivalent ratio itself.
        closest: the pinion that comes closest.
        closest_legal: the closest one that every entry takes, where that is another one; None where none does.
        from_box: whether the pinions are those of a parts box.
    """

    setup: str
    file: str
    old_ratio: Fraction
    ratio: Number
    expanded_uncertainty: float | None
    changed: bool
    spur_teeth: int
    fitted: int
    judged: tuple[EntryVerdict, ...]
    closest: PinionChoice
    closest_legal: PinionChoice | None
    from_box: bool


def equivalent_of(
    comparison: Comparison, car: Car, entries: tuple[EntryRules, ...], parts: PartsBox
) -> Equivalent | str:
    """The gearing that keeps the car's top speed from the first run to the second; in words why there is none.

    Args:
        comparison: two runs of the motor.
        car: the car that the motor is in, geared as it was before the change.
        entries: those of the car; a verdict is given for each.
        parts: the parts box; where it names no pinions, all near the fitted one count.
    """
    change = comparison.change("kv_rpm_per_v")
    if change.first is None or change.second is None or not value_of(change.first) > 0:
        return "the speed per volt of both runs is needed for an equivalent gearing"
    if change.conclusion is Conclusion.CANNOT_TELL and any(
        change.quantity.family in obstacle.families for obstacle in comparison.obstacles
    ):
        return f"no equivalent gearing: {change.reason}"
    facts = Facts(car, on=comparison.second.day, reference_c=REFERENCE_C, entry_keys={})
    spur, pinion, internal = (facts.fact(name).value for name in _GEARS)
    if not (isinstance(spur, Fraction) and isinstance(pinion, Fraction) and isinstance(internal, Fraction)):
        lacking = [f"car.{name}" for name in _GEARS if not isinstance(facts.fact(name).value, Fraction)]
        return f"no equivalent gearing: add {', '.join(lacking)} to {car.setup.document.file}"
    spur_teeth, fitted = int(spur), int(pinion)
    old = final_drive_ratio(spur, pinion, internal)
    ratio = change.second / change.first * old
    boxed = parts.pinions_teeth is not None and len(parts.pinions_teeth) > 0
    listed = (
        set(parts.pinions_teeth or ()) if boxed else set(range(max(1, fitted - REACH_TEETH), fitted + REACH_TEETH + 1))
    )
    gears = sorted(
        (_gear(teeth, old * fitted / teeth, value_of(ratio)) for teeth in listed | {fitted}),
        key=lambda gear: (abs(gear.off_percent), gear.pinion_teeth),
    )
    closest = _tried(gears[0], car, entries)
    legal = (
        closest
        if closest.legal
        else next((tried for gear in gears[1:] if (tried := _tried(gear, car, entries)).legal), None)
    )
    return Equivalent(
        setup=car.setup.name,
        file=car.setup.document.file,
        old_ratio=old,
        ratio=ratio,
        expanded_uncertainty=None if change.expanded_uncertainty is None else expanded_uncertainty_of(ratio),
        changed=change.conclusion is Conclusion.CHANGED,
        spur_teeth=spur_teeth,
        fitted=fitted,
        judged=_judged(car, entries, _between_teeth(value_of(ratio), old, fitted), _BY_RATIO),
        closest=closest,
        closest_legal=legal,
        from_box=boxed,
    )


def _gear(teeth: int, ratio: Fraction, wanted: Fraction) -> PinionChoice:
    return PinionChoice(teeth, ratio, (ratio / wanted - 1) * 100, ())


def _tried(gear: PinionChoice, car: Car, entries: tuple[EntryRules, ...]) -> PinionChoice:
    return PinionChoice(gear.pinion_teeth, gear.ratio, gear.off_percent, _judged(car, entries, gear.pinion_teeth, None))


def _between_teeth(ratio: Fraction, old: Fraction, pinion: int) -> str:
    """The pinion of a ratio that lies between two teeth, so that the rules themselves can be asked about it."""
    teeth = (old * pinion / ratio).limit_denominator(10**6)
    return f"{teeth.numerator}/{teeth.denominator}"


def _judged(
    car: Car, entries: tuple[EntryRules, ...], pinion: int | str, only: frozenset[str] | None
) -> tuple[EntryVerdict, ...]:
    trial = changed_car(car, (KeyChange(car.setup.document.file, _PINION, pinion),))
    verdicts = []
    for entry in entries:
        checks = [check for check in judge(entry.book, entry.facts.of(trial), entry.place) if _on_gearing(check, only)]
        verdict = worst_verdict(checks)
        decisive = next((check for check in checks if check.verdict is verdict and check.outcome is not None), None)
        verdicts.append(EntryVerdict(entry.label, verdict, "" if decisive is None else message(decisive)))
    return tuple(verdicts)


def _on_gearing(check: Check, only: frozenset[str] | None) -> bool:
    name = check.quantity
    if name is None:
        return False
    return name in only if only is not None else "pinion_teeth" in rests_on(name)
