"""Pins: a garage says which version of a ruleset its team works by, and what that version's digest was."""

from collections.abc import Iterable, Iterator

from speclint.models.garages import Garage
from speclint.problems import Problem
from speclint.rulesets.library import Library
from speclint.rulesets.model import Ruleset
from speclint.spelling import known_words


def pin_problems(garage: Garage, library: Library) -> Iterator[Problem]:
    """Pins that name a version which is not there, or one whose rules are no longer those that were pinned."""
    for id_, pin in garage.pins.items():
        versions = library.versions(id_)
        found = versions.get(pin.version)
        if found is None:
            known = sorted(versions) if versions else library.ids
            word = pin.version if versions else id_
            what = f"version {word} of {id_}" if versions else f"ruleset {id_}"
            message = f"there is no {what} to hold the pin against{known_words(word, known)}"
            yield Problem("unknown-ruleset", message, garage.document.place(("pins", id_), of_key=True))
            continue
        digest = library.digest(found)
        if pin.digest != digest:
            message = (
                f"{found.name} is not what was pinned: its digest is {digest} now; see what changed in"
                f" {found.place.file}, or in what it builds on, and pin it anew if you agree"
            )
            yield Problem("pin-broken", message, garage.document.place(("pins", id_, "digest")))


def entry_pin_problems(garage: Garage, judged_by: Iterable[Ruleset]) -> Iterator[Problem]:
    """Rulesets that entries are judged by in another version than the one that the garage pins."""
    for ruleset in dict.fromkeys(ruleset.name for ruleset in judged_by):
        id_, _, version = ruleset.partition("@")
        pin = garage.pins.get(id_)
        if pin is not None and pin.version != version:
            message = (
                f"{id_} is pinned to version {pin.version}, but an entry is judged by {version}, which is in force on"
                " its day: look at what changed, then pin that one"
            )
            yield Problem("pin-broken", message, garage.document.place(("pins", id_, "version")))
