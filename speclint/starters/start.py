"""From wishes to the text of a starting file, which is proved sound before anybody sees it."""

from collections.abc import Callable
from typing import Final

from speclint.check.loaded import load
from speclint.check.shelf import Shelf
from speclint.errors import UsageError
from speclint.files import Source
from speclint.rulesets.library import NotFound
from speclint.rulesets.model import FlatClass, Ruleset
from speclint.spelling import known_words
from speclint.starters.garage import garage_text
from speclint.starters.motor import motor_text
from speclint.starters.ruleset import ruleset_text
from speclint.starters.setup import setup_text
from speclint.starters.wishes import TAKEN, Wishes

_OPTIONS: Final = {"class_id": "--class", "based_on": "--based-on"}


def start(kind: str, wishes: Wishes, shelf: Callable[[], Shelf], modeline: str = "") -> str:
    """The text of a starting file.

    Args:
        kind: one of `wishes.KINDS`.
        wishes: what it is to say already.
        shelf: finds the rulesets; it is asked only where a wish names one.
        modeline: the way from the file to its schema, for editors; "" where there is none.

    Raises:
        UsageError: a wish does not go with the kind, names a ruleset or class that is not there, or cannot stand in a
            file.
    """
    strays = [
        name for name in sorted(set().union(*TAKEN.values())) if getattr(wishes, name) and name not in TAKEN[kind]
    ]
    if strays:
        goes = " or ".join(f"new {other}" for other, taken in TAKEN.items() if strays[0] in taken)
        raise UsageError(f"{option(strays[0])} goes with {goes}, not with new {kind}")
    if kind == "garage":
        text = garage_text(wishes, modeline)
    elif kind == "ruleset":
        text = ruleset_text(wishes, _base(wishes, shelf), modeline)
    else:
        builder = setup_text if kind == "setup" else motor_text
        text = builder(wishes, _class(wishes, shelf), modeline)
    problems = load(Source(f"the new {kind}", text)).problems
    if problems:
        raise UsageError(f"this cannot be written: {problems[0].message}")
    return text


def option(wish: str) -> str:
    """The option that gives a wish."""
    return _OPTIONS.get(wish, f"--{wish}")


def _class(wishes: Wishes, shelf: Callable[[], Shelf]) -> FlatClass | None:
    """The class that a setup or a motor is for."""
    if not wishes.ruleset:
        if wishes.class_id:
            raise UsageError("--class needs --ruleset beside it: the class is one of that ruleset's")
        return None
    found = shelf()
    id_, _, version = wishes.ruleset.partition("@")
    ruleset = found.library.in_force(id_, version or None, wishes.day, None)
    if isinstance(ruleset, NotFound):
        hint = "" if wishes.on is not None or ruleset.problem != "not-in-force" else "; --on gives another day"
        raise UsageError(f"{_broken(found, id_) or ruleset.message}{hint}")
    if not wishes.class_id:
        known = ", ".join(found.library.class_ids(ruleset))
        raise UsageError(f"--ruleset needs --class beside it; the classes of {ruleset.name} are {known}")
    return _flat(found, ruleset, wishes.class_id)


def _base(wishes: Wishes, shelf: Callable[[], Shelf]) -> FlatClass | None:
    """The class of another ruleset that a new ruleset changes first."""
    if not wishes.based_on:
        return None
    found = shelf()
    id_, _, version = wishes.based_on.partition("@")
    versions = [one for one, _ in found.documents.values() if one.id == id_ and version in ("", one.version)]
    if not versions:
        known = [one.name for one, _ in found.documents.values()]
        raise UsageError(
            _broken(found, id_) or f"there is no ruleset {wishes.based_on}{known_words(wishes.based_on, known)}"
        )
    if id_ == (wishes.id or "our-club"):
        raise UsageError(f"a ruleset cannot build on itself: give the new one an --id of its own, other than {id_}")
    newest = max(versions, key=lambda one: (wishes.day in one.in_force, one.in_force.start or wishes.day, one.version))
    classes = found.library.class_ids(newest)
    return _flat(found, newest, wishes.class_id or classes[0])


def _broken(shelf: Shelf, id_: str) -> str:
    file = shelf.broken.get(id_)
    return "" if file is None else f"the ruleset {id_} has problems of its own: `speclint check {file}` names them"


def _flat(shelf: Shelf, ruleset: Ruleset, class_id: str) -> FlatClass:
    flat = shelf.library.flat(ruleset, class_id)
    if isinstance(flat, NotFound):
        raise UsageError(flat.message)
    return flat
