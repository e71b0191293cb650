"""A few of the inputs that `python -m tests.fuzzing` tries by the thousand."""

import random
from collections import Counter
from pathlib import Path

import pytest

from tests.check.world import project_files
from tests.console import lay_out_rulesets
from tests.fuzzing.__main__ import faults, mutated


def test_whatever_comes_in_only_problems_come_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    lay_out_rulesets(tmp_path)
    monkeypatch.chdir(tmp_path)
    tried: Counter[str] = Counter()
    assert list(faults(12, 7, tried)) == []
    assert tried.total() == 12


def test_an_input_follows_from_its_number_and_the_seed() -> None:
    text = project_files("rulesets")["rulesets/harbour-city-2026.2.yaml"]
    texts = {mutated(text, random.Random(f"1/{number}")) for number in range(20)}
    assert texts == {mutated(text, random.Random(f"1/{number}")) for number in range(20)}
    assert len(texts) > 10
