"""Gearing in rationals from the teeth to the verdict: what is equal to its limit meets it, whatever floats make of it."""

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from speclint.quantities.car import final_drive_ratio, rollout_mm, spur_pinion_ratio, tooth_sum
from speclint.readings.exact import exact
from tests.check.world import check_of, verdict_of


def _gears(spur: int, pinion: int, internal: str) -> str:
    return f"car: {{spur_teeth: {spur}, pinion_teeth: {pinion}, internal_ratio: {internal}}}"


TRAPS = [
    # Floats put the product just below the limit: (69, 12, 1.9) gives 10.924999999999999 (computed).
    (69, 12, "1.9", "10.925"), (72, 12, "1.9", "11.4"), (84, 12, "1.9", "13.3"), (78, 13, "1.9", "11.4"),
    # Floats put it just above: (61, 19, 1.9) gives 6.1000000000000005.
    (61, 19, "1.9", "6.1"), (62, 12, "2.1", "10.85"),
    # Floors of 3.5 to 4.5 that club classes have published; floats fall just below (computed).
    (90, 38, "1.9", "4.5"), (80, 38, "1.9", "4.0"), (105, 57, "1.9", "3.5"), (84, 39, "1.95", "4.2"),
]  # fmt: skip


@pytest.mark.parametrize(("spur", "pinion", "internal", "limit"), TRAPS)
def test_a_ratio_equal_to_its_limit_meets_it_from_both_sides(spur: int, pinion: int, internal: str, limit: str) -> None:
    assert final_drive_ratio(Fraction(spur), Fraction(pinion), exact(float(internal))) == Fraction(limit)
    gears = _gears(spur, pinion, internal)
    for form, verdict in (("at_least", "legal"), ("at_most", "legal"), ("above", "illegal"), ("below", "illegal")):
        assert verdict_of(f"quantity: final_drive_ratio, {form}: {limit}", gears) == verdict
    assert verdict_of(f"quantity: final_drive_ratio, equals: {limit}", gears) == "legal"


@pytest.mark.parametrize(("spur", "pinion", "internal", "limit"), TRAPS)
def test_floats_would_have_got_at_least_one_of_these_wrong(spur: int, pinion: int, internal: str, limit: str) -> None:
    assert spur / pinion * float(internal) != float(limit) or spur * float(internal) / pinion != float(limit)


@pytest.mark.parametrize(
    ("spur", "pinion", "internal", "limit", "verdict"),
    [
        (97, 41, "1.9", "4.5", "illegal"),  # 4.49512
        (116, 49, "1.9", "4.5", "illegal"),  # 4.49796
        (106, 45, '"40/21"', "4.487", "illegal"),  # 4.48677: legal only if rounded
        (106, 45, '"40/21"', "4.4867", "legal"),
        (106, 45, "1.90", "4.4867", "illegal"),  # the printed ratio gives 4.47556
    ],
)
def test_a_ratio_is_not_rounded_before_it_is_compared(
    spur: int, pinion: int, internal: str, limit: str, verdict: str
) -> None:
    assert verdict_of(f"quantity: final_drive_ratio, at_least: {limit}", _gears(spur, pinion, internal)) == verdict


@pytest.mark.parametrize(
    ("spur", "pinion", "internal", "ratio"),
    [
        # Trains of Shigley, Mechanical Engineering Design, examples 13-3 and 13-4 (from memory, arithmetic checked).
        (88, 16, Fraction(88, 16), Fraction("30.25")),
        (96, 16, Fraction(80, 16), Fraction(30)),
        # Published cars (published rules, sections 5 and 6).
        (100, 42, Fraction("1.9"), Fraction(100 * 19, 42 * 10)),
        (110, 38, Fraction("1.9"), Fraction("5.5")),
        (90, 36, Fraction(2), Fraction(5)),
        (106, 45, Fraction(40, 21), Fraction(4240, 945)),
    ],
)
def test_the_final_drive_is_the_product_of_its_stages(
    spur: int, pinion: int, internal: Fraction, ratio: Fraction
) -> None:
    assert final_drive_ratio(Fraction(spur), Fraction(pinion), internal) == ratio


@given(st.integers(1, 400), st.integers(1, 200), st.fractions(1, 4))
def test_ratio_sum_and_product_are_those_of_the_teeth(spur: int, pinion: int, internal: Fraction) -> None:
    ratio = final_drive_ratio(Fraction(spur), Fraction(pinion), internal)
    assert ratio * pinion == spur * internal
    assert spur_pinion_ratio(Fraction(spur), Fraction(pinion)) * internal == ratio
    assert tooth_sum(Fraction(spur), Fraction(pinion)) == spur + pinion


@given(st.integers(40, 160), st.integers(9, 70), st.integers(100, 300), st.integers(1, 5))
def test_a_limit_at_the_exact_ratio_is_met_and_a_hair_more_is_not(
    spur: int, pinion: int, hundredths: int, places: int
) -> None:
    """Wherever the ratio has a short decimal, that decimal as the limit is met, and the next larger decimal is not."""
    pinion = 2 ** (pinion % 5) * 5 ** (pinion % 2)
    assume(pinion <= spur)  # else the gears are told to be swapped
    internal = hundredths / 100
    ratio = final_drive_ratio(Fraction(spur), Fraction(pinion), exact(internal))
    step = Fraction(1, 10 ** (places + 6))
    gears = f"car: {{spur_teeth: {spur}, pinion_teeth: {pinion}, internal_ratio: {internal}}}"

    def written(value: Fraction) -> str:
        return f"{value.numerator * 10**12 // value.denominator // 10**12}.{value.numerator * 10**12 // value.denominator % 10**12:012d}"

    assert verdict_of(f"quantity: final_drive_ratio, at_least: {written(ratio)}", gears) == "legal"
    assert verdict_of(f"quantity: final_drive_ratio, at_least: {written(ratio + step)}", gears) == "illegal"
    assert verdict_of(f"quantity: final_drive_ratio, at_most: {written(ratio - step)}", gears) == "illegal"


@pytest.mark.parametrize(
    ("diameter", "spur", "pinion", "internal", "by_hand"),
    [
        # π × D ÷ ratio. By hand: 76/44 and 42.0 give 76.39 mm, 41.0 gives 74.57 mm.
        ("42.0", 76, 44, "1", "76.39"),
        ("41.0", 76, 44, "1", "74.57"),
        # π × 62.5 ÷ (96 ÷ 42 × 1.9) = 196.3495 ÷ 4.342857 = 45.21
        ("62.5", 96, 42, "1.9", "45.21"),
        ("42.0", 76, 45, "1", "78.13"),
        ("44.0", 76, 45, "1", "81.85"),
    ],
)
def test_rollout_is_the_tyres_circumference_over_the_final_drive(
    diameter: str, spur: int, pinion: int, internal: str, by_hand: str
) -> None:
    ratio = final_drive_ratio(Fraction(spur), Fraction(pinion), Fraction(internal))
    rollout = rollout_mm(Fraction(diameter), ratio)
    assert isinstance(rollout, Fraction)
    assert f"{float(rollout):.2f}" == by_hand
    gears = (
        f"car: {{spur_teeth: {spur}, pinion_teeth: {pinion}, internal_ratio: {internal}, tyre_diameter_mm: {diameter}}}"
    )
    check = check_of(f"quantity: rollout_mm, at_most: {by_hand}, read_to: 0.01", gears)
    assert check.outcome is not None
    assert (check.verdict.value, check.outcome.margin) == ("legal", Fraction(0))


@pytest.mark.parametrize(("pitch", "module"), [(32, "0.79375"), (48, "0.5291667"), (64, "0.396875")])
def test_diametral_pitch_and_module_are_two_names_of_one_size(pitch: int, module: str) -> None:
    """module = 25.4 ÷ diametral pitch, exactly (computed)."""
    assert abs(Fraction("25.4") / pitch - Fraction(module)) < Fraction(1, 10**7)


def test_every_number_of_a_gear_rule_is_a_fraction() -> None:
    check = check_of("quantity: final_drive_ratio, at_least: 4.2", _gears(96, 42, "1.9"))
    assert check.fact is not None
    assert check.outcome is not None
    assert check.fact.value == Fraction(152, 35)
    assert isinstance(check.fact.value, Fraction)
    assert isinstance(check.outcome.margin, Fraction)
    assert check.outcome.margin == Fraction(152, 35) - Fraction("4.2")
