"""What a remedy leaves behind: a next check that is legal and no close call, and no file that says what nobody measured."""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from speclint.findings import Findings
from speclint.rules.checks import Remedy
from tests.check.world import a_ruleset, a_setup, find_in

SCALE = "instruments: {scale: {accuracy_percent: 0.1, resolution: 1}}"


def _found(rule: str, stated: str, top: str = "") -> Findings:
    return find_in({"club.yaml": a_ruleset(f"{{id: it, {rule}}}", top=top), "car.yaml": a_setup(stated)})


def _remedies(rule: str, stated: str, top: str = "") -> tuple[Remedy, ...]:
    return _found(rule, stated, top).car_remedies[0].remedies


def _told(rule: str, stated: str, top: str = "") -> list[str]:
    return [remedy.message for remedy in _remedies(rule, stated, top)]


def test_a_reading_that_must_show_and_names_no_instrument_is_weighed_again_on_a_named_one() -> None:
    rule = "quantity: mass_g, at_least: 1350, decision: must-show"
    (remedy,) = _remedies(rule, "car: {mass_g: 1340}")
    assert (remedy.message, remedy.by_hand) == ("add 10 g of ballast; weigh it on a named scale", True)
    (entry,) = _found(rule, "car: {mass_g: 1340}").entries
    assert entry.checks[0].remedies[0].message == "add 10 g of ballast and weigh it on a named scale"


@settings(max_examples=40, deadline=None)
@given(mass=st.integers(900, 1600), least=st.integers(1200, 1500), share=st.sampled_from(["0.1", "0.3", "1"]))
def test_the_next_check_after_a_remedy_is_legal_and_no_close_call_and_a_gram_less_is_one(
    mass: int, least: int, share: str
) -> None:
    rule, top = f"quantity: mass_g, at_least: {least}, instrument: scale", SCALE.replace("0.1,", f"{share},")

    def check(weighed: float) -> Any:
        return _found(rule, f"car: {{mass_g: {weighed}}}", top).entries[0].checks[0]

    if check(mass).verdict.value != "illegal":
        return
    (remedy,) = _remedies(rule, f"car: {{mass_g: {mass}}}", top)
    after = remedy.changes[0].value
    assert (check(after).verdict.value, check(after).close_call) == ("legal", False)
    assert check(after - 1).close_call
    assert f"({least - mass} g only reaches the limit itself)" in remedy.message


def test_where_nothing_leaves_more_than_a_close_call_the_limit_has_to_do() -> None:
    rule = "quantity: mass_g, between: [1350, 1351], instrument: scale"
    assert _told(rule, "car: {mass_g: 1340}", SCALE) == ["add 10 g of ballast"]


@pytest.mark.parametrize(
    ("rule", "stated", "told"),
    [
        ("quantity: extra.driver_and_ballast_kg, at_least: 80", "extra: {driver_and_ballast_kg: 78.5}",
         ["raise driver and ballast by 1.5 kg, to 80.0 kg"]),
        ("quantity: extra.months_between_weighings, at_most: 6", "extra: {months_between_weighings: 9}",
         ["lower months between weighings by 3, to 6"]),
        ("quantity: battery_hard_case, equals: true", "battery: {hard_case: false}", "hard case has to be yes"),
        ("quantity: extra.packs_alike, equals: true", "extra: {packs_alike: false}",
         "packs alike: speclint knows no change that makes it legal"),
        ("quantity: entry.venue, equals: indoor", "car: {mass_g: 1350}",
         "venue: speclint knows no change that makes it legal"),
        ("quantity: extra.tyres, one_of: [red, blue]", "extra: {tyres: [red, green]}",
         "tyres: speclint knows no change that makes it legal"),
    ],
)  # fmt: skip
def test_what_nobody_measured_is_never_written(rule: str, stated: str, told: list[str] | str) -> None:
    files = {"club.yaml": a_ruleset(f"{{id: it, {rule}}}"), "car.yaml": a_setup(stated, entry="venue: outdoor")}
    (car,) = find_in(files).car_remedies
    assert all(remedy.by_hand for remedy in car.remedies)
    assert ([remedy.message for remedy in car.remedies] or car.reason) == told


@pytest.mark.parametrize(
    ("rule", "stated", "path", "value"),
    [
        ("quantity: timing_set_deg, at_most: 40", "motor: {timing_deg: 44}", ("motor", "timing_deg"), 40),
        (
            "quantity: speed_control_timing, equals: none",
            "speed_control: {timing: boost}",
            ("speed_control", "timing"),
            "none",
        ),
        ("quantity: extra.tyre, one_of: [red, blue]", "extra: {tyre: green}", ("extra", "tyre"), "red"),
    ],
)
def test_a_setting_and_a_choice_can_be_written(rule: str, stated: str, path: tuple[str, ...], value: object) -> None:
    (change,) = _remedies(rule, stated)[0].changes
    assert (change.file, change.path, change.value) == ("car.yaml", path, value)
    assert not _remedies(rule, stated)[0].by_hand


def test_swapped_gears_are_put_right_first() -> None:
    rule = "quantity: final_drive_ratio, at_least: 4.2"
    stated = "car: {spur_teeth: 42, pinion_teeth: 96, internal_ratio: 1.9}"
    assert _told(rule, stated) == ["spur 96 and pinion 42: the two counts stand the wrong way round"]
    # 96 ÷ 42 × 1.9 (common practice)
    assert _found(rule, stated).entries[0].checks[0].remedies[0].result == Fraction(96, 42) * Fraction(19, 10)


@pytest.mark.parametrize(
    ("rule", "stated"),
    [
        ("quantity: mass_g, at_least: 1350", "car: {mass_g: 1.352}"),
        ("quantity: battery_voltage_v, at_most: 8.4", "battery: {voltage_v: 838}"),
        ("quantity: ride_height_mm, at_least: 5", "car: {ride_height_mm: 0.52}"),
    ],
)
def test_a_value_that_was_written_wrongly_is_not_mended_on_the_car(rule: str, stated: str) -> None:
    assert _remedies(rule, stated) == ()


def test_another_gear_stays_within_the_reach_of_the_motor_mount() -> None:
    # 4.2 needs a sum of teeth seven away with a fixed pinion: 96 → 103.
    rule = "quantity: final_drive_ratio, at_least: 4.65"
    stated = "car: {spur_teeth: 96, pinion_teeth: 42, internal_ratio: 1.9}"
    told = _told(rule, stated + "\nparts_box: {pinions_teeth: [42], spurs_teeth: [96, 102, 103]}")
    assert told == []
    assert _told(rule, stated + "\nparts_box: {pinions_teeth: [39, 42], spurs_teeth: [96, 103]}") == [
        "pinion 39 instead of 42"
    ]
