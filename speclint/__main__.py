"""Starts the command line: `python -m speclint` and the `speclint` command."""

import os
from typing import NoReturn

from speclint.cli import main as command_line


def main() -> NoReturn:
    """Runs the command line, and ends the process at once: to free all that was loaded takes longer than to check a car."""
    try:
        command_line()
    except SystemExit as end:
        # What was written has been flushed, and nothing is registered to be done at the end.
        os._exit(end.code if isinstance(end.code, int) else 1)


if __name__ == "__main__":
    main()
