"""Rules that are written in another unit than the quantity's.

Source of the factors: NIST Special Publication 811 (2008), appendix B: 1 oz is 28.349523125 g, 1 in is 25.4 mm, and
t/°C = (t/°F − 32)/1.8, all exact.
"""

import pytest

from speclint.reports.check.fields import margin, unit_code
from speclint.reports.check.limit_fields import stated_limit
from speclint.rules.sentences import sentence_of, terms
from speclint.rules.wording import explanation, message
from speclint.rulesets.implication import BindingRule, implies
from tests.check.world import a_ruleset, a_setup, check_of, entry_of, find_in, verdict_of

OUNCES = "quantity: mass_g, unit: oz, at_least: 53"


@pytest.mark.parametrize(
    ("mass", "verdict"),
    [(1502.5, "illegal"), (1502.524725, "illegal"), (1502.524725625, "legal"), (1502.53, "legal")],
)
def test_a_weight_in_ounces_is_held_to_the_exact_gram(mass: float, verdict: str) -> None:
    assert verdict_of(OUNCES, f"car: {{mass_g: {mass}}}") == verdict


@pytest.mark.parametrize(
    ("rule", "car", "words"),
    [
        (OUNCES, "car: {mass_g: 1500}",
         "mass is 52.91 oz (1500 g); the rule asks at least 53 oz: 0.09 oz short"),
        (OUNCES, "car: {mass_g: 1502.5}",
         "mass is 52.999 oz (1502.5 g); the rule asks at least 53 oz: 0.001 oz short"),
        ("quantity: width_mm, unit: in, at_most: 7.87", "car: {width_mm: 200}",
         "width is 7.874 in (200 mm); the rule asks at most 7.87 in: 0.004 in over"),
        ("quantity: extra.pack_c, unit: f, at_most: 120", "extra: {pack_c: 50}",
         "pack is 122 °F (50 °C); the rule asks at most 120 °F: 2 °F over"),
        ("quantity: extra.pack_c, unit: f, at_most: {of: extra.ambient_c, plus: 5}", "extra: {pack_c: 25, ambient_c: 20}",
         "pack is 77 °F (25 °C); the rule asks at most 73 °F (ambient 20 °C + 5 °F): 4 °F over"),
        ("quantity: mass_g, unit: oz, nominal: 53, tolerance: {plus: 1, minus: 0.5}", "car: {mass_g: 1500}",
         "mass is 52.91 oz (1500 g); the rule asks 52.5 to 54.0 oz (53.0 + 1 − 0.5): 0.41 oz to spare"),
    ],
)  # fmt: skip
def test_the_sentence_is_in_the_rules_unit_with_the_reading_behind_it(rule: str, car: str, words: str) -> None:
    assert message(check_of(rule, car)) == words


@pytest.mark.parametrize(("degrees", "verdict"), [(60, "legal"), (60.01, "illegal")])
def test_a_temperature_in_fahrenheit_has_its_zero_where_fahrenheit_has_it(degrees: float, verdict: str) -> None:
    assert verdict_of("quantity: extra.pack_c, unit: f, at_most: 140", f"extra: {{pack_c: {degrees}}}") == verdict


@pytest.mark.parametrize(("degrees", "verdict"), [(65, "legal"), (65.01, "illegal")])
def test_a_difference_in_fahrenheit_is_five_ninths_of_a_kelvin(degrees: float, verdict: str) -> None:
    for rule in ("at_most: 140, leeway: 9", "at_most: {of: extra.printed_c, plus: 9}"):
        car = f"extra: {{pack_c: {degrees}, printed_c: 60}}"
        assert verdict_of(f"quantity: extra.pack_c, unit: f, {rule}", car) == verdict


@pytest.mark.parametrize(("mass", "verdict"), [(1488.349965, "legal"), (1488.349964, "illegal")])
def test_a_leeway_and_a_step_are_in_the_rules_unit(mass: float, verdict: str) -> None:
    assert verdict_of(f"{OUNCES}, leeway: 0.5", f"car: {{mass_g: {mass}}}") == verdict
    check = check_of(f"{OUNCES}, leeway: 0.5", f"car: {{mass_g: {mass}}}")
    assert ("inside the leeway of 0.5 oz" in message(check)) is (verdict == "legal")


@pytest.mark.parametrize(("mass", "verdict"), [(1488.35, "legal"), (1488.34, "illegal")])
def test_a_value_is_read_to_steps_of_the_rules_unit(mass: float, verdict: str) -> None:
    check = check_of(f"{OUNCES}, read_to: 1", f"car: {{mass_g: {mass}}}")
    assert check.verdict.value == verdict
    assert "is read to 1 oz, as the rule says: 5" in "; ".join(explanation(check))


def test_steps_of_fahrenheit_begin_at_its_own_zero() -> None:
    rule = "quantity: extra.pack_c, unit: f, at_most: 120, read_to: 5"
    assert verdict_of(rule, "extra: {pack_c: 50.2}") == "legal"  # 122.36 °F is read as 120
    assert verdict_of(rule, "extra: {pack_c: 50.3}") == "illegal"  # 122.54 °F is read as 125


def test_the_uncertainty_of_a_reading_is_told_in_the_rules_unit() -> None:
    top = "decision: must-show\ninstruments: {scale: {accuracy: 1.7320508}}"
    check = check_of(OUNCES, "car: {mass_g: {value: 1503, instrument: scale}}", top=top)
    assert check.verdict.value == "not-shown"
    legal = check_of(OUNCES, "car: {mass_g: {value: 1505, instrument: scale}}", top=top)
    assert message(legal).startswith("mass is 53.09 ± 0.07 oz (1505.0 ± 2.0 g)")


def test_ballast_is_told_in_ounces_and_never_too_little() -> None:
    (remedy, *_) = check_of(OUNCES, "car: {mass_g: 1500}").remedies
    assert remedy.message.startswith("add 0.09 oz of ballast")
    narrower = check_of("quantity: width_mm, unit: in, at_most: 7.87", "car: {width_mm: 200}").remedies[0]
    assert narrower.message.startswith("make the car narrower by 0.005 in, to 7.870 in")


def test_a_remedy_to_a_limit_that_celsius_cannot_write_is_told_in_fahrenheit() -> None:
    (remedy, *_) = check_of("quantity: extra.pack_c, unit: f, at_most: 141", "extra: {pack_c: 61}").remedies
    assert remedy.message.startswith("lower pack by 1 °F, to 141 °F")


def test_the_report_says_in_which_unit_a_limit_is() -> None:
    check = check_of(OUNCES, "car: {mass_g: 1500}")
    assert stated_limit(check) == {"at_least": 53, "unit": "oz"}
    assert unit_code(check) == "g"
    assert margin(check) == pytest.approx(-2.524725625)


def test_a_published_rule_is_in_its_own_unit_throughout() -> None:
    rule = check_of(f"{OUNCES}, leeway: 0.5, read_to: 0.1", "car: {mass_g: 1500}").rule
    ruleset = {"club.yaml": a_ruleset(f"{{id: it, {OUNCES}}}"), "car.yaml": a_setup("car: {mass_g: 1500}")}
    flat = find_in(ruleset).entries[0].flat
    assert str(sentence_of(rule)) == "The mass is at least 53 oz."
    assert list(terms(rule, flat)) == [
        "The value is first read to 0.1 oz, halves away from zero.",
        "A value beyond the limit by at most 0.5 oz still passes.",
    ]


def test_the_same_limit_in_another_unit_asks_the_same() -> None:
    limits = ("at_least: 1", "unit: g, at_least: 1000")
    rules = (f"{{id: it, quantity: extra.ballast_kg, {limit}}}" for limit in limits)
    entries = [entry_of((rule,), "extra: {ballast_kg: 1}") for rule in rules]
    first, second = (BindingRule(entry.checks[0].rule, entry.flat, entry.on) for entry in entries)
    assert implies(first, second)
    assert implies(second, first)


def test_rows_and_ways_have_units_too() -> None:
    table = "quantity: mass_g, by: motor_part, rows: {A: {at_least: 53}}, otherwise: free, unit: oz"
    assert verdict_of(table, "motor: {part: A}\ncar: {mass_g: 1502}") == "illegal"
    ways = "quantity: width_mm, any_of: [{at_most: 100}, {unit: in, between: [7.8, 7.9]}]"
    assert verdict_of(ways, "car: {width_mm: 200}") == "legal"
    assert verdict_of(ways, "car: {width_mm: 201}") == "illegal"


@pytest.mark.parametrize(
    ("rule", "words"),
    [
        ("quantity: mass_g, unit: mm, at_least: 53", "mass_g (1 g) cannot be converted to 1 mm"),
        ("quantity: car_type, unit: oz, equals: buggy", "a unit goes with a limit of size"),
        ("quantity: extra.ballast, unit: oz, at_least: 3", "such as extra.ballast_oz"),
        ("quantity: extra.pack_c, unit: f, at_most: 120, leeway: {percent: 5}", "where its zero lies"),
    ],
)
def test_a_unit_that_does_not_fit_is_a_problem_at_its_key(rule: str, words: str) -> None:
    (problem,) = find_in({"club.yaml": a_ruleset(f"{{id: it, {rule}}}")}).problems
    assert problem.id == "limit-unfit"
    assert words in problem.message
    assert problem.place.pointer == "/classes/stock/rules/0/unit"
