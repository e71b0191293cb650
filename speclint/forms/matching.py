"""Values held against values that are allowed or barred: words as they are written, readings by the decision rule."""

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from speclint.forms.limit import Judgement
from speclint.forms.parts_lists import Scalar
from speclint.forms.words import same, values_of, written
from speclint.limits.decisions import Decision, Limits, Outcome, Ruling, decide
from speclint.quantities.facts import Fact
from speclint.readings.measured import Measured, Number, value_of
from speclint.spelling import is_like, is_one_word

_FLAGS: Final = {"true": True, "yes": True, "on": True, "false": False, "no": False, "off": False}
"""What people write who mean a flag; without quotes, only `true` and `false` are one."""

_SEVERITY: Final = (Ruling.ILLEGAL, Ruling.NOT_SHOWN, Ruling.LEGAL)


def judge_allowed(fact: Fact, allowed: Sequence[Scalar], decision: Decision) -> Judgement:
    """Every value of a fact has to be one of those allowed."""
    if not isinstance(fact.value, tuple):
        return _allowed(fact, fact.value, allowed, decision)
    return _worst([_allowed(fact, value, allowed, decision) for value in fact.value], fact)


def judge_barred(fact: Fact, barred: Sequence[Scalar], decision: Decision) -> Judgement:
    """No value of a fact may be one of those barred."""
    return _worst([_barred(fact, value, choice, decision) for value in values_of(fact) for choice in barred], fact)


def not_a_number(value: object) -> str:
    """Why a value cannot be held against a number."""
    if isinstance(value, str) and number_in(value) is not None:
        return f'"{value}" is a text because of its quotes: write {value.strip()} without them'
    return "the rule asks for a number here"


def misspelling(value: object, choice: Scalar) -> str:
    """Why a value that is not a choice was probably meant to be it: of another kind, or spelled otherwise; else ""."""
    if not (isinstance(value, str) and isinstance(choice, str)):
        return _misspelt_kind(value, choice)
    if value == choice or not is_one_word(value, choice):
        return ""
    return f'"{value}" is "{choice}" in the rules: spell it as they do'


def is_slip(value: object, choice: Scalar) -> bool:
    """Whether a value is a word that differs from a choice by a slip of the pen: `indoors` for `indoor`.

    A part number, a class or a round differs from the next one by as little, so only what is letters alone is a word, or part
    of one (`harbour-hal`); and `unsealed` is no slip for `sealed`. A choice with a word behind it (`indoor hall`) is one.
    """
    if not (isinstance(value, str) and isinstance(choice, str)) or value == choice:
        return False
    if value.isalpha() and choice.isalpha():
        return not value.endswith(choice) and not choice.endswith(value) and is_like(value, choice)
    if value.lower().startswith(f"{choice.lower()} "):
        return True
    parts, meant = value.replace(" ", "-").split("-"), choice.replace(" ", "-").split("-")
    return len(parts) == len(meant) > 1 and all(map(_is_same_or_slip, parts, meant))


def _has_word(value: object, choice: Scalar) -> bool:
    """Whether a choice is one of the words of a value: `foam` of `soft foam`."""
    return isinstance(value, str) and isinstance(choice, str) and f" {choice.lower()} " in f" {value.lower()} "


def _is_same_or_slip(part: str, meant: str) -> bool:
    return part == meant or (part.isalpha() and meant.isalpha() and is_slip(part, meant))


def slip_of(value: object, choices: Sequence[Scalar]) -> str:
    """What a value was probably meant to be: `"indoors" is nearly indoor`; "" where it is a choice, or no slip of the pen."""
    meant = None if value in choices else next((choice for choice in choices if is_slip(value, choice)), None)
    return "" if meant is None else f"{written(value)} is nearly {meant}"


def _misspelt_kind(value: object, choice: Scalar) -> str:
    """Why a value is of another kind than one that it looks like; "" where it does not look like it."""
    if isinstance(value, str) and not isinstance(choice, str):
        if isinstance(choice, bool):
            meant = _FLAGS.get(value.strip().lower())
            return f"{value} is a text here: write {written(choice)}" if meant is choice else ""
        return not_a_number(value) if number_in(value) == choice else ""
    if isinstance(choice, str) and isinstance(value, bool | Fraction | Measured) and written(value) == choice:
        return f'the rule asks for the text "{choice}", and {choice} without quotes is not one: put it in quotes'
    return ""


def _allowed(fact: Fact, value: object, allowed: Sequence[Scalar], decision: Decision) -> Judgement:
    if _is_read(fact, value):
        rulings = [_at(fact, value, choice, decision) for choice in allowed if _is_number(choice)]
        if rulings:
            outcome = min(rulings, key=lambda outcome: (-_SEVERITY.index(outcome.ruling), -outcome.margin))
            return Judgement(outcome.ruling, fact, outcome, _doubtful(outcome.ruling))
    if any(same(value, choice) for choice in allowed):
        return Judgement(Ruling.LEGAL, fact)
    if reason := next(filter(None, (_misspelt_kind(value, choice) for choice in allowed)), ""):
        return Judgement(Ruling.NOT_SHOWN, fact, reason=reason)
    # As it is written it is none of them, and the remedy writes the right one.
    reason = next(filter(None, (misspelling(value, choice) for choice in allowed)), "")
    return Judgement(Ruling.ILLEGAL, fact, reason=reason)


def _barred(fact: Fact, value: object, barred: Scalar, decision: Decision) -> Judgement:
    if _is_read(fact, value) and _is_number(barred):
        outcome = _at(fact, value, barred, decision)
        # On the barred number itself only a doubt helps; beside it, only one within the uncertainty hurts.
        is_met = outcome.margin < 0
        ruling = Ruling.LEGAL if is_met else Ruling.ILLEGAL
        if is_met and decision is Decision.MUST_SHOW and (_is_unknown(fact, outcome) or outcome.close_call):
            ruling = Ruling.NOT_SHOWN
        elif not is_met and decision is Decision.BENEFIT_OF_DOUBT and outcome.expanded_uncertainty:
            ruling = Ruling.LEGAL
        return Judgement(ruling, fact, reason=_doubtful(ruling))
    if same(value, barred):
        return Judgement(Ruling.ILLEGAL, fact)
    reason = misspelling(value, barred)
    if not reason and (is_slip(value, barred) or _has_word(value, barred)):
        reason = f"{written(value)} is nearly {barred}, which is barred: spell it as the rules do"
    return Judgement(Ruling.NOT_SHOWN if reason else Ruling.LEGAL, fact, reason=reason)


def _worst(judgements: Sequence[Judgement], fact: Fact) -> Judgement:
    return min(
        judgements,
        key=lambda judgement: _SEVERITY.index(judgement.ruling),
        default=Judgement(Ruling.LEGAL, fact),
    )


def _is_read(fact: Fact, value: object) -> bool:
    """Whether a value is what an instrument shows, so that the decision rule has a say."""
    if isinstance(value, str) or fact.quantity.exact:
        return False
    return isinstance(value, Measured) or (isinstance(value, Fraction) and not fact.complete)


def _is_number(choice: Scalar) -> bool:
    return isinstance(choice, Fraction)


def _at(fact: Fact, value: object, choice: Scalar, decision: Decision) -> Outcome:
    """A reading held against one number alone."""
    if not (isinstance(value, Number) and isinstance(choice, Fraction)):
        raise TypeError("a reading is held against a number")
    return decide(value, Limits(low=choice, high=choice), decision, complete=fact.complete)


def _is_unknown(fact: Fact, outcome: Outcome) -> bool:
    return not fact.complete or outcome.expanded_uncertainty is None


def _doubtful(ruling: Ruling) -> str:
    if ruling is not Ruling.NOT_SHOWN:
        return ""
    return "the rule asks to be shown so with the uncertainty counted, and this reading cannot show it"


def number_in(text: str) -> Fraction | None:
    """The number that a text is; None where it is none."""
    try:
        return value_of(Fraction(text.strip()))
    except (ValueError, ZeroDivisionError):
        return None
