"""A file with a mistake on every line is answered in the time that its length accounts for, and not at its own length.

Measured is CPU time, at sizes where it once took 7 to 25 seconds.
"""

import time
from typing import Final

import pytest

from speclint.documents.parse import parse
from speclint.problems import MOST_PROBLEMS
from speclint.structure.validate import validate

KEYS: Final = 10_000
RULES: Final = "format: ruleset/1\nid: a\nversion: '1'\nin_force: {from: 2026-01-01}\nclasses:\n  b:\n    rules:\n"

CASES: Final = {
    "unknown keys": ("setup/1", "format: setup/1\n" + "".join(f"k{i}: 1\n" for i in range(KEYS))),
    "wrong types": ("motor/1", "format: motor/1\nbench_runs:\n" + "  - {date: x, can_c: y}\n" * KEYS),
    "dates that do not exist": (
        "motor/1",
        "format: motor/1\nrebuilds:\n" + "  - {date: 2026-02-30, did: [clean]}\n" * KEYS,
    ),
    "rules without anything": ("ruleset/1", RULES + "      - {id: w}\n" * KEYS),
}


@pytest.mark.parametrize("name", CASES)
def test_a_mistake_on_every_line_is_twenty_problems_and_a_count(name: str) -> None:
    declared, text = CASES[name]
    document, unreadable = parse("f", text)
    assert document is not None
    assert unreadable == ()
    start = time.process_time()
    problems = validate(document, declared)
    assert time.process_time() - start < 2.0
    assert len(problems) == MOST_PROBLEMS + 1
    left_out = KEYS - MOST_PROBLEMS if "dates" in name else 980
    at_least = "" if "dates" in name else "at least "
    assert problems[-1].message == f"and {at_least}{left_out} more problems in this file: mend these first"


def test_the_key_that_was_meant_is_sought_for_more_keys_than_are_told() -> None:
    text = "format: setup/1\n" + "".join(f"zzz{i}: 1\n" for i in range(90)) + "car: {pinion_tooth: 42}\n"
    document, _ = parse("f", text)
    assert document is not None
    assert any("did you mean `pinion_teeth`?" in problem.message for problem in validate(document, "setup/1"))


SOUND: Final = "{quantity: mass_g, at_least: 1350}"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (RULES + f"      - {{id: w, any_of: [{', '.join([SOUND] * KEYS)}]}}\n", "`any_of` has 10000 items"),
        (RULES + "".join(f"      - {{id: w{i}, {SOUND[1:]}\n" for i in range(KEYS)) + "      - {id: w}\n", "needs"),
        (
            "format: garage/1\nname: g\ntracks:\n"
            + "".join(f"  t{i}: {{lap_m: 90}}\n" for i in range(KEYS))
            + "  t: {lap: 90}\n",
            "`lap` is not a key",
        ),
    ],
)
def test_the_fault_among_ten_thousand_sound_members_is_told_in_the_time_of_a_look_at_them(
    text: str, message: str
) -> None:
    document, _ = parse("f", text)
    assert document is not None
    validate(parse("f", RULES + "      - {id: w}\n")[0] or document, "ruleset/1")  # loads what explains a fault
    start = time.process_time()
    problems = validate(document, document.data["format"])
    assert time.process_time() - start < 1.0
    assert message in problems[0].message


def test_a_quantity_that_is_none_in_every_rule_is_told_before_all_are_looked_at() -> None:
    rules = "".join(f"      - {{id: w{i}, quantity: mas_g, at_least: 1350}}\n" for i in range(KEYS))
    document, _ = parse("f", RULES + rules)
    assert document is not None
    start = time.process_time()
    problems = validate(document, "ruleset/1")
    assert time.process_time() - start < 2.0
    assert [problem.place.line for problem in problems[:1]] == [8]
    assert problems[0].message == "there is no quantity of this name, nor of those in more than 999 other places"
