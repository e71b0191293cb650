"""Remedies for what a ruleset declares itself: by its kind, and of a sum how far it falls short."""

import pytest

from tests.check.world import a_ruleset, a_setup, find_in

QUANTITIES = """\
quantities:
  extra.ballast_kg: {title: ballast, kind: measured}
  extra.crew_kg: {title: driver and ballast, kind: measured, sum_of: [extra.driver_kg, extra.ballast_kg]}
  extra.ready_lb: {title: car and pack, kind: measured, sum_of: [mass_g, extra.pack_kg]}
  extra.rollers: {title: rollers, kind: count, count_of: extra.roller_mm}
  extra.hull: {title: hull, kind: text, choices: [open, closed]}
  extra.label: {title: label, kind: text}
  extra.wing_deg: {title: wing, kind: setting}
  extra.sealed: {title: sealed, kind: flag}
"""


def remedies(rules: list[str], extra: str, top: str = "", entry: str = "") -> list[tuple[str, bool]]:
    """What is told to mend each failing rule, and whether it is done by hand."""
    club, stated = a_ruleset(*rules, top=f"{QUANTITIES}{top}"), f"car: {{mass_g: 1500}}\nextra: {{{extra}}}"
    findings = find_in({"club.yaml": club, "car.yaml": a_setup(stated, entry=entry)})
    assert findings.problems == () and findings.defects == ()
    return [(remedy.message, remedy.by_hand) for check in findings.entries[0].checks for remedy in check.remedies]


@pytest.mark.parametrize(
    ("rule", "extra", "told", "by_hand"),
    [
        ("extra.ballast_kg, at_least: 4", "ballast_kg: 3.4", "raise ballast by 0.6 kg, to 4.0 kg", True),
        ("extra.wing_deg, at_most: 40", "wing_deg: 45", "wing 40° instead of 45°: wing 40°, on the limit itself", False),
        ("extra.hull, none_of: [open]", "hull: open", "hull closed instead of open: hull closed", False),
        ("extra.crew_kg, at_least: 82", "driver_kg: 78.2, ballast_kg: 3.4",
         "raise driver and ballast by 0.4 kg, to 82.0 kg, in driver or ballast", True),
        ("extra.rollers, at_most: 3", "roller_mm: [13, 13, 19, 19]", "lower rollers by 1, to 3", True),
        ("extra.rollers, at_least: 3", "roller_mm: 13", "raise rollers by 2, to 3", True),
        ("extra.rollers, equals: 3", "roller_mm: [13, 19]", "raise rollers by 1, to 3", True),
        ("extra.rollers, at_most: 0", "roller_mm: [13, 19]", "lower rollers by 2, to 0", True),
    ],
)  # fmt: skip
def test_a_remedy_goes_by_the_kind(rule: str, extra: str, told: str, by_hand: bool) -> None:
    assert remedies([f"{{id: it, quantity: {rule}}}"], extra) == [(told, by_hand)]


@pytest.mark.parametrize(
    ("rule", "extra"),
    [
        ("extra.label, none_of: [red]", "label: red"),  # a text without choices could become anything
        ("extra.sealed, equals: true", "sealed: false"),  # nobody seals a motor by writing so
    ],
)
def test_what_only_words_would_change_is_no_remedy(rule: str, extra: str) -> None:
    assert remedies([f"{{id: it, quantity: {rule}}}"], extra) == []


def test_nobody_is_told_what_a_thing_is_like_of_which_there_is_none() -> None:
    assert remedies(["{id: it, quantity: extra.rollers, at_least: 3}"], "roller_mm: []") == []


def test_a_part_that_the_entry_states_is_not_moved() -> None:
    top = "  extra.all_kg: {title: all, kind: measured, sum_of: [entry.driver_kg, extra.ballast_kg]}\n"
    rule = "{id: it, quantity: extra.all_kg, at_least: 82}"
    assert remedies([rule], "ballast_kg: 3", top, entry="driver_kg: 78") == [("raise all by 1 kg, to 82 kg", True)]


def test_a_part_with_a_rule_of_its_own_is_left_within_it() -> None:
    rules = [
        "{id: crew, quantity: extra.crew_kg, at_least: 82}",
        "{id: most, quantity: extra.ballast_kg, at_most: 3.5}",
    ]
    assert remedies(rules, "driver_kg: 78.2, ballast_kg: 3.4") == [
        ("raise driver and ballast by 0.4 kg, to 82.0 kg, in driver or ballast", True)
    ]
    # Where every part is held, nothing is known to help.
    held = [*rules, "{id: driver, quantity: extra.driver_kg, at_most: 78.3}"]
    assert remedies(held, "driver_kg: 78.2, ballast_kg: 3.4") == []


def test_a_part_in_another_unit_is_moved_in_its_own() -> None:
    """1500 g and 0.2 kg are 3.74786 lb (NIST SP 811): 0.25214 lb short of 4 lb, which 1614.4 g or 0.3144 kg would make."""
    ((told, by_hand),) = remedies(["{id: it, quantity: extra.ready_lb, at_least: 4}"], "pack_kg: 0.2")
    assert (told, by_hand) == ("raise car and pack by 0.253 lb, to 4.000 lb, in mass or pack", True)


@pytest.mark.parametrize(("first", "second", "least_kg"), [("coarse", "fine", 85), ("fine", "coarse", 84)])
def test_the_doubt_of_either_rule_on_a_sum_is_left_between(first: str, second: str, least_kg: int) -> None:
    # Two readings that share what one scale is off: U is 2 × 2 × 1/√3 = 2.31 kg (JCGM 100, 4.3.7 and F.1.2.3), or 0.23 kg.
    rules = [
        f"{{id: high, quantity: extra.crew_kg, at_least: 82, instrument: {first}}}",
        f"{{id: low, quantity: extra.crew_kg, at_least: 81, instrument: {second}}}",
    ]
    top = "instruments: {coarse: {accuracy: 1}, fine: {accuracy: 0.1}}\n"
    ((told, _), _) = remedies(rules, "driver_kg: 75, ballast_kg: 3", top)
    assert told == (
        f"raise driver and ballast by {least_kg - 78} kg, to {least_kg} kg (82 kg only reaches the limit itself),"
        " in driver or ballast"
    )
