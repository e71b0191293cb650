"""Pins: a garage says which versions of a ruleset its team works by, and what the digest of each was."""

from collections.abc import Iterable, Iterator

from speclint.models.garages import Garage
from speclint.problems import Problem
from speclint.rulesets.library import Library
from speclint.rulesets.model import Ruleset
from speclint.spelling import known_words


def pin_problems(garage: Garage, library: Library) -> Iterator[Problem]:
    """Pins that name a version which is not there, or one whose rules are no longer those that were pinned."""
    for id_, version, pinned in ((id_, *pin) for id_, pins in garage.pins.items() for pin in pins.items()):
        versions = library.versions(id_)
        ruleset = versions.get(version)
        if ruleset is None:
            names = sorted(versions) if versions else library.ids
            word = version if versions else id_
            kind = f"version {word} of {id_}" if versions else f"ruleset {id_}"
            message = f"there is no {kind} to hold the pin against{known_words(word, names)}"
            yield Problem("unknown-ruleset", message, garage.document.place(("pins", id_, version), of_key=True))
            continue
        yield from _changed(garage, ruleset, pinned, library)


def broken_pins(garage: Garage, ruleset: Ruleset, library: Library) -> Iterator[Problem]:
    """What keeps a ruleset that a car is judged by from being the one that its garage pins."""
    pinned = garage.pins.get(ruleset.id, {}).get(ruleset.version)
    if pinned is not None:
        yield from _changed(garage, ruleset, pinned, library)
    yield from entry_pin_problems(garage, (ruleset,))


def _changed(garage: Garage, ruleset: Ruleset, pinned: str, library: Library) -> Iterator[Problem]:
    digest = library.digest(ruleset)
    if pinned != digest:
        message = (
            f"{ruleset.name} is not what was pinned: its digest is {digest} now; see what changed in"
            f" {ruleset.place.file}, or in what it builds on, and pin it anew if you agree"
        )
        yield Problem("pin-broken", message, garage.document.place(("pins", ruleset.id, ruleset.version)))


def entry_pin_problems(garage: Garage, judged_by: Iterable[Ruleset]) -> Iterator[Problem]:
    """Rulesets that entries are judged by in another version than those that the garage pins."""
    for ruleset in {ruleset.name: ruleset for ruleset in judged_by}.values():
        pins = garage.pins.get(ruleset.id)
        if pins and ruleset.version not in pins:
            message = (
                f"{ruleset.id} is pinned to version {' and '.join(pins)}, but an entry is judged by {ruleset.version}, which"
                " is in force on its day: look at what changed, then pin that one as well"
            )
            yield Problem("pin-broken", message, garage.document.place(("pins", ruleset.id), of_key=True))
