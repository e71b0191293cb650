"""Which spur and pinion pairs are looked at."""

from fractions import Fraction

from speclint.gearing.pairs import GearChoice, GearPair, gear_choice
from speclint.models.parts import PartsBox

INTERNAL = Fraction(19, 10)


def known(choice: GearChoice | None) -> GearChoice:
    assert choice is not None
    return choice


def test_ratios_are_exact() -> None:
    pair = GearPair(90, 40, Fraction(2))
    assert pair.ratio == Fraction(9, 2)
    assert pair.spur_pinion == Fraction(9, 4)
    assert GearPair(96, 48, Fraction(40, 21)).ratio == Fraction(80, 21)


def test_the_parts_box_says_which_gears_there_are_and_what_is_fitted_counts_too() -> None:
    box = PartsBox((40, 41, 44), (93, 98))
    choice = known(gear_choice([("my box", box)], 96, 42))
    assert choice.pinions == (40, 41, 42, 44)
    assert choice.spurs == (93, 96, 98)
    assert "my box" in choice.origin
    assert all(132 <= pair.tooth_sum <= 144 for pair in choice.pairs(INTERNAL))


def test_the_first_parts_box_with_gears_counts() -> None:
    boxes = [("setup", PartsBox(shims_mm=(Fraction(1, 10),))), ("garage", PartsBox((40,)))]
    assert "garage" in known(gear_choice(boxes, 96, 42)).origin


def test_a_box_without_spurs_keeps_the_spur_that_is_fitted() -> None:
    choice = known(gear_choice([("box", PartsBox((40, 41)))], 96, 42))
    assert choice.spurs == (96,)


def test_without_a_parts_box_gears_around_those_that_are_fitted_are_looked_at() -> None:
    choice = known(gear_choice([("box", PartsBox())], 96, 42))
    assert (choice.pinions[0], choice.pinions[-1]) == (34, 50)
    assert (choice.spurs[0], choice.spurs[-1]) == (90, 102)
    assert choice.sums == (132, 144)
    assert "--tooth-sum" in choice.sum_origin


def test_the_sum_of_teeth_can_be_asked_for() -> None:
    choice = known(gear_choice([], 96, 42, (137, 138)))
    assert {pair.tooth_sum for pair in choice.pairs(INTERNAL)} == {137, 138}


def test_a_box_is_enough_where_the_setup_states_no_gears_and_then_no_sum_is_known() -> None:
    choice = known(gear_choice([("box", PartsBox((40,), (96,)))], None, None))
    assert choice.sums is None
    assert choice.pairs(INTERNAL) == (GearPair(96, 40, INTERNAL),)


def test_without_any_gears_there_is_nothing_to_choose_from() -> None:
    assert gear_choice([], None, 42) is None
    assert gear_choice([("box", PartsBox((40,)))], None, None) is None


def test_no_pinion_is_larger_than_its_spur_nor_too_small_to_be_cut() -> None:
    choice = known(gear_choice([], 20, 12))
    pairs = choice.pairs(INTERNAL)
    assert min(pair.pinion for pair in pairs) == 8
    assert all(pair.pinion < pair.spur for pair in pairs)
