"""Conditions: for which cars and races a rule, a class or a waiver holds."""

import pytest

from speclint.rules.wording import explanation, message
from tests.check.world import a_ruleset, a_setup, check_of, entry_of, find_in, verdicts

LIGHT = "car: {mass_g: 1300}"


@pytest.mark.parametrize(
    ("when", "entry", "verdict"),
    [
        ("{entry.round: {at_least: 5}}", "round: 5", "illegal"),
        ("{entry.round: {at_least: 5}}", "round: 4", "not-applicable"),
        ("{entry.round: {above: 5}}", "round: 5", "not-applicable"),
        ("{entry.round: {at_most: 5}}", "round: 5", "illegal"),
        ("{entry.round: {below: 5}}", "round: 5", "not-applicable"),
        ("{entry.round: {at_least: 3, at_most: 5}}", "round: 6", "not-applicable"),
        ("{entry.round: {between: [3, 5]}}", "round: 3", "illegal"),
        ("{entry.driver: {none_of: [novice]}}", "driver: novice", "not-applicable"),
        ("{entry.driver: {none_of: [novice]}}", "driver: expert", "illegal"),
        ("{entry.driver: {none_of: [novice]}}", "", "not-shown"),
        ("{entry.round: {at_least: 5}}", "", "not-shown"),
        ("{entry.round: {at_least: 5}}", 'round: "5"', "not-shown"),
        ("{entry.round: {at_least: 5}, entry.driver: novice}", "driver: expert", "not-applicable"),
    ],
)
def test_a_rule_applies_where_all_of_its_conditions_hold(when: str, entry: str, verdict: str) -> None:
    check = check_of(f"quantity: mass_g, at_least: 1350, when: {when}", LIGHT, entry=entry)
    assert check.verdict.value == verdict


@pytest.mark.parametrize(
    ("when", "reason"),
    [
        ("{battery_cells: {at_most: 2}}", "applies where cells is at most 2"),
        ("{entry.round: {between: [3, 5]}}", "applies where round is 3 to 5"),
        ("{entry.driver: {none_of: [novice, junior]}}", "applies where driver is not novice or junior"),
    ],
)
def test_a_condition_that_does_not_hold_is_told_in_words(when: str, reason: str) -> None:
    check = check_of(
        f"quantity: mass_g, at_least: 1350, when: {when}",
        f"{LIGHT}\nbattery: {{cells: 3}}",
        entry="round: 6, driver: junior",
    )
    assert check.reason == reason


SCALE = "instruments: {scale: {accuracy: 1.7320508}}"
"""A half-width of 1.7320508 g is a standard uncertainty of 1 g (JCGM 100 4.3.7), so U is 2 g."""


@pytest.mark.parametrize(
    ("mass", "decision", "verdict", "is_close"),
    [
        (1351, "as-read", "not-applicable", True),
        (1353, "as-read", "not-applicable", False),
        (1350, "as-read", "illegal", True),
        (1347, "as-read", "illegal", False),
        (1351, "must-show", "not-shown", True),
        (1353, "must-show", "not-applicable", False),
    ],
)
def test_a_bound_within_the_uncertainty_is_a_close_call_and_must_show_wants_the_rule_met_all_the_same(
    mass: int, decision: str, verdict: str, is_close: bool
) -> None:
    rule = f"quantity: width_mm, at_most: 190, when: {{mass_g: {{at_most: 1350}}}}, decision: {decision}"
    check = check_of(rule, f"car: {{width_mm: 200, mass_g: {{value: {mass}, instrument: scale}}}}", top=SCALE)
    assert (check.verdict.value, check.close_call) == (verdict, is_close)
    assert any("mass is at most 1350 g" in line for line in explanation(check)) is is_close
    met = rule.replace("at_most: 190", "at_most: 210").replace("must-show", "must-show, read_to: 100")
    if decision == "must-show" and is_close:
        assert "whether this rule applies hangs on mass is at most 1350 g" in message(check)
        assert (
            check_of(
                met.replace("width_mm", "motor_turns").replace("210", "20"),
                f"car: {{mass_g: {{value: {mass}, instrument: scale}}}}\nmotor: {{turns: 17.5}}",
                top=SCALE,
            ).verdict.value
            == "legal"
        )


WEIGHT = "{id: weight, quantity: mass_g, at_least: 1350}"
FOR_NOVICES = (
    "{id: novices, replaces: weight, from: 2026-01-01, when: {entry.driver: novice}, quantity: mass_g, at_least: 1250}"
)
IN_ROUND_5 = (
    "{id: round-5, replaces: weight, from: 2026-01-01, when: {entry.round: 5}, quantity: mass_g, at_least: 1200}"
)


@pytest.mark.parametrize(
    ("entry", "weight"),
    [
        ("driver: novice, round: 4", "not-applicable"),
        ("driver: expert, round: 5", "not-applicable"),
        ("driver: expert, round: 4", "illegal"),
        ("driver: expert", "not-shown"),
        ("round: 4", "not-shown"),
        ("", "not-shown"),
        ("driver: novice", "not-applicable"),
    ],
)
def test_a_rule_binds_where_no_amendment_has_its_place_and_is_not_shown_where_that_is_not_known(
    entry: str, weight: str
) -> None:
    result = entry_of((WEIGHT, FOR_NOVICES, IN_ROUND_5), LIGHT, entry=entry)
    assert verdicts(result)["weight"] == weight


@pytest.mark.parametrize(
    ("mass", "entry_round", "decision", "width", "is_close"),
    [
        (1399, 5, "as-read", "illegal", True),
        (1390, 5, "as-read", "illegal", False),
        (1399, 4, "as-read", "illegal", False),
        (1401, 5, "as-read", "not-applicable", True),
        (1401, 5, "must-show", "not-shown", True),
        (1410, 5, "must-show", "not-applicable", False),
    ],
)
def test_an_amendment_that_a_reading_only_just_brings_in_or_keeps_out_is_a_close_call_for_the_rule_it_replaces(
    mass: int, entry_round: int, decision: str, width: str, is_close: bool
) -> None:
    amended = "{id: heavy, replaces: width, from: 2026-01-01, when: {mass_g: {at_least: 1400}, entry.round: 5}, quantity: width_mm, at_most: 200}"
    result = entry_of(
        ("{id: width, quantity: width_mm, at_most: 190}", amended),
        f"car: {{mass_g: {{value: {mass}, instrument: scale}}, width_mm: 195}}",
        top=f"{SCALE}\ndecision: {decision}",
        entry=f"round: {entry_round}",
    )
    check = next(check for check in result.checks if check.rule.id == "width")
    assert (check.verdict.value, check.close_call) == (width, is_close)


def test_a_classs_condition_is_on_every_rule_of_its_block_and_not_on_what_it_inherits() -> None:
    league = a_ruleset("{id: weight, quantity: mass_g, at_least: 1350}", id_="league")
    club = a_ruleset("{id: width, quantity: width_mm, at_most: 190}", top="based_on: league@1").replace(
        "    rules:", "    when: {entry.event: demonstration}\n    rules:"
    )
    car = a_setup("car: {mass_g: 1300, width_mm: 200}", entry="event: race")
    files = {"league.yaml": league, "club.yaml": club, "car.yaml": car}
    assert verdicts(find_in(files).entries[0]) == {"weight": "illegal", "width": "not-applicable"}
    files["car.yaml"] = car.replace("event: race", "event: demonstration")
    assert verdicts(find_in(files).entries[0]) == {"weight": "illegal", "width": "illegal"}


@pytest.mark.parametrize(
    ("when", "entry", "verdict"),
    [
        ("{entry.driver: novice}", "driver: novice", "not-applicable"),
        ("{entry.driver: novice}", "driver: expert", "illegal"),
        ("{entry.driver: novice}", "", "illegal"),
        ("{entry.driver: novice, entry.round: {at_most: 2}}", "driver: novice, round: 3", "illegal"),
    ],
)
def test_a_waiver_holds_where_its_condition_wholly_does(when: str, entry: str, verdict: str) -> None:
    result = entry_of(
        ("{id: weight, quantity: mass_g, at_least: 1350}",),
        LIGHT,
        entry=entry,
        top=f"waivers: [{{rule: weight, when: {when}}}]",
    )
    assert verdicts(result) == {"weight": verdict}


@pytest.mark.parametrize(
    ("when", "problem"),
    [
        ("{battery_cells: two}", "limit-unfit"),
        ("{car_type: {at_least: 2}}", "limit-unfit"),
        ("{mass_g: {at_least: 5, at_most: 3}}", "limit-contradicts"),
        ("{mas_g: 3}", "unknown-quantity"),
        ("{mass_g: {}}", "missing-key"),
        ("{mass_g: {at_least: 5, between: [1, 2]}}", "wrong-count"),
        ("{mass_g: {at_lest: 5}}", "unknown-key"),
    ],
)
def test_a_condition_that_can_never_be_told_is_a_problem(when: str, problem: str) -> None:
    files = {"club.yaml": a_ruleset(f"{{id: it, quantity: width_mm, at_most: 190, when: {when}}}")}
    assert {problem_found.id for problem_found in find_in(files).problems} == {problem}


@pytest.mark.parametrize("decision", ["benefit-of-doubt", "must-show"])
@pytest.mark.parametrize("venue", ["indoors", "indor", "imdoor", "inndoor"])
def test_a_word_that_is_nearly_what_a_condition_names_is_told_and_must_show_wants_the_rule_met(
    decision: str, venue: str
) -> None:
    rule = f"quantity: mass_g, at_least: 1350, decision: {decision}, when: {{entry.venue: [indoor, hall]}}"
    check = check_of(rule, LIGHT, entry=f"venue: {venue}")
    assert check.verdict.value == ("not-shown" if decision == "must-show" else "not-applicable")
    assert check.close_call
    assert check.reason.endswith(f'venue is indoor or hall; "{venue}" is nearly indoor')


@pytest.mark.parametrize(
    ("word", "value"),
    [
        ("indoor", "outdoor"),
        ("sealed", "unsealed"),
        ("brushed", "brushless"),
        ("stock-17", "stock-13"),
        ("R-12", "R-13"),
        ("round-a", "round-b"),
        ("wet", "dry"),
        ("indoor", "indoor"),
        ("touring-4wd", "touring-2wd"),
        ("hall-a", "hall-b"),
    ],
)
def test_words_that_differ_on_purpose_are_no_slip_of_the_pen(word: str, value: str) -> None:
    check = check_of(f"quantity: mass_g, at_least: 1200, when: {{entry.heat: {word}}}", LIGHT, entry=f"heat: {value}")
    assert not check.close_call


@pytest.mark.parametrize("value", ["harbour-hal", "harbor-hall", "harbuor hall", "harbour-hall 2", "Harbour-Hall east"])
def test_a_word_of_several_parts_is_nearly_another_by_one_of_them(value: str) -> None:
    check = check_of(
        "quantity: mass_g, at_least: 1350, when: {entry.track: harbour-hall}", LIGHT, entry=f"track: {value}"
    )
    assert check.close_call


@pytest.mark.parametrize("decision", ["as-read", "must-show"])
@pytest.mark.parametrize(
    ("conditions", "entry", "words"),
    [
        (("{entry.venue: indoor}",), "venue: Halle", "indoor, outdoor"),
        (("{entry.venue: [carpet, indoor]}",), "venue: under cover", "carpet, indoor, outdoor"),
        (("{entry.surface: carpet}", "{entry.surface: asphalt}"), "surface: grass", "asphalt, carpet"),
    ],
)
def test_a_word_that_no_rule_knows_frees_no_car_in_silence(
    conditions: tuple[str, ...], entry: str, words: str, decision: str
) -> None:
    rules = [
        f"{{id: r{index}, quantity: mass_g, at_least: 1350, decision: {decision}, when: {when}}}"
        for index, when in enumerate(conditions)
    ]
    result = entry_of(rules, LIGHT, entry=entry)
    for check in result.checks:
        assert check.close_call
        assert f"is none of the words that the rules know ({words})" in check.reason
        assert check.verdict.value == ("not-shown" if decision == "must-show" else "not-applicable")


@pytest.mark.parametrize(
    ("conditions", "entry"),
    [
        (("{entry.venue: indoor}",), "venue: outdoor"),
        (("{entry.venue: [indoor, indoors]}",), "venue: indoors"),
        (("{entry.heat: {none_of: [final, finals]}}",), "heat: final"),
        (("{entry.venue: indoor}", "{entry.venue: carpet}"), "venue: carpet"),
        (("{entry.venue: {none_of: [indoor]}}",), "venue: Halle"),
        (("{entry.venue: indoor}", "{entry.venue: {none_of: [indoor]}}"), "venue: Halle"),
        (("{entry.surface: carpet}",), "surface: grass"),
        (("{entry.surface: [carpet, astro]}", "{entry.surface: carpet}"), "surface: grass"),
        (("{entry.driver: novice}", "{entry.driver: junior}"), "driver: expert"),
        (("{entry.round: 4}", "{entry.round: 5}"), "round: 6"),
    ],
)
def test_a_word_that_the_rules_need_not_know_is_no_close_call(conditions: tuple[str, ...], entry: str) -> None:
    rules = [
        f"{{id: r{index}, quantity: mass_g, at_least: 1350, when: {when}}}" for index, when in enumerate(conditions)
    ]
    assert not any(check.close_call for check in entry_of(rules, LIGHT, entry=entry).checks)


def test_of_very_many_words_a_few_are_told() -> None:
    rules = [
        f"{{id: r{number}, quantity: mass_g, at_least: 1350, when: {{entry.surface: s{number}}}}}"
        for number in range(30)
    ]
    result = entry_of(rules, LIGHT, entry="surface: grass")
    assert all(check.reason.endswith("(s0, s1, s10, s11, s12, s13, s14, s15 and 22 more)") for check in result.checks)


def test_a_waiver_or_a_table_may_be_where_a_word_is_known() -> None:
    rule = "{id: it, quantity: mass_g, at_least: 1350, when: {entry.venue: indoor}}"
    waiver = "waivers: [{rule: it, when: {entry.venue: tent}, granted: x}]"
    table = "{id: by-venue, quantity: width_mm, by: entry.venue, rows: {shed: {at_most: 190}}, otherwise: free}"
    for word in ("tent", "shed"):
        checks = entry_of((rule, table), LIGHT, top=waiver, entry=f"venue: {word}").checks
        assert not checks[0].close_call


def test_an_amendment_for_all_but_one_word_is_a_close_call_for_a_slip_of_it() -> None:
    looser = (
        "{id: looser, replaces: strict, when: {entry.venue: {none_of: [indoor]}}, quantity: mass_g, at_least: 1200}"
    )
    result = entry_of(("{id: strict, quantity: mass_g, at_least: 1350}", looser), LIGHT, entry="venue: indoors")
    assert all(check.close_call for check in result.checks)
