"""How long the page that checks a car takes to its first verdict on a telephone; a busy machine makes it slow, not wrong."""

import os
import signal
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Event, Thread

import pytest

from tests.browser.car_check import CarCheck, needs_runtime, publish
from tests.browser.chromium import Chromium, browsing
from tests.browser.serving import served

pytestmark = [pytest.mark.benchmark, needs_runtime]

RUNS_S, RESTS_S = 0.01, 0.03


@contextmanager
def four_times_slower(browser: Chromium) -> Iterator[None]:
    """Lets the page's process run a quarter of the time, its workers as well, which the browser's own throttling spares."""
    ended = Event()

    def take_turns() -> None:
        while not ended.is_set():
            renderers = browser.renderers()
            for turn, pause_s in ((signal.SIGSTOP, RESTS_S), (signal.SIGCONT, RUNS_S)) * 25:
                for process in renderers:
                    os.kill(process, turn)
                time.sleep(pause_s)

    turns = Thread(target=take_turns)
    turns.start()
    try:
        yield
    finally:
        ended.set()
        turns.join()


def test_a_telephone_of_a_quarter_of_this_speed_has_its_first_verdict_soon(tmp_path: Path) -> None:
    publish(tmp_path / "site")
    with served(tmp_path / "site") as server, browsing(tmp_path / "profile") as browser:
        page = CarCheck(browser, server)
        page.tab.go(server.address + "check/parts.json")
        with four_times_slower(browser):
            start = time.monotonic()
            page.open()
            assert page.verdict.startswith("not shown")
            took_s = time.monotonic() - start
    # 25 s are wanted, and come on a machine of its own; one that does other work beside it takes longer.
    assert took_s < 60
