"""The starting file of a ruleset: one class with two rules, and the examples that test them."""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from math import floor
from typing import Any, Final

from speclint.edits.spelled import flow, key, scalar
from speclint.forms.size import Size
from speclint.plain import listed
from speclint.quantities.statements import nested, statement_of
from speclint.readings.exact import full_text, to_number
from speclint.rules.rulebook import rulebook
from speclint.rulesets.model import FlatClass
from speclint.starters.draft import heading
from speclint.starters.options import StarterOptions

_HOW: Final = (
    "The rules of one publisher. Lines with a # straight before the key are offered: write your own value in place of the"
    " example, and take the # away. Every number here is a placeholder, to be replaced by what the club has decided."
    " `speclint check` runs the examples at the end; `speclint explain NAME` tells what a rule can limit."
)

_SPUR, _INTERNAL = 96, Fraction(19, 10)

_TEXT: Final = """\
format: ruleset/1
id: {id}
title: {title}
#about: club races in the Harbour Hall
version: "{year}.1"
#published: {day}
# When somebody last held this file against the official text, and where that stands.
#checked_on: {day}
#source: club handbook, section 4
in_force:
  from: {day}
  #until: {year}-12-31

# Another ruleset whose classes and rules hold here too, until this file changes one by its id.
{based_on}

# Winding resistances are taken at this temperature. How a reading near a limit is decided: as-read, must-show or
# benefit-of-doubt.
{own}reference_temperature_c: 20
{own}decision: as-read

# The official instruments: how far each can be off, and the smallest step it shows.
#instruments:
  #tech-scale: {{accuracy_percent: 0.1, resolution: 1, unit: g}}

# What only this ruleset knows: keys under a setup's `extra:`, or of its entry, and sums of them.
#quantities:
  #extra.ballast_g: {{title: ballast, kind: measured, usual: [0, 200], measure: On the club scale.}}
  #extra.body_and_ballast_g: {{title: body and ballast, kind: measured, sum_of: [extra.body_g, extra.ballast_g]}}

classes:
  {class_id}:
    {class_title}
    rules:
      # A rule has an id, a quantity and a limit; the clause to cite, why it is there and how it is measured are for
      # those who read the verdict.{inherited}
{rules}
      #- {{id: our-timing, quantity: timing_set_deg, between: [30, 44], cite: "5.4"}}
      #- {{id: our-rotor, quantity: rotor_kind, one_of: [standard, torque], cite: "5.3"}}
      #- {{id: our-winding, quantity: winding_mean_mohm, nominal: 36.6, tolerance: {{percent: 5}}, decision: benefit-of-doubt, cite: "5.5"}}
      #- {{id: our-motor, quantity: motor_part, listed_in: our-motors, cite: "5.2"}}
      #- {{id: our-tyre, quantity: extra.tyre, equals: HT-36, when: {{entry.venue: indoor}}, cite: "7.1"}}
      #- {{id: our-body, inspect: "Body uncut, windows clear.", per: meeting, cite: "3.5"}}
      # An amendment: the rule that it replaces ends on the day that this one begins.
      #- {{id: {first_id}-amended, replaces: {first_id}, from: {later}, published: {day}, quantity: {first_quantity}, at_least: {first_later}}}

# Approved parts. What is added after the list froze counts for the next season.
#lists:
  #our-motors:
    #frozen_on: {day}
    #items:
      #- {{id: M-17A, from: {day}, rotors: [R-12, R-13]}}

# A rule that one motor need not meet for a while.
#waivers:
  #- {{rule: {first_id}, class: {class_id}, when: {{motor_serial: "00417"}}, until: {later}, granted: minutes of the meeting}}

# The ruleset's own tests: a car, and what the rules must say of it.
examples:
  - about: {enough}
    class: {class_id}
    on: {day}
    setup: {legal}
    expect: {{{legal_expected}}}
  - about: {too_little}
    class: {class_id}
    on: {day}
    setup: {illegal}
    expect: {{{illegal_expected}}}
  - about: {other_legal}
    class: {class_id}
    on: {day}
    setup: {legal_too}
    expect: {{{legal_expected}}}
"""


@dataclass(frozen=True, slots=True)
class _Least:
    """A rule that asks for at least something, with a car that just meets it and one that just does not."""

    id: str
    quantity: str
    limit: Fraction
    step: Fraction
    cite: str
    because: str
    measure: str
    legal: dict[str, Any]
    illegal: dict[str, Any]

    @property
    def lines(self) -> tuple[str, ...]:
        """The rule as it stands in the file."""
        return (
            f"      - id: {self.id}",
            f"        quantity: {self.quantity}",
            f"        at_least: {full_text(self.limit)}",
            f'        cite: "{self.cite}"',
            f"        because: {self.because}",
            f"        measure: {self.measure}",
            "        #penalty: The run does not count.",
        )


def ruleset_text(options: StarterOptions, base: FlatClass | None, modeline: str) -> str:
    """The text of a ruleset; `base` is the class of the ruleset that it builds on, None where it builds on none."""
    day = options.day
    limits = _limits(base, day)
    first = limits[0]
    id_ = options.id or "our-club"
    text = _TEXT.format(
        id=scalar(id_, in_flow=False),
        title=scalar(options.name or f"{id_}, class rules", in_flow=False),
        year=day.year,
        day=day.isoformat(),
        later=_later(day).isoformat(),
        class_id=key(options.class_id or (base.id if base is not None else "stock-17")),
        **_on_its_base(base),
        rules="\n".join(line for rule in limits for line in rule.lines),
        first_id=first.id,
        first_quantity=first.quantity,
        first_later=full_text(first.limit + first.step),
        enough=f"{_what(limits)}, just enough",
        too_little=f"{_what(limits)}, not quite enough",
        other_legal=listed(_other_legal(rule) for rule in limits),
        legal_too=flow(nested(statement_of(rule.quantity, _legal_too(rule), day) or {} for rule in limits)),
        legal=flow({"car": {name: value for rule in limits for name, value in rule.legal.items()}}),
        illegal=flow({"car": {name: value for rule in limits for name, value in rule.illegal.items()}}),
        legal_expected=", ".join(f"{rule.id}: legal" for rule in limits),
        illegal_expected=", ".join(f"{rule.id}: illegal" for rule in limits),
    )
    return "\n".join([*heading(modeline, _HOW), text])


def _on_its_base(base: FlatClass | None) -> dict[str, str]:
    """What differs in the text of a ruleset that builds on another."""
    if base is None:
        return {
            "based_on": "#based_on: coastal-league@2026.1",
            "own": "",
            "class_title": "#title: 17.5 touring, stock",
            "inherited": "",
        }
    return {
        "based_on": f"based_on: {base.ruleset.name}",
        "own": "#",
        "class_title": f"title: {scalar(base.title, in_flow=False)}",
        "inherited": f" What stands here takes the place of {base.ruleset.id}'s.",
    }


def _limits(base: FlatClass | None, on: date) -> tuple[_Least, ...]:
    """The rules to begin with: those that the base has of their kind, with its limits, or both where there is no base.

    A base that has neither is given a weight of our own, so that there is something to change.
    """
    if base is None:
        return _drive("final-drive", Fraction(21, 5)), _weight("weight", Fraction(1350))
    drive = _inherited(base, on, "final_drive_ratio")
    weight = _inherited(base, on, "mass_g")
    inherited = (
        *((_drive(*drive),) if drive is not None and drive[1] < _SPUR else ()),
        *((_weight(*weight),) if weight is not None else ()),
    )
    return inherited or (_weight("our-weight", Fraction(1350)),)


def _drive(id_: str, limit: Fraction) -> _Least:
    teeth = max(floor(_SPUR * _INTERNAL / limit), 1)
    car = {"spur_teeth": _SPUR, "internal_ratio": float(_INTERNAL)}
    return _Least(
        id_,
        "final_drive_ratio",
        limit,
        Fraction(1, 5),
        "4.1",
        "Keeps lap speeds and motor temperatures level across the field.",
        "Count the teeth. The internal ratio comes from the chassis manual.",
        {**car, "pinion_teeth": teeth},
        {**car, "pinion_teeth": teeth + 1},
    )


def _weight(id_: str, limit: Fraction) -> _Least:
    return _Least(
        id_,
        "mass_g",
        limit,
        Fraction(20),
        "3.2",
        "Nobody should have to buy lightness.",
        "Ready to race, with body, battery and transponder.",
        {"mass_g": to_number(limit)},
        {"mass_g": to_number(limit - 1)},
    )


def _other_legal(rule: _Least) -> str:
    return "gears on the limit itself" if rule.quantity == "final_drive_ratio" else "a gram more than the limit"


def _legal_too(rule: _Least) -> Fraction:
    """A second value that is legal: gears of whole teeth lie beside the limit, a mass on it."""
    return rule.limit if rule.quantity == "final_drive_ratio" else rule.limit + 1


def _what(limits: tuple[_Least, ...]) -> str:
    return " and ".join({"final_drive_ratio": "gears", "mass_g": "weight"}[rule.quantity] for rule in limits)


def _inherited(base: FlatClass, on: date, name: str) -> tuple[str, Fraction] | None:
    """The id and the limit of the inherited rule that asks for at least something, always and of the value itself."""
    for rule in rulebook(base, on).rules:
        test = rule.test
        if test is None or test.quantity != name or rule.when or test.taken or test.read_to is not None:
            continue
        limit = test.limit
        if isinstance(limit, Size) and limit.bounds.low is not None and limit.bounds.high is None:
            return (rule.id, limit.bounds.low) if not limit.bounds.low_strict and limit.bounds.low > 1 else None
    return None


def _later(day: date) -> date:
    """The first day of the month after next; where the calendar ends before, the day itself."""
    months = day.year * 12 + day.month + 1
    if months // 12 > date.max.year:
        return day
    return date(months // 12, months % 12 + 1, 1)
