"""Prints what each program costs on the same files, and how that stands to the targets: `python -m tests.benchmarks`."""

import argparse
import sys
import tempfile
from pathlib import Path

from tests.benchmarks.contest import AGAINST_BARE_LOOP, AGAINST_SHAPE_ONLY, COLD_START, Contest
from tests.benchmarks.setups import write_setups


def main() -> int:
    """Runs the contest and prints it; 1 where a target is missed."""
    arguments = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    arguments.add_argument("--setups", type=int, default=1000, help="how many setups to generate (1000)")
    arguments.add_argument(
        "--repeats", type=int, default=3, help="runs of each program on all of them; the least counts (3)"
    )
    asked = arguments.parse_args()
    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary)
        files = write_setups(folder, asked.setups)
        lines = sum(file.read_text(encoding="utf-8").count("\n") for file in files) / len(files)
        print(
            f"{len(files)} setups of {lines:.0f} lines on average; CPU seconds of the child, user and system, the least run\n"
        )
        contest = Contest(folder, files)
        missed = 0
        for heading, programs, repeats, targets in (
            ("cold start, one file", contest.on_one_file(), 5 * asked.repeats, [COLD_START]),
            (f"all {len(files)} files", contest.on_all_files(), asked.repeats, [AGAINST_SHAPE_ONLY, AGAINST_BARE_LOOP]),
        ):
            print(heading)
            seconds = contest.seconds(programs, repeats)
            for name, spent in seconds.items():
                print(f"  {name:<44}{spent:9.3f} s")
            for target in targets:
                ratio = seconds[target.ours] / seconds[target.theirs]
                met = ratio <= target.at_most
                missed += not met
                word = "met" if met else "MISSED"
                print(f"  {target.ours} ÷ {target.theirs}: {ratio:.3f}, at most {target.at_most}: {word}")
            print()
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
