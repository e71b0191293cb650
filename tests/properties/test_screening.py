"""Screening promises: a rule that it passes is legal and no close call when it is judged in full, whatever the car."""

from typing import Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from speclint.remedies.judged_entry import JudgedEntry
from speclint.rules.checks import FAILING, Verdict
from speclint.rules.judge import entry_facts, entry_verdict, judge, judge_rule
from speclint.rules.screening import Screens
from tests.properties.stated_cars import VENUES, book_of, car_of, clubs, stated_cars
from tests.properties.strategies import Data, ruleset, setup_data


def _hold(club: Data, car_data: Data, venue: str) -> int:
    """Holds every rule that is passed to its whole judgement, and what is said of the entry; how many are passed."""
    book, car = book_of(club), car_of(setup_data(car_data, venue=venue))
    facts, place = entry_facts(car, car.setup.entries[0], book.flat), car.setup.document.place(())
    passed = [rule for rule in book.rules if book.screens.pass_rule(rule, facts)]
    for rule in passed:
        check = judge_rule(rule, book, facts, place)
        assert (check.verdict, check.close_call, check.near) == (Verdict.LEGAL, False, ""), (rule.data, car_data)
    entry = JudgedEntry(book, facts, place)
    assert entry.verdict() == entry_verdict(entry.checks, book)
    assert entry.checks == judge(book, facts, place)
    told = {
        check.rule.id for check in entry.checks if check.verdict in (*FAILING, Verdict.TO_INSPECT) or check.close_call
    }
    assert told <= {check.rule.id for check in entry.unsettled}
    return len(passed)


@settings(max_examples=25, deadline=None)
@given(clubs(), stated_cars(), st.sampled_from(VENUES))
def test_what_is_passed_is_legal_and_no_close_call(club: Data, car: Data, venue: str) -> None:
    _hold(club, car, venue)


@pytest.mark.slow
@settings(max_examples=250, deadline=None)
@given(clubs(), st.lists(stated_cars(), min_size=3, max_size=3), st.sampled_from(VENUES))
def test_it_holds_for_some_hundred_cars_more(club: Data, several: list[Data], venue: str) -> None:
    for car in several:
        _hold(club, car, venue)


PLAIN_CAR: Final = {
    "instruments": {"scale": {"accuracy": 1, "resolution": 1, "unit": "g"}, "rule": {"resolution": 1, "unit": "mm"}},
    "car": {"mass_g": {"value": 1360, "instrument": "scale"}, "width_mm": 188, "spur_teeth": 84},
    "battery": {"cells": 2, "voltage_v": 8.3},
    "motor": {"part": "M-1", "turns": 17.5, "sealed": False, "rotor": {"kind": "torque", "part": "R-1"}},
}


@pytest.mark.parametrize(
    ("rule", "is_passed"),
    [
        ({"quantity": "mass_g", "at_least": 1350}, True),
        ({"quantity": "mass_g", "at_least": 1359}, False),
        ({"quantity": "width_mm", "at_most": 190}, True),
        ({"quantity": "width_mm", "at_most": 190, "decision": "must-show"}, False),
        ({"quantity": "width_mm", "at_most": 190, "instrument": "tech", "decision": "must-show"}, True),
        ({"quantity": "width_mm", "at_most": 188.05, "instrument": "tech"}, False),
        ({"quantity": "spur_teeth", "between": [84, 90]}, True),
        ({"quantity": "spur_teeth", "above": 84}, False),
        ({"quantity": "motor_turns", "equals": 17.5}, True),
        ({"quantity": "motor_sealed", "equals": False}, True),
        ({"quantity": "rotor_kind", "one_of": ["standard", "torque"], "when": {"entry.venue": "indoor"}}, True),
        ({"quantity": "rotor_kind", "one_of": ["torque"], "when": {"entry.venue": ["indoor", "indoors"]}}, True),
        ({"quantity": "rotor_part", "listed_in": "rotors"}, True),
        ({"quantity": "rotor_part", "one_of": {"list": "motors", "item": "motor_part", "under": "rotors"}}, True),
        ({"quantity": "ride_height_mm", "at_least": 5}, False),
        ({"quantity": "cell_voltage_v", "at_most": 4.2}, False),
        ({"quantity": "width_mm", "below": 190, "read_to": 10}, False),
        ({"quantity": "width_mm", "at_most": 190, "leeway": 1}, False),
        ({"quantity": "width_mm", "at_most": 190, "taken": {"winding_c": 20}}, False),
    ],
)
def test_what_is_met_with_room_to_spare_is_passed(rule: Data, *, is_passed: bool) -> None:
    lists = {"rotors": {"items": [{"id": "R-1"}]}, "motors": {"items": [{"id": "M-1", "rotors": ["R-1"]}]}}
    assert _hold(ruleset([{"id": "rule", **rule}], lists=lists), PLAIN_CAR, "indoor") == is_passed


@pytest.mark.parametrize(
    ("scale", "is_passed"),
    [
        ({"accuracy": 1, "unit": "g"}, True),
        ({"accuracy": 20, "unit": "g"}, False),
        ({"accuracy": 1, "unit": "mm"}, False),
        ({"accuracy": 1, "per_unit": {"g": {"accuracy": 20}}}, False),
    ],
)
def test_a_reading_is_passed_by_what_its_instrument_says_of_the_unit(scale: Data, *, is_passed: bool) -> None:
    club = ruleset([{"id": "rule", "quantity": "mass_g", "at_least": 1350}])
    assert _hold(club, {**PLAIN_CAR, "instruments": {"scale": scale}}, "indoor") == is_passed


@pytest.mark.parametrize("venue", ["indoor", "outdoor"])
def test_a_rule_that_gives_way_to_another_under_a_condition_is_not_passed(venue: str) -> None:
    rule = {"id": "rule", "quantity": "spur_teeth", "at_least": 80}
    outdoors = {**rule, "id": "outdoors", "replaces": "rule", "at_least": 84, "when": {"entry.venue": "outdoor"}}
    assert _hold(ruleset([rule, outdoors]), PLAIN_CAR, venue) == (venue == "outdoor")


def test_a_rule_that_has_the_identity_of_another_is_screened_by_itself() -> None:
    rules = [
        {"id": "mass", "quantity": "mass_g", "at_least": 1350},
        {"id": "width", "quantity": "width_mm", "at_most": 180},
    ]
    book, car = book_of(ruleset(rules)), car_of(setup_data(PLAIN_CAR))
    facts = entry_facts(car, car.setup.entries[0], book.flat)
    mass, width = book.rules
    screens = Screens(book.flat, book.lists)
    assert screens.pass_rule(mass, facts)
    # As in a copy that another process has, where a rule has an identity that was another one's.
    screens._of_rules[id(width)] = screens._of_rules.pop(id(mass))
    assert not screens.pass_rule(width, facts)
