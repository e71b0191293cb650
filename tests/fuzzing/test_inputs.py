"""A few of the inputs that `python -m tests.fuzzing` tries by the hundred thousand."""

import random
from collections import Counter
from pathlib import Path

import pytest

from tests.check.world import project_files
from tests.console import lay_out_rulesets
from tests.fuzzing.__main__ import faults
from tests.fuzzing.mutations import mutated
from tests.fuzzing.sorts import SORTS


@pytest.mark.parametrize("sort", SORTS)
def test_whatever_comes_in_only_problems_come_out(sort: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    lay_out_rulesets(tmp_path)
    monkeypatch.chdir(tmp_path)
    tried: Counter[str] = Counter()
    assert list(faults(range(4), 7, tried, [sort])) == []
    assert tried == {sort: 4}


def test_what_goes_wrong_is_told_with_the_number_that_brings_it_back(monkeypatch: pytest.MonkeyPatch) -> None:
    def fault(_: random.Random) -> str:
        raise ValueError("nobody expected it")

    monkeypatch.setitem(SORTS, "texts", SORTS["texts"]._replace(fault=fault))
    (told,) = faults(range(3, 4), 7, Counter(), ["texts"])
    assert told.startswith("--seed 7 --first 3 --inputs 1, texts: Traceback")
    assert "nobody expected it" in told


def test_an_input_follows_from_its_number_and_the_seed() -> None:
    text = project_files("rulesets")["rulesets/harbour-city-2026.2.yaml"]
    texts = {mutated(text, random.Random(f"1/{number}")) for number in range(20)}
    assert texts == {mutated(text, random.Random(f"1/{number}")) for number in range(20)}
    assert len(texts) > 10
