"""All rulesets that were found: by id and version, in force on a day, and flattened with what they build on."""

import re
from collections.abc import Iterable, Mapping
from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from speclint.limits.decisions import Decision
from speclint.moments import day_text
from speclint.problems import Problem
from speclint.readings.copper import REFERENCE_C
from speclint.rulesets.flatten import Flattening, Text
from speclint.rulesets.list_bases import list_data, list_sources, whole_list
from speclint.rulesets.model import FlatClass, Ruleset
from speclint.rulesets.not_found import NotFound
from speclint.spelling import known_words

if TYPE_CHECKING:
    from speclint.forms.parts_lists import PartsList


class Library:
    """The rulesets of a run. Looking up and flattening is kept, so asking again costs nothing."""

    def __init__(self, rulesets: Iterable[Ruleset]) -> None:
        self._by_id: dict[str, dict[str, Ruleset]] = {}
        self.problems: list[Problem] = []
        self._flat: dict[tuple[str, str, date | None], FlatClass | NotFound] = {}
        self._layers: dict[str, tuple[Ruleset, ...] | NotFound] = {}
        self._digests: dict[str, str] = {}
        self._usual_ratios: dict[tuple[str, str], tuple[Fraction, Fraction] | None] = {}
        self._flattenings: dict[tuple[str, date | None], tuple[Flattening, FlatClass]] = {}
        for ruleset in rulesets:
            versions = self._by_id.setdefault(ruleset.id, {})
            earlier = versions.setdefault(ruleset.version, ruleset)
            if earlier is not ruleset:
                self.problems.append(
                    Problem(
                        "same-version",
                        f"{ruleset.name} stands in {earlier.place.file} too: give one of them a version of its own",
                        ruleset.place,
                    )
                )

    @property
    def ids(self) -> tuple[str, ...]:
        """The ids of all rulesets, in order."""
        return tuple(sorted(self._by_id))

    def versions(self, id_: str) -> Mapping[str, Ruleset]:
        """Every version of a ruleset, by its name."""
        return self._by_id.get(id_, {})

    def newest(self, id_: str) -> Ruleset | None:
        """The version of a ruleset that begins last; None where there is no ruleset of the id."""
        return max(self.versions(id_).values(), key=_begins, default=None)

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
        if version in versions and not wanted:
            published = versions[version].published
            since = f" on {day_text(published)}" if published is not None else ""
            return NotFound(
                "not-in-force",
                f"{id_}@{version} was published{since}, after {day_text(known_on) if known_on is not None else 'that'}",
            )
        if version is not None and not wanted:
            return NotFound(
                "unknown-ruleset", f"there is no version {version} of {id_}; known: {', '.join(sorted(versions))}"
            )
        binding = [ruleset for ruleset in wanted if on in ruleset.in_force]
        if not binding:
            periods = "; ".join(_in_force_text(ruleset) for ruleset in sorted(wanted, key=_begins))
            published_by = f"published by {day_text(known_on)} " if known_on is not None else ""
            return NotFound(
                "not-in-force",
                f"no version of {id_} {published_by}is in force on {day_text(on)}{': ' if periods else ''}{periods}",
            )
        return max(binding, key=_begins)

    def following(self, ruleset: Ruleset, on: date, known_on: date | None) -> Ruleset | None:
        """The next version of a ruleset that begins after the day, by what was published until `known_on`."""
        coming = [
            version_ruleset
            for version_ruleset in self.versions(ruleset.id).values()
            if version_ruleset.in_force.start is not None
            and version_ruleset.in_force.start > on
            and (known_on is None or version_ruleset.published is None or version_ruleset.published <= known_on)
        ]
        return min(coming, key=_begins, default=None)

    def flat(self, ruleset: Ruleset, class_id: str, known_on: date | None = None) -> FlatClass | NotFound:
        """A class with everything that it inherits from other classes and other rulesets.

        Rules that were published after `known_on` are left out, so that what they take the place of still stands.
        """
        key = (ruleset.name, class_id, known_on)
        flat = self._flat.get(key)
        if flat is None:
            flat = self._flat[key] = self._flatten(ruleset, class_id, known_on)
        return flat

    def layers(self, ruleset: Ruleset) -> tuple[Ruleset, ...] | NotFound:
        """The rulesets that this one builds on, the first of all at the front, itself at the end."""
        layers = self._layers.get(ruleset.name)
        if layers is None:
            layers = self._layers[ruleset.name] = self._climb(ruleset)
        return layers

    def stack(self, ruleset: Ruleset) -> tuple[Ruleset, ...]:
        """The same; of a ruleset whose bases were not found itself alone."""
        layers = self.layers(ruleset)
        return layers if isinstance(layers, tuple) else (ruleset,)

    def sources(self, ruleset: Ruleset) -> tuple[Ruleset, ...]:
        """Every ruleset that can turn a verdict by this one: those that it builds on, itself, and those whose lists they take."""
        sources: dict[str, Ruleset] = {}
        pending = [ruleset]
        while pending:
            taken = pending.pop()
            for layer in self.stack(taken):
                if layer.name not in sources:
                    sources[layer.name] = layer
                    pending += list_sources(self, layer)
        return tuple(sources.values())

    def digest(self, ruleset: Ruleset) -> str:
        """SHA-256 over the canonical JSON of the ruleset with all that it builds on."""
        known_digest = self._digests.get(ruleset.name)
        if known_digest is None:
            from speclint.rulesets.canonical import digest  # hashing is slow to import, and few reports show it

            known_digest = self._digests[ruleset.name] = digest(self.flat_data(ruleset))
        return known_digest

    def class_ids(self, ruleset: Ruleset) -> tuple[str, ...]:
        """The classes of the ruleset, inherited ones among them, in order."""
        return tuple(sorted({class_id for layer in self.stack(ruleset) for class_id in layer.classes}))

    def flat_data(self, ruleset: Ruleset) -> dict[str, Any]:
        """The ruleset with all that it builds on, as plain data that is free of order: what its digest is taken over."""
        from speclint.rulesets.flattened import flat_data

        layers = self.stack(ruleset)
        classes = (self.flat(ruleset, class_id) for class_id in self.class_ids(ruleset))
        return flat_data(
            layers,
            [flat for flat in classes if isinstance(flat, FlatClass)],
            {list_id: list_data(self, layer, list_id) for layer in layers for list_id in layer.lists},
            {"reference_temperature_c": int(REFERENCE_C), "decision": Decision.AS_READ.value},
        )

    def inherited(self, ruleset: Ruleset, class_id: str) -> frozenset[str]:
        """The ids of the rules that a class of the ruleset has from the rulesets and classes that it builds on."""
        below = self.stack(ruleset)[:-1]
        inherited_ids = {
            rule.id for layer in below if class_id in layer.classes for rule in layer.classes[class_id].rules
        }
        class_rules = ruleset.classes.get(class_id)
        stated = [class_rules, *(layer.classes[class_id] for layer in reversed(below) if class_id in layer.classes)]
        base = next(
            (
                layer_class.based_on
                for layer_class in stated
                if layer_class is not None and layer_class.based_on is not None
            ),
            None,
        )
        flat = self.flat(ruleset, base) if base is not None else None
        return frozenset(inherited_ids | ({rule.id for rule in flat.rules} if isinstance(flat, FlatClass) else set()))

    def _climb(self, ruleset: Ruleset) -> tuple[Ruleset, ...] | NotFound:
        layers = [ruleset]
        while layers[0].based_on is not None:
            id_, version = layers[0].based_on
            base = self._by_id.get(id_, {}).get(version)
            if base is None:
                wanted = f"{id_}@{version}"
                names = tuple(sorted(x.name for same_id in self._by_id.values() for x in same_id.values()))
                message = f"{layers[0].name} is based on {wanted}, which was not found{known_words(wanted, names)}"
                return NotFound("unknown-ruleset", message)
            if base in layers:
                chain = " → ".join(layer.name for layer in reversed(layers))
                return NotFound(
                    "circular-basis", f"rulesets are based on each other in a circle: {chain} → {base.name}"
                )
            layers.insert(0, base)
        return tuple(layers)

    def _flatten(self, ruleset: Ruleset, class_id: str, known_on: date | None) -> FlatClass | NotFound:
        layers = self.layers(ruleset)
        if isinstance(layers, NotFound):
            return layers
        flattening, blank = self._of_all_classes(ruleset, layers, known_on)
        texts = flattening.texts(class_id)
        if isinstance(texts, NotFound):
            return texts
        return blank._replace(
            id=class_id,
            title=next(layer.classes[class_id].title for layer in reversed(layers) if class_id in layer.classes),
            usual_ratio=self._usual_ratio(layers, class_id),
            rules=tuple(text.rule for text in texts),
            displaced=_indexes(texts),
        )

    def _of_all_classes(
        self, ruleset: Ruleset, layers: tuple[Ruleset, ...], known_on: date | None
    ) -> tuple[Flattening, FlatClass]:
        """What flattens the classes of a ruleset, and what all of them have in common, as a class without rules."""
        kept_as = ruleset.name, known_on
        if kept_as not in self._flattenings:
            blank = FlatClass(
                ruleset=ruleset,
                id="",
                title="",
                usual_ratio=None,
                rules=(),
                lists={list_id: self._list(layer, list_id, known_on) for layer in layers for list_id in layer.lists},
                instruments={name: instrument for layer in layers for name, instrument in layer.instruments.items()},
                quantities={name: key for layer in layers for name, key in layer.quantities.items()},
                waivers=tuple(waiver for layer in layers for waiver in layer.waivers),
                reference_c=next((x.reference_c for x in reversed(layers) if x.reference_c is not None), REFERENCE_C),
                decision=next((x.decision for x in reversed(layers) if x.decision is not None), Decision.AS_READ),
                known_on=known_on,
            )
            self._flattenings[kept_as] = Flattening(layers, known_on), blank
        return self._flattenings[kept_as]

    def _list(self, ruleset: Ruleset, list_id: str, known_on: date | None) -> "PartsList":
        """A list with what it is based on; a ruleset whose list is based on nothing has a problem, and judges nobody."""
        whole = whole_list(self, ruleset, list_id, known_on)
        return ruleset.lists[list_id] if isinstance(whole, NotFound) else whole

    def _usual_ratio(self, layers: tuple[Ruleset, ...], class_id: str) -> tuple[Fraction, Fraction] | None:
        """The usual ratios of a class, as the newest layer states them; else those of the class that it is based on."""
        way: list[tuple[str, str]] = []
        base: str | None = class_id
        usual: tuple[Fraction, Fraction] | None = None
        while base is not None and usual is None:
            key = layers[-1].name, base
            if key in self._usual_ratios:
                usual = self._usual_ratios[key]
                break
            way.append(key)
            stated = [layer.classes[base] for layer in reversed(layers) if base in layer.classes]
            usual = next((rules.usual_ratio for rules in stated if rules.usual_ratio is not None), None)
            base = next((rules.based_on for rules in stated if rules.based_on is not None), None)
        self._usual_ratios |= dict.fromkeys(way, usual)
        return usual


def _indexes(texts: tuple[Text, ...]) -> tuple[tuple[int, ...], ...]:
    """For each text where those stand whose place it takes."""
    order = {id(text.rule): index for index, text in enumerate(texts)}
    return tuple(tuple(order[id(rule)] for rule in (*text.aims, *text.besides) if id(rule) in order) for text in texts)


def _begins(ruleset: Ruleset) -> tuple[date, date, tuple[tuple[int, str], ...]]:
    """Orders versions: by the day they begin, then by the day they were published, then as their numbers count."""
    parts = re.findall(r"[0-9]+|[^0-9]+", ruleset.version)
    # Of two whole numbers the one with more digits is the greater, however many there are: none is converted.
    numbered = tuple(
        (len(digits), digits) if part.isdecimal() else (-1, part) for part in parts for digits in [part.lstrip("0")]
    )
    return ruleset.in_force.start or date.min, ruleset.published or date.min, numbered


def _in_force_text(ruleset: Ruleset) -> str:
    start, end = ruleset.in_force.start, ruleset.in_force.end
    since = f"from {start}" if start else ""
    return f"{ruleset.version} {since}{f' until {end}' if end else ''}"
