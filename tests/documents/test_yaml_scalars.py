"""Unquoted words and numbers mean what the core schema of YAML 1.2 says, and nothing more.

Sources: YAML 1.2.2, section 10.3.2 (core schema: the tables of its tag resolution) and section 1.3 (JSON is a subset);
IEEE 754 binary64 for what a number can hold. Texts of the second table are those that PyYAML 6.0.4 and ruamel.yaml
0.19.1 were measured to read otherwise, from each other or from the core schema.
"""

import json
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from speclint.documents.parse import parse
from speclint.documents.text import unreadable


def _read(text: str) -> Any:
    document, problems = parse("f", text)
    assert problems == ()
    assert document is not None
    return document.data


def _same(left: object, right: object) -> bool:
    return type(left) is type(right) and left == right


# YAML 1.2.2, section 10.3.2, tag resolution of the core schema.
@pytest.mark.parametrize(
    ("written", "means"),
    [
        *((word, None) for word in ("null", "Null", "NULL", "~", "")),
        *((word, True) for word in ("true", "True", "TRUE")),
        *((word, False) for word in ("false", "False", "FALSE")),
        ("0", 0),
        ("-19", -19),
        ("+12", 12),
        ("0o7", 7),
        ("0o14", 12),
        ("0x3A", 58),
        ("0xC", 12),
        ("0.", 0.0),
        ("-0.0", -0.0),
        (".5", 0.5),
        ("+12e03", 12000.0),
        ("-2E+05", -200000.0),
        ("12.3015e+02", 1230.15),
        ("-.5", -0.5),
        ("1.", 1.0),
    ],
)
def test_the_core_schema_says_what_a_scalar_means(written: str, means: object) -> None:
    assert _same(_read(f"- {written}\n")[0], means)
    assert _same(_read(f"key: {written}\n")["key"], means)
    if written:
        assert _same(_read(f"[x, {written} , y]")[1], means)


HAZARDS = {
    "no": "no",
    "No": "No",
    "NO": "NO",
    "off": "off",
    "yes": "yes",
    "on": "on",
    "y": "y",
    "n": "n",
    "Y": "Y",
    "012": 12,
    "0777": 777,
    "08": 8,
    "017": 17,
    "0o12": 10,
    "0x1F": 31,
    "0b101": "0b101",
    "0b11": "0b11",
    "1_000": "1_000",
    "1:30": "1:30",
    "12:5": "12:5",
    "12:30": "12:30",
    "12:30:45": "12:30:45",
    "190:20:30": "190:20:30",
    "4:20.5": "4:20.5",
    "1e3": 1000.0,
    "1.5e3": 1500.0,
    "1e+3": 1000.0,
    "1.0e3": 1000.0,
    "12e03": 12000.0,
    ".5e1": 5.0,
    "2024-01-01": "2024-01-01",
    "2026-03-14": "2026-03-14",
    "2026-03-14 19:30": "2026-03-14 19:30",
    "1,000": "1,000",
    "7/1": "7/1",
    "21.5T": "21.5T",
    "NaN": "NaN",
    "Inf": "Inf",
    "nan": "nan",
    "+.nan": "+.nan",
    "1.10": 1.1,
    "=": "=",
    "<<": "<<",
    "+": "+",
    "-": "-",
    ".": ".",
    "..": "..",
    "-1-": "-1-",
    "1e": "1e",
    "e5": "e5",
    "0o8": "0o8",
    "0xG": "0xG",
    "-0x1F": "-0x1F",
    "1 2": "1 2",
    "nUll": "nUll",
    "tRUE": "tRUE",
    "None": "None",
    "١٢": "١٢",
    "1²": "1²",
    "1٢": "1٢",
}


@pytest.mark.parametrize(("written", "means"), HAZARDS.items())
def test_what_other_readers_take_for_something_else_is_read_by_the_core_schema(written: str, means: object) -> None:
    if written == "-":
        assert _read("[-]") == ["-"]
        return
    assert _same(_read(f"key: {written}\n")["key"], means)


@pytest.mark.parametrize("written", [*HAZARDS, "true", "null", "~", "17.5", ".nan", "1e400", "12345678901234567890"])
def test_what_is_quoted_is_text(written: str) -> None:
    assert _read(f"- '{written}'\n- \"{written}\"\n- |-\n  {written}\n- >-\n  {written}\n") == [written] * 4


@pytest.mark.parametrize(
    "written", ["no", "1", "1.0", "true", "~", "null", "0x1F", "017", "2026-03-14", ".nan", "1e400", "="]
)
def test_a_key_is_the_text_that_was_written(written: str) -> None:
    assert _read(f"{written}: 1\n") == {written: 1}
    assert _read(f"'{written}': 1\n") == {written: 1}


def test_keys_that_other_readers_merge_stay_apart() -> None:
    assert list(_read("no: 1\n1: 2\n1.0: 3\ntrue: 4\n~: 5\n")) == ["no", "1", "1.0", "true", "~"]


@pytest.mark.parametrize(
    "written", [".inf", "+.inf", "-.Inf", ".INF", ".nan", ".NaN", ".NAN", "1e400", "-1e400", "9" * 400 + ".0"]
)
def test_a_number_that_is_not_finite_is_a_problem(written: str) -> None:
    _, problems = parse("f", f"- {written}\n")
    assert [problem.id for problem in problems] == ["not-finite"]


@pytest.mark.parametrize(
    "written",
    [
        "9007199254740992",  # 2**53: the next whole number is no binary64
        "-9007199254740992",
        "9007199254740991",  # 2**53 - 1, but sixteen digits
        "0x20000000000000",
        "0o400000000000000000",
        "1" + "0" * 16,
        "9" * 5000,
        "0x" + "f" * 100_000,
        "1.000000000000001",
        "0.1234567890123456",
        "1234567890.123456",
        "-1.234567890123456e10",
        "1e-320",
        "1e-400",
    ],
)
def test_a_number_that_cannot_be_kept_exactly_is_a_problem(written: str) -> None:
    document, problems = parse("f", f"- {written}\n")
    assert [problem.id for problem in problems] == ["too-many-digits"]
    assert document is not None
    assert type(document.data[0]) in (int, float)


@pytest.mark.parametrize(
    "written",
    [
        "999999999999999",
        "1000000000000000",
        "0.000123456789012345",
        "1.00000000000000000000",
        "0.1000000000000000000",
        "0e400",
        "00000000000000000017",
        "1" + "0" * 30 + ".0",
        "2.22507385850721e-307",
        "123456789012345e-20",
    ],
)
def test_zeros_that_only_fill_places_are_no_significant_digits(written: str) -> None:
    assert Decimal(repr(_read(f"- {written}\n")[0])) == Decimal(written)


@given(
    st.decimals(allow_nan=False, allow_infinity=False, places=None).filter(
        lambda number: len(number.as_tuple().digits) <= 15 and -290 < number.adjusted() < 290
    )
)
@settings(deadline=None)
def test_a_decimal_of_fifteen_digits_comes_back_as_it_was_written(number: Decimal) -> None:
    written = str(number)
    data = _read(f"- {written}\n")[0]
    assert Decimal(repr(data)) == number


_TEXT = st.text(max_size=30).filter(lambda text: unreadable("", text) is None)
_NUMBERS = st.integers(-(10**15), 10**15) | st.builds(
    lambda digits, power: float(f"{digits}e{power}"), st.integers(-(10**15) + 1, 10**15 - 1), st.integers(-290, 270)
)
_JSON = st.recursive(
    st.none() | st.booleans() | _NUMBERS | _TEXT,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(_TEXT, inner, max_size=4),
    max_leaves=12,
)


@given(
    data=st.lists(_JSON, max_size=4) | st.dictionaries(_TEXT, _JSON, max_size=4),
    indent=st.sampled_from([None, 0, 1, 2, 4]),
    separators=st.sampled_from([(",", ":"), (", ", ": ")]),
)
@settings(deadline=None)
def test_any_json_text_holds_the_same_data(data: Any, indent: int | None, separators: tuple[str, str]) -> None:
    # YAML 1.2.2, section 1.3. Left out are characters and numbers that the subset refuses on purpose.
    text = json.dumps(data, ensure_ascii=False, indent=indent, separators=separators)
    assert _read(text) == json.loads(text)
