"""The CPU time of a full check, held against that of programs that do less with the same files."""

from collections.abc import Mapping, Sequence

import pytest

from tests.benchmarks.contest import (
    AGAINST_BARE_LOOP,
    AGAINST_SHAPE_ONLY,
    COLD_START,
    JSON,
    LINES,
    TEXT,
    Contest,
    Target,
)
from tests.benchmarks.setups import setup_text, write_setups

pytestmark = pytest.mark.benchmark

MOST_ROUNDS = 6
"""A busy machine can only make a run slower, so the least of several is the measure; few rounds do where it is met."""


@pytest.fixture(scope="module")
def contest(tmp_path_factory: pytest.TempPathFactory) -> Contest:
    return contest_on(tmp_path_factory, 1000)


def contest_on(tmp_path_factory: pytest.TempPathFactory, count: int) -> Contest:
    folder = tmp_path_factory.mktemp("contest") / "setups"
    folder.mkdir()
    return Contest(folder, write_setups(folder, count))


def shares(contest: Contest, programs: Mapping[str, Sequence[str]], *targets: Target) -> dict[Target, float]:
    """Of each target the share that speclint takes, from as many rounds as it needs to be met."""
    wanted = {name: programs[name] for target in targets for name in (target.ours, target.theirs)}
    least: dict[str, float] = {}
    shares: dict[Target, float] = {}
    for _ in range(MOST_ROUNDS):
        spent = contest.spent(wanted, repeats=1)
        least = {name: min(took.cpu_s, least.get(name, took.cpu_s)) for name, took in spent.items()}
        shares = {target: least[target.ours] / least[target.theirs] for target in targets}
        if all(share <= target.at_most for target, share in shares.items()):
            break
    return shares


def test_a_start_on_one_file_costs_less_than_a_look_at_its_shape(contest: Contest) -> None:
    contest.spent(contest.on_one_file(), repeats=1)  # so that every module has been compiled
    for target, share in shares(contest, contest.on_one_file(), COLD_START).items():
        assert share <= target.at_most


def test_a_thousand_setups_cost_less_than_a_look_at_their_shape_and_some_times_the_bare_parser(
    contest: Contest,
) -> None:
    for target, share in shares(contest, contest.on_all_files(), AGAINST_SHAPE_ONLY, AGAINST_BARE_LOOP).items():
        assert share <= target.at_most, target


def test_ten_times_as_many_setups_take_hardly_more_memory(
    contest: Contest, tmp_path_factory: pytest.TempPathFactory
) -> None:
    def peaks(contest: Contest) -> dict[str, float]:
        programs = {name: contest.on_all_files()[name] for name in (LINES, TEXT, JSON)}
        return {name: took.peak_mb for name, took in contest.spent(programs, repeats=1).items()}

    few, many = peaks(contest_on(tmp_path_factory, 100)), peaks(contest)
    # A kept document takes 40 kB and more: nine hundred of them would be 36 MB.
    assert {name: many[name] - few[name] for name in few if many[name] - few[name] > 15} == {}


def test_the_same_setups_come_out_each_time_and_no_two_are_alike() -> None:
    texts = [setup_text(number) for number in range(1000)]
    assert texts == [setup_text(number) for number in range(1000)]
    assert len(set(texts)) == 1000
    assert all(60 <= text.count("\n") <= 80 for text in texts)
