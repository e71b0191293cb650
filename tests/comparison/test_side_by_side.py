"""Several motors beside each other: which one to choose, and what is only called different when it is."""

import math
from datetime import date
from typing import TYPE_CHECKING, Any

import pytest
from scipy.stats import norm

from speclint.comparison.differences import Conclusion
from speclint.comparison.ranking import Legality, MotorToRank, Ranking, rank
from speclint.documents.parse import parse
from speclint.models.cars import Car
from speclint.models.instruments import instruments_of
from speclint.models.motors import motor_of
from speclint.models.setups import setup_of
from tests.comparison.bench_motors import flow, run
from tests.comparison.test_equivalent_gearing import race

if TYPE_CHECKING:
    from speclint.comparison.equivalent import EntryRules

METERS: dict[str, Any] = {
    "meter": {"accuracy_percent": 0.5, "resolution": 0.01},
    "thermometer": {"accuracy": 0.5, "resolution": 0.1},
    "motor-bench": {"accuracy_percent": 0.5},
}
RULE = {"quantity": "winding_mean_mohm", "at_least": 21, "at_most": 23}


def winding(mohm: float, **keys: Any) -> dict[str, Any]:
    pairs = {f"{pair}_mohm": mohm for pair in ("ab", "bc", "ca")}
    return {**pairs, "winding_c": 20, "instrument": "meter", "thermometer": "thermometer", **keys}


def entrant(name: str, *runs: dict[str, Any], rules: tuple[dict[str, Any], ...] = (), **keys: Any) -> MotorToRank:
    document, problems = parse(
        f"{name}.yaml", flow({"format": "motor/1", "turns": 17.5, "bench_runs": list(runs), **keys}) + "\n"
    )
    assert document is not None, problems
    of = motor_of(document)
    bare, _ = parse("", "format: setup/1\n")
    assert bare is not None
    instruments = instruments_of(METERS)
    races: tuple[EntryRules, ...] = tuple(race(Car(setup_of(bare), of, "", instruments), rule) for rule in rules)
    return MotorToRank(name, of, instruments, races)


def by_winding(**mohm: float) -> Ranking:
    return rank(
        [entrant(name, run("2026-03-01", winding=winding(value)), rules=(RULE,)) for name, value in mohm.items()],
        date(2026, 3, 14),
    )


def test_the_lowest_winding_that_is_surely_legal_is_chosen() -> None:
    found = by_winding(low=20.5, edge=21.02, good=21.5, high=22.4)
    assert [(one.name, one.legality) for one in found.candidates] == [
        ("good", Legality.SURE),
        ("high", Legality.SURE),
        ("edge", Legality.AS_READ),
        ("low", Legality.ILLEGAL),
    ]
    assert found.pick is not None
    assert found.pick.name == "good"
    assert found.level_with == ()


def test_of_motors_that_are_only_legal_as_read_the_lowest_is_chosen() -> None:
    found = by_winding(edge=21.02, other=21.04, low=20)
    assert found.pick is not None
    assert (found.pick.name, found.pick.legality) == ("edge", Legality.AS_READ)
    assert [one.name for one in found.level_with] == ["other"]


def test_a_difference_that_the_meter_cannot_see_is_none() -> None:
    found = by_winding(one=21.50, two=21.55, three=22.5)
    assert [one.name for one in found.level_with] == ["two"]
    against = {other.name: change.conclusion for other, change in found.differences["winding_mean_mohm"]}
    assert against == {"one": Conclusion.NO_CHANGE, "two": Conclusion.NO_CHANGE, "three": Conclusion.CHANGED}


def test_readings_in_the_same_place_of_two_files_share_the_meter_and_nothing_else() -> None:
    found = by_winding(one=21.50, two=21.50)
    ((_, change),) = found.differences["winding_mean_mohm"][1:]
    assert change.expanded_uncertainty is not None
    # The copper's own temperature of each, 1 K / sqrt(3) of 255 K, and 0.2 % for each pair of leads contacted anew are the
    # most of it; the meter's 0.5 % has cancelled. Five quantities of one pair of motors: 95 % for all of them.
    factor = norm.ppf(0.5 + 0.5 * 0.95**0.2)
    each = math.hypot(21.5 / 255 / 3**0.5, 0.002 * 21.5 / 3**0.5)
    assert change.expanded_uncertainty == pytest.approx(factor * 2**0.5 * each, rel=0.05)


def test_meters_of_one_name_and_two_descriptions_are_two_meters() -> None:
    one, other = (entrant(name, run("2026-03-01", winding=winding(21.5))) for name in ("one", "other"))
    other = MotorToRank(
        "other", other.motor, instruments_of({**METERS, "meter": {"accuracy_percent": 0.6, "resolution": 0.01}}), ()
    )
    ((_, change),) = rank([one, other], date(2026, 3, 14)).differences["winding_mean_mohm"][1:]
    assert change.shares == ()
    assert change.expanded_uncertainty is not None
    assert change.expanded_uncertainty > 0.2


def test_a_reading_from_before_a_rebuild_that_ended_it_no_longer_counts() -> None:
    swapped = entrant("swapped", run("2026-03-01"), rebuilds=[{"date": "2026-03-05", "did": ["rotor-swap"]}])
    found = rank([swapped, entrant("other", run("2026-03-01"))], date(2026, 3, 14))
    newest_values = next(one for one in found.candidates if one.name == "swapped").newest_values
    assert newest_values["kv_rpm_per_v"].level.number is None
    assert newest_values["kv_rpm_per_v"].reason == "not measured since the rotor swap of 5 March 2026"
    assert newest_values["winding_mean_mohm"].level.number is not None, "the winding is as it was"
    before = rank([swapped, entrant("other", run("2026-03-01"))], date(2026, 3, 4))
    assert (
        next(one for one in before.candidates if one.name == "swapped").newest_values["kv_rpm_per_v"].level.number
        is not None
    )


def test_runs_after_the_day_are_not_known_yet() -> None:
    motor = entrant("one", run("2026-03-01", winding=winding(21.5)), run("2026-04-01", winding=winding(22.5)))
    found = rank([motor, entrant("two", run("2026-03-01"))], date(2026, 3, 14)).candidates
    run_of_one = next(one for one in found if one.name == "one").newest_values["winding_mean_mohm"].run
    assert run_of_one is not None
    assert run_of_one.number == 1


def test_motors_of_several_specs_are_said_to_be() -> None:
    listed = [entrant("one", run("2026-03-01")), entrant("two", run("2026-03-01"), turns=13.5)]
    assert not rank(listed, date(2026, 3, 14)).one_spec
    assert rank(listed[:1] * 2, date(2026, 3, 14)).one_spec


def test_a_warm_winding_is_corrected_before_motors_are_compared() -> None:
    cold, warm = (
        entrant(name, run("2026-03-01", winding=winding(21.5, winding_c=at)), rules=(RULE,))
        for name, at in (("cold", 20), ("warm", 40))
    )
    found = rank([warm, cold], date(2026, 3, 14))
    assert {one.name: one.legality for one in found.candidates} == {"cold": Legality.SURE, "warm": Legality.ILLEGAL}


def test_the_order_of_the_files_does_not_matter() -> None:
    forwards, backwards = by_winding(a=21.5, b=22.5, c=20), by_winding(c=20, b=22.5, a=21.5)
    assert [one.name for one in forwards.candidates] == [one.name for one in backwards.candidates]
    assert forwards.pick is not None
    assert backwards.pick is not None
    assert forwards.pick.name == backwards.pick.name
