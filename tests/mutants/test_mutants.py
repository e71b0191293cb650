"""A change of the code that a test should notice is one thing at one place, and is noticed."""

from pathlib import Path

import pytest

from tests.mutants.__main__ import Record, is_noticed
from tests.mutants.changes import changes

SOURCE = '''\
"""A text is left alone: 1 < 2."""

LEAST: Final = 3  # ≥
PAIRS: Final = zip("ab", "cd", strict=True), Key("mass_g", example=1352)


def may_start(mass_g: int, *, is_waived: bool = False) -> "bool | None":
    if is_waived:
        return True
    return mass_g >= LEAST and not f"{mass_g + 1}" == "ü"
'''


def test_each_change_is_another_program() -> None:
    assert [(change.line, change.text) for change in changes(SOURCE)] == [
        (3, "(4)"),
        (7, "(True)"),
        (8, "(not is_waived)"),
        (9, "(False)"),
        (10, "(mass_g > LEAST)"),
        (10, "(mass_g >= LEAST or not f'{mass_g + 1}' == 'ü')"),
        (10, "(f'{mass_g + 1}' == 'ü')"),
        (10, "(f'{mass_g + 1}' != 'ü')"),
    ]
    made = [change.made_in(SOURCE) for change in changes(SOURCE)]
    assert len({*made, SOURCE}) == len(made) + 1
    assert made[4].endswith("""return (mass_g > LEAST) and not f"{mass_g + 1}" == "ü"\n""")


def test_tests_are_tried_that_came_past_the_line_and_then_those_of_the_file() -> None:
    (change,) = changes("a = 1\n")
    seconds = {
        "tests/rules/a.py::slow": 1.5,
        "tests/rules/a.py::quick": 1.0,
        "tests/rules/a.py::past": 3.0,
        "tests/check/b.py::past": 2.0,
        "broken": 1e9,
    }
    record = Record(
        seconds,
        {"speclint/rules/a.py": {"1": ["tests/check/b.py::past", "tests/rules/a.py::past", "broken"], "2": [*seconds]}},
        [],
    )
    assert record.tests_of("speclint/rules/a.py", change) == (
        ["tests/rules/a.py::past"],
        ["tests/check/b.py::past", "tests/rules/a.py::quick", "tests/rules/a.py::slow"],
    )


def test_what_is_done_on_import_may_be_noticed_by_every_test_of_the_room() -> None:
    (change,) = changes("a = 1\n")
    seconds = {"tests/rules/a.py::of_room": 1.0, "tests/check/b.py::past_file": 0.5, "tests/check/b.py::elsewhere": 0.1}
    record = Record(seconds, {"speclint/rules/a.py": {"1": [""], "2": ["tests/check/b.py::past_file"]}}, [])
    own, others = record.tests_of("speclint/rules/a.py", change)
    assert (own, others) == ([], ["tests/rules/a.py::of_room", "tests/check/b.py::past_file"])


@pytest.mark.parametrize(("text", "noticed"), [("(not value > 0)", True), ("(2 * value > 0)", False)])
def test_a_change_is_made_in_a_copy_and_taken_back(tmp_path: Path, text: str, noticed: bool) -> None:
    module, test = tmp_path / "sign.py", tmp_path / "test_sign.py"
    module.write_text("def is_positive(value: float) -> bool:\n    return value > 0\n", encoding="utf-8")
    test.write_text("import sign\n\n\ndef test_sign():\n    assert sign.is_positive(1)\n", encoding="utf-8")
    (change,) = (change for change in changes(module.read_text(encoding="utf-8")) if ">=" in change.text)
    source = module.read_bytes()
    assert is_noticed(tmp_path, "sign.py", change._replace(text=text), ["test_sign.py::test_sign"]) is noticed
    assert module.read_bytes() == source
