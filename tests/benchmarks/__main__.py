"""Prints what a check of many setups costs beside programs that do less with them: `python -m tests.benchmarks`."""

import argparse
import sys
import tempfile
from pathlib import Path

from tests.benchmarks.contest import (
    AGAINST_BARE_LOOP,
    AGAINST_SHAPE_ONLY,
    COLD_START,
    LINES,
    MOST_MEMORY_MB,
    SAME_TIME_A_FILE,
    Contest,
    Spent,
)
from tests.benchmarks.setups import write_setups

_MOST_NAMED = 10_000
"""Files that fit on a command line; above it only speclint runs, which looks through a folder."""


def main() -> int:
    """Runs the contest and prints it; 1 where a target is missed."""
    arguments = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    arguments.add_argument(
        "--setups", type=int, nargs="+", default=[1, 1000], help="how many setups to generate (1 1000)"
    )
    arguments.add_argument("--repeats", type=int, default=3, help="runs of each program; the least counts (3)")
    asked = arguments.parse_args()
    missed = 0
    ms_a_file: dict[int, float] = {}
    for count in asked.setups:
        with tempfile.TemporaryDirectory() as temporary:
            folder = Path(temporary) / "setups"
            folder.mkdir()
            contest = Contest(folder, write_setups(folder, count))
            programs = contest.on_one_file() if count == 1 else contest.on_all_files()
            if count > _MOST_NAMED:
                programs = {name: command for name, command in programs.items() if name.startswith("speclint")}
            repeats = 5 * asked.repeats if count == 1 else asked.repeats
            spent = contest.spent(programs, repeats)
            missed += _print(count, spent)
            ms_a_file[count] = 1000 * spent[LINES].cpu_s / count
    most = max(ms_a_file)
    if 1000 in ms_a_file and most > 1000:
        ratio = ms_a_file[most] / ms_a_file[1000]
        missed += ratio > SAME_TIME_A_FILE
        word = "met" if ratio <= SAME_TIME_A_FILE else "MISSED"
        print(f"time a file at {most:,} ÷ at 1,000: {ratio:.3f}, at most {SAME_TIME_A_FILE}: {word}")
    return 1 if missed else 0


def _print(count: int, spent: dict[str, Spent]) -> int:
    """A table of one number of setups; how many targets are missed."""
    print(
        f"{f'{count:,} setup' + ('s' if count > 1 else ''):<46}{'CPU s':>9}{'wall s':>9}{'ms a file':>11}{'peak MB':>9}"
    )
    for name, took in spent.items():
        print(f"  {name:<44}{took.cpu_s:9.2f}{took.wall_s:9.2f}{1000 * took.cpu_s / count:11.2f}{took.peak_mb:9.0f}")
    missed = 0
    for target in (COLD_START,) if count == 1 else (AGAINST_SHAPE_ONLY, AGAINST_BARE_LOOP):
        if target.theirs in spent and (count == 1 or count >= 1000):
            ratio = spent[target.ours].cpu_s / spent[target.theirs].cpu_s
            missed += ratio > target.at_most
            word = "met" if ratio <= target.at_most else "MISSED"
            print(f"  {target.ours} ÷ {target.theirs}: {ratio:.3f}, at most {target.at_most}: {word}")
    largest = max(took.peak_mb for name, took in spent.items() if name.startswith("speclint"))
    missed += largest > MOST_MEMORY_MB
    print(f"  memory: {largest:.0f} MB, at most {MOST_MEMORY_MB}: {'met' if largest <= MOST_MEMORY_MB else 'MISSED'}\n")
    return missed


if __name__ == "__main__":
    sys.exit(main())
