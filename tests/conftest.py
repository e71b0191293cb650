import functools
import gc
import json
import signal
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Final

import hypothesis
import jsonschema_rs
import pytest

from speclint.resources import schema_text
from tests.console import Console, Golden

hypothesis.settings.register_profile("repeatable", derandomize=True, deadline=None)
hypothesis.settings.load_profile("repeatable")
"""The same cases on every machine; `--hypothesis-profile default` draws others."""


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--update-golden", action="store_true", help="write what came out as what is expected, to be read and committed"
    )


def pytest_configure() -> None:
    """Signals as a shell's foreground job has them, for the tests that send one to a child.

    What a parent ignores, its children ignore, too: under `nohup` or in a script's background an interrupt would
    never arrive.
    """
    for name in ("SIGINT", "SIGTERM", "SIGHUP", "SIGQUIT"):
        number = getattr(signal, name, None)
        if number is not None and signal.getsignal(number) is signal.SIG_IGN:
            signal.signal(number, signal.default_int_handler if name == "SIGINT" else signal.SIG_DFL)


THOROUGH: Final = (
    "acceptance",
    "api",
    "browser",
    "check_page",
    "fuzzing",
    "gearing",
    "history",
    "logbook",
    "packaging",
    "physics",
    "properties",
    "publish",
    "readme",
    "advice/test_mistakes.py",
    "architecture/test_dead_code.py",
    "check/test_demo_world.py",
    "check/test_finding_files.py",
    "check/test_what_hides_no_verdict.py",
    "check/test_work_in_proportion.py",
    "comparison/test_command.py",
    "comparison/test_compared_setups.py",
    "comparison/test_differences.py",
    "comparison/test_false_alarms.py",
    "comparison/test_trends.py",
    "documents/test_document_positions.py",
    "documents/test_time_grows_with_the_length.py",
    "documents/test_yaml_parsers_agree.py",
    "edits/test_splices_change_nothing_else.py",
    "explain/test_every_word_of_a_report.py",
    "limits/test_decision_risks.py",
    "limits/test_decisions.py",
    "quantities/test_gearing_is_exact.py",
    "readings/test_copper.py",
    "readings/test_exact.py",
    "readings/test_measured.py",
    "records/test_contradictions.py",
    "remedies/test_smallest_changes.py",
    "reports/test_check_pages.py",
    "reports/test_json.py",
    "reports/test_widths.py",
    "rulesets/test_flattening_by_hand.py",
    "starters/test_demo.py",
    "starters/test_start_command.py",
    "starters/test_starting_files.py",
    "structure/test_empty_keys.py",
    "structure/test_schemas.py",
    "structure/test_validators_agree.py",
    "structure/test_very_many_problems.py",
    "workspace/test_one_resolver.py",
)
"""Where tests are that start programs, predict temperatures or draw by the thousand."""

NOT_QUICK: Final = ("thorough", "slow", "browser", "benchmark")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Every test is thorough or quick, by where it stands, unless it has a mark that says more."""
    for item in items:
        if not any(item.get_closest_marker(name) for name in NOT_QUICK):
            item.add_marker("thorough" if is_thorough(item.path) else "quick")


@functools.cache
def is_thorough(path: Path) -> bool:
    return any(path.is_relative_to(Path(__file__).parent / name) for name in THOROUGH)


@pytest.fixture
def golden(request: pytest.FixtureRequest) -> Golden:
    return Golden(update=bool(request.config.getoption("--update-golden")))


@pytest.fixture
def console(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Iterator[Console]:
    """Runs the command line in this process, as a person would in a shell without a terminal."""
    for name in ("NO_COLOR", "FORCE_COLOR"):
        monkeypatch.delenv(name, raising=False)
    yield Console(capsys, monkeypatch)
    gc.enable()
    gc.unfreeze()


@pytest.fixture(scope="session")
def is_report() -> Callable[[Any], bool]:
    """Whether a value is a `report/1`."""
    return jsonschema_rs.validator_for(json.loads(schema_text("report-1"))).is_valid


@pytest.fixture
def empty(tmp_path: Path) -> Path:
    """A folder of its own, in no repository, below which nothing is found."""
    folder = tmp_path / "work"
    folder.mkdir()
    return folder
