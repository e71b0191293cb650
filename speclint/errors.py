"""What stops a command from running as asked; bad input in a file is a `problems.Problem`, never one of these."""


class SpeclintError(Exception):
    """The command cannot do what was asked; the message says what to do instead."""


class UsageError(SpeclintError):
    """The words of the command do not fit together, or name something that is not there."""


class UnreadableError(SpeclintError):
    """A path named on the command line does not exist or cannot be read."""


class WriteRefusedError(SpeclintError):
    """A file was left untouched, because writing it would have lost or damaged something."""


class FileProblemsError(SpeclintError):
    """What was asked for rests on a file that has problems: `lines` tells each with its place."""

    def __init__(self, message: str, lines: tuple[str, ...]) -> None:
        super().__init__(message)
        self.lines = lines


def reason_of(error: Exception) -> str:
    """Why the system refused something, in its own words."""
    return ((error.strerror if isinstance(error, OSError) else None) or str(error)).lower()
