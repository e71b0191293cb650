"""Why there is no ruleset, or no class in it."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class NotFound:
    """The sort of the problem, and the message for whoever asked.

    `file` is that of a ruleset whose own problems are the reason; "" for any other reason.
    """

    problem: str
    message: str
    file: str = ""
