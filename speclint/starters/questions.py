"""What a person at a terminal is asked about a starting file, which answers are known, and which questions fall away."""

from collections.abc import Mapping
from typing import Any, Final

from speclint.errors import UsageError
from speclint.rulesets.not_found import NotFound
from speclint.spelling import known_words
from speclint.starters.typed import typed_id, typed_race_day, typed_turns
from speclint.workspace.ruleset_index import RulesetIndex

QUESTIONS: Final = {
    "setup": {
        "name": "What do you call the car",
        "ruleset": "By which ruleset does it race",
        "class_id": "In which class",
        "on": "On which day, as in 2026-03-14",
        "motor": "Which file describes its motor, if there is one",
        "garage": "Which file describes the garage, if there is one",
    },
    "motor": {
        "name": "What do you call the motor",
        "turns": "How many turns has it, as in 17.5",
        "part": "What is its part number",
        "serial": "What is its serial number",
    },
    "ruleset": {
        "id": "What is its id, in lower case, as in our-club",
        "name": "What is its title",
        "based_on": "On which ruleset does it build",
        "class_id": "What is the id of its first class, as in stock-17",
        "on": "From which day is it in force, as in 2026-03-14",
    },
    "garage": {
        "name": "What do you call the garage",
        "track": "What is the id of your track, as in harbour-hall",
    },
    "inspection": {
        "name": "What is the event called, as in Round 3",
        "ruleset": "By which ruleset is it raced",
        "on": "On which day, as in 2026-03-14",
    },
}
"""The questions about each kind of file by the option that an answer fills, in their order."""


def falls_away(kind: str, option_name: str, answers: Mapping[str, Any]) -> bool:
    """Whether a question makes no sense after the answers so far."""
    return kind == "setup" and option_name in ("class_id", "on") and "ruleset" not in answers


def known_answers(option_name: str, answers: Mapping[str, Any], index: RulesetIndex) -> tuple[str, ...]:
    """The only answers that a question can have, as far as they can be listed; none where it is open."""
    if option_name in ("ruleset", "based_on"):
        return index.library.ids
    owner = answers.get("ruleset") or answers.get("based_on")
    if option_name == "class_id" and owner:
        return index.class_ids(str(owner).partition("@")[0])
    return ()


def refuse_unknown(answer: str, possible: tuple[str, ...], *, is_needed: bool) -> None:
    """Refuse an answer that is not one of those known; a ruleset may have a version behind it.

    Raises:
        UsageError: it is none of them; the message gives the nearest.
    """
    if not answer and not is_needed:
        return
    if possible and answer.partition("@")[0] not in possible:
        raise UsageError(
            f"there is no {answer}{known_words(answer, possible)}" if answer else f"one of {', '.join(possible)}"
        )


def typed(option_name: str, text: str, answers: Mapping[str, Any], index: RulesetIndex) -> Any:
    """The value that an answer means.

    Args:
        option_name: the option that the answer fills.
        text: what was typed.
        answers: those before it.
        index: every ruleset.

    Raises:
        UsageError: it cannot be a value of the option, or does not go with the answers before it.
    """
    if option_name == "turns":
        return typed_turns(text)
    if option_name in ("id", "track") or (option_name == "class_id" and "ruleset" not in answers):
        return typed_id(text)
    if option_name == "on":
        day = typed_race_day(text)
        if "ruleset" in answers:
            id_, _, version = str(answers["ruleset"]).partition("@")
            ruleset = index.library.in_force(id_, version or None, day, None)
            if isinstance(ruleset, NotFound):
                raise UsageError(ruleset.message)
        return day
    return text
