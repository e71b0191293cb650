"""What a reading on an instrument is worth."""

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from speclint.readings.exact import exact
from speclint.readings.instruments import Instrument, reading
from speclint.readings.measured import Measured, Number, mean_of, spread_of, uncertainty_of, value_of

SCALE = Instrument("pit-scale", accuracy=exact(1), resolution=exact(1), offset=exact(2))
METER = Instrument("milliohm-meter", accuracy_percent=exact(0.5), resolution=exact(0.01))


def one(value: float, instrument: Instrument | None, key: str = "x") -> Number:
    return reading((exact(value),), instrument, key=key)


def measured(number: Number) -> Measured:
    assert isinstance(number, Measured)
    return number


def test_the_offset_is_taken_off_before_anything_else() -> None:
    assert value_of(one(1352, SCALE)) == 1350
    assert one(1352, Instrument("zero", offset=exact(-0.5))) == exact(1352.5)


def test_accuracy_is_a_rectangle_and_resolution_half_a_step_either_way() -> None:
    # JCGM 100 4.3.7 and F.2.2.1: a/√3, and 0.29 of a step; from memory.
    only_accuracy = uncertainty_of(one(10, Instrument("a", accuracy=exact("0.0000004"))))
    assert only_accuracy == pytest.approx(0.23e-6, abs=0.005e-6)
    only_resolution = uncertainty_of(one(10, Instrument("a", resolution=exact(1))))
    assert only_resolution == pytest.approx(0.29, abs=0.005)


def test_the_voltmeter_of_the_gum() -> None:
    # JCGM 100 4.3.7 and 5.1.5: V 0.928571 V, 14e-6 of the reading and 2e-6 of a range of 1 V give 8.7 µV, and with a
    # scatter of 12 µV a combined 15 µV; from memory.
    voltmeter = Instrument("voltmeter", accuracy_percent=exact("0.0014"), accuracy=exact("0.000002"))
    volts = measured(one(0.928571, voltmeter))
    assert volts.standard_uncertainty == pytest.approx(8.7e-6, abs=0.05e-6)
    scatter = measured(reading((Fraction(0),), None, key="scatter", standard_uncertainty=12e-6))
    assert (volts + scatter).standard_uncertainty == pytest.approx(15e-6, abs=0.5e-6)


@given(st.lists(st.integers(min_value=10_000, max_value=20_000), min_size=2, max_size=8))
def test_repeats_have_the_standard_deviation_of_their_mean(tenths: list[int]) -> None:
    values = tuple(Fraction(n, 10) for n in tenths)
    number = reading(values, None, key="x")
    assert value_of(number) == sum(values) / len(values)
    expected = float(np.std([float(v) for v in values], ddof=1)) / math.sqrt(len(values))
    assert (uncertainty_of(number) or 0.0) == pytest.approx(expected, rel=1e-9, abs=1e-9)
    if isinstance(number, Measured):
        assert number.effective_degrees_of_freedom == pytest.approx(len(values) - 1)


def test_repeats_that_all_agree_show_nothing_without_an_instrument() -> None:
    assert reading((exact(1352),) * 3, None, key="x") == exact(1352)


def test_repeats_that_all_agree_do_not_wear_the_display_down() -> None:
    repeated = reading((exact(1352),) * 9, SCALE, key="x")
    assert uncertainty_of(repeated) == uncertainty_of(one(1352, SCALE))


def test_no_instrument_means_taken_as_read() -> None:
    assert one(1352, None) == exact(1352)
    assert isinstance(one(1352, None), Fraction)


@pytest.mark.parametrize(
    "instrument",
    [
        Instrument("named only"),
        Instrument("perfect", accuracy=exact(0), accuracy_percent=exact(0), resolution=exact(0)),
        Instrument("corrected", offset=exact(0)),
    ],
)
def test_an_instrument_that_claims_no_error_shows_nothing(instrument: Instrument) -> None:
    assert one(1352, instrument) == exact(1352)
    assert not instrument.states_its_error
    assert SCALE.states_its_error
    assert METER.states_its_error


def test_a_stated_uncertainty_of_zero_is_none() -> None:
    assert reading((exact(1),), None, key="x", standard_uncertainty=0.0) == exact(1)


def test_a_stated_uncertainty_takes_the_place_of_the_instruments_but_not_of_its_offset() -> None:
    number = reading((exact(1352),), SCALE, key="x", standard_uncertainty=0.25)
    assert value_of(number) == 1350
    assert uncertainty_of(number) == 0.25


def test_three_phases_on_one_meter_share_its_accuracy_but_not_its_display() -> None:
    phases = [one(21.0, METER, key) for key in ("ab", "bc", "ca")]
    accuracy, step = 21.0 * 0.005 / math.sqrt(3), 0.01 / math.sqrt(12)
    assert uncertainty_of(mean_of(phases)) == pytest.approx(math.hypot(accuracy, step / math.sqrt(3)))
    assert uncertainty_of(spread_of(phases)) == pytest.approx(step * math.sqrt(2))


def test_an_error_of_scale_leaves_of_a_difference_only_its_own_share() -> None:
    only_scale = Instrument("meter", accuracy_percent=exact(0.5))
    difference = measured(one(22.0, only_scale, "a") - one(21.0, only_scale, "b"))
    assert difference.standard_uncertainty == pytest.approx(1.0 * 0.005 / math.sqrt(3))


def test_an_error_of_scale_turns_round_below_zero_and_a_shift_does_not() -> None:
    scale, shift = Instrument("s", accuracy_percent=exact(1)), Instrument("t", accuracy=exact(0.5))
    width = 1 / math.sqrt(3)
    assert uncertainty_of(one(10, scale, "a") - one(-10, scale, "b")) == pytest.approx(0.2 * width)
    assert uncertainty_of(one(3, shift, "a") - one(-2, shift, "b")) == 0
    assert uncertainty_of(one(3, shift, "a") + one(-2, shift, "b")) == pytest.approx(1.0 * width)


def test_two_instruments_are_independent() -> None:
    first, second = Instrument("one", accuracy=exact(1)), Instrument("two", accuracy=exact(1))
    assert uncertainty_of(one(5, first, "a") - one(5, second, "b")) == pytest.approx(math.sqrt(2 / 3))


def test_a_reading_has_a_value() -> None:
    with pytest.raises(ValueError, match="at least one"):
        reading((), None, key="x")
