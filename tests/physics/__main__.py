"""Prints how the predictions stand beside simulated cars that share no code with them: `python -m tests.physics`."""

import argparse

from tests.physics.comparison_table import HELD_OUT, table
from tests.physics.simulator.papers import Habits


def main() -> None:
    """Works the table out and prints it row by row."""
    arguments = argparse.ArgumentParser(prog="python -m tests.physics", description=__doc__)
    arguments.add_argument("--cars", type=int, default=150, help="cars of a fleet (150)")
    arguments.add_argument(
        "--seed", type=int, default=HELD_OUT, help="of the fleets; the default are the held-out ones"
    )
    arguments.add_argument("--grip", action="store_true", help="the owners know the grip, to a tenth")
    asked = arguments.parse_args()
    for row in table(asked.seed, asked.cars, Habits(grip=asked.grip)):
        print(f"{row.compared:<72} {row.found:<64} {row.wanted}", flush=True)


if __name__ == "__main__":
    main()
