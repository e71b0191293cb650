"""Pytest's part in `python -m tests.mutants`: notes which test runs which line, or runs the tests of a list in its order.

The environment says which: SPECLINT_RECORD names the file for the notes and SPECLINT_ROOMS the rooms whose lines are
noted; SPECLINT_TESTS names a file of test ids.
"""

import json
import os
from collections.abc import Iterator
from pathlib import Path
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
    if _RECORD:
        _lines.switch_context(item.nodeid)
    return (yield)


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    """A test that fails without any change says nothing of one."""
    _seconds[report.nodeid] = _seconds.get(report.nodeid, 0.0) + (report.duration if report.passed else 1e9)


def pytest_sessionfinish() -> None:
    if not _RECORD:
        return
    _lines.stop()
    data = _lines.get_data()
    files = {Path(file).relative_to(Path.cwd()).as_posix(): file for file in data.measured_files()}
    tests = {shown: data.contexts_by_lineno(file) for shown, file in files.items()}
    Path(_RECORD).write_text(json.dumps({"seconds": _seconds, "tests": tests}), encoding="utf-8")
