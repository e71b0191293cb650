"""Keys that only a ruleset knows carry their unit in their ending, pounds and inches as well."""

import pytest

from speclint.rules.wording import message
from tests.check.world import check_of, verdict_of


@pytest.mark.parametrize(
    ("key", "sign"),
    [
        ("driver_kg", "kg"),
        ("car_lb", "lb"),
        ("car_oz", "oz"),
        ("body_in", "in"),
        ("lap_ft", "ft"),
        ("wing_cm", "cm"),
        ("pack_f", "°F"),
    ],
)
def test_a_number_under_such_a_key_is_a_reading_with_its_unit(key: str, sign: str) -> None:
    check = check_of(
        f"quantity: extra.{key}, at_most: 80",
        f"extra: {{{key}: {{value: 81, instrument: tool}}}}",
        top="instruments: {tool: {accuracy: 3}}",
    )
    assert check.close_call
    assert f"{sign}; the rule asks at most 80 {sign}: 1.0 {sign} over" in message(check)


def test_a_text_under_such_a_key_stays_a_text() -> None:
    assert verdict_of("quantity: extra.plugged_in, equals: yes", 'extra: {plugged_in: "yes"}') == "legal"
    assert verdict_of("quantity: extra.plugged_in, equals: true", "extra: {plugged_in: true}") == "legal"


@pytest.mark.parametrize(("pack", "verdict"), [(78.8, "legal"), (78.9, "illegal")])
def test_another_unit_of_the_same_is_converted_exactly(pack: float, verdict: str) -> None:
    """NIST SP 811 appendix B: 21 °C + 5 °C = 26 °C = 78.8 °F; an ounce is 28.349523125 g."""
    assert (
        verdict_of("quantity: extra.pack_f, at_most: {of: extra.limit_c}", f"extra: {{pack_f: {pack}, limit_c: 26}}")
        == verdict
    )
    weight = "quantity: mass_g, at_least: {of: extra.least_oz}"
    assert verdict_of(weight, "car: {mass_g: 1502.524725625}\nextra: {least_oz: 53}") == "legal"
    assert verdict_of(weight, "car: {mass_g: 1502.5}\nextra: {least_oz: 53}") == "illegal"


@pytest.mark.parametrize(
    ("kind", "stated", "verdict"),
    [
        ("count", "0", "legal"),
        ("count", "4", "legal"),
        ("count", "-1", "not-shown"),
        ("count", "1.5", "not-shown"),
        ("setting", "-1.5", "legal"),
        ("measured", "{value: 1.5}", "legal"),
        ("measured", "{readings: [1.5, 1.6]}", "legal"),
        ("measured", "[1.5, 1.6]", "legal"),
        ("setting", "{value: 1.5}", "not-shown"),
    ],
)
def test_a_declared_key_holds_what_its_kind_does(kind: str, stated: str, verdict: str) -> None:
    top = f"quantities: {{extra.key: {{kind: {kind}}}}}"
    assert verdict_of("quantity: extra.key, at_most: 4", f"extra: {{key: {stated}}}", top=top) == verdict
