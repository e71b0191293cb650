"""Chains of three rulesets with three classes, held against a second reading of the rules on rules.

The reading here shares no code with the package. It asks each text, one by one, whether it still stands and whose place
it takes; the package lays whole classes over each other. What a text means is written in the guide under "Rules".
"""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from speclint.documents.parse import parse
from speclint.models.cars import Car
from speclint.models.setups import setup_of
from speclint.quantities.facts import Facts
from speclint.rules.checks import Verdict
from speclint.rules.judge import judge_rule
from speclint.rules.rulebook import rulebook
from speclint.rulesets.library import Library
from speclint.rulesets.load import ruleset_of
from speclint.rulesets.model import FlatClass

CHAIN = ("senior", "junior", "cadet")
"""Each class is based on the one before."""

DAYS = tuple(date(2026, month, 15) for month in range(1, 7))


@dataclass(frozen=True)
class Text:
    """One rule as its author wrote it, in one class of one ruleset; months bound its days, both counted in."""

    level: int
    class_id: str
    id: str
    number: int
    replaces: str | None = None
    withdrawn: bool = False
    first: int | None = None
    last: int | None = None
    round: int | None = None

    @property
    def yaml(self) -> str:
        parts = [f"id: {self.id}"]
        parts += ["withdrawn: true"] if self.withdrawn else ["quantity: mass_g", f"at_least: {self.number}"]
        parts += [f"replaces: {self.replaces}"] if self.replaces else []
        parts += [f"from: 2026-{self.first:02}-10"] if self.first else []
        parts += [f"until: 2026-{self.last:02}-20"] if self.last else []
        parts += [f"when: {{entry.round: {self.round}}}"] if self.round else []
        return f"{{{', '.join(parts)}}}"

    def lasts(self, day: date) -> bool:
        return (self.first is None or self.first <= day.month) and (self.last is None or day.month <= self.last)

    @property
    def for_a_time(self) -> bool:
        """Stated over an inherited rule, it leaves that standing for other days, or for other cars."""
        dated = self.first is not None or self.last is not None
        return self.replaces is None and (dated or (self.withdrawn and self.round is not None))


class Hand:
    """All texts, and what becomes of each in a class as a number of rulesets make it."""

    def __init__(self, texts: list[Text]) -> None:
        self.texts = texts

    def stated(self, class_id: str, levels: int) -> list[Text]:
        """In the order in which they are laid over each other."""
        chain = CHAIN[: CHAIN.index(class_id) + 1]
        return [
            text
            for name in chain
            for level in range(1, levels + 1)
            for text in self.texts
            if (text.class_id, text.level) == (name, level)
        ]

    def before(self, text: Text, class_id: str, levels: int) -> list[Text]:
        every = self.stated(class_id, levels)
        groups = [(one.class_id, one.level) for one in every]
        return every[: groups.index((text.class_id, text.level))]

    def after(self, text: Text, class_id: str, levels: int) -> list[Text]:
        every = self.stated(class_id, levels)
        return [
            one for one in every[every.index(text) + 1 :] if (one.class_id, one.level) != (text.class_id, text.level)
        ]

    def stands_in(self, text: Text, every: list[Text], class_id: str, levels: int) -> bool:
        """Whether the text still stands after all of these texts."""
        later = [one for one in self.after(text, class_id, levels) if one in every]
        if any(one.id == text.id and not one.for_a_time for one in later):
            return False
        if text.withdrawn and text.replaces is None and not (text.for_a_time and self.same(text, class_id, levels)):
            return False
        aims = self.aims(text, class_id, levels)
        return not aims or any(self.stands_in(aim, every, class_id, levels) for aim in aims)

    def same(self, text: Text, class_id: str, levels: int) -> list[Text]:
        """The inherited texts with its id that stood when it was laid over them."""
        below = self.before(text, class_id, levels)
        return [one for one in below if one.id == text.id and self.stands_in(one, below, class_id, levels)]

    def aims(self, text: Text, class_id: str, levels: int) -> list[Text]:
        """The texts that it was written against."""
        if text.replaces is None:
            return self.same(text, class_id, levels) if text.for_a_time else []
        group = [one for one in self.texts if (one.class_id, one.level) == (text.class_id, text.level)]
        beside = [one for one in group if one.id == text.replaces]
        if beside:
            return beside
        below = self.before(text, text.class_id, text.level)
        so_far = [*below, *group]
        return [
            one for one in below if one.id == text.replaces and self.stands_in(one, so_far, text.class_id, text.level)
        ]

    def places(self, text: Text, class_id: str, levels: int) -> list[tuple[Text, frozenset[int]]]:
        """Whose place it takes while it lasts, and in which rounds only; none of them means in all."""
        rounds = {text.round} if text.round and (text.replaces or text.withdrawn) else set()
        direct = self.aims(text, class_id, levels)
        if text.for_a_time:
            below = self.before(text, class_id, levels)
            direct = [*direct, *self.amending(direct, below, class_id, levels)]
        reached: list[tuple[Text, frozenset[int]]] = []
        for aim in direct:
            reached.append((aim, frozenset(rounds)))
            reached += [(far, frozenset(rounds | also)) for far, also in self.places(aim, class_id, levels)]
        return reached

    def amending(self, aims: list[Text], below: list[Text], class_id: str, levels: int) -> list[Text]:
        standing = [one for one in below if self.stands_in(one, below, class_id, levels) and one not in aims]
        reached = list(aims)
        while more := [
            one for one in standing if one not in reached and set(self.aims(one, class_id, levels)) & set(reached)
        ]:
            reached += more
        return [one for one in reached if one not in aims]

    def asked(self, class_id: str, day: date, round_: int) -> list[int]:
        """The numbers of the rules that a car in this round is held to on the day."""
        every = self.stated(class_id, 3)
        standing = [text for text in every if self.stands_in(text, every, class_id, 3)]
        gone = {
            place
            for text in standing
            if text.lasts(day)
            for place, rounds in self.places(text, class_id, 3)
            if rounds <= {round_}
        }
        return sorted(
            text.number
            for text in standing
            if text.lasts(day) and not text.withdrawn and text not in gone and text.round in (None, round_)
        )


@st.composite
def worlds(draw: st.DrawFn) -> list[Text]:
    texts: list[Text] = []
    for level in (1, 2, 3):
        for class_id in CHAIN:
            for id_ in draw(st.lists(st.sampled_from(["mass", "trial", "third"]), max_size=2, unique=True)):
                first = draw(st.none() | st.integers(2, 5))
                replaces = draw(st.sampled_from([None, None, "mass", "trial", "third"]))
                texts.append(
                    Text(
                        level,
                        class_id,
                        id_,
                        1000 + len(texts),
                        replaces=replaces if replaces != id_ else None,
                        withdrawn=draw(st.integers(0, 3)) == 0,
                        first=first,
                        last=draw(st.none() | st.integers(first or 2, 6)),
                        round=draw(st.sampled_from([None, None, 4, 5])),
                    )
                )
    return texts


def flat_classes(texts: list[Text]) -> dict[str, FlatClass]:
    rulesets = []
    for level in (1, 2, 3):
        lines = ["format: ruleset/1", f"id: layer-{level}", 'version: "1"', "in_force: {from: 2026-01-01}"]
        lines += [f"based_on: layer-{level - 1}@1"] if level > 1 else []
        lines.append("classes:")
        for place, class_id in enumerate(CHAIN):
            rules = [text.yaml for text in texts if (text.level, text.class_id) == (level, class_id)]
            based = f"based_on: {CHAIN[place - 1]}, " if place else ""
            lines.append(f"  {class_id}: {{{based}rules: [{', '.join(rules)}]}}")
        document, _ = parse(f"{level}.yaml", "\n".join(lines))
        assert document is not None
        ruleset, _ = ruleset_of(document)
        rulesets.append(ruleset)
    library = Library(rulesets)
    flats = {class_id: library.flat(rulesets[-1], class_id) for class_id in CHAIN}
    return {class_id: flat for class_id, flat in flats.items() if isinstance(flat, FlatClass)}


def asked_by_package(flat: FlatClass, day: date, round_: int) -> list[int]:
    document, _ = parse("car.yaml", "format: setup/1\nname: car\n")
    assert document is not None
    car = Car(setup_of(document), None, "", {})
    facts = Facts(car, on=day, reference_c=Fraction(20), entry_keys={"round": round_})
    book = rulebook(flat, day)
    # The car states no mass: what it is held to is not shown.
    held = [
        rule for rule in book.rules if judge_rule(rule, book, facts, document.place(())).verdict is Verdict.NOT_SHOWN
    ]
    return sorted(rule.data["at_least"] for rule in held)


@pytest.mark.slow
@settings(max_examples=300, deadline=None)
@given(worlds())
def test_random_chains_of_three_rulesets_and_three_classes_ask_what_a_reading_by_hand_asks(texts: list[Text]) -> None:
    # Two texts of one class that replace each other are refused as a circle.
    pairs = {(text.level, text.class_id, text.id): text.replaces for text in texts}
    if any(pairs.get((level, name, aim or "")) == id_ for (level, name, id_), aim in pairs.items()):
        return
    hand, flats = Hand(texts), flat_classes(texts)
    for class_id in CHAIN:
        for day in DAYS:
            for round_ in (4, 5):
                expected = hand.asked(class_id, day, round_)
                assert asked_by_package(flats[class_id], day, round_) == expected, (class_id, day, round_)


M = Text(1, "senior", "mass", 1350)


@pytest.mark.parametrize(
    ("texts", "class_id", "month", "round_", "asked"),
    [
        # A club writes the junior's mass anew after its senior class lost it: the league's junior amendment is of the old text.
        ([M, Text(1, "junior", "light", 1300, replaces="mass"), Text(3, "senior", "mass", 0, withdrawn=True),
          Text(3, "junior", "mass", 1400)], "junior", 3, 4, [1400]),
        ([M, Text(1, "junior", "light", 1300, replaces="mass"), Text(3, "senior", "mass", 1400)], "junior", 3, 4, [1400]),
        # What amends that amendment goes with it, and so on.
        ([M, *(Text(1, "junior", f"round-{i}", 1300 + i, replaces=f"round-{i - 1}" if i else "mass") for i in range(6)),
          Text(3, "senior", "mass", 0, withdrawn=True)], "junior", 3, 4, []),
        # A dated override leaves no hole before its day, nor a temporary amendment after it.
        ([M, Text(2, "senior", "mass", 1400, first=4)], "senior", 3, 4, [1350]),
        ([M, Text(2, "senior", "mass", 1400, first=4)], "senior", 4, 4, [1400]),
        ([M, Text(1, "senior", "warm", 1300, replaces="mass", first=3, last=4)], "senior", 5, 4, [1350]),
        # A trial in round 5 ends the rule in round 5 alone.
        ([M, Text(1, "senior", "trial", 1300, replaces="mass", round=5)], "senior", 3, 4, [1350]),
        ([M, Text(1, "senior", "trial", 1300, replaces="mass", round=5)], "senior", 3, 5, [1300]),
        # What a later text ends for good in one round stays as it was in the others.
        ([M, Text(1, "senior", "trial", 1300, replaces="mass", round=5),
          Text(1, "senior", "third", 1250, replaces="trial", first=3)], "senior", 4, 4, [1250, 1350]),
    ],
)  # fmt: skip
def test_a_chain_that_was_once_read_wrongly(
    texts: list[Text], class_id: str, month: int, round_: int, asked: list[int]
) -> None:
    day = date(2026, month, 15)
    assert Hand(texts).asked(class_id, day, round_) == asked
    assert asked_by_package(flat_classes(texts)[class_id], day, round_) == asked
