"""What a remedy leaves behind: a next check that is legal and no close call, and no file that says what nobody measured."""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from speclint.errors import UsageError
from speclint.findings import Tally
from speclint.remedies.chosen import chosen
from speclint.remedies.judged_entry import CarRemedies
from speclint.rules.checks import Remedy
from tests.check.world import a_ruleset, a_setup, find_in

SCALE = "instruments: {scale: {accuracy_percent: 0.1, resolution: 1}}"


def _found(rule: str, stated: str, top: str = "") -> Tally:
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
        ("quantity: entry.venue, one_of: [indoor, track]", "car: {mass_g: 1350}",
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


GEARS = "car: {spur_teeth: 96, pinion_teeth: 42, internal_ratio: 1.9, tyre_diameter_mm: 62.5}"
WHEELBASES = "[{quantity: wheelbase_mm, between: [208, 212]}, {quantity: wheelbase_mm, between: [223, 227]}]"
TIMINGS = "[{quantity: timing_set_deg, between: [20, 30]}, {quantity: timing_set_deg, between: [40, 50]}]"
METER = "instruments: {meter: {accuracy: 5}}"


@pytest.mark.parametrize(
    ("rule", "stated", "told"),
    [
        # 44 mm of rollout are a tyre of 44 × 96 ÷ 42 × 1.9 ÷ π = 60.83 mm (common practice).
        ("quantity: rollout_mm, at_most: 44", f"{GEARS}\nparts_box: {{pinions_teeth: [42], spurs_teeth: [96]}}",
         ["true the tyres down to 60.8 mm"]),
        ("quantity: rollout_mm, below: 44", f"{GEARS}\nparts_box: {{pinions_teeth: [42], spurs_teeth: [96]}}",
         ["true the tyres down to 60.8 mm"]),
        ("quantity: tyre_diameter_mm, at_most: 60", "car: {tyre_diameter_mm: 62.5}", ["true the tyres down to 60.0 mm"]),
        # What lies inside a strict limit is a step away that people make or read.
        ("quantity: mass_g, above: 100", "car: {mass_g: 99}", ["add 2 g of ballast"]),
        ("quantity: width_mm, below: 190", "car: {width_mm: 191}", ["make the car narrower by 1.1 mm, to 189.9 mm"]),
        ("quantity: battery_voltage_v, below: 8.4", "battery: {voltage_v: 8.42}",
         ["let the pack down to 8.39 V before the run"]),
        ("quantity: battery_capacity_mah, below: 6000", "battery: {capacity_mah: 6500}",
         ["battery capacity 5900 mAh instead of 6500 mAh"]),
        ("quantity: mass_g, at_least: 1350", "car: {mass_g: {readings: [1330, 1340], standard_uncertainty: 0.1}}",
         ["add 16 g of ballast (15 g only reaches the limit itself)"]),
        # Of several ways the one that moves the car least.
        (f"any_of: {WHEELBASES}", "car: {wheelbase_mm: 214}", ["shorten the wheelbase by 2.0 mm, to 212.0 mm"]),
        (f"any_of: {WHEELBASES}", "car: {wheelbase_mm: 221}", ["lengthen the wheelbase by 2.0 mm, to 223.0 mm"]),
        (f"any_of: {TIMINGS}", "motor: {timing_deg: 34}",
         ["timing set 30° instead of 34°", "timing set 40° instead of 34°", "timing set 20° instead of 34°"]),
        (f"any_of: {TIMINGS}", "motor: {timing_deg: 38}",
         ["timing set 40° instead of 38°", "timing set 30° instead of 38°", "timing set 50° instead of 38°"]),
        ("quantity: battery_voltage_v, at_most: 8.4", "battery: {voltage_v: 8.437}",
         ["let the pack down to 8.40 V before the run"]),
        ("quantity: battery_voltage_v, at_least: 8.4", "battery: {voltage_v: 8.3}", []),
        ("quantity: ride_height_mm, at_least: 5", "car: {ride_height_mm: 4.25}",
         ["raise the chassis by 0.75 mm, to 5.0 mm"]),
        ("quantity: ride_height_mm, at_least: 5", "car: {ride_height_mm: 0}", []),
        ("quantity: width_mm, unit: in, at_most: 7.5", "car: {width_mm: 191}",
         ["make the car narrower by 0.020 in, to 7.500 in"]),
        ("quantity: mass_g, at_least: 100", "car: {mass_g: 20.5}", ["add 79.5 g of ballast"]),
        ("quantity: mass_g, at_least: 100", "car: {mass_g: 20}", []),
        ("quantity: mass_g, at_most: 100", "car: {mass_g: 499}", ["take 399 g off the car"]),
        ("quantity: mass_g, at_most: 100", "car: {mass_g: 500}", []),
        ("quantity: extra.camber_deg, at_least: -1.5", "extra: {camber_deg: -2}", ["raise camber by 0.5°, to -1.5°"]),
        ("quantity: extra.camber_deg, at_most: -1.5", "extra: {camber_deg: -1}", ["lower camber by 0.5°, to -1.5°"]),
        ("quantity: extra.camber_deg, at_least: 1", "extra: {camber_deg: -1}", []),
        ("quantity: gear_module_mm, equals: 0.5", "car: {gear_module_mm: 0.4}", ["gear module 0.5 mm instead of 0.4 mm"]),
        ("quantity: timing_set_deg, at_most: 0", "motor: {timing_deg: 3}", ["timing set 0° instead of 3°"]),
        ("quantity: timing_set_deg, at_least: 30", "motor: {timing_deg: 0}", ["timing set 30° instead of 0°"]),
        ("quantity: timing_set_deg, above: 30, below: 34.5", "motor: {timing_deg: 35}",
         ["timing set 33.5° instead of 35°", "timing set 31° instead of 35°"]),
    ],
)  # fmt: skip
def test_what_is_done_goes_just_far_enough_and_no_farther_than_anybody_would(
    rule: str, stated: str, told: list[str]
) -> None:
    assert _told(rule, stated) == told


@pytest.mark.parametrize("least", ["at_least: 1350", "unit: kg, at_least: 1.35"])
def test_one_limit_that_two_rules_write_in_two_units_is_met_once(least: str) -> None:
    rules = [f"{{id: first, quantity: mass_g, {least}}}", "{id: second, quantity: mass_g, unit: kg, at_least: 1.35}"]
    files = {"club.yaml": a_ruleset(*rules, "{id: third, quantity: mass_g, at_least: 1350}")}
    (car,) = find_in({**files, "car.yaml": a_setup("car: {mass_g: 1340}")}).car_remedies
    assert [remedy.message for remedy in car.remedies] in (["add 10 g of ballast"], ["add 0.010 kg of ballast"])


@pytest.mark.parametrize(
    ("rule", "stated", "told"),
    [
        ("quantity: pinion_teeth, at_most: 30", "car: {pinion_teeth: 50}", ["pinion 30 instead of 50"]),
        ("quantity: pinion_teeth, at_most: 30", "car: {pinion_teeth: 51}", []),
        ("quantity: spur_teeth, at_least: 80", "car: {spur_teeth: 60}", ["spur 80 instead of 60"]),
        ("quantity: spur_teeth, at_least: 80", "car: {spur_teeth: 59}", []),
        ("quantity: pinion_teeth, at_most: 2", "car: {pinion_teeth: 3}",
         ["pinion 2 instead of 3", "pinion 1 instead of 3"]),
        # A motor mount takes six teeth more or fewer (common practice, from memory).
        ("quantity: final_drive_ratio, at_least: 4.6", f"{GEARS}\nparts_box: {{pinions_teeth: [], spurs_teeth: [102, 103]}}",
         ["spur 102 instead of 96"]),
        ("quantity: final_drive_ratio, at_least: 4.9", f"{GEARS}\nparts_box: {{pinions_teeth: [35, 36], spurs_teeth: []}}",
         ["pinion 36 instead of 42"]),
        # Two gears of one size are no pair whose counts stand the wrong way round.
        ("quantity: final_drive_ratio, at_least: 2", "car: {spur_teeth: 50, pinion_teeth: 50, internal_ratio: 1.9}",
         ["spur 53 instead of 50", "pinion 47 instead of 50", "spur 54 instead of 50"]),
        # The one that moves the gearing least first: of 96/42 are 92/42 0.958, 96/44 0.955, 91/42 0.948 and 96/45 0.933.
        ("quantity: final_drive_ratio, at_most: 4.2", GEARS,
         ["spur 92 instead of 96", "pinion 44 instead of 42", "spur 91 instead of 96"]),
    ],
)  # fmt: skip
def test_another_gear_is_one_that_could_be_at_hand_and_fits(rule: str, stated: str, told: list[str]) -> None:
    assert _told(rule, stated) == told


@pytest.mark.parametrize(
    ("rotor", "box", "told"),
    [
        ("{kind: standard}", "[{kind: torque}]", ["rotor torque instead of standard"]),
        ("{part: R-9, diameter_mm: 12.5}", "[{part: R-12, diameter_mm: 11.9}]", ["rotor R-12 instead of R-9"]),
        ("{diameter_mm: 12.5}", "[{diameter_mm: 12.4}, {diameter_mm: 12.5}, {diameter_mm: 12}]",
         ["rotor number 3 of the parts box instead of the fitted one"]),
    ],
)  # fmt: skip
def test_a_rotor_is_called_as_the_box_calls_it(rotor: str, box: str, told: list[str]) -> None:
    rule = f"quantity: {'rotor_kind, equals: torque' if 'torque' in box else 'rotor_diameter_mm, at_most: 12'}"
    assert _told(rule, f"motor: {{rotor: {rotor}}}\nparts_box: {{rotors: {box}}}") == told


def test_a_shim_from_the_box_takes_up_end_play_that_is_there() -> None:
    stated = "motor: {end_play_mm: %s}\nparts_box: {shims_mm: [0.2, 0.1, 0.15, 0.3]}"
    rule = "quantity: end_play_mm, at_most: 0.1"
    (remedy,) = _remedies(rule, stated % "0.25")
    assert (remedy.message, remedy.by_hand, remedy.rebuilds) == ("one more shim of 0.15 mm", True, ("shim",))
    assert _told("quantity: end_play_mm, at_most: 0", stated % "0.1") == ["one more shim of 0.1 mm"]
    assert _told("quantity: end_play_mm, at_most: 0", stated % "0.12") == []


@pytest.mark.parametrize("with_meter", ["first", "second"])
def test_the_doubt_of_either_of_two_rules_is_left_between(with_meter: str) -> None:
    limits = {"first": 1350, "second": 1348}
    rules = (
        f"{{id: {name}, quantity: mass_g, at_least: {least}{', instrument: meter' if name == with_meter else ''}}}"
        for name, least in limits.items()
    )
    files = {"club.yaml": a_ruleset(*rules, top=METER), "car.yaml": a_setup("car: {mass_g: 1340}")}
    # U is 2 × 5 ÷ √3 = 5.77 g (JCGM 100 4.3.7), and no gram less is sure.
    grams = limits[with_meter] + 6 - 1340
    (car,) = find_in(files).car_remedies
    assert [remedy.message for remedy in car.remedies] == [
        f"add {grams} g of ballast (10 g only reaches the limit itself)"
    ]


def test_a_doubt_beyond_all_bounds_is_left_alone() -> None:
    meter = METER.replace("accuracy: 5", "accuracy: 1.0e+308")
    assert _told("quantity: mass_g, at_least: 1350, instrument: meter", "car: {mass_g: 1300}", meter) == [
        "add 50 g of ballast"
    ]


def test_a_change_that_ends_readings_says_which_to_take_again() -> None:
    rule, stated = "quantity: timing_set_deg, at_most: 40", "motor: {timing_deg: 44, bench_runs: [%s]}"

    def told(runs: str) -> str:
        return _found(rule, stated % runs).entries[0].checks[0].remedies[0].message

    at_40 = "timing set 40° instead of 44°: timing set 40°, on the limit itself"
    assert told("") == at_40
    assert told("{date: 2026-03-01, timing_deg: 44}") == f"{at_40}, then measure again: current, speed, timing"


REMEDIES = (
    Remedy((), None, "pinion 43 instead of 44"),
    Remedy((), None, "spur 98 instead of 96"),
    Remedy((), None, "add 6 g of ballast", by_hand=True),
)


def _chosen(*cars: CarRemedies, number: int) -> str:
    try:
        return chosen(cars, number).message
    except UsageError as error:
        return str(error)


@pytest.mark.parametrize(
    ("number", "told"),
    [
        (0, "car.yaml: there are 3 remedies, and no number 0"),
        (1, "pinion 43 instead of 44"),
        (2, "spur 98 instead of 96"),
        (3, "car.yaml: this is done on the car, not in the file: add 6 g of ballast; do it, measure, and write down what"
            " the instrument shows"),
        (4, "car.yaml: there are 3 remedies, and no number 4"),
    ],
)  # fmt: skip
def test_a_remedy_is_chosen_by_its_number(number: int, told: str) -> None:
    assert _chosen(CarRemedies("car.yaml", "car", REMEDIES, ""), number=number) == told


def test_what_cannot_be_chosen_says_why() -> None:
    car, second = CarRemedies("car.yaml", "car", REMEDIES[:1], ""), CarRemedies("b.yaml", "b", (), "no part is known")
    assert _chosen(number=1) == "there is nothing to apply: no setup here is illegal"
    assert _chosen(car, number=2) == "car.yaml: there is 1 remedy, and no number 2"
    assert _chosen(second, number=1) == "b.yaml: there is nothing to apply: no part is known"
    assert _chosen(car, second, number=1) == "--apply mends one setup at a time; these are illegal: car.yaml, b.yaml"


def test_a_rebuild_is_done_before_each_of_the_races_that_are_entered() -> None:
    rules = (
        "{id: rotor, quantity: rotor_part, one_of: [R-12]}",
        "{id: timing, quantity: timing_mean_deg, at_most: 40}",
    )
    # For neither race does a run count that was made with the old rotor, be it made between the two.
    runs = "[{date: 2026-03-01, timing_deg: 44}, {date: 2026-03-17, timing_deg: 43}]"
    entries = ", ".join(f"{{ruleset: club, class: stock, on: {day}}}" for day in ("2026-03-14", "2026-03-20"))
    car = (
        f"format: setup/1\nentries: [{entries}]\nmotor: {{rotor: {{part: R-9}}, bench_runs: {runs}}}\n"
        "parts_box: {rotors: [{part: R-12}]}\n"
    )
    for entry in find_in({"club.yaml": a_ruleset(*rules), "car.yaml": car}).entries:
        (remedy,) = entry.checks[0].remedies
        assert remedy.rebuilds == ("rotor-swap",)
        assert remedy.message == (
            "rotor R-12 instead of R-9: rotor part R-12, then measure again: balance, current, end play, speed, timing"
        )


def test_tyres_are_trued_past_the_doubt_of_the_rollout() -> None:
    stated = (
        f"{GEARS.replace('62.5', '{value: 70, instrument: meter}')}\nparts_box: {{pinions_teeth: [], spurs_teeth: []}}"
    )
    # U of the diameter is 2 × 2 ÷ √3 = 2.31 mm (JCGM 100 4.3.7).
    assert _told("quantity: rollout_mm, at_most: 44", stated, METER.replace("5}", "2}")) == [
        "true the tyres down to 58.5 mm (60.8 mm only reaches the limit itself)"
    ]


def test_what_mends_one_rule_goes_with_each_way_to_mend_another() -> None:
    rules = (
        "{id: weight, quantity: mass_g, at_least: 1350, decision: must-show}",
        "{id: ratio, quantity: final_drive_ratio, at_least: 4.4}",
    )
    files = {"club.yaml": a_ruleset(*rules), "car.yaml": a_setup(GEARS.replace("car: {", "car: {mass_g: 1340, "))}
    findings = find_in(files)
    (car,) = findings.car_remedies
    gears = ("spur 98 instead of 96", "pinion 41 instead of 42", "spur 99 instead of 96")
    assert [remedy.message for remedy in car.remedies] == [
        f"add 10 g of ballast; {gear}; weigh it on a named scale" for gear in gears
    ]
    assert all(remedy.by_hand for remedy in car.remedies)
    weight, ratio = findings.entries[0].checks
    assert [remedy.message for remedy in weight.remedies] == ["add 10 g of ballast and weigh it on a named scale"]
    # 98 ÷ 42 × 1.9 = 4.433, and π × 62.5 mm ÷ 4.433 = 44.3 mm (common practice).
    assert ratio.remedies[0].message == (
        "spur 98 instead of 96: final drive ratio 4.433, 0.033 to spare, rollout 44.3 mm"
    )
    assert not any(remedy.by_hand for remedy in ratio.remedies)


@pytest.mark.parametrize(
    ("rules", "stated", "reason"),
    [
        (("quantity: motor_part, listed_in: motors", "quantity: motor_turns, equals: 17.5"), "motor: {part: M-2, turns: 13.5}",
         "another motor is needed (M-2 is not on the list motors; the nearest is M-1)"),
        (("quantity: rotor_part, one_of: {list: motors, item: motor_part, under: rotors}",),
         "motor: {part: M-1, rotor: {part: R-2}}", "another rotor is needed (approved for M-1: R-1)"),
        (("quantity: motor_part, equals: M-1",), "motor: {part: M-2}", "another motor is needed"),
        (("quantity: rotor_kind, equals: torque",), "motor: {rotor: {kind: standard}}", "another rotor is needed"),
        (("quantity: rotor_kind, equals: torque", "quantity: motor_turns, equals: 17.5"),
         "motor: {turns: 13.5, rotor: {kind: standard}}", "another motor is needed"),
        (("quantity: timing_mean_deg, at_most: 40",), "motor: {bench_runs: [{date: 2026-03-01, timing_deg: 44}]}",
         "another motor is needed"),
        (("quantity: battery_voltage_v, at_least: 8", "quantity: battery_cells, at_most: 1"), "battery: {cells: 2, voltage_v: 7.6}",
         "battery voltage: speclint knows no change that makes it legal"),
    ],
)  # fmt: skip
def test_where_nothing_at_hand_helps_it_is_said_what_would(rules: tuple[str, ...], stated: str, reason: str) -> None:
    numbered = (f"{{id: rule-{i}, {rule}}}" for i, rule in enumerate(rules))
    top = "lists: {motors: {items: [{id: M-1, rotors: [R-1]}]}}"
    (car,) = find_in({"club.yaml": a_ruleset(*numbered, top=top), "car.yaml": a_setup(stated)}).car_remedies
    assert (car.remedies, car.reason) == ((), reason)


def test_a_motor_of_its_own_file_is_changed_there() -> None:
    rules = (
        "{id: timing, quantity: timing_set_deg, at_most: 40}",
        "{id: weight, quantity: mass_g, at_least: 1350}",
        "{id: speed, quantity: kv_rpm_per_v, at_most: 2500}",
    )
    files = {
        "club.yaml": a_ruleset(*rules),
        "car.yaml": a_setup("motor: motors/7.yaml\ncar: {mass_g: 1340}"),
        "motors/7.yaml": "format: motor/1\ntiming_deg: 44\nbench_runs: [{date: 2026-03-01, kv_rpm_per_v: 2400}]\n",
    }
    findings = find_in(files)
    timing, weight, _ = findings.entries[0].checks
    # The speed has to be measured again, and what is too light is for another change to mend.
    assert [remedy.message for remedy in timing.remedies] == [
        "timing set 40° instead of 44°: timing set 40°, on the limit itself, then measure again: current, speed, timing"
    ]
    assert [(change.file, change.path, change.value) for change in timing.remedies[0].changes] == [
        ("motors/7.yaml", ("timing_deg",), 40)
    ]
    assert [change.file for change in weight.remedies[0].changes] == ["car.yaml"]
    (car,) = findings.car_remedies
    assert [remedy.message for remedy in car.remedies] == ["timing set 40° instead of 44°; add 10 g of ballast"]


def test_another_gear_says_what_it_makes_of_the_gearing() -> None:
    remedies = _found("quantity: rollout_mm, at_most: 44", GEARS).entries[0].checks[0].remedies
    assert [remedy.message for remedy in remedies] == [
        "true the tyres down to 60.8 mm",
        "spur 99 instead of 96: rollout 43.8 mm, 0.2 mm to spare, final drive ratio 4.479",
        "pinion 40 instead of 42: rollout 43.1 mm, 0.9 mm to spare, final drive ratio 4.560",
    ]


def test_a_change_that_makes_a_close_call_of_another_rule_is_passed_over() -> None:
    rules = (
        "{id: ratio, quantity: final_drive_ratio, at_least: 4.2}",
        "{id: rollout, quantity: rollout_mm, at_least: 46}",
    )
    # U of the tyre is 2 × 0.45 ÷ √3 = 0.52 mm (JCGM 100 4.3.7), of the rollout 0.38 mm: 98/44 leaves 0.40 mm, 96/43 0.29.
    stated = (
        "car: {spur_teeth: 96, pinion_teeth: 44, internal_ratio: 1.9, tyre_diameter_mm: {value: 62.5, instrument: meter}}\n"
        "parts_box: {spurs_teeth: [98], pinions_teeth: [43]}"
    )
    club = a_ruleset(*rules, top=METER.replace("5}", "0.45}"))
    (car,) = find_in({"club.yaml": club, "car.yaml": a_setup(stated)}).car_remedies
    assert [remedy.message for remedy in car.remedies] == ["spur 98 instead of 96"]
