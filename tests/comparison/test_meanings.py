"""What changes mean, as common practice and k_M·k_n = 60/2π have it."""

from typing import Any

import pytest

from speclint.comparison.interpretation import Interpretation, interpretations_of
from tests.comparison.bench_motors import compared, motor, run

TIMING = {"timing_deg": [37.9, 38.0, 38.1]}
FINE = {
    "motor-bench": {"accuracy_percent": 0.5},
    "meter": {"accuracy_percent": 0.1, "resolution": 0.01},
    "thermometer": {"accuracy": 0.2, "resolution": 0.1},
}


def winding(mohm: float) -> dict[str, Any]:
    pairs = {f"{pair}_mohm": mohm for pair in ("ab", "bc", "ca")}
    return {**pairs, "winding_c": 20, "instrument": "meter", "thermometer": "thermometer"}


def interpretations(
    second: dict[str, Any], *did: str, first: dict[str, Any] | None = None, note: str | None = None, **keys: Any
) -> dict[str, Interpretation]:
    before = run("2026-03-01", **{**TIMING, "winding": winding(21.4), **(first or {})})
    after = run("2026-03-09", **{**TIMING, "winding": winding(21.4), **second})
    rebuild = {"date": "2026-03-05", "did": list(did), **({"note": note} if note else {})}
    found = interpretations_of(compared(motor(before, after, rebuilds=[rebuild] if did else [], **keys), FINE))
    return {one.id: one for one in found}


def test_a_stronger_magnet_is_slower_pulls_harder_and_draws_more() -> None:
    found = interpretations({"kv_rpm_per_v": 2350, "current_a": 4.5}, "rotor-swap")
    # 3.9 A and 4.5 A through 21.4 mOhm: torque per ampere is up by a little less than the speed is down.
    assert found["stronger-magnet"].message == (
        "speed per volt is down by 4.1 %, torque per ampere up by 3.9 %: a stronger magnet; the timing is as it was"
    )
    assert "60/2π" in found["stronger-magnet"].source
    assert found["iron-loss"].message.startswith("no-load current is up as well: a stronger magnet")


def test_a_weaker_magnet_does_the_reverse() -> None:
    found = interpretations({"kv_rpm_per_v": 2550, "current_a": 3.4}, "rotor-swap")
    assert "torque per ampere down by" in found["weaker-magnet"].message
    assert found["iron-loss"].message.startswith("no-load current is down as well: a weaker magnet")


def test_more_timing_is_faster_and_draws_more() -> None:
    found = interpretations({"kv_rpm_per_v": 2550, "current_a": 4.4, "timing_deg": [41.9, 42.0, 42.1]}, "timing-change")
    assert found["more-timing"].message.endswith("that is what more timing does")
    assert found["current-by-timing"].message == "no-load current is up, as the timing is"
    found = interpretations({"kv_rpm_per_v": 2350, "current_a": 3.5, "timing_deg": [33.9, 34.0, 34.1]}, "timing-change")
    assert found["less-timing"].message.endswith("that is what less timing does")


def test_a_rotor_and_a_timing_that_changed_together_are_not_told_apart() -> None:
    found = interpretations({"kv_rpm_per_v": 2350, "timing_deg": [33.9, 34.0, 34.1]}, "rotor-swap")
    assert "the bench cannot say which of the two did it" in found["less-timing"].message


def test_a_timing_that_nobody_measured_is_named_as_the_other_cause() -> None:
    found = interpretations({"kv_rpm_per_v": 2350, "timing_deg": None}, "rotor-swap", first={"timing_deg": None})
    assert found["stronger-magnet"].message.endswith("less timing would do the same, and the runs do not show it")


def test_a_motor_that_became_faster_by_itself_may_have_lost_its_magnet() -> None:
    found = interpretations({"kv_rpm_per_v": 2550, "current_a": 3.6})
    assert found["magnet-lost"].warns
    assert "when it gets too hot" in found["magnet-lost"].message
    assert interpretations({"kv_rpm_per_v": 2350})["slower-without-swap"].warns


@pytest.mark.parametrize(
    ("keys", "why"),
    [
        ({"note": "sold as more torque"}, 'the note of 5 March 2026 says "sold as more torque"'),
        ({"note": "Stronger magnet, used"}, 'the note of 5 March 2026 says "Stronger magnet, used"'),
        ({"rotor": {"kind": "torque"}}, "the new rotor is of the kind torque"),
    ],
)
def test_a_rotor_that_was_bought_as_more_torque_is_held_to_it(keys: dict[str, Any], why: str) -> None:
    broken = interpretations({"kv_rpm_per_v": 2550}, "rotor-swap", **keys)["promise-broken"]
    assert broken.message.startswith(f"{why}, but the bench shows less torque for each ampere")
    assert broken.warns
    assert not interpretations({"kv_rpm_per_v": 2350}, "rotor-swap", **keys)["promise-kept"].warns
    assert interpretations({"kv_rpm_per_v": 2449}, "rotor-swap", **keys)["promise-not-shown"].warns


def test_nothing_was_promised_of_another_rotor() -> None:
    found = interpretations({"kv_rpm_per_v": 2550}, "rotor-swap", note="lighter rotor", rotor={"kind": "light"})
    assert not [id_ for id_ in found if id_.startswith("promise")]
    assert not [
        id_ for id_ in interpretations({"kv_rpm_per_v": 2550}, "clean", note="more torque") if id_.startswith("promise")
    ]


def test_current_alone_tells_of_friction() -> None:
    tight = interpretations({"current_a": 4.5}, "shim")["friction"]
    assert tight.warns
    assert tight.message.endswith("; shimming came between")
    assert interpretations({"current_a": 3.4}, "clean", "bearing")["freer"].message == (
        "no-load current is down: the rotor runs freer; the bearing change and cleaning can have done that"
    )
    assert (
        "against what the magnet would do"
        in interpretations({"kv_rpm_per_v": 2350, "current_a": 3.4}, "rotor-swap")["freer"].message
    )


def test_a_winding_that_changes_by_itself_is_a_warning() -> None:
    assert interpretations({"winding": winding(22.2)})["winding-higher"].warns
    assert interpretations({"winding": winding(20.6)})["winding-lower"].warns
    assert not interpretations({"winding": winding(20.6)}, "rewind")["winding-new"].warns


def test_nothing_shown_and_nothing_told_are_two_things() -> None:
    assert set(interpretations({})) == {"nothing-shown"}
    assert set(interpretations({}, "rotor-swap")) == {"rotors-alike"}
    other_bench = {"instrument": "another", "winding": None}
    assert set(interpretations(other_bench, first={"winding": None})) == {"nothing-told"}
    found = interpretations({"instrument": "another", "kv_rpm_per_v": 2350}, "rotor-swap")
    assert set(found) == {"partly-told", "as-read"}
    assert found["as-read"].message == (
        "as read, speed per volt is down by 4.1 %. That would be a stronger magnet, if the instruments are good enough to tell"
    )


def test_what_the_sensors_see_is_said() -> None:
    found = interpretations(
        {"timing_deg": [36.5, 38.0, 39.5], "pole_difference_percent": 0.5, "sensor_spread_percent": 3.0},
        "shim",
        first={"pole_difference_percent": 2.5, "sensor_spread_percent": 1.0},
    )
    assert {"sensors-apart", "pole_difference_percent-better", "sensor_spread_percent-worse"} <= set(found)
