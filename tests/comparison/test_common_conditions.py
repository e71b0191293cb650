"""Taking runs to one voltage and temperature, against sums worked by hand and published motors."""

from collections.abc import Mapping, Sequence
from itertools import pairwise
from math import pi

import pytest

from speclint.comparison.common_conditions import Conditions, common_conditions, common_values_of
from speclint.comparison.compared import COMPARED_BY_NAME
from speclint.comparison.differences import Conclusion, change_of
from speclint.readings.measured import Number, value_of
from tests.comparison.bench_motors import compared, motor, run, runs

# A catalogue of industrial motors of May 2013: one 40 mm brushless motor in its 14 windings, columns
# U V, n0 rpm, I0 mA, R ohm, k_M mNm/A, k_n rpm/V.
WINDINGS = (
    (12, 10300, 886, 0.134, 11.0, 865),
    (18, 12000, 754, 0.191, 14.2, 673),
    (21, 10400, 515, 0.349, 19.1, 500),
    (30, 11600, 426, 0.518, 24.6, 389),
    (24, 10300, 443, 0.436, 22.1, 433),
    (36, 9830, 275, 1.04, 34.7, 275),
    (42, 10400, 258, 1.25, 38.2, 250),
    (48, 7560, 139, 3.07, 60.1, 159),
    (48, 10300, 222, 1.66, 44.1, 216),
    (48, 5930, 97.8, 4.94, 76.4, 125),
    (48, 5420, 86.2, 6.28, 83.5, 114),
    (48, 3530, 48.6, 14.9, 128, 74.8),
    (48, 3110, 41.3, 18.8, 145, 66.0),
    (48, 2020, 24.4, 44.8, 221, 43.2),
)
Row = tuple[float, float, float, float, float, float]


def number(value: Number | None) -> float:
    assert value is not None
    return float(value_of(value))


def catalogue_run(date: str, row: Row) -> dict[str, object]:
    volts, n0, i0_ma, ohm, _, _ = row
    winding = {f"{pair}_mohm": ohm * 1000 for pair in ("ab", "bc", "ca")}
    # Both the catalogue's temperature and ours are left at one, as if it had been measured at 20 degrees.
    return run(
        date,
        supply_v=volts,
        current_a=i0_ma / 1000,
        kv_rpm_per_v=None,
        speed_rpm=n0,
        winding={**winding, "winding_c": 20},
    )


@pytest.mark.parametrize("row", WINDINGS)
def test_torque_per_ampere_of_published_motors_follows_from_their_no_load_point(row: Row) -> None:
    (only,) = runs(motor(catalogue_run("2026-03-01", row)))
    found = common_values_of(only, common_conditions((only,))).by_name
    assert number(found["torque_mnm_per_a"].number) == pytest.approx(row[4], rel=0.005)


@pytest.mark.parametrize(("one", "other"), list(pairwise(WINDINGS)))
def test_two_published_motors_differ_in_speed_and_inversely_in_torque(one: Row, other: Row) -> None:
    first, second = runs(motor(catalogue_run("2026-03-01", one), catalogue_run("2026-03-02", other)))
    # Each at its own voltage: the constants do not depend on it.
    levels = [
        common_values_of(which, common_conditions((which,))).by_name["torque_mnm_per_a"] for which in (first, second)
    ]
    change = change_of(COMPARED_BY_NAME["torque_mnm_per_a"], levels[0], levels[1], ("one", "other"), tails=0.05)
    assert change.conclusion is Conclusion.CHANGED
    torque_ratio = number(levels[1].number) / number(levels[0].number)
    assert torque_ratio == pytest.approx(one[5] / other[5], rel=0.01)
    assert torque_ratio == pytest.approx(other[4] / one[4], rel=0.01)


def test_a_run_at_the_common_voltage_and_temperature_keeps_its_speed_as_read() -> None:
    (only,) = runs(motor(run("2026-03-01")))
    found = common_values_of(only, common_conditions((only,))).by_name
    assert number(found["kv_rpm_per_v"].number) == pytest.approx(2450, rel=1e-12)
    assert number(found["current_a"].number) == pytest.approx(3.9, rel=1e-12)
    # Worked by hand: 3.9 A x 21.4 mOhm is 0.08346 V of 3.7 V, 2.2557 %; 2450 / 0.977443 is 2506.54 rpm/V, and
    # 60 / (2 pi x 2506.54) is 3.8098 mNm/A.
    assert number(found["torque_mnm_per_a"].number) == pytest.approx(3.8098, abs=5e-5)


def test_speeds_read_at_two_voltages_of_one_motor_are_alike_at_one() -> None:
    # A motor of k_n 2500 rpm/V and 21.4 mOhm whose no-load current follows the model: 3.6 A at 3.6 V, 0.56 of it friction.
    def at(volts: float) -> dict[str, object]:
        amperes = 3.6 * (0.56 + 0.44 * volts / 3.6)
        return {
            "supply_v": volts,
            "current_a": amperes,
            "kv_rpm_per_v": round(2500 * (1 - amperes * 0.0214 / volts), 6),
        }

    found = compared(motor(run("2026-03-01", **at(3.6)), run("2026-03-02", **at(4.0))))
    speed, current = found.change("kv_rpm_per_v"), found.change("current_a")
    assert number(speed.first) == pytest.approx(number(speed.second), rel=1e-3)
    # As read they differ: the drop is a smaller part of the higher voltage.
    assert at(4.0)["kv_rpm_per_v"] != pytest.approx(at(3.6)["kv_rpm_per_v"], rel=5e-4)
    assert number(current.first) == pytest.approx(number(current.second), rel=5e-3)
    assert speed.conclusion is current.conclusion is Conclusion.NO_CHANGE
    assert number(found.change("torque_mnm_per_a").first) == pytest.approx(60e3 / (2 * pi * 2500), rel=1e-6)


def test_a_warm_winding_and_a_warm_magnet_are_taken_back_to_20_degrees() -> None:
    warm = run("2026-03-01", can_c=60, winding={"ab_mohm": 24.0, "bc_mohm": 24.0, "ca_mohm": 24.0, "winding_c": 55})
    (only,) = runs(motor(warm))
    found = common_values_of(only, Conditions(None, drop_known=False)).by_name
    # IEC 60034-1: 24.0 x 255 / 290.
    assert number(found["winding_mean_mohm"].number) == pytest.approx(24.0 * 255 / 290, rel=1e-12)
    found = common_values_of(only, common_conditions((only,))).by_name
    # -0.11 % a kelvin lies within the published coefficients of neodymium magnets, -0.10 to -0.12: 40 K warmer is 4.4 % less
    # flux, 4.4 % more speed.
    cold = number(found["torque_mnm_per_a"].number)
    copper = 24.0 * 295 / 290 / 1000
    warm_constant = 2450 / (1 - 3.9 * copper / 3.7)
    assert cold == pytest.approx(60e3 / (2 * pi * warm_constant * (1 - 0.0011 * 40)), rel=1e-9)


def test_a_run_without_its_winding_takes_the_nearest_one_that_still_counts() -> None:
    sheet = {"winding": {"ab_mohm": 30.0, "bc_mohm": 30.0, "ca_mohm": 30.0, "winding_c": 20}}
    listed = [
        run("2026-03-01"),
        run("2026-03-20", winding=None),
        run("2026-04-01", winding={"ab_mohm": 25.0, "bc_mohm": 25.0, "ca_mohm": 25.0, "winding_c": 20}),
    ]

    def torque(*, rebuilds: Sequence[Mapping[str, object]], **keys: object) -> float | None:
        middle = runs(motor(*listed, factory_sheet=sheet, rebuilds=list(rebuilds), **keys))[1]
        found = common_values_of(middle, common_conditions((middle,))).by_name["torque_mnm_per_a"]
        return None if found.number is None else number(found.number)

    def expected(mohm: float) -> float:
        return 60e3 / (2 * pi * 2450 / (1 - 3.9 * mohm / 1000 / 3.7))

    assert torque(rebuilds=[]) == pytest.approx(expected(25.0))
    assert torque(rebuilds=[{"date": "2026-03-25", "did": ["rewind"]}]) == pytest.approx(expected(21.4))
    both = [{"date": "2026-03-10", "did": ["rewind"]}, {"date": "2026-03-25", "did": ["rewind"]}]
    assert torque(rebuilds=both) is None
