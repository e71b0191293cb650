"""Texts and command lines that nobody meant, by the thousand, in one process: `python -m tests.fuzzing --inputs 2000`.

Whatever comes in, only problems come out: no exception, no report that changes with the order of the files, no answer
that takes longer than a second and a half of the processor's time, or more than a gibibyte, for files of some kilobytes.
An interrupt ends it early, and it counts what it tried.
"""

import argparse
import contextlib
import io
import os
import random
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from tests.console import lay_out_rulesets
from tests.fuzzing.sorts import SORTS

_SLOWEST_S: Final = 1.5
_HANGS_S: Final = 20.0
_LARGEST_BYTES: Final = 1 << 30


def faults(inputs: range, seed: int, tried: Counter[str], sorts: list[str] | None = None) -> Iterator[str]:
    """What is wrong with the answers to inputs, each of which follows from its number and the seed.

    Args:
        inputs: their numbers.
        seed: by which they are drawn.
        tried: counts how many of each sort were tried.
        sorts: those that are wanted; without them all, each as often as it says.
    """
    names = sorts or [*SORTS]
    shares = [SORTS[name].share for name in names]
    for number in inputs:
        chance = random.Random(f"{seed}/{number}")
        (sort,) = chance.choices(names, shares)
        tried[sort] += 1
        start = time.process_time()
        try:
            with _limited_time():
                fault = SORTS[sort].fault(chance)
        except Exception:
            fault = traceback.format_exc()
        took = time.process_time() - start
        if fault or took > _SLOWEST_S:
            yield f"--seed {seed} --first {number} --inputs 1, {sort}: {fault or f'{took:.1f} s'}"


@contextlib.contextmanager
def _limited_time() -> Iterator[None]:
    """Ends what hangs, where the system can count the processor's time."""
    import signal

    def stop(*_: object) -> None:
        raise TimeoutError

    if not hasattr(signal, "setitimer"):
        yield
        return
    signal.signal(signal.SIGVTALRM, stop)
    signal.setitimer(signal.ITIMER_VIRTUAL, _HANGS_S)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)


@contextlib.contextmanager
def _folder_to_spoil() -> Iterator[None]:
    """A current folder with rulesets and a car that commands may do anything to."""
    before = Path.cwd()
    with tempfile.TemporaryDirectory() as folder:
        lay_out_rulesets(Path(folder))
        os.chdir(folder)
        sys.stdin = io.StringIO("")
        try:
            yield
        finally:
            os.chdir(before)
            sys.stdin = sys.__stdin__


def main() -> int:
    """Tries inputs and prints what is wrong with the answers; 1 where anything is."""
    arguments = argparse.ArgumentParser(prog="python -m tests.fuzzing", description=__doc__)
    arguments.add_argument("--inputs", type=int, default=2000, help="how many inputs to try (2000)")
    arguments.add_argument("--first", type=int, default=0, help="the number of the first one (0)")
    arguments.add_argument("--seed", type=int, default=1, help="by which they are drawn (1)")
    arguments.add_argument("--only", choices=SORTS, action="append", help="try only this sort")
    asked = arguments.parse_args()
    with contextlib.suppress(ImportError):
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (_LARGEST_BYTES, _LARGEST_BYTES))
    tried: Counter[str] = Counter()
    count = 0
    start = time.monotonic()
    with _folder_to_spoil(), contextlib.suppress(KeyboardInterrupt):
        for fault in faults(range(asked.first, asked.first + asked.inputs), asked.seed, tried, asked.only):
            count += 1
            print(fault, flush=True)
    words = ", ".join(f"{number:,} {sort}" for sort, number in sorted(tried.items()))
    print(f"{words} tried in {time.monotonic() - start:.0f} s; {count} faults")
    return 1 if count else 0


if __name__ == "__main__":
    sys.exit(main())
