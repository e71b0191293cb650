"""The safe start and the steps up from it: laws, held to the rules engine and to the demonstration cars."""

import re
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from speclint.check.pipeline import check, gathered
from speclint.files import FileText, Folder, ListedFile
from speclint.gearing.assumed import WINDING_LIMIT_C
from speclint.gearing.legality import follows_gears
from speclint.gearing.next_steps import THERMOMETER_K
from speclint.gearing.pair_table import table_rows
from speclint.gearing.pairs import GearPair
from speclint.gearing.plan import Plan, plan
from speclint.gearing.start import AS_COOL_K, EVEN_K, FARTHEST_BACK, Mark, RatedPair, Reason, reaches, tallest
from speclint.gearing.wording import pack_text, reason_text, start_text, sure_text
from speclint.rules.checks import Verdict
from speclint.workspace.overrides import Overrides
from tests.console import example
from tests.gearing.geared_cars import PROJECT, TODAY, TOO_TALL, demo, planned

CARS = (
    "car-05-buggy",
    "car-12-carpet",
    "car-13-touring",
    "car-14-amended-in-june",
    "car-16-listing-ends",
    "car-19-two-clubs",
    "car-21-touring",
    "car-22-track-runs",
    "car-31-pan",
    "car-40-junior",
)
every_car = pytest.mark.parametrize("name", CARS)


class _Changed(Folder):
    """The project's folder, in which a file has another text."""

    def __init__(self, file: str, text: str) -> None:
        super().__init__(str(PROJECT))
        self._changed = FileText(file, text, None, "setup")

    def read(self, shown: str) -> FileText:
        return self._changed if shown == self._changed.file else super().read(shown)


def gear_verdicts(name: str, spur: int, pinion: int) -> set[Verdict]:
    """What the check itself says of a car's gearing with other gears written into its file."""
    file = example(name)
    text = (PROJECT / file).read_text(encoding="utf-8")
    head, _, tail = text.partition("track_runs:")
    head = re.sub(r"(?m)^(  spur_teeth:) \d+", rf"\1 {spur}", head)
    head = re.sub(r"(?m)^(  pinion_teeth:) \d+", rf"\1 {pinion}", head)
    text = f"{head}track_runs:{tail}" if tail else head
    found = gathered(check([ListedFile(file, "setup")], _Changed(file, text), Overrides(today=TODAY)))
    assert found.entries
    return {
        one.verdict
        for entry in found.entries
        for one in entry.checks
        if one.rule.quantity is not None
        and follows_gears(one.rule.quantity)
        and one.verdict is not Verdict.NOT_APPLICABLE
    }


@every_car
def test_the_start_is_legal_by_the_check_itself_and_so_is_one_pinion_tooth_more_where_one_is_cool_enough(
    name: str,
) -> None:
    start = demo(name).start
    assert start is not None
    assert gear_verdicts(name, start.rated.pair.spur, start.rated.pair.pinion) <= {Verdict.LEGAL}
    if start.rated.mark is Mark.EDGE:
        # Only where no pair with a tooth to spare is as surely cool.
        assert start.reason is Reason.FOUR_OF_FIVE
        assert not any(
            rated.outlook.can_four_of_five_c < demo(name).case.limit_c - 0.5
            for rated in demo(name).pairs
            if rated.spare and rated.outlook is not None
        )
    else:
        assert gear_verdicts(name, start.rated.pair.spur, start.rated.pair.pinion + 1) <= {Verdict.LEGAL}


@every_car
def test_of_five_cars_like_it_four_stay_below_the_limit_on_the_start_and_nineteen_of_twenty_until_the_look(
    name: str,
) -> None:
    plan = demo(name)
    start = plan.start
    assert start is not None
    outlook = start.rated.outlook
    assert outlook is not None
    if start.reason is Reason.FOUR_OF_FIVE:
        assert outlook.can_four_of_five_c < plan.case.limit_c
    else:
        assert start.reason is Reason.COOLEST
        assert outlook.can_c.median < plan.case.limit_c
        assert not any(
            other.outlook.can_four_of_five_c < plan.case.limit_c - 0.5
            for other in plan.pairs
            if other.mark in (Mark.SAFE, Mark.LOOK) and other.outlook is not None
        )
    assert outlook.top_motor_rad_per_s.high * 60 / 6.2831 <= plan.case.limit_rpm
    look = next(each for each in outlook.looks if each.minutes == start.look.minutes)
    assert look.can_high_c < plan.case.limit_c
    assert start.look.go_on_c is not None
    assert start.look.go_on_c <= look.go_on_c - THERMOMETER_K + 1e-9


@every_car
def test_the_start_is_no_taller_than_the_motor_s_sheet_suggests_for_its_tyre(name: str) -> None:
    plan = demo(name)
    assert plan.start is not None
    assert plan.case.starting is None or plan.start.rated.pair.ratio >= plan.case.starting[0]


@every_car
def test_no_cool_enough_pair_of_the_same_spur_is_taller_than_the_start_but_where_the_sheet_ends(name: str) -> None:
    plan = demo(name)
    starting = plan.case.starting
    assert plan.start is not None
    start = plan.start.rated
    taller = [
        each
        for each in plan.pairs
        if each.mark in (Mark.SAFE, Mark.LOOK)
        and each.outlook is not None
        and each.outlook.can_four_of_five_c < plan.case.limit_c - 0.5
        and each.pair.spur == start.pair.spur
        and each.pair.ratio < start.pair.ratio
    ]
    assert all(starting is not None and each.pair.ratio < starting[0] for each in taller)


@every_car
def test_where_a_look_says_too_hot_the_car_goes_to_a_pair_that_is_cooler(name: str) -> None:
    start = demo(name).start
    assert start is not None
    if start.back is None:
        assert all(
            each.likely_c > start.rated.likely_c - 1.0
            for each in demo(name).pairs
            if each.is_legal
            and each.outlook is not None
            and 1 / FARTHEST_BACK < each.pair.ratio / start.rated.pair.ratio < FARTHEST_BACK
        )
    else:
        assert start.back.is_legal
        assert start.back.likely_c <= start.rated.likely_c - 1.0


@every_car
def test_what_is_said_of_a_step_is_what_its_numbers_say(name: str) -> None:
    plan = demo(name)
    assert plan.start is not None
    last = plan.start.rated
    for step in plan.steps:
        assert step.cooler is (round(step.rated.likely_c) < round(last.likely_c))
        assert step.rated.likely_c < plan.case.limit_c
        last = step.rated


@every_car
def test_the_steps_go_up_one_at_a_time_and_every_one_is_legal(name: str) -> None:
    plan = demo(name)
    assert plan.start is not None
    steps = [plan.start.rated, *(step.rated for step in plan.steps)]
    assert all(before.pair.ratio > after.pair.ratio for before, after in pairwise(steps))
    assert all(each.is_legal for each in steps)
    for before, after in pairwise(steps):
        if after.pair.spur == before.pair.spur:
            between = {
                each.pair.pinion
                for each in plan.pairs
                if each.pair.spur == before.pair.spur and before.pair.pinion < each.pair.pinion < after.pair.pinion
            }
            assert between == set()
    assert plan.stop


@pytest.mark.parametrize("name", ["car-12-carpet", "car-13-touring", "car-22-track-runs"])
def test_a_higher_limit_never_gives_a_shorter_start(name: str) -> None:
    known = demo(name)
    assert known.forecaster is not None
    starts = []
    for limit_c in (45.0, 60.0, 66.0, 90.0):
        case = replace(known.case, limit_c=limit_c)
        starts.append(plan(known.car, case, known.forecaster, known.choice, known.entries).start)
    for lower, higher in pairwise(starts):
        if lower is not None and lower.reason is Reason.FOUR_OF_FIVE:
            assert higher is not None
            assert higher.rated.pair.ratio <= lower.rated.pair.ratio
    assert starts[0] is None
    assert starts[-1] is not None


def synthetic(spur: int, pinion: int) -> RatedPair:
    return RatedPair(GearPair(spur, pinion, Fraction(19, 10)), Fraction(0), None, (), True, Mark.SAFE)


teeth = st.tuples(st.integers(90, 102), st.integers(34, 50))


@given(st.sets(teeth, min_size=1, max_size=30), st.sets(teeth, max_size=30), st.integers(90, 102))
def test_with_more_pairs_the_tallest_is_shorter_by_less_than_a_pinion_tooth_if_at_all(
    few: set[tuple[int, int]], more: set[tuple[int, int]], fitted: int
) -> None:
    # It can be shorter at all because the spur that is fitted is kept, where another one gains less than a tooth.
    before, after = (tallest([synthetic(*pair) for pair in sorted(pairs)], fitted).pair for pairs in (few, few | more))
    assert after.with_pinion(after.pinion + 1).ratio < before.ratio


@given(st.sets(teeth, min_size=1, max_size=30))
def test_where_no_spur_is_fitted_the_tallest_pair_is_the_tallest(pairs: set[tuple[int, int]]) -> None:
    every = [synthetic(*pair) for pair in sorted(pairs)]
    assert tallest(every, None).pair.ratio == min(each.pair.ratio for each in every)


def test_the_spur_that_is_fitted_stays_unless_another_one_gains_a_whole_pinion_tooth() -> None:
    own, near, far = (synthetic(*teeth) for teeth in ((96, 42), (100, 44), (96 - 5, 42)))
    assert tallest([own, near], 96) is own
    assert tallest([own, far], 96) is far


def test_a_pair_is_too_hot_as_soon_as_its_printed_band_reaches_the_limit() -> None:
    assert not reaches(70.4, 71.0)
    assert reaches(70.6, 71.0)
    assert reaches(float("nan"), 71.0)
    assert reaches(float("inf"), 71.0)


def test_without_an_entry_nothing_forbids_and_the_sheet_says_so(tmp_path: Path) -> None:
    plan = planned(tmp_path, track="hall", limit_c=79.0)
    assert plan.entries == ()
    assert {each.mark for each in plan.pairs} <= {Mark.SAFE, Mark.LOOK, Mark.HOT}
    assert "no rules were asked" in " ".join(start_text(plan))


def test_one_entry_alone_asks_its_own_rules_only() -> None:
    both = demo("car-13-touring")
    from tests.gearing.geared_cars import rated

    second = rated(PROJECT, "examples/setups/car-13-touring.yaml", entry=2)
    assert not isinstance(second, tuple)
    assert [one.label for one in second.entries] == ["pine-hall/stock-13"]
    assert second.case.track.name == "pine-hall"
    legal_in_both = {each.pair for each in both.pairs if each.is_legal}
    assert legal_in_both < {each.pair for each in second.pairs if each.is_legal}


def test_what_is_wrong_elsewhere_with_a_car_changes_nothing_about_its_gearing() -> None:
    plan = demo("car-14-underweight")
    assert plan.start is not None
    assert [each.rule.quantity for one in plan.entries for each in one.elsewhere] == ["mass_g"]


def test_a_rule_that_begins_later_is_told_for_the_start() -> None:
    notices = demo("car-12-carpet").notices
    assert len(notices) == 1
    assert "from 1 June 2026 this rule asks at least 4.4" in notices[0]
    assert "will be illegal" in notices[0]


def test_what_two_days_of_one_class_say_alike_is_told_once() -> None:
    plan = demo("car-16-waiver")
    assert len(plan.entries) == 2
    assert len(plan.notices) == 1
    for row in table_rows(demo("car-31-new-tyres")):
        assert row.note.count("illegal") <= 1


@every_car
def test_where_heat_would_allow_a_taller_pair_the_reason_names_what_does_not(name: str) -> None:
    plan = demo(name)
    assert plan.start is not None
    if plan.start.reason is not Reason.FOUR_OF_FIVE:
        return
    sentence = reason_text(plan)
    for rated in plan.pairs:
        if (
            rated.outlook is not None
            and rated.is_legal
            and rated.pair.spur == plan.start.rated.pair.spur
            and rated.pair.ratio < plan.start.rated.pair.ratio
            and not reaches(rated.outlook.can_four_of_five_c, plan.case.limit_c)
        ):
            assert ("to spare" if rated.mark is Mark.EDGE else "motor's sheet") in sentence, rated.pair


def test_where_a_bench_run_lacks_a_winding_no_bench_run_as_such_is_said_to_help(tmp_path: Path) -> None:
    bench = "{date: 2026-02-20, supply_v: 7.4, current_a: 3.3, kv_rpm_per_v: 2400, can_c: 25}"
    plan = planned(tmp_path, track="hall", motor=f"{{turns: 17.5, bench_runs: [{bench}]}}")
    sentence = sure_text(plan)
    assert "the bench run of 20 February 2026, with typical values for winding" in sentence
    assert "a bench run with speed, current and winding" in sentence


def test_where_even_the_coolest_pair_is_likely_too_hot_it_says_so_and_what_helps() -> None:
    plan = demo("car-13-touring", 48.0)
    assert plan.start is None
    assert plan.steps == ()
    assert "would likely take the can to 48 °C or more within 5 minutes" in plan.no_start_reasons[0]
    assert "timing" in plan.no_start_reasons[1] and "fan" in plan.no_start_reasons[1]
    assert all(each.likely_c >= 47.5 for each in plan.pairs if each.is_legal)


def test_where_four_of_five_are_too_many_to_hope_for_a_pair_as_cool_as_the_coolest_is_the_start() -> None:
    plan = demo("car-21-touring")
    assert plan.start is not None
    start = plan.start.rated
    assert plan.start.reason is Reason.COOLEST
    coolest_c = min(rated.likely_c for rated in plan.pairs if rated.mark is Mark.LOOK)
    assert start.likely_c <= coolest_c + AS_COOL_K < plan.case.limit_c
    next_taller = next(rated for rated in plan.pairs if rated.pair == start.pair.with_pinion(start.pair.pinion + 1))
    assert next_taller.likely_c > coolest_c + AS_COOL_K


def test_where_the_coolest_is_about_as_likely_too_hot_as_not_it_is_the_start_until_runs_of_the_car_say_better(
    tmp_path: Path,
) -> None:
    # A newcomer's car: only the turns are known, and no track.
    plan = planned(tmp_path, motor="{turns: 17.5}", garage=None)
    assert plan.start is not None
    assert plan.start.reason is Reason.EVEN
    coolest_c = min(rated.likely_c for rated in plan.pairs)
    assert plan.case.limit_c - 0.5 <= coolest_c < plan.case.limit_c + EVEN_K
    assert plan.start.rated.likely_c == coolest_c
    assert plan.start.look.go_on_c is not None
    assert "as likely to pass 71 °C as not" in reason_text(plan)
    assert "fan" in reason_text(plan)
    taught = planned(
        tmp_path,
        garage=None,
        motor="{turns: 17.5}",
        more="track_runs: [{date: 2026-02-25, spur_teeth: 96, pinion_teeth: 42, minutes: 5, ambient_c: 25, can_c: 84}]",
    )
    assert taught.start is None or taught.start.reason is not Reason.EVEN


def test_four_of_five_windings_stay_below_their_limit_as_well(tmp_path: Path) -> None:
    plan = planned(tmp_path, track="hall", limit_c=95.0)
    assert plan.start is not None
    assert plan.start.reason is Reason.FOUR_OF_FIVE
    assert plan.start.rated.outlook is not None
    assert plan.start.rated.outlook.winding_four_of_five_c < WINDING_LIMIT_C
    assert any(
        rated.outlook.can_four_of_five_c < 95 and rated.outlook.winding_four_of_five_c > WINDING_LIMIT_C
        for rated in plan.pairs
        if rated.outlook is not None
    )


def test_a_look_where_nothing_is_predicted_leaves_room_up_to_the_limit(tmp_path: Path) -> None:
    # 2.3 K/W and 90 J/K: after one minute of five a can has about a quarter of its rise, 14 of 51 K in air of 20 °C.
    start = planned(tmp_path, track="hall", motor="{}").start
    assert start is not None
    assert start.look.minutes == 1.0
    assert start.look.go_on_c is not None
    assert 20 + 14 - 8 <= start.look.go_on_c <= 20 + 14 - THERMOMETER_K


def test_a_run_that_empties_the_pack_is_told() -> None:
    from tests.gearing.geared_cars import rated

    plan = rated(PROJECT, "examples/cars/car-12-carpet.yaml", minutes=60.0)
    assert isinstance(plan, Plan)
    assert plan.start is None or "never run a lithium pack empty" in pack_text(plan)
    assert pack_text(demo("car-12-carpet")) == ""


def test_where_no_pair_at_hand_is_legal_it_names_the_pinion_to_get(tmp_path: Path) -> None:
    plan = planned(
        tmp_path,
        entries="[{ruleset: harbour-city, class: stock-17, on: 2026-03-14, track: hall}]",
        more="parts_box: {pinions_teeth: [44, 45, 46], spurs_teeth: [96]}",
        car={"pinion_teeth": "44"},
        limit_c=95.0,
    )
    assert plan.start is None
    assert plan.no_start_reasons[0].startswith("No pair at hand is legal. Spur 96 with pinion 44 comes nearest")
    assert (
        plan.no_start_reasons[-1] == "A pinion with 42 teeth on the spur with 96 would be legal with a tooth to spare."
    )


def test_where_the_last_legal_tooth_is_all_there_is_it_is_the_start_and_says_so(tmp_path: Path) -> None:
    plan = planned(
        tmp_path,
        entries="[{ruleset: harbour-city, class: stock-17, on: 2026-03-14, track: hall}]",
        more="parts_box: {pinions_teeth: [43, 44], spurs_teeth: [96]}",
        car={"pinion_teeth": "43"},
        limit_c=95.0,
    )
    assert {each.mark for each in plan.pairs} == {Mark.EDGE, Mark.ILLEGAL}
    assert plan.start is not None
    assert plan.start.rated.pair.pinion == 43
    assert "it has no legal tooth to spare" in reason_text(plan)


def test_what_is_not_shown_to_be_legal_gets_a_start_that_says_so(tmp_path: Path) -> None:
    plan = planned(
        tmp_path,
        entries="[{ruleset: coastal-league, class: pan-12, on: 2026-03-14, track: hall}]",
        car={"tyre_diameter_mm": None},
    )
    assert plan.start is not None
    assert plan.start.rated.mark is Mark.NOT_SHOWN
    assert "not shown to be legal" in reason_text(plan)


def test_a_motor_that_may_turn_too_fast_is_not_safe(tmp_path: Path) -> None:
    plan = planned(tmp_path, track="hall", limit_c=95.0, limit_rpm=15_000.0)
    assert Mark.FAST in {each.mark for each in plan.pairs}
    assert all(
        each.mark not in (Mark.SAFE, Mark.LOOK)
        or (each.outlook is not None and each.outlook.top_motor_rad_per_s.high < 1571)
        for each in plan.pairs
    )


def test_a_gearing_far_too_tall_cannot_pull(tmp_path: Path) -> None:
    plan = planned(tmp_path, track="hall", car=TOO_TALL)
    assert {each.mark for each in plan.pairs} == {Mark.WEAK}
    assert plan.start is None
    assert "too tall to pull" in " ".join(plan.no_start_reasons)
