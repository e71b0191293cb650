"""A class that nobody can enter, by brute force over a grid of cars: one that is called so has no car, another one has one."""

import json
from collections.abc import Iterator
from datetime import date
from itertools import product
from typing import Any, Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from speclint.advice.branches import boxes_of
from speclint.advice.clashes import clashes
from speclint.advice.satisfiable import Effort, is_satisfiable
from speclint.documents.parse import parse
from speclint.forms.parts_lists import DayLists
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


# --- rules for some cars, several ways, tables, lists, and limits that are other quantities

VENUES: Final = ("indoor", "outdoor", "hall")
PARTS: Final = ("M-1", "M-2", "M-3", "M-9")
LISTS: Final = {
    "motors": {
        "items": [
            {"id": "M-1", "least": 188, "kinds": ["standard"]},
            {"id": "M-2", "least": 190, "kinds": ["torque", "sintered"]},
            {"id": "M-3", "least": 187, "kinds": ["other"], "until": "2026-01-31"},
        ]
    }
}


def some_legal(flat: FlatClass, cars: list[tuple[Data, Data]]) -> bool:
    book = rulebook(flat, DAY)
    for car, entry in cars:
        document, _ = parse("car.yaml", json.dumps({"format": "setup/1", **car}))
        assert document is not None
        motor = motor_of(document, ("motor",)) if "motor" in car else None
        facts = Facts(Car(setup_of(document), motor, "", {}), on=DAY, reference_c=flat.reference_c, entry_keys=entry)
        if worst_verdict(judge(book, facts, document.place(()))) is Verdict.LEGAL:
            return True
    return False


def _agrees(rules: list[Data], cars: list[tuple[Data, Data]], **more: Any) -> None:
    flat = flat_of(rules, **more)
    assert bool(list(clashes(flat, DAY, binding(flat, DAY)))) is not some_legal(flat, cars)


def _few_widths() -> st.SearchStrategy[Data]:
    bound = st.integers(187, 190)
    return st.one_of(
        st.tuples(st.sampled_from(["at_least", "at_most", "above", "below"]), bound).map(
            lambda pair: {pair[0]: pair[1]}
        ),
        st.tuples(bound, bound).map(lambda pair: {"between": sorted(pair)}),
    ).flatmap(
        lambda limit: st.sampled_from([{}, {}, {"leeway": 1}, {"read_to": 2}]).map(
            lambda terms: {"quantity": "width_mm", **limit, **terms}
        )
    )


def _few_cells() -> st.SearchStrategy[Data]:
    return st.tuples(st.sampled_from(["at_least", "at_most", "equals"]), st.integers(1, 3)).map(
        lambda pair: {"quantity": "battery_cells", pair[0]: pair[1]}
    )


WHENS: Final = st.sampled_from(
    [
        {}, {}, {"entry.venue": "indoor"}, {"entry.venue": ["indoor", "outdoor"]},
        {"entry.venue": {"none_of": ["indoor"]}}, {"battery_cells": {"at_most": 2}}, {"battery_cells": {"above": 1}},
        {"battery_cells": 2, "entry.venue": "hall"}, {"width_mm": {"below": 188}},
    ]
)  # fmt: skip


@st.composite
def _conditional(draw: st.DrawFn) -> Data:
    single = st.one_of(_few_widths(), _few_cells())
    way = st.one_of(single, st.lists(single, min_size=2, max_size=2).map(lambda tests: {"all_of": tests}))
    ways = st.lists(way, min_size=2, max_size=3).map(lambda options: {"any_of": options})
    when = draw(WHENS)
    return {**draw(st.one_of(single, single, ways, _tables())), **({"when": when} if when else {})}


@st.composite
def _tables(draw: st.DrawFn) -> Data:
    rows = {
        str(cells): {
            key: value for key, value in draw(_few_widths()).items() if key not in ("quantity", "leeway", "read_to")
        }
        for cells in draw(st.lists(st.integers(1, 3), min_size=1, unique=True))
    }
    otherwise = draw(st.sampled_from(["illegal", "not-shown", "free", {"at_most": 187}]))
    return {"quantity": "width_mm", "by": "battery_cells", "rows": rows, "otherwise": otherwise}


CONDITIONAL_CARS: Final[list[tuple[Data, Data]]] = [
    ({"car": {"width_mm": half / 2}, "battery": {"cells": cells}}, {"venue": venue})
    for half, cells, venue in product(range(2 * 185, 2 * 193), (1, 2, 3, 4), VENUES)
]


@settings(max_examples=25, deadline=None)
@given(st.lists(_conditional(), min_size=2, max_size=4))
def test_rules_for_some_cars_ways_and_tables_by_every_car_of_a_grid(rules: list[Data]) -> None:
    _agrees(rules, CONDITIONAL_CARS)


@settings(max_examples=15, deadline=None)
@given(st.lists(_conditional(), min_size=1, max_size=2), _few_widths(), st.booleans(), WHENS)
def test_a_rule_that_takes_a_place_for_some_cars_and_a_waiver_spare_them(
    rules: list[Data], other: Data, is_waived: bool, when: Data
) -> None:
    replacing = {**other, "replaces": "r0", "from": "2026-02-01", **({"when": when} if when else {})}
    waivers = [{"rule": "r0", **({"when": when} if when else {})}] if is_waived else []
    _agrees([*rules, replacing], CONDITIONAL_CARS, **({"waivers": waivers} if waivers else {}))


@st.composite
def _listed(draw: st.DrawFn) -> Data:
    item = {"list": "motors", "item": "motor_part"}
    return draw(
        st.one_of(
            _kinds(), _few_widths().filter(lambda rule: "read_to" not in rule),
            st.sampled_from(
                [
                    {"quantity": "motor_part", "listed_in": "motors"},
                    {"quantity": "motor_part", "none_of": ["M-1"]},
                    {"quantity": "motor_part", "one_of": ["M-1", "M-3"]},
                    {"quantity": "width_mm", "at_least": {**item, "under": "least"}},
                    {"quantity": "width_mm", "below": {**item, "under": "least"}},
                    {"quantity": "rotor_kind", "one_of": {**item, "under": "kinds"}},
                    {"quantity": "rotor_kind", "none_of": {**item, "under": "kinds"}},
                ]
            ),
        )
    )  # fmt: skip


LISTED_CARS: Final[list[tuple[Data, Data]]] = [
    ({"car": {"width_mm": half / 2}, "motor": {"part": part, "rotor": {"kind": kind}}}, {})
    for half, part, kind in product(range(2 * 186, 2 * 192), PARTS, KINDS)
]


@settings(max_examples=25, deadline=None)
@given(st.lists(_listed(), min_size=2, max_size=4))
def test_lists_and_what_their_items_say_by_every_car_of_a_grid(rules: list[Data]) -> None:
    _agrees(rules, LISTED_CARS, lists=LISTS)


@st.composite
def _related(draw: st.DrawFn) -> Data:
    """A limit on one of two lengths, or on one by the other; over a sum of both as well."""
    name = draw(st.sampled_from(["extra.a_mm", "extra.b_mm", "extra.both_mm"]))
    bound = draw(st.integers(0, 6))
    key = draw(st.sampled_from(["at_least", "at_most", "above", "below"]))
    if name == "extra.a_mm" and draw(st.booleans()):
        shift = draw(st.sampled_from([{}, {"plus": 1}, {"minus": 2}]))
        return {"quantity": name, key: {"of": "extra.b_mm", "times": draw(st.sampled_from([1, 2])), **shift}}
    return {"quantity": name, key: bound}


RELATED_CARS: Final[list[tuple[Data, Data]]] = [
    ({"extra": {"a_mm": a / 4, "b_mm": b / 4}}, {}) for a, b in product(range(33), range(33))
]
DECLARED: Final = {
    "extra.a_mm": {"kind": "measured"},
    "extra.b_mm": {"kind": "measured"},
    "extra.both_mm": {"kind": "measured", "sum_of": ["extra.a_mm", "extra.b_mm"]},
}
IN_THE_GRID: Final = [
    {"quantity": name, "between": [0, 8]} for name in ("extra.a_mm", "extra.b_mm")
]  # fmt: skip


@settings(max_examples=15, deadline=None)
@given(st.lists(_related(), min_size=1, max_size=3))
def test_a_class_that_is_called_empty_for_what_it_compares_has_no_car(rules: list[Data]) -> None:
    # Intervals narrow each other and do not see everything, so that only one direction is promised.
    flat = flat_of([*rules, *IN_THE_GRID], quantities=DECLARED)
    if list(clashes(flat, DAY, binding(flat, DAY))):
        assert not some_legal(flat, RELATED_CARS)


@pytest.mark.parametrize(
    ("rules", "is_empty"),
    [
        ([{"quantity": "extra.a_mm", "at_least": {"of": "extra.b_mm", "times": 2}}, {"quantity": "extra.a_mm", "below": 4},
          {"quantity": "extra.b_mm", "at_least": 2}], True),
        ([{"quantity": "extra.a_mm", "at_least": {"of": "extra.b_mm", "times": 2}}, {"quantity": "extra.a_mm", "at_most": 4},
          {"quantity": "extra.b_mm", "at_least": 2}], False),
        ([{"quantity": "extra.a_mm", "nominal": {"of": "extra.b_mm"}, "tolerance": {"percent": 10}},
          {"quantity": "extra.a_mm", "at_least": 5}, {"quantity": "extra.b_mm", "at_most": 4.5}], True),
        ([{"quantity": "extra.both_mm", "at_least": 8.9}, {"quantity": "extra.a_mm", "at_most": 4},
          {"quantity": "extra.b_mm", "below": 5}], False),
        ([{"quantity": "extra.both_mm", "at_least": 9}, {"quantity": "extra.a_mm", "at_most": 4},
          {"quantity": "extra.b_mm", "below": 5}], True),
        ([{"quantity": "extra.both_mm", "at_most": 3}, {"quantity": "extra.a_mm", "at_least": 2},
          {"quantity": "extra.b_mm", "at_least": 1.5}], True),
        ([{"quantity": "extra.a_mm", "at_least": 4, "unit": "cm"}, {"quantity": "extra.a_mm", "at_most": 39}], True),
        ([{"quantity": "extra.a_mm", "at_most": 190, "read_to": 1}, {"quantity": "extra.a_mm", "at_least": 190.3}], False),
        ([{"quantity": "extra.a_mm", "at_most": 190, "taken": {"at": "start"}},
          {"quantity": "extra.a_mm", "at_least": 191, "taken": {"at": "after-run"}}], False),
        ([{"quantity": "battery_cells", "between": [2.2, 2.8]}], True),
        ([{"quantity": "width_mm", "at_most": 190, "inspect": "the width"}, {"quantity": "width_mm", "at_least": 191}], False),
        ([{"quantity": "motor_rebuilds", "one_of": ["clean"]}, {"quantity": "motor_rebuilds", "none_of": ["clean"]}], False),
    ],
)  # fmt: skip
def test_relations_sums_and_terms_narrow_what_is_left(rules: list[Data], is_empty: bool) -> None:
    flat = flat_of(rules, quantities=DECLARED)
    assert bool(list(clashes(flat, DAY, binding(flat, DAY)))) is is_empty


def _pigeons(count: int) -> list[Data]:
    """Each pigeon wants one of the holes, of which there is one too few."""
    return [
        {"any_of": [{"quantity": f"extra.hole{hole}", "equals": f"pigeon {pigeon}"} for hole in range(count - 1)]}
        for pigeon in range(count)
    ]


@pytest.mark.parametrize(("count", "is_proved"), [(4, True), (6, True), (9, False)])
def test_past_so_many_branches_nothing_is_said(count: int, is_proved: bool) -> None:
    flat = flat_of(_pigeons(count))
    rules = binding(flat, DAY)
    assert bool(list(clashes(flat, DAY, rules))) is is_proved
    boxes = [boxes_of(rule, flat, DAY, DayLists({}, DAY)) for rule in rules]
    assert is_satisfiable(boxes, Effort()) is (False if is_proved else None)
    assert is_satisfiable(boxes[1:], Effort()) is True


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
        (
            [
                {"quantity": "width_mm", "at_most": 190, "when": {"entry.venue": "indoor"}},
                {"quantity": "width_mm", "at_least": 195},
                {"quantity": "entry.venue", "one_of": ["indoor", "hall"]},
                {"quantity": "entry.venue", "none_of": ["hall"]},
            ],
            "no car can meet r0 (width at most 190 mm, where venue is indoor), r1 (width at least 195 mm), r2 (venue one of",
        ),
        (
            [
                {"any_of": [{"quantity": "width_mm", "at_most": 180}, {"quantity": "length_mm", "at_most": 300}]},
                {"quantity": "width_mm", "at_least": 185},
                {"quantity": "length_mm", "at_least": 310},
            ],
            "no car can meet r0 (width at most 180 mm, or length at most 300 mm), r1 (",
        ),
    ],
)
def test_the_rules_that_clash_are_named(rules: list[Data], words: str) -> None:
    flat = flat_of(rules, lists={"motors": {"items": [{"id": "M-1", "until": "2026-01-31"}]}})
    (clash,) = clashes(flat, DAY, binding(flat, DAY))
    assert words in clash.reason
    assert len(clash.rules) == len(rules)
