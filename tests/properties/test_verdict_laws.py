"""Laws that every verdict keeps, whatever the car and the rules: they are held on generated entries, by the whole check."""

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from speclint.findings import EntryResult
from speclint.rules.checks import Check, Verdict
from speclint.rules.wording import explanation, message
from tests.check.world import find_in
from tests.properties.strategies import Data, cars, decimals, instruments, rules, ruleset, setup_data, written

FEW = settings(max_examples=45, deadline=None)
DECISIONS = ("must-show", "as-read", "benefit-of-doubt")
LENIENCY = {"illegal": 0, "not-shown": 1, "legal": 2}


def _entry(found: list[Data], car: Data, **more: Any) -> EntryResult:
    findings = find_in({"club.yaml": written(ruleset(found, **more)), "car.yaml": written(setup_data(car))})
    (result,) = findings.entries
    return result


def _said(result: EntryResult) -> dict[str, tuple[str, str, tuple[str, ...]]]:
    return {check.rule.id: (check.verdict.value, message(check), explanation(check)) for check in result.checks}


@pytest.mark.slow
@FEW
@given(rules(), cars())
def test_what_must_be_shown_and_is_legal_is_legal_as_read_and_with_the_benefit_of_the_doubt(
    found: list[Data], car: Data
) -> None:
    results = [_entry(found, car, decision=decision) for decision in DECISIONS]
    for before, after in pairwise(results):
        assert before.verdict.value != "legal" or after.verdict.value == "legal"
        for one, other in zip(before.checks, after.checks, strict=True):
            assert one.verdict.value != "legal" or other.verdict.value == "legal"
    illegal = [{check.rule.id for check in result.checks if check.verdict.value == "illegal"} for result in results]
    assert illegal[0] == illegal[1] >= illegal[2]


@FEW
@given(rules(), cars(), st.sampled_from(DECISIONS), decimals(0, 2, 2))
def test_a_stricter_limit_never_turns_illegal_into_legal(
    found: list[Data], car: Data, decision: str, more: float
) -> None:
    stricter = [_stricter(rule, more) for rule in found]
    before = {check.rule.id: check for check in _entry(found, car, decision=decision).checks}
    after = {check.rule.id: check for check in _entry(stricter, car, decision=decision).checks}
    for rule_id, check in before.items():
        assert LENIENCY[after[rule_id].verdict.value] <= LENIENCY[check.verdict.value]
        assert _chance(after[rule_id]) <= _chance(check) + 1e-12


def _stricter(rule: Data, more: float) -> Data:
    moved = dict(rule)
    for key, step in (("at_least", more), ("above", more), ("at_most", -more), ("below", -more)):
        if key in rule:
            moved[key] = round(rule[key] + step, 4)
    if "at_least" in moved and "at_most" in moved and moved["at_least"] > moved["at_most"]:
        return dict(rule)
    return moved


def _chance(check: Check) -> float:
    probability = check.outcome.probability if check.outcome is not None else None
    return 0.0 if probability is None else probability


@FEW
@given(rules(), cars(), st.sampled_from(DECISIONS), st.randoms(use_true_random=False))
def test_neither_the_order_of_rules_nor_that_of_keys_changes_what_is_said(
    found: list[Data], car: Data, decision: str, chance: Any
) -> None:
    before = _said(_entry(found, car, decision=decision))
    mixed = [_shuffled(rule, chance) for rule in found]
    chance.shuffle(mixed)
    assert _said(_entry(mixed, _shuffled(car, chance), decision=decision)) == before


def _shuffled(data: Any, chance: Any) -> Any:
    if isinstance(data, dict):
        keys = list(data)
        chance.shuffle(keys)
        return {key: _shuffled(data[key], chance) for key in keys}
    return data


@FEW
@given(rules(), cars(), st.permutations(["ab_mohm", "bc_mohm", "ca_mohm"]))
def test_the_names_of_the_phases_do_not_matter(found: list[Data], car: Data, names: list[str]) -> None:
    winding = car["motor"]["bench_runs"][0]["winding"]
    renamed = {**winding, **dict(zip(names, (winding[key] for key in sorted(names)), strict=True))}
    motor = {**car["motor"], "bench_runs": [{**car["motor"]["bench_runs"][0], "winding": renamed}]}
    before, after = _entry(found, car), _entry(found, {**car, "motor": motor})
    for one, other in zip(before.checks, after.checks, strict=True):
        assert (one.verdict, one.close_call) == (other.verdict, other.close_call)
        if one.outcome is not None and other.outcome is not None:
            assert one.outcome.margin == other.outcome.margin
            _close(one.outcome.expanded_uncertainty, other.outcome.expanded_uncertainty)


def _close(one: float | None, other: float | None) -> None:
    assert (one is None) == (other is None)
    if one is not None and other is not None:
        assert abs(one - other) <= 1e-9 * max(abs(one), abs(other), 1e-300)


@FEW
@given(
    value=st.integers(1, 5000),
    low=st.integers(0, 5000),
    width=st.integers(0, 1000),
    instrument=instruments(),
    power=st.sampled_from([-3, -1, 1, 3]),
    decision=st.sampled_from(DECISIONS),
)
def test_another_unit_changes_neither_verdict_nor_chance(
    value: int, low: int, width: int, instrument: Data, power: int, decision: str
) -> None:
    def judged(scale: float) -> Check:
        def scaled(number: float) -> float:
            return float(f"{number * scale:.12g}")

        meter = {key: size if key == "accuracy_percent" else scaled(size) for key, size in instrument.items()}
        rule = {
            "id": "it",
            "quantity": "extra.size_mm",
            "between": [scaled(low), scaled(low + width)],
            "decision": decision,
        }
        car = {"instruments": {"meter": meter}, "extra": {"size_mm": {"value": scaled(value), "instrument": "meter"}}}
        return _entry([rule], car).checks[0]

    one, other = judged(1.0), judged(10.0**power)
    assert (one.verdict, one.close_call) == (other.verdict, other.close_call)
    assert one.outcome is not None
    assert other.outcome is not None
    _close(one.outcome.probability, other.outcome.probability)


@FEW
@given(rules(), cars(), st.sampled_from(DECISIONS), st.data())
def test_a_value_that_is_taken_away_is_never_legal(
    found: list[Data], car: Data, decision: str, data: st.DataObject
) -> None:
    section = data.draw(st.sampled_from(["car", "battery", "motor"]))
    key = data.draw(st.sampled_from(sorted(car[section])))
    without = {**car, section: {name: value for name, value in car[section].items() if name != key}}
    before, after = _entry(found, car, decision=decision), _entry(found, without, decision=decision)
    for one, other in zip(before.checks, after.checks, strict=True):
        assert other.verdict in (one.verdict, Verdict.NOT_SHOWN) or key in ("instruments", "bench_runs")
        if other.fact is not None and other.fact.value is None:
            assert other.verdict is Verdict.NOT_SHOWN


@FEW
@given(rules(), cars(), st.sampled_from(DECISIONS))
def test_a_check_of_size_says_the_same_in_its_verdict_its_margin_and_its_words(
    found: list[Data], car: Data, decision: str
) -> None:
    for check in _entry(found, car, decision=decision).checks:
        outcome = check.outcome
        if outcome is None:
            continue
        beyond = outcome.margin < 0
        if decision == "as-read":
            assert (check.verdict.value == "illegal") is (
                " short" in message(check) or " over" in message(check) or "not enough" in message(check)
            )
        if outcome.probability is not None and outcome.expanded_uncertainty and "between" not in check.rule.data:
            assert outcome.probability <= 0.5 + 1e-9 if beyond else outcome.probability >= 0.0
        if outcome.expanded_uncertainty is not None:
            near = abs(float(outcome.margin)) < outcome.expanded_uncertainty
            assert check.close_call is near or abs(abs(float(outcome.margin)) - outcome.expanded_uncertainty) < 1e-9
