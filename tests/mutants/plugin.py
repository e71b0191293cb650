"""Pytest's part in `python -m tests.mutants`: notes which test runs which line, or runs the tests of a list in its order.

The environment says which: SPECLINT_RECORD names the file for the notes and SPECLINT_ROOMS the rooms whose lines are
noted; SPECLINT_TESTS names a file of test ids.
"""

import json
import math
import os
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Final

import coverage
import pytest

_RECORD: Final = os.environ.get("SPECLINT_RECORD")
_ROOMS: Final = os.environ.get("SPECLINT_ROOMS", "").split()
_TESTS: Final = os.environ.get("SPECLINT_TESTS")

_lines = coverage.Coverage(data_file=None, include=[f"{Path.cwd()}/speclint/{room}/*" for room in _ROOMS])
_seconds: dict[str, float] = {}
if _RECORD:
    _lines.start()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Of all tests those of the rooms and the quick ones are noted, of a list only its own run."""
    if _TESTS:
        places = {name: i for i, name in enumerate(json.loads(Path(_TESTS).read_text(encoding="utf-8")))}
        items[:] = sorted((item for item in items if item.nodeid in places), key=lambda item: places[item.nodeid])
    else:
        rooms = tuple(f"tests/{room}/" for room in _ROOMS)
        items[:] = [item for item in items if item.nodeid.startswith(rooms) or item.get_closest_marker("quick")]


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Iterator[None]:
    """Notes the processor's time that a test takes, and under its name the lines that it comes past."""
    if _RECORD:
        _lines.switch_context(item.nodeid)
    start = time.process_time()
    try:
        return (yield)
    finally:
        _seconds[item.nodeid] = _seconds.get(item.nodeid, 0.0) + time.process_time() - start


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    """A test that fails without any change says nothing of one."""
    if not report.passed:
        _seconds[report.nodeid] = math.inf


def pytest_sessionfinish() -> None:
    if not _RECORD:
        return
    _lines.stop()
    data = _lines.get_data()
    files = {Path(file).relative_to(Path.cwd()).as_posix(): file for file in data.measured_files()}
    tests = {shown: data.contexts_by_lineno(file) for shown, file in files.items()}
    modules = [name for name, module in sys.modules.items() if _is_from_elsewhere(module)]
    Path(_RECORD).write_text(json.dumps({"seconds": _seconds, "tests": tests, "modules": modules}), encoding="utf-8")


def _is_from_elsewhere(module: ModuleType) -> bool:
    """Whether a module stands outside the project, so that it is the same whatever is changed."""
    file = getattr(module, "__file__", None)
    return file is not None and not Path(file).is_relative_to(Path.cwd())
