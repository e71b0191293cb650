"""Clubs with rules of each sort that is screened, and cars that state what these ask for, on a limit or beside it."""

from datetime import date
from typing import Any, Final

from hypothesis import strategies as st

from speclint.documents.parse import parse
from speclint.models.cars import Car
from speclint.models.motors import motor_of
from speclint.models.setups import setup_of
from speclint.rules.rulebook import Rulebook, rulebook
from speclint.rulesets.library import Library
from speclint.rulesets.load import ruleset_of
from speclint.rulesets.model import FlatClass
from tests.properties.strategies import Data, cars, decimals, instruments, ruleset, written

DAY: Final = date(2026, 3, 14)
KINDS: Final = ("standard", "standart", "torque", "sintered", "?")
PARTS: Final = ("R-1", "R-2", "r 1", "-")
VENUES: Final = ("indoor", "indoors", "outdoor", "-")
MEASURED: Final = {"mass_g": 1350, "width_mm": 190, "ride_height_mm": 5, "end_play_mm": 0.2, "battery_voltage_v": 8.4}
EXACT: Final = {"battery_cells": 2, "timing_set_deg": 38, "motor_turns": 17.5, "spur_teeth": 84, "internal_ratio": 1.9}


@st.composite
def stated_cars(draw: st.DrawFn) -> Data:
    """A car as other laws have it, with words, flags, and more values that lie just on a limit."""
    car = draw(cars())
    car["instruments"]["meter"] |= draw(
        st.sampled_from([{}, {}, {"unit": "g"}, {"unit": "mm"}, {"per_unit": {"g": {"accuracy": 3}}}])
    )
    car["car"]["mass_g"] = draw(reading(1345, 1355))
    car["car"]["width_mm"] = draw(reading(188, 192))
    car["motor"]["end_play_mm"] = draw(reading(0.1, 0.3))
    car["motor"]["rotor"] = {"kind": draw(st.sampled_from(KINDS)), "part": draw(st.sampled_from(PARTS))}
    car["motor"]["part"] = draw(st.sampled_from(("M-1", "M-2", "M-3")))
    car["motor"]["sealed"] = draw(st.booleans())
    car["extra"] = {"tyre": draw(st.sampled_from(("T-1", "T-2", ["T-1", "T-2"], True)))}
    return car


def reading(low: float, high: float) -> st.SearchStrategy[Any]:
    value = decimals(low, high, 2)
    named = {"value": value, "instrument": st.sampled_from(("meter", "probe", "bench", "tech", "nobody's"))}
    stated = {"value": value, "standard_uncertainty": decimals(0.001, 2, 3)}
    return st.one_of(
        value, st.fixed_dictionaries(named), st.fixed_dictionaries(stated), st.fixed_dictionaries(named | stated)
    )


@st.composite
def _sized(draw: st.DrawFn, around: float, steps: tuple[float, ...]) -> Data:
    bound = around + draw(st.sampled_from((-steps[1], -steps[0], 0, steps[0], steps[1])))
    key = draw(st.sampled_from(("at_least", "above", "at_most", "below", "between", "nominal", "equals")))
    if key == "between":
        return {"between": [bound - steps[1], bound + steps[1]]}
    if key == "nominal":
        return {"nominal": bound, "tolerance": {"percent": draw(st.sampled_from((0.7, 3)))}}
    return {key: bound}


@st.composite
def _rules(draw: st.DrawFn) -> list[Data]:
    """A rule of each sort that is screened, and some like them that are not."""
    rules: list[Data] = [
        *({"quantity": name, **draw(_sized(around, (around / 100, around / 10)))} for name, around in MEASURED.items()),
        *({"quantity": name, **draw(_sized(around, (1, around)))} for name, around in EXACT.items()),
        {"quantity": "rotor_kind", "one_of": draw(_some(KINDS))},
        {"quantity": "rotor_part", "listed_in": "rotors"},
        {"quantity": "rotor_part", "one_of": {"list": "motors", "item": "motor_part", "under": "rotors"}},
        {"quantity": "motor_sealed", "equals": draw(st.booleans())},
        {"quantity": "extra.tyre", "one_of": draw(_some(("T-1", "T-2")))},
        {"quantity": "extra.tyre", "listed_in": "tyres"},
        {"quantity": "motor_turns", "one_of": [13.5, 17.5]},
        {"quantity": "rotor_kind", "none_of": draw(_some(KINDS))},
    ]
    conditions: tuple[Data, ...] = (
        {}, {}, {"entry.venue": "indoor"}, {"entry.venue": draw(_some(VENUES))}, {"battery_cells": {"at_most": 1}},
        {"mass_g": {"at_least": 1350}}, {"motor_sealed": True}, {"entry.venue": {"none_of": ["indoor"]}},
    )  # fmt: skip
    terms: tuple[Data, ...] = ({}, {}, {"instrument": "tech"}, {"instrument": "club"}, {"read_to": 1}, {"leeway": 1})
    for number, rule in enumerate(rules):
        rule["id"] = f"rule-{number}"
        if when := draw(st.sampled_from(conditions)):
            rule["when"] = when
        if rule["quantity"] in MEASURED:
            rule.update(draw(st.sampled_from(terms)))
    return rules


def _some(words: tuple[str, ...]) -> st.SearchStrategy[list[str]]:
    return st.lists(st.sampled_from(words), min_size=1, max_size=3, unique=True)


@st.composite
def clubs(draw: st.DrawFn) -> Data:
    lists = {
        "rotors": {"items": [{"id": "R-1"}, {"id": "R-2", "from": "2026-03-15"}]},
        "motors": {"items": [{"id": "M-1", "rotors": ["R-1", "-"]}, {"id": "M-2", "rotors": ["R-2"]}]},
        "tyres": {"items": [{"id": "T-1"}]},
    }
    described = {"tech": {"accuracy": 0.05, "resolution": 0.01}, "club": draw(instruments())}
    decision = draw(st.sampled_from(("as-read", "must-show", "benefit-of-doubt")))
    return ruleset(draw(_rules()), decision=decision, instruments=described, lists=lists)


def book_of(club: Data) -> Rulebook:
    document, problems = parse("club.yaml", written(club))
    assert document is not None
    ruleset_, wrong = ruleset_of(document)
    assert ruleset_ is not None, (problems, wrong)
    flat = Library([ruleset_]).flat(ruleset_, "stock")
    assert isinstance(flat, FlatClass)
    return rulebook(flat, DAY)


def car_of(data: Data) -> Car:
    document, _ = parse("car.yaml", written(data))
    assert document is not None
    setup, motor = setup_of(document), motor_of(document, ("motor",))
    return Car(setup, motor, "", {**motor.instruments, **setup.instruments})
