"""The arithmetic that is printed is true: each formula with its numbers put in comes to the result printed behind it."""

import re
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from speclint.quantities.registry import QUANTITIES
from speclint.readings.exact import PI
from speclint.rules.wording import explanation
from tests.check.world import find_in
from tests.properties.strategies import Data, cars, decimals, ruleset, setup_data, written

COMPUTED = tuple(known.name for known in QUANTITIES if known.formula_text and known.name != "bench_age_days")
UNCORRECTED = tuple(known.name for known in QUANTITIES if known.raw_formula_text)
UNIT = re.compile(r"(?<=\d) ?(mm|mΩ|°C|°|V|%|teeth|tooth|cells?|days?)(?![a-z])")
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
LISTED = r"((?:-?[\d.]+, )+-?[\d.]+(?: and -?[\d.]+)?|-?[\d.]+)"


def value_of_formula(text: str) -> Fraction:
    """What a printed formula comes to, by a reader of our own: numbers, + − × ÷, brackets, and words for lists."""
    plain = UNIT.sub("", text).replace("π", str(PI))
    plain = re.sub(rf"lowest of {LISTED},?", lambda found: f"({min(_listed(found[1]))})", plain)
    plain = re.sub(rf"largest − smallest of {LISTED}", lambda found: f"({_spread(_listed(found[1]))})", plain)
    plain = re.sub(rf"^mean of {LISTED}", lambda found: f"({_mean(_listed(found[1]))})", plain)
    spread = re.fullmatch(rf"\(largest − smallest\) ÷ mean of {LISTED}", UNIT.sub("", text))
    if spread is not None:
        return _spread(_listed(spread[1])) / _mean(_listed(spread[1]))
    for sign, operator in (("×", "*"), ("÷", "/"), ("−", "-")):
        plain = plain.replace(sign, operator)
    exact = re.sub(r"\d+(?:\.\d+)?(?:/\d+)?", lambda found: f"Fraction('{found[0]}')", plain)
    assert re.fullmatch(r"(Fraction\('[\d./]+'\)|[-+*/() ])+", exact), text
    return Fraction(eval(exact, {"Fraction": Fraction}))  # noqa: S307


def _listed(text: str) -> list[Fraction]:
    return [Fraction(number) for number in NUMBER.findall(text)]


def _mean(numbers: list[Fraction]) -> Fraction:
    return sum(numbers, Fraction(0)) / len(numbers)


def _spread(numbers: list[Fraction]) -> Fraction:
    return max(numbers) - min(numbers)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("96 ÷ 42 × 1.9", Fraction(152, 35)),
        ("106 ÷ 45 × (40 ÷ 21)", Fraction(4240, 945)),
        ("(21.2 + 21.3 + 21.1) ÷ 3 × (235 + 20) ÷ (235 + 36)", Fraction("21.2") * 255 / 271),
        ("lowest of 21.2, 21.3 and 21.1, × (235 + 20) ÷ (235 + 36)", Fraction("21.1") * 255 / 271),
        ("mean of 37.8°, 38.1°, 38.3°", Fraction("114.2") / 3),
        ("largest − smallest of 37.8°, 38.1°, 38.3°", Fraction("0.5")),
        ("(largest − smallest) ÷ mean of 21.2, 21.3 and 21.1", Fraction("0.2") / Fraction("21.2")),
        ("8.4 V ÷ 2", Fraction("4.2")),
    ],
)
def test_the_reader_of_formulas_can_calculate(text: str, value: Fraction) -> None:
    assert value_of_formula(text) == value


def _formula_lines(rule: Data, car: Data) -> list[str]:
    findings = find_in({"club.yaml": written(ruleset([rule])), "car.yaml": written(setup_data(car))})
    (check,) = findings.entries[0].checks
    return [line for line in explanation(check) if " = " in line and "k = 235" not in line]


def _assert_true(line: str, unit: str) -> None:
    formula, _, result = line.rpartition(" = ")
    if "just " in result:
        return
    printed = NUMBER.match(result)
    assert printed is not None, line
    half_a_digit = Fraction(1, 2 * 10 ** len(printed[0].partition(".")[2]))
    value = value_of_formula(formula) * (100 if unit == "percent" else 1)
    # A mean of repeats is put in with four decimals or more; that is the only rounding before the last.
    rounded_inputs = abs(value) * Fraction(1, 10**5) if "±" in result else Fraction(0)
    assert abs(value - Fraction(printed[0])) <= half_a_digit + rounded_inputs, line


@settings(max_examples=40, deadline=None)
@given(car=cars(), name=st.sampled_from(COMPUTED), limit=decimals(0, 90, 3), places=st.sampled_from([None, 0.01, 0.5]))
def test_every_formula_comes_to_the_result_printed_behind_it(
    car: Data, name: str, limit: float, places: float | None
) -> None:
    rule = {"id": "it", "quantity": name, "at_most": limit, **({"read_to": places} if places else {})}
    lines = _formula_lines(rule, car)
    assert lines
    unit = next(known.unit for known in QUANTITIES if known.name == name)
    for line in lines:
        _assert_true(line, unit)


@settings(max_examples=40, deadline=None)
@given(car=cars(), name=st.sampled_from(UNCORRECTED), limit=decimals(0, 90, 3))
def test_so_does_every_formula_for_readings_as_they_are(car: Data, name: str, limit: float) -> None:
    lines = _formula_lines({"id": "it", "quantity": name, "at_most": limit, "uncorrected": True}, car)
    unit = next(known.unit for known in QUANTITIES if known.name == name)
    assert lines
    for line in lines:
        assert "235" not in line
        _assert_true(line, unit)


@settings(max_examples=60, deadline=None)
@given(
    spur=st.integers(60, 120),
    pinion=st.integers(12, 60),
    hundredths=st.integers(100, 300),
    over=st.integers(-3, 3),
    places=st.integers(1, 6),
)
def test_a_ratio_beside_a_limit_that_is_very_near_is_printed_truly(
    spur: int, pinion: int, hundredths: int, over: int, places: int
) -> None:
    ratio = Fraction(spur, pinion) * Fraction(hundredths, 100)
    limit = round(float(ratio), places) + over / 10**places
    car = {"car": {"spur_teeth": spur, "pinion_teeth": pinion, "internal_ratio": hundredths / 100}}
    (line,) = _formula_lines({"id": "it", "quantity": "final_drive_ratio", "at_least": round(limit, places)}, car)
    _assert_true(line, "")
    shown = line.rpartition(" = ")[2]
    if "just " not in shown:
        assert (Fraction(shown) >= Fraction(str(round(limit, places)))) is (
            ratio >= Fraction(str(round(limit, places)))
        )
