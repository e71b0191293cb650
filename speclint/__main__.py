"""Starts the command line: `python -m speclint` and the `speclint` command."""

from speclint.cli import main

if __name__ == "__main__":
    main()
