"""Prints how the predictions stand beside simulated cars that share no code with them: `python -m tests.physics`."""

import argparse

from tests.physics.comparison_table import HELD_OUT, PARTS, table


def main() -> None:
    """Works the table out and prints it row by row."""
    arguments = argparse.ArgumentParser(prog="python -m tests.physics", description=__doc__)
    arguments.add_argument("--cars", type=int, default=150, help="cars of a fleet (150)")
    arguments.add_argument(
        "--seed", type=int, default=HELD_OUT, help="of the fleets; the default are the held-out ones"
    )
    arguments.add_argument("--only", nargs="+", choices=tuple(PARTS), default=tuple(PARTS), help="parts of the table")
    asked = arguments.parse_args()
    for row in table(asked.seed, asked.cars, asked.only):
        print(f"{row.compared:<72} {row.found:<64} {row.wanted}", flush=True)


if __name__ == "__main__":
    main()
