"""What a class has from the classes and rulesets that it builds on: texts laid over texts.

A text is a rule as one ruleset states it in one class. An amendment goes with the text that it amends, and that is the
one that its author had in front of him: what his ruleset and all below it made of the class.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence, Set
from datetime import date
from typing import Final, NamedTuple

from speclint.moments import Period
from speclint.rulesets.model import Rule, Ruleset
from speclint.rulesets.not_found import NotFound
from speclint.spelling import known_words

_MOST_TEXTS: Final = 10_000
"""Classes, and rules counted in each class that has them, that are worked out of one ruleset: ten times a large rulebook."""

_MOST_RULES: Final = 2000
"""Rules of one class, with what it inherits: ten times the longest of a national body."""


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
        self._worked_out = 0

    def texts(self, class_id: str) -> tuple[Text, ...] | NotFound:
        """Every text of the class, or why there is none: amendments stand behind what they amend."""
        return self._texts(class_id, len(self._layers))

    def _texts(self, class_id: str, height: int) -> tuple[Text, ...] | NotFound:
        """The class as the lowest of the layers make it, `height` in number."""
        kept_as = class_id, height
        if kept_as not in self._kept:
            chain = self._chain(class_id, height)
            self._kept[kept_as] = chain if isinstance(chain, NotFound) else self._lay(chain, height)
        return self._kept[kept_as]

    def _chain(self, class_id: str, height: int) -> list[str] | NotFound:
        """The class and those that it is based on, the first of all, or one that is worked out already, at the front."""
        chain: dict[str, None] = {}
        next_id: str | None = class_id
        while next_id is not None:
            if next_id in chain:
                circle = " → ".join((*chain, next_id))
                return NotFound("circular-basis", f"classes are based on each other in a circle: {circle}")
            stated = [layer.classes[next_id] for layer in self._layers[:height] if next_id in layer.classes]
            if not stated:
                return NotFound("unknown-class", self._no_class(next_id, height))
            chain[next_id] = None
            if isinstance(self._kept.get((next_id, height)), tuple):
                break  # what it is based on is in there already
            next_id = next((rules.based_on for rules in reversed(stated) if rules.based_on is not None), None)
        return list(chain)[::-1]

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

    def _lay(self, chain: Sequence[str], height: int) -> tuple[Text, ...] | NotFound:
        """The last class of a chain, every one worked out from the one that it is based on."""
        texts: tuple[Text, ...] = ()
        for class_id in chain:
            if self._worked_out > _MOST_TEXTS:
                return NotFound(
                    "wrong-count",
                    f"the classes of {self._layers[-1].name} come to more than {_MOST_TEXTS} rules with what they inherit:"
                    " split the ruleset",
                )
            kept = self._kept.get((class_id, height))
            if isinstance(kept, tuple):
                texts = kept
                continue
            for level, layer in enumerate(self._layers[:height], 1):
                if class_id in layer.classes:
                    rules = tuple(rule for rule in layer.classes[class_id].rules if is_known(rule, self._known_on))
                    is_amending = any(rule.replaces is not None for rule in rules)
                    seen = self._texts(class_id, level) if is_amending and level < height else None
                    texts = _lay_over(texts, rules, seen if isinstance(seen, tuple) else None)
            if len(texts) > _MOST_RULES:
                return NotFound(
                    "wrong-count",
                    f"the class {class_id} of {self._layers[-1].name} comes to more than {_MOST_RULES} rules with what it"
                    " inherits: split it",
                )
            self._kept[class_id, height] = texts
            self._worked_out += 1 + len(texts)
        return texts


def _lay_over(below: tuple[Text, ...], rules: tuple[Rule, ...], seen: tuple[Text, ...] | None) -> tuple[Text, ...]:
    """The rules of one class in one ruleset laid over the texts below; `seen` is the class as their author saw it."""
    amendments = _Amendments(below)
    same_id: dict[str, list[int]] = {}
    for at, text in enumerate(below):
        same_id.setdefault(text.rule.id, []).append(at)
    before: dict[int, list[Text]] = {}
    behind: list[Text] = []
    gone: set[int] = set()
    for rule in rules:
        places = same_id.get(rule.id, [])
        same = tuple(below[at].rule for at in places)
        amending = amendments.of(places)
        if rule.replaces is None and _is_partial(rule):
            if same or not rule.withdrawn:
                behind.append(Text(rule, same, tuple(below[at].rule for at in amending)))
            continue
        if not rule.withdrawn or rule.replaces is not None:
            first = next((at for at in places if at not in gone), None)
            (behind if first is None else before.setdefault(first, [])).append(Text(rule))
        gone.update(places, amending)
    texts = [*_put_in(below, before, gone), *behind]
    aimed = _aimed(texts, {rule.id: rule for rule in rules}, seen)
    # Where nothing is amended, as in most classes, nothing is left without an aim or stands before it.
    return _in_order(_standing(aimed)) if any(text.aims for text in aimed) else tuple(aimed)


def _put_in(below: tuple[Text, ...], before: Mapping[int, list[Text]], gone: Set[int]) -> Iterator[Text]:
    """The texts below without those that are gone, each new one before the one whose place it takes."""
    for at, text in enumerate(below):
        yield from before.get(at, ())
        if at not in gone:
            yield text


def _is_partial(rule: Rule) -> bool:
    """Whether a rule with the id of an inherited one takes its place on certain days only, or for certain cars."""
    return rule.period != Period() or (rule.withdrawn and bool(rule.when))


class _Amendments:
    """Which texts were written against which others of a class, at once or by way of others."""

    def __init__(self, texts: tuple[Text, ...]) -> None:
        self._texts = texts
        self._against: dict[int, list[int]] = {}
        for at, text in enumerate(texts):
            for aim in text.aims:
                self._against.setdefault(id(aim), []).append(at)

    def of(self, places: Sequence[int]) -> list[int]:
        """The places of those that amend the texts at some places, the nearest first."""
        reached = set(places)
        amending: list[int] = []
        step: Sequence[int] = places
        while step:
            against = {at for place in step for at in self._against.get(id(self._texts[place].rule), ())}
            step = sorted(against - reached)
            reached.update(step)
            amending += step
        return amending


def _aimed(texts: list[Text], places: Mapping[str, Rule], seen: tuple[Text, ...] | None) -> list[Text]:
    """The texts with what the new amendments were written against."""
    aims_seen = {id(text.rule): text.aims for text in reversed(seen or ())}
    by_id: dict[str, list[Rule]] = {}
    for text in texts:
        by_id.setdefault(text.rule.id, []).append(text.rule)
    aimed = []
    for text in texts:
        rule = text.rule
        if rule.replaces is None or places.get(rule.id) is not rule:
            aimed.append(text)
        elif rule.replaces in places:
            aimed.append(Text(rule, (places[rule.replaces],)))
        elif seen is not None:
            aimed.append(Text(rule, aims_seen.get(id(rule), ())))
        else:
            aimed.append(Text(rule, tuple(aim for aim in by_id.get(rule.replaces, ()) if aim is not rule)))
    return aimed


def _standing(texts: list[Text]) -> list[Text]:
    """The texts but for those whose aims are all gone, and those that this leaves without an aim in turn."""
    standing = Counter(id(text.rule) for text in texts)
    amended_by: dict[int, list[int]] = {}
    aims_left: list[int] = []
    for at, text in enumerate(texts):
        aims = {id(aim) for aim in text.aims} & standing.keys()
        aims_left.append(len(aims))
        for aim in aims:
            amended_by.setdefault(aim, []).append(at)
    pending = [at for at, text in enumerate(texts) if text.aims and not aims_left[at]]
    gone = set(pending)
    while pending:
        rule = id(texts[pending.pop()].rule)
        standing[rule] -= 1
        for at in amended_by.get(rule, ()) if not standing[rule] else ():
            aims_left[at] -= 1
            if not aims_left[at] and at not in gone:
                gone.add(at)
                pending.append(at)
    return [text for at, text in enumerate(texts) if at not in gone]


def _in_order(texts: list[Text]) -> tuple[Text, ...]:
    """The texts with each amendment behind the text that it amends."""
    by_rule = {id(text.rule): at for at, text in enumerate(texts)}
    aims = [next((by_rule[id(aim)] for aim in text.aims if id(aim) in by_rule), None) for text in texts]
    placed: dict[int, tuple[int, int]] = {}
    for at in range(len(texts)):
        way: list[int] = []
        on_way: set[int] = set()
        step: int | None = at
        while step is not None and step not in placed and step not in on_way:
            way.append(step)
            on_way.add(step)
            step = aims[step]
        # What amends itself by way of others is refused elsewhere: any place will do for it.
        root, depth = placed[step] if step in placed else (way[-1], -1)
        for i, passed in enumerate(reversed(way), 1):
            placed[passed] = root, depth + i
    return tuple(texts[at] for at in sorted(range(len(texts)), key=placed.__getitem__))
