"""A class that nobody can enter, by brute force over a grid of cars: one that is called so has no car, another one has one."""

from collections.abc import Iterator
from datetime import date
from itertools import product
from typing import Any, Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from speclint.advice.clashes import clashes
from speclint.documents.parse import parse
from speclint.models.cars import Car
from speclint.models.motors import motor_of
from speclint.models.setups import setup_of
from speclint.quantities.facts import Facts
from speclint.rules.checks import Verdict
from speclint.rules.judge import judge, worst_verdict
from speclint.rules.rulebook import rulebook
from speclint.rulesets.amendments import binding
from speclint.rulesets.library import Library
from speclint.rulesets.load import ruleset_of
from speclint.rulesets.model import FlatClass
from tests.properties.strategies import Data, written

DAY: Final = date(2026, 3, 14)
KINDS: Final = ("standard", "torque", "sintered", "other")
WIDTHS: Final = tuple(quarter / 4 for quarter in range(4 * 186, 4 * 194))


def flat_of(rules: list[Data], **more: Any) -> FlatClass:
    data = {
        "format": "ruleset/1",
        "id": "club",
        "version": "1",
        "in_force": {"from": "2026-01-01"},
        "classes": {"stock": {"rules": [{"id": f"r{i}", **rule} for i, rule in enumerate(rules)]}},
        **more,
    }
    document, _ = parse("club.yaml", written(data))
    assert document is not None
    ruleset, problems = ruleset_of(document)
    assert ruleset is not None, problems
    flat = Library([ruleset]).flat(ruleset, "stock")
    assert isinstance(flat, FlatClass)
    return flat


def is_legal(flat: FlatClass, data: Data) -> bool:
    document, _ = parse("car.yaml", written({"format": "setup/1", **data}))
    assert document is not None
    motor = motor_of(document, ("motor",)) if "motor" in data else None
    facts = Facts(Car(setup_of(document), motor, "", {}), on=DAY, reference_c=flat.reference_c, entry_keys={})
    return worst_verdict(judge(rulebook(flat, DAY), facts, document.place(()))) is Verdict.LEGAL


def _widths() -> st.SearchStrategy[Data]:
    bound = st.integers(187, 192)
    return st.sampled_from(["at_least", "at_most", "above", "below", "equals"]).flatmap(
        lambda key: bound.map(lambda size: {"quantity": "width_mm", key: size})
    )


def _kinds() -> st.SearchStrategy[Data]:
    some = st.lists(st.sampled_from(KINDS[:3]), min_size=1, unique=True)
    return st.tuples(st.sampled_from(["one_of", "none_of"]), some).map(
        lambda pair: {"quantity": "rotor_kind", pair[0]: pair[1]}
    )


def grid() -> Iterator[Data]:
    for width, kind in product(WIDTHS, KINDS):
        yield {"car": {"width_mm": width}, "motor": {"rotor": {"kind": kind}}}


CARS: Final = list(grid())


@settings(max_examples=40, deadline=None)
@given(st.lists(st.one_of(_widths(), _kinds()), min_size=1, max_size=4))
def test_nobody_and_somebody_are_what_a_grid_of_cars_says(rules: list[Data]) -> None:
    flat = flat_of(rules)
    somebody = any(is_legal(flat, car) for car in CARS)
    assert bool(list(clashes(flat, DAY, binding(flat, DAY)))) is not somebody


def _gears() -> st.SearchStrategy[Data]:
    def at(name: str, low: int, high: int) -> st.SearchStrategy[Data]:
        return st.tuples(st.sampled_from(["at_least", "at_most"]), st.integers(low, high)).map(
            lambda pair: {"quantity": name, pair[0]: pair[1]}
        )

    return st.one_of(
        at("spur_teeth", 12, 16), at("pinion_teeth", 6, 9), at("tooth_sum", 18, 24), at("spur_pinion_ratio", 1, 3)
    )


@settings(max_examples=15, deadline=None)
@given(st.lists(_gears(), min_size=2, max_size=3, unique_by=lambda rule: str(rule["quantity"])))
def test_gears_by_every_pair_that_there_is(rules: list[Data]) -> None:
    flat = flat_of(rules)
    pairs = product((*range(12, 41, 1), 200), (*range(6, 33), 80))
    somebody = any(is_legal(flat, {"car": {"spur_teeth": spur, "pinion_teeth": pinion}}) for spur, pinion in pairs)
    assert bool(list(clashes(flat, DAY, binding(flat, DAY)))) is not somebody


@pytest.mark.parametrize(
    ("rules", "words"),
    [
        ([{"quantity": "width_mm", "at_most": 190}, {"quantity": "width_mm", "at_least": 191}], "no car can meet both"),
        ([{"quantity": "motor_part", "listed_in": "motors"}], "r0 (on the list motors) leaves no motor part"),
        (
            [{"quantity": "battery_hard_case", "equals": True}, {"quantity": "battery_hard_case", "equals": False}],
            "leave no hard case that all of them allow",
        ),
        (
            [
                {"quantity": "final_drive_ratio", "at_least": 5},
                {"quantity": "internal_ratio", "at_most": 2},
                {"quantity": "spur_teeth", "at_most": 80},
                {"quantity": "pinion_teeth", "at_least": 40},
            ],
            "no pair of gears meets",
        ),
    ],
)
def test_the_rules_that_clash_are_named(rules: list[Data], words: str) -> None:
    flat = flat_of(rules, lists={"motors": {"items": [{"id": "M-1", "until": "2026-01-31"}]}})
    (clash,) = clashes(flat, DAY, binding(flat, DAY))
    assert words in clash.reason
    assert len(clash.rules) == len(rules)
