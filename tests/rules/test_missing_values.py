"""A missing value never passes: the rule is not shown, and the key to add is named as a person would find it."""

import pytest

from speclint.quantities.model import Quantity, Sort
from speclint.quantities.registry import QUANTITIES
from speclint.rules.wording import message
from tests.check.world import a_ruleset, a_setup, check_of, entry_of, find_in, verdict_of, verdicts

FORMS = {
    "number": ("at_least: 0.001", "at_most: 999999", "above: 0", "below: 999999", "between: [0, 999999]",
               "nominal: 5, tolerance: {percent: 100}", "equals: 5", "one_of: [5]", "none_of: [5]", "stated: true"),
    "text": ("equals: a", "one_of: [a, b]", "none_of: [c]", "stated: true", "listed_in: l"),
    "flag": ("equals: true", "one_of: [true, false]", "none_of: [true]", "stated: true"),
}  # fmt: skip


def _forms(limited: Quantity) -> tuple[str, ...]:
    if limited.choices:
        first, second, *_ = limited.choices
        return f"equals: {first}", f"one_of: [{first}, {second}]", f"none_of: [{first}]", "stated: true"
    return FORMS["text" if limited.sort is Sort.TEXT else "flag" if limited.sort is Sort.FLAG else "number"]


CASES = [(known.name, form) for known in QUANTITIES for form in _forms(known)]


@pytest.mark.parametrize("known", QUANTITIES, ids=lambda known: known.name)
def test_no_form_of_limit_takes_a_missing_value_for_legal(known: object) -> None:
    name = known.name  # type: ignore[attr-defined]
    forms = [form for quantity, form in CASES if quantity == name]
    rules = [f"{{id: r{i}, quantity: {name}, {form}}}" for i, form in enumerate(forms)]
    result = entry_of(rules, top="lists: {l: {items: [{id: a}]}}")
    assert set(verdicts(result).values()) == {"not-shown"}
    assert all(check.missing for check in result.checks)
    assert result.verdict.value == "not-shown"


@pytest.mark.parametrize("name", ["extra.body", "extra.wing_mm", "entry.venue", "entry.heat"])
@pytest.mark.parametrize("form", ["at_most: 3", "one_of: [3]", "none_of: [a]", "stated: true", "listed_in: l"])
def test_nor_does_any_form_on_an_open_key(name: str, form: str) -> None:
    assert verdict_of(f"quantity: {name}, {form}", top="lists: {l: {items: [{id: a}]}}") == "not-shown"


def test_a_key_of_the_setup_is_named_by_its_path() -> None:
    check = check_of("quantity: mass_g, at_least: 1350")
    assert message(check) == "mass is not shown: add car.mass_g"


def test_everything_that_a_ratio_lacks_is_named() -> None:
    check = check_of("quantity: final_drive_ratio, at_least: 4.2", "car: {spur_teeth: 96}")
    assert message(check) == "final drive ratio is not shown: add car.pinion_teeth and car.internal_ratio"


def test_a_key_of_a_motor_in_the_setup_is_named_with_the_word_motor() -> None:
    for stated in ("", "motor: {}", "motor: {turns: 17.5}"):
        check = check_of("quantity: timing_set_deg, at_most: 40", stated)
        assert message(check) == "timing set is not shown: add motor.timing_deg"


def _with_motor_file(rule: str, motor: str) -> str:
    files = {
        "club.yaml": a_ruleset(f"{{id: it, {rule}}}"),
        "cars/car.yaml": a_setup("motor: ../motors/7.yaml"),
        "motors/7.yaml": f"format: motor/1\n{motor}\n",
    }
    findings = find_in(files)
    assert findings.problems == ()
    ((check,),) = (entry.checks for entry in findings.entries)
    assert check.place.file == "motors/7.yaml"
    return message(check)


def test_a_key_of_a_motor_in_a_file_of_its_own_is_named_with_that_file() -> None:
    told = _with_motor_file("quantity: timing_set_deg, at_most: 40", "turns: 17.5")
    assert told == "timing set is not shown: add timing_deg in motors/7.yaml"


def test_a_bench_run_that_is_missing_is_named_by_what_it_should_hold() -> None:
    told = _with_motor_file("quantity: timing_mean_deg, at_most: 40", "turns: 17.5")
    assert told == "measured timing is not shown: add bench_runs.timing_deg in motors/7.yaml"


def test_a_winding_without_its_temperature_names_the_temperature_alone() -> None:
    winding = "{ab_mohm: 21, bc_mohm: 21, ca_mohm: 21}"
    told = _with_motor_file(
        "quantity: winding_mean_mohm, at_least: 20", f"bench_runs: [{{date: 2026-03-01, winding: {winding}}}]"
    )
    # 10 K ÷ (235 + 20) K = 3.92 % (IEC 60034-1), of the mean that was read.
    assert told == (
        "winding, mean is not shown: its temperature cannot be guessed: 10 °C more or less is 3.9 %, 0.8 mΩ here; add"
        " bench_runs[0].winding.winding_c in motors/7.yaml"
    )


def test_a_drift_without_a_factory_sheet_names_the_sheet() -> None:
    winding = "{ab_mohm: 21, bc_mohm: 21, ca_mohm: 21, winding_c: 20}"
    told = _with_motor_file(
        "quantity: winding_drift_percent, at_most: 5", f"bench_runs: [{{date: 2026-03-01, winding: {winding}}}]"
    )
    wanted = [f"factory_sheet.winding.{key} in motors/7.yaml" for key in ("ab_mohm", "bc_mohm", "ca_mohm", "winding_c")]
    assert told == f"drift of the winding is not shown: add {' and '.join(wanted)}"


def test_a_drift_with_a_factory_sheet_alone_is_not_shown() -> None:
    told = _with_motor_file(
        "quantity: winding_drift_percent, at_most: 5",
        "factory_sheet: {winding: {ab_mohm: 21, bc_mohm: 21, ca_mohm: 21, winding_c: 20}}",
    )
    assert told == "drift of the winding is not shown: add bench_runs in motors/7.yaml"


def test_a_motor_file_that_is_missing_is_the_reason_and_not_a_key_to_add() -> None:
    findings = find_in(
        {
            "club.yaml": a_ruleset("{id: it, quantity: motor_turns, equals: 17.5}"),
            "car.yaml": a_setup("motor: nowhere.yaml"),
        }
    )
    ((check,),) = (entry.checks for entry in findings.entries)
    assert message(check) == (
        "turns is not shown: the motor nowhere.yaml does not exist; the path starts at this file's folder"
    )
    assert check.missing == ()


def test_a_missing_condition_is_not_shown_and_names_the_key() -> None:
    check = check_of("quantity: mass_g, at_least: 1350, when: {entry.venue: indoor}", "car: {mass_g: 1400}")
    assert message(check) == ("mass is not shown: whether this rule applies depends on the venue; add entries[0].venue")


def test_a_rule_that_another_condition_rules_out_does_not_ask_for_the_missing_one() -> None:
    for when in ("{entry.venue: indoor, extra.kit: b}", "{extra.kit: b, entry.venue: indoor}"):
        assert verdict_of(f"quantity: mass_g, at_least: 1350, when: {when}", "extra: {kit: a}") == "not-applicable"


def test_a_rotor_list_without_the_motor_names_the_motor() -> None:
    check = check_of(
        "quantity: rotor_part, one_of: {list: motors, item: motor_part, under: rotors}",
        "motor: {rotor: {part: R-1}}",
        top="lists: {motors: {items: [{id: M-1, rotors: [R-1]}]}}",
    )
    assert message(check) == "rotor part is not shown: what is allowed depends on motor.part; add motor.part"
    assert check.missing == ("motor.part",)


def test_an_entry_is_illegal_before_it_is_not_shown_and_not_shown_before_it_is_legal() -> None:
    legal = "{id: a, quantity: mass_g, at_least: 900}"
    illegal = "{id: b, quantity: mass_g, at_least: 1100}"
    unknown = "{id: c, quantity: width_mm, at_most: 200}"
    inspect = "{id: d, inspect: the body}"
    away = "{id: e, quantity: width_mm, at_most: 1, when: {car_type: boat}}"
    stated = "car: {mass_g: 1000, type: buggy-2wd}"

    def verdict(*rules: str) -> str:
        return entry_of(rules, stated).verdict.value

    assert verdict(legal, illegal, unknown, inspect) == "illegal"
    assert verdict(unknown, legal, inspect) == "not-shown"
    assert verdict(legal, inspect, away) == "legal"
    assert verdict(inspect) == "not-shown"
    assert verdict() == "not-shown"


@pytest.mark.parametrize(
    ("rules", "reason"),
    [
        ((), "nothing was judged: no rule of stock binds on 14 March 2026"),
        (("{id: later, quantity: mass_g, at_least: 1, from: 2026-06-01}",),
         "nothing was judged: no rule of stock binds on 14 March 2026"),
        (("{id: seal, inspect: the seal is whole}",), "nothing was judged: no rule of stock limits anything on this car"),
        (("{id: wet, quantity: mass_g, at_least: 1, when: {entry.venue: outdoor}}",),
         "nothing was judged: no rule of stock limits anything on this car"),
    ],
)  # fmt: skip
def test_a_class_that_judges_nothing_shows_nothing(rules: tuple[str, ...], reason: str) -> None:
    result = entry_of(rules, "car: {mass_g: 1350}", entry="venue: indoor")
    assert (result.verdict.value, result.reason) == ("not-shown", reason)


def test_a_condition_that_only_looks_like_the_one_asked_is_not_shown() -> None:
    check = check_of(
        "quantity: mass_g, at_least: 1350, when: {entry.round: 5}", "car: {mass_g: 1300}", entry='round: "5"'
    )
    assert check.verdict.value == "not-shown"
    assert check.reason == (
        'whether this rule applies depends on entry.round: "5" is a text because of its quotes: write 5 without them'
    )


@pytest.mark.parametrize("when", ["indoor", "[indoor, hall]", "{none_of: [indoor]}"])
@pytest.mark.parametrize("venue", ["Indoor", "INDOOR", '"indoor "', "in-door"])
def test_a_condition_that_is_only_spelled_otherwise_lets_no_car_out_of_its_rule(when: str, venue: str) -> None:
    check = check_of(
        f"quantity: mass_g, at_least: 1350, when: {{entry.venue: {when}}}",
        "car: {mass_g: 1300}",
        entry=f"venue: {venue}",
    )
    assert check.verdict.value == "not-shown"
    assert check.reason.endswith('is "indoor" in the rules: spell it as they do')


@pytest.mark.parametrize("text", [" ", "?", "-", "???", "...", r"\u200b", r"\u00a0", "TODO", "tbd?", "not known"])
@pytest.mark.parametrize("limit", ["stated: true", "none_of: [R-99]", "one_of: [R-1]"])
@pytest.mark.parametrize(
    ("quantity", "stated"),
    [
        ("rotor_part", 'motor: {rotor: {part: "TEXT"}}'),
        ("extra.rotor", 'extra: {rotor: "TEXT"}'),
        ("extra.rotor", 'extra: {rotor: [R-1, "TEXT"]}'),
    ],
)
def test_a_text_that_says_nothing_states_nothing(quantity: str, stated: str, limit: str, text: str) -> None:
    check = check_of(f"quantity: {quantity}, {limit}", stated.replace("TEXT", text))
    assert check.verdict.value == "not-shown"
    assert check.missing
