"""What a class has from the classes and rulesets that it builds on: texts laid over texts.

A text is a rule as one ruleset states it in one class. An amendment goes with the text that it amends, and that is the
one that its author had in front of him: what his ruleset and all below it made of the class.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from typing import NamedTuple

from speclint.moments import Period
from speclint.rulesets.model import Rule, Ruleset
from speclint.rulesets.not_found import NotFound
from speclint.spelling import known_words


class Text(NamedTuple):
    """A rule in a flattened class, and the rules whose place it takes while its own days last.

    `aims` are what it was written against, and it goes where all of these go; `besides` are amendments of these.
    """

    rule: Rule
    aims: tuple[Rule, ...] = ()
    besides: tuple[Rule, ...] = ()


def is_known(rule: Rule, known_on: date | None) -> bool:
    """Whether a rule was published until a day; one without a date of its own is as old as its ruleset."""
    return known_on is None or rule.published is None or rule.published <= known_on


class Flattening:
    """Flattens the classes of a ruleset and of those that it builds on, each once.

    Args:
        layers: the rulesets, the first of all at the front.
        known_on: rules that were published later are left out, as if they had not been written.
    """

    def __init__(self, layers: Sequence[Ruleset], known_on: date | None) -> None:
        self._layers = layers
        self._known_on = known_on
        self._kept: dict[tuple[str, int], tuple[Text, ...] | NotFound] = {}

    def texts(self, class_id: str) -> tuple[Text, ...] | NotFound:
        """Every text of the class, or why there is none: amendments stand behind what they amend."""
        return self._texts(class_id, len(self._layers))

    def _texts(self, class_id: str, height: int) -> tuple[Text, ...] | NotFound:
        """The class as the lowest of the layers make it, `height` in number."""
        kept_as = class_id, height
        if kept_as not in self._kept:
            chain = self._chain(class_id, height)
            self._kept[kept_as] = chain if isinstance(chain, NotFound) else self._laid(chain, height)
        return self._kept[kept_as]

    def _chain(self, class_id: str, height: int) -> list[str] | NotFound:
        """The class and those that it is based on, one after the other, the first of all at the front."""
        chain: list[str] = []
        next_id: str | None = class_id
        while next_id is not None:
            if next_id in chain:
                circle = " → ".join((*chain, next_id))
                return NotFound("circular-basis", f"classes are based on each other in a circle: {circle}")
            stated = [layer.classes[next_id] for layer in self._layers[:height] if next_id in layer.classes]
            if not stated:
                return NotFound("unknown-class", self._no_class(next_id, height))
            chain.append(next_id)
            next_id = next((rules.based_on for rules in reversed(stated) if rules.based_on is not None), None)
        return chain[::-1]

    def _no_class(self, class_id: str, height: int) -> str:
        """That there is no such class, with the one that has this title, or the nearest."""
        titles = {
            name: rules.title for layer in self._layers[:height] for name, rules in layer.classes.items() if rules.title
        }
        names = {name for layer in self._layers[:height] for name in layer.classes}
        ruleset = self._layers[height - 1].name
        wanted = class_id.lower()
        meant = [name for name, title in titles.items() if title != name and title.lower().startswith(wanted)]
        if len(meant) == 1 and wanted:
            return f"{ruleset} has no class {class_id}; {titles[meant[0]]} is the title of {meant[0]}: write that"
        return f"{ruleset} has no class {class_id}{known_words(class_id, names)}"

    def _laid(self, chain: Iterable[str], height: int) -> tuple[Text, ...]:
        texts: tuple[Text, ...] = ()
        for class_id in chain:
            for level, layer in enumerate(self._layers[:height], 1):
                if class_id in layer.classes:
                    rules = tuple(rule for rule in layer.classes[class_id].rules if is_known(rule, self._known_on))
                    is_amending = any(rule.replaces is not None for rule in rules)
                    seen = self._texts(class_id, level) if is_amending and level < height else None
                    texts = _lay_over(texts, rules, seen if isinstance(seen, tuple) else None)
        return texts


def _lay_over(below: tuple[Text, ...], rules: tuple[Rule, ...], seen: tuple[Text, ...] | None) -> tuple[Text, ...]:
    """The rules of one class in one ruleset laid over the texts below; `seen` is the class as their author saw it."""
    texts, places = list(below), {rule.id: rule for rule in rules}
    for rule in rules:
        same = tuple(text.rule for text in below if text.rule.id == rule.id)
        amendments = _amendments(below, same)
        if rule.replaces is None and _is_partial(rule):
            if same or not rule.withdrawn:
                texts.append(Text(rule, same, amendments))
        else:
            at = next((place for place, text in enumerate(texts) if _is_in(text.rule, same)), len(texts))
            if not rule.withdrawn or rule.replaces is not None:
                texts.insert(at, Text(rule))
            texts = [text for text in texts if not _is_in(text.rule, (*same, *amendments))]
    return _in_order(_aimed(texts, places, seen))


def _is_partial(rule: Rule) -> bool:
    """Whether a rule with the id of an inherited one takes its place on certain days only, or for certain cars."""
    return rule.period != Period() or (rule.withdrawn and bool(rule.when))


def _amendments(texts: Iterable[Text], rules: tuple[Rule, ...]) -> tuple[Rule, ...]:
    """Every rule that was written against one of the rules, at once or by way of others."""
    reached = rules
    pending = [text for text in texts if text.aims and not _is_in(text.rule, rules)]
    while True:
        more = [text for text in pending if _is_any(text.aims, reached)]
        if not more:
            return reached[len(rules) :]
        reached += tuple(text.rule for text in more)
        pending = [text for text in pending if text not in more]


def _aimed(texts: list[Text], places: dict[str, Rule], seen: tuple[Text, ...] | None) -> list[Text]:
    """The texts with what the new amendments were written against; those whose texts are all gone are left out."""
    aimed = []
    for text in texts:
        rule = text.rule
        if rule.replaces is None or places.get(rule.id) is not rule:
            aimed.append(text)
        elif rule.replaces in places:
            aimed.append(Text(rule, (places[rule.replaces],)))
        elif seen is not None:
            aimed.append(Text(rule, next((text.aims for text in seen if text.rule is rule), ())))
        else:
            standing = (text.rule for text in texts if text.rule is not rule)
            aimed.append(Text(rule, tuple(candidate for candidate in standing if candidate.id == rule.replaces)))
    while True:
        standing_rules = [text.rule for text in aimed]
        left = [text for text in aimed if not text.aims or _is_any(text.aims, standing_rules)]
        if len(left) == len(aimed):
            return left
        aimed = left


def _in_order(texts: list[Text]) -> tuple[Text, ...]:
    """The texts with each amendment behind the text that it amends."""
    by_rule = {id(text.rule): text for text in texts}
    order = {id(text.rule): place for place, text in enumerate(texts)}

    def place_of(text: Text) -> tuple[int, int]:
        root, depth = text, 0
        while depth < len(texts):
            aim = next((by_rule[id(rule)] for rule in root.aims if id(rule) in by_rule), None)
            if aim is None:
                break
            root, depth = aim, depth + 1
        return order[id(root.rule)], depth

    return tuple(sorted(texts, key=place_of))


def _is_in(rule: Rule, rules: Iterable[Rule]) -> bool:
    """Whether a rule is one of these: the text itself, not one that says the same."""
    return any(member is rule for member in rules)


def _is_any(rules: Iterable[Rule], others: Sequence[Rule]) -> bool:
    return any(_is_in(rule, others) for rule in rules)
