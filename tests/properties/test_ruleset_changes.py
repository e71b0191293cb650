"""A comparison of two rulesets promises: what it calls no major step turns no legal car illegal, on any day, for any car."""

from collections.abc import Iterator
from datetime import date
from typing import Any, Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from speclint.comparison.ruleset_changes import IndexedVersion, Step, changes_between, largest_step
from speclint.documents.parse import parse
from speclint.models.cars import Car
from speclint.models.setups import setup_of
from speclint.quantities.facts import Facts
from speclint.rules.checks import Verdict
from speclint.rules.judge import entry_verdict, judge
from speclint.rules.rulebook import rulebook
from speclint.rulesets.library import Library
from speclint.rulesets.load import ruleset_of
from tests.properties.strategies import Data, instruments, readings, written

DAYS: Final = ("2026-02-01", "2026-04-01", "2026-06-01", "2026-08-01")
KINDS: Final = ("standard", "torque", "sintered")
MOMENTS: Final = ("start", "after-run")
TYRES: Final = ("T-1", "T-2", "T-3")


def _limits() -> st.SearchStrategy[Data]:
    def sized(name: str, low: int, high: int) -> st.SearchStrategy[Data]:
        bound = st.integers(low, high)
        return st.one_of(
            st.sampled_from(["at_least", "at_most", "above", "below"]).flatmap(
                lambda key: bound.map(lambda size: {key: size})
            ),
            st.tuples(bound, bound).map(lambda pair: {"between": sorted(pair)}),
        ).map(lambda limit: {"quantity": name, **limit})

    def read_so(test: Data) -> st.SearchStrategy[Data]:
        moments = st.lists(st.sampled_from(MOMENTS), min_size=1, unique=True)
        return st.one_of(st.just(test), st.just(test), moments.map(lambda at: {**test, "taken": {"at": at}}))

    some_kinds = st.lists(st.sampled_from(KINDS), min_size=1, unique=True)
    worded = st.one_of(
        st.tuples(st.sampled_from(["one_of", "none_of"]), some_kinds).map(lambda pair: {pair[0]: pair[1]}),
        st.just({"stated": True}),
    ).map(lambda limit: {"quantity": "rotor_kind", **limit})
    listed = st.just({"quantity": "extra.tyre", "listed_in": "tyres"})
    single = st.one_of(sized("mass_g", 1340, 1346).flatmap(read_so), sized("spur_teeth", 80, 84), worded, listed)
    together = st.lists(single, min_size=2, max_size=2).map(lambda tests: {"all_of": tests})
    ways = st.lists(st.one_of(single, together), min_size=2, max_size=3).map(lambda options: {"any_of": options})
    return st.one_of(single, single, single, ways)


WHEN: Final = st.sampled_from(
    [
        {"entry.venue": "indoor"},
        {"entry.venue": ["indoor", "outdoor"]},
        {"entry.venue": {"none_of": ["indoor"]}},
        {"battery_cells": {"at_most": 2}},
        {"battery_cells": {"at_most": 3}},
    ]
)


@st.composite
def _rule(draw: st.DrawFn, name: str) -> Data:
    more = draw(
        st.fixed_dictionaries(
            {},
            optional={
                "when": WHEN,
                "from": st.sampled_from(DAYS[:2]),
                "until": st.sampled_from(DAYS[2:]),
                "decision": st.sampled_from(["must-show", "benefit-of-doubt"]),
            },
        )
    )
    return {"id": name, **draw(_limits()), **more}


@st.composite
def _rulesets(draw: st.DrawFn) -> tuple[Data, Data]:
    """A ruleset, and what an amendment makes of it."""
    rules = [draw(_rule(name)) for name in ("a", "b")]
    changed = [draw(st.one_of(st.just(rule), _edited(rule))) for rule in rules]
    changed = draw(st.sampled_from([changed, changed[:1], [*changed, draw(_rule("c"))]]))
    if draw(st.booleans()):
        changed.append({**draw(_rule("d")), "replaces": "a"})
    old_lists, new_lists = (
        {
            "tyres": {
                "items": [{"id": name, **_until(draw)} for name in draw(st.lists(st.sampled_from(TYRES), unique=True))]
            }
        }
        for _ in range(2)
    )
    common = draw(st.booleans())
    return _ruleset("1", rules, old_lists), _ruleset("2", changed, old_lists if common else new_lists)


def _until(draw: st.DrawFn) -> Data:
    return draw(st.fixed_dictionaries({}, optional={"until": st.sampled_from(DAYS)}))


@st.composite
def _edited(draw: st.DrawFn, rule: Data) -> Data:
    """The rule with one thing changed, often so that it asks for less."""
    edited = dict(rule)
    for key, step in (("at_least", -1), ("above", -1), ("at_most", 1), ("below", 1)):
        if key in rule:
            edited[key] = rule[key] + step * draw(st.sampled_from([1, 1, 2, -1]))
    if "between" in rule:
        edited["between"] = [rule["between"][0] - 1, rule["between"][1] + draw(st.sampled_from([0, 1]))]
    if draw(st.booleans()):
        edited.pop(draw(st.sampled_from(["when", "from", "until", "decision"])), None)
    if rule.get("quantity") == "mass_g" and draw(st.booleans()):
        edited["taken"] = {"at": draw(st.lists(st.sampled_from(MOMENTS), min_size=1, unique=True))}
    elif draw(st.booleans()):
        edited.pop("taken", None)
    if draw(st.booleans()):
        edited["when"] = draw(WHEN)
    return edited


def _ruleset(version: str, rules: list[Data], lists: Data) -> Data:
    return {
        "format": "ruleset/1",
        "id": "club",
        "version": version,
        "in_force": {"from": "2026-01-01", "until": "2026-12-31"},
        "classes": {"stock": {"rules": rules}},
        "lists": lists,
    }


@st.composite
def _cars(draw: st.DrawFn) -> Data:
    return {
        "format": "setup/1",
        "instruments": {"meter": draw(instruments()), "probe": {"accuracy": 1}},
        "car": {"mass_g": _taken(draw, draw(readings(1338, 1348, 0))), "spur_teeth": draw(st.integers(78, 86))},
        "battery": {"cells": draw(st.integers(1, 4))},
        "motor": {"rotor": {"kind": draw(st.sampled_from(KINDS))}},
        "extra": {"tyre": draw(st.sampled_from(TYRES))},
    }


def _taken(draw: st.DrawFn, reading: Any) -> Any:
    """The reading, with how it was taken in most cases."""
    moment = draw(st.sampled_from([None, *MOMENTS]))
    if moment is None:
        return reading
    return {**(reading if isinstance(reading, dict) else {"value": reading}), "taken": {"at": moment}}


def _indexed(data: Data) -> IndexedVersion:
    document, problems = parse("club.yaml", written(data))
    assert document is not None
    ruleset, wrong = ruleset_of(document)
    assert ruleset is not None, (problems, wrong)
    return IndexedVersion(ruleset, Library([ruleset]))


def _verdict(version: IndexedVersion, car: Car, day: date, venue: str) -> Verdict:
    flat = version.flat("stock")
    assert flat is not None
    book = rulebook(flat, day)
    facts = Facts(car, on=day, reference_c=flat.reference_c, entry_keys={"venue": venue}, official=flat.instruments)
    return entry_verdict(judge(book, facts, car.setup.document.place(())), book)[0]


def _car(data: Data) -> Car:
    from speclint.models.motors import motor_of

    document, _ = parse("car.yaml", written(data))
    assert document is not None
    motor = motor_of(document, ("motor",))
    setup = setup_of(document)
    return Car(setup, motor, "", setup.instruments)


def _turned(old: IndexedVersion, new: IndexedVersion, cars: list[Data]) -> Iterator[Any]:
    """The cars and days that were legal and become illegal."""
    for car in map(_car, cars):
        for text in ("2026-01-01", *DAYS):
            for venue in ("indoor", "outdoor"):
                day = date.fromisoformat(text)
                verdicts = _verdict(old, car, day, venue), _verdict(new, car, day, venue)
                if verdicts == (Verdict.LEGAL, Verdict.ILLEGAL):
                    yield car.setup.document.text, text, venue


def _holds(pair: tuple[Data, Data], cars: list[Data]) -> None:
    old, new = map(_indexed, pair)
    step = largest_step(changes.step for changes in changes_between(old, new))
    if step is not Step.MAJOR:
        assert list(_turned(old, new, cars)) == []


@settings(max_examples=60, deadline=None)
@given(_rulesets(), st.lists(_cars(), min_size=3, max_size=3))
def test_what_is_no_major_step_never_turns_a_legal_car_illegal(pair: tuple[Data, Data], cars: list[Data]) -> None:
    _holds(pair, cars)


@pytest.mark.slow
@settings(max_examples=2000, deadline=None)
@given(_rulesets(), st.lists(_cars(), min_size=5, max_size=5))
def test_it_holds_for_ten_thousand_cars(pair: tuple[Data, Data], cars: list[Data]) -> None:
    _holds(pair, cars)


@settings(max_examples=40, deadline=None)
@given(_rulesets())
def test_a_ruleset_against_itself_has_no_change_and_back_again_what_was_added_is_withdrawn(
    pair: tuple[Data, Data],
) -> None:
    old, new = map(_indexed, pair)
    assert changes_between(old, old) == ()
    forth, back = (
        [change for changes in changes_between(*texts) for change in changes.changes]
        for texts in ((old, new), (new, old))
    )
    assert {(change.rule, change.before, change.after, change.days) for change in forth} == {
        (change.rule, change.after, change.before, change.days) for change in back
    }
