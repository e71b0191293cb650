"""All rulesets that were found: by id and version, in force on a day, and flattened with what they build on."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any, Final

from speclint.limits.decisions import Decision
from speclint.moments import day_text
from speclint.problems import Problem
from speclint.rulesets.canonical import digest
from speclint.rulesets.model import ClassRules, FlatClass, Instruments, Lists, Rule, Ruleset, Waiver
from speclint.spelling import known_words

REFERENCE_C: Final = Fraction(20)
"""Reference temperature in °C where a ruleset states none, as for the resistivity of copper in IEC 60028."""


@dataclass(frozen=True, slots=True)
class NotFound:
    """Why there is no ruleset or class: the id of the problem, and the message for whoever asked."""

    problem: str
    message: str


class Library:
    """The rulesets of a run. Looking up and flattening is kept, so asking again costs nothing."""

    def __init__(self, rulesets: Iterable[Ruleset]) -> None:
        self._by_id: dict[str, dict[str, Ruleset]] = {}
        self.problems: list[Problem] = []
        self._flat: dict[tuple[str, str], FlatClass | NotFound] = {}
        self._layers: dict[str, tuple[Ruleset, ...] | NotFound] = {}
        self._digests: dict[str, str] = {}
        for ruleset in rulesets:
            versions = self._by_id.setdefault(ruleset.id, {})
            other = versions.setdefault(ruleset.version, ruleset)
            if other is not ruleset:
                self.problems.append(
                    Problem(
                        "same-version",
                        f"{ruleset.name} stands in {other.place.file} too: give one of them a version of its own",
                        ruleset.place,
                    )
                )

    @property
    def ids(self) -> tuple[str, ...]:
        """The ids of all rulesets, in order."""
        return tuple(sorted(self._by_id))

    def in_force(self, id_: str, version: str | None, on: date, known_on: date | None) -> Ruleset | NotFound:
        """The version of a ruleset that is in force on the day; of several the one that began last.

        Versions that were published after `known_on` are left out.
        """
        versions = self._by_id.get(id_)
        if versions is None:
            return NotFound("unknown-ruleset", f"there is no ruleset {id_}{known_words(id_, self.ids)}")
        wanted = [
            ruleset
            for ruleset in versions.values()
            if (version is None or ruleset.version == version)
            and (known_on is None or ruleset.published is None or ruleset.published <= known_on)
        ]
        if version is not None and not wanted:
            return NotFound(
                "unknown-ruleset", f"there is no version {version} of {id_}; known: {', '.join(sorted(versions))}"
            )
        found = [ruleset for ruleset in wanted if on in ruleset.in_force]
        if not found:
            periods = "; ".join(_in_force_text(ruleset) for ruleset in sorted(wanted, key=_begins))
            known = f"published by {day_text(known_on)} " if known_on is not None else ""
            return NotFound(
                "not-in-force",
                f"no version of {id_} {known}is in force on {day_text(on)}{': ' if periods else ''}{periods}",
            )
        return max(found, key=_begins)

    def flat(self, ruleset: Ruleset, class_id: str) -> FlatClass | NotFound:
        """A class with everything that it inherits from other classes and other rulesets."""
        key = (ruleset.name, class_id)
        found = self._flat.get(key)
        if found is None:
            found = self._flat[key] = self._flatten(ruleset, class_id)
        return found

    def layers(self, ruleset: Ruleset) -> tuple[Ruleset, ...] | NotFound:
        """The rulesets that this one builds on, the first of all at the front, itself at the end."""
        found = self._layers.get(ruleset.name)
        if found is None:
            found = self._layers[ruleset.name] = self._climb(ruleset)
        return found

    def digest(self, ruleset: Ruleset) -> str:
        """SHA-256 over the canonical JSON of the ruleset with all that it builds on."""
        found = self._digests.get(ruleset.name)
        if found is None:
            found = self._digests[ruleset.name] = digest(self.flat_data(ruleset))
        return found

    def class_ids(self, ruleset: Ruleset) -> tuple[str, ...]:
        """The classes of the ruleset, inherited ones among them, in order."""
        layers = self.layers(ruleset)
        if isinstance(layers, NotFound):
            return tuple(sorted(ruleset.classes))
        return tuple(sorted({class_id for layer in layers for class_id in layer.classes}))

    def flat_data(self, ruleset: Ruleset) -> dict[str, Any]:
        """The ruleset with all that it builds on, as plain data that is free of order: what its digest is taken over."""
        classes = {class_id: self.flat(ruleset, class_id) for class_id in self.class_ids(ruleset)}
        layers = self.layers(ruleset)
        stacked = layers if isinstance(layers, tuple) else (ruleset,)
        flat = {
            "format": ruleset.data["format"],
            "id": ruleset.id,
            "version": ruleset.version,
            "in_force": ruleset.data["in_force"],
            "classes": {
                class_id: {rule.id: rule.data for rule in found.rules}
                for class_id, found in classes.items()
                if isinstance(found, FlatClass)
            },
            "waivers": [waiver for layer in stacked for waiver in layer.data.get("waivers") or ()],
        }
        for key in ("reference_temperature_c", "decision"):
            flat[key] = next((layer.data[key] for layer in reversed(stacked) if key in layer.data), None)
        for key in ("instruments", "lists"):
            flat[key] = {name: value for layer in stacked for name, value in (layer.data.get(key) or {}).items()}
        return flat

    def _climb(self, ruleset: Ruleset) -> tuple[Ruleset, ...] | NotFound:
        layers = [ruleset]
        while layers[0].based_on is not None:
            id_, version = layers[0].based_on
            versions = self._by_id.get(id_, {})
            base = versions.get(version) if version else max(versions.values(), key=_begins, default=None)
            if base is None:
                wanted = f"{id_}@{version}" if version else id_
                known = tuple(sorted(x.name for same_id in self._by_id.values() for x in same_id.values()))
                message = f"{layers[0].name} is based on {wanted}, which was not found{known_words(wanted, known)}"
                return NotFound("unknown-ruleset", message)
            if base in layers:
                chain = " → ".join(layer.name for layer in reversed(layers))
                return NotFound("circular-basis", f"rulesets are based on each other in a circle: {chain} → {base.name}")
            layers.insert(0, base)
        return tuple(layers)

    def _flatten(self, ruleset: Ruleset, class_id: str) -> FlatClass | NotFound:
        layers = self.layers(ruleset)
        if isinstance(layers, NotFound):
            return layers
        rules = _class_rules(layers, class_id, ())
        if isinstance(rules, NotFound):
            return rules
        lists: Lists = {}
        instruments: Instruments = {}
        waivers: tuple[Waiver, ...] = ()
        for layer in layers:
            lists = {**lists, **layer.lists}
            instruments = {**instruments, **layer.instruments}
            waivers += layer.waivers
        title = next(layer.classes[class_id].title for layer in reversed(layers) if class_id in layer.classes)
        return FlatClass(
            ruleset=ruleset,
            id=class_id,
            title=title,
            rules=tuple(rules.values()),
            lists=lists,
            instruments=instruments,
            waivers=waivers,
            reference_c=next((x.reference_c for x in reversed(layers) if x.reference_c is not None), REFERENCE_C),
            decision=next((x.decision for x in reversed(layers) if x.decision is not None), Decision.AS_READ),
        )


def _class_rules(
    layers: tuple[Ruleset, ...], class_id: str, asked_by: tuple[str, ...]
) -> dict[str, Rule] | NotFound:
    """The rules of a class by id: those of the class that it is based on, then each layer's own over them."""
    if class_id in asked_by:
        chain = " → ".join((*asked_by, class_id))
        return NotFound("circular-basis", f"classes are based on each other in a circle: {chain}")
    stated: list[ClassRules] = [layer.classes[class_id] for layer in layers if class_id in layer.classes]
    if not stated:
        known = sorted({name for layer in layers for name in layer.classes})
        return NotFound("unknown-class", f"{layers[-1].name} has no class {class_id}{known_words(class_id, known)}")
    base = next((own.based_on for own in reversed(stated) if own.based_on is not None), None)
    rules: dict[str, Rule] = {}
    if base is not None:
        inherited = _class_rules(layers, base, (*asked_by, class_id))
        if isinstance(inherited, NotFound):
            return inherited
        rules = inherited
    for own in stated:
        _lay_over(rules, own.rules)
    return rules


def _lay_over(rules: dict[str, Rule], own: tuple[Rule, ...]) -> None:
    """Puts a layer's rules over those below it. An inherited rule that is changed takes its amendments with it."""
    for rule in own:
        if rule.id in rules:
            for amendment in _amendments(rules, rule.id):
                del rules[amendment]
    for rule in own:
        if rule.withdrawn and rule.period.start is None and rule.replaces is None:
            rules.pop(rule.id, None)
        else:
            rules[rule.id] = rule
    ordered = sorted(rules.values(), key=lambda rule: _position(rule, list(rules), rules))
    rules.clear()
    rules.update((rule.id, rule) for rule in ordered)


def _position(rule: Rule, order: list[str], rules: dict[str, Rule]) -> tuple[int, int]:
    """Where a rule stands in its class: an amendment where the rule stands that it amends, behind it."""
    root, depth = rule, 0
    while root.replaces in rules and depth < len(rules):
        root, depth = rules[root.replaces], depth + 1
    return order.index(root.id), depth


def _amendments(rules: dict[str, Rule], rule_id: str) -> list[str]:
    found = [rule.id for rule in rules.values() if rule.replaces == rule_id]
    return [*found, *(further for one in found for further in _amendments(rules, one))]


def binding(flat: FlatClass, on: date, known_on: date | None = None) -> tuple[Rule, ...]:
    """The rules of a class that bind on a day: begun, not ended, not replaced, not withdrawn.

    Rules that were published after `known_on` are left out, as if they had not been written.
    """
    known = [rule for rule in flat.rules if known_on is None or rule.published is None or rule.published <= known_on]
    ended = {
        rule.replaces
        for rule in known
        if rule.replaces is not None and (rule.period.start is None or rule.period.start <= on)
    }
    return tuple(rule for rule in known if on in rule.period and rule.id not in ended and not rule.withdrawn)


def changes_after(flat: FlatClass, on: date, known_on: date | None = None) -> tuple[date, ...]:
    """The days after this one, within the ruleset's time, on which another set of rules begins to bind."""
    starts = {
        rule.period.start
        for rule in flat.rules
        if rule.period.start is not None
        and rule.period.start > on
        and (known_on is None or rule.published is None or rule.published <= known_on)
    }
    end = flat.ruleset.in_force.end
    return tuple(sorted(day for day in starts if end is None or day <= end))


def _begins(ruleset: Ruleset) -> tuple[date, str]:
    return ruleset.in_force.start or date.min, ruleset.version


def _in_force_text(ruleset: Ruleset) -> str:
    start, end = ruleset.in_force.start, ruleset.in_force.end
    since = f"from {start}" if start else ""
    return f"{ruleset.version} {since}{f' until {end}' if end else ''}"
