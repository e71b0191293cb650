"""A leeway beyond a printed limit, and an inspector who looks where nothing is stated."""

import pytest

from speclint.rules.sentences import sentence_of
from speclint.rules.wording import message
from tests.check.world import a_ruleset, check_of, find_in, verdict_of

WEIGHT = "quantity: mass_g, at_least: 1320, leeway: 1"


@pytest.mark.parametrize(
    ("mass", "verdict", "words"),
    [
        (1319.5, "legal", "the rule asks at least 1320 g: 0.5 g short, inside the leeway of 1 g"),
        (1319, "legal", "1 g short, inside the leeway of 1 g"),
        (1318.9, "illegal", "1.1 g short"),
        (1320, "legal", "on the limit itself"),
        (1330, "legal", "10 g to spare"),
    ],
)
def test_a_leeway_decides_and_the_printed_limit_is_told(mass: float, verdict: str, words: str) -> None:
    check = check_of(WEIGHT, f"car: {{mass_g: {mass}}}")
    assert check.verdict.value == verdict
    assert message(check).endswith(words)


def test_a_leeway_may_be_a_share_of_the_limit_and_of_one_that_is_looked_up() -> None:
    rule = "quantity: width_mm, at_most: 200, leeway: {percent: 5}"
    assert verdict_of(rule, "car: {width_mm: 210}") == "legal"
    assert verdict_of(rule, "car: {width_mm: 210.1}") == "illegal"
    of = rule.replace("200", "{of: extra.printed_mm}")
    assert verdict_of(of, "car: {width_mm: 105}\nextra: {printed_mm: 100}") == "legal"
    assert verdict_of(of, "car: {width_mm: 105.1}\nextra: {printed_mm: 100}") == "illegal"


def test_a_remedy_aims_at_the_printed_limit() -> None:
    check = check_of(WEIGHT, "car: {mass_g: 1310}")
    assert check.remedies[0].message.startswith("add 10 g of ballast")


@pytest.mark.parametrize(("must_show", "verdict"), [(1321, "legal"), (1320.9, "not-shown"), (1318.9, "illegal")])
def test_the_uncertainty_counts_against_the_limit_that_decides(must_show: float, verdict: str) -> None:
    top = "decision: must-show\ninstruments: {scale: {accuracy: 1.7320508}}"
    assert verdict_of(WEIGHT, f"car: {{mass_g: {{value: {must_show}, instrument: scale}}}}", top=top) == verdict


BOOST = "quantity: extra.boost_deg, equals: 0, inspect: settings read with the driver's box"


@pytest.mark.parametrize(
    ("car", "verdict"),
    [("", "to-inspect"), ("extra: {boost_deg: 0}", "legal"), ("extra: {boost_deg: 3}", "illegal")],
)
def test_the_inspector_looks_where_nothing_is_stated(car: str, verdict: str) -> None:
    check = check_of(BOOST, car)
    assert check.verdict.value == verdict
    if verdict == "to-inspect":
        assert message(check) == "to inspect: settings read with the driver's box (nothing is stated: extra.boost_deg)"


@pytest.mark.parametrize(
    ("rule", "sentence"),
    [
        ("inspect: the seal, per: meeting", "Once a meeting the inspector looks at this: the seal."),
        ("inspect: the seal", "The inspector looks at this: the seal."),
    ],
)
def test_how_often_something_is_looked_at_stands_in_its_sentence(rule: str, sentence: str) -> None:
    assert str(sentence_of(check_of(rule).rule)) == sentence


def test_how_often_goes_with_a_look_and_with_words_that_exist() -> None:
    rules = "{id: it, quantity: mass_g, at_least: 3, per: day}", "{id: seal, inspect: the seal, per: dai}"
    first, two = find_in({"club.yaml": a_ruleset(*rules)}).problems
    assert first.message.startswith("`per` needs `inspect` beside it")
    assert two.message == '`per` is "dai"; it takes run, day, meeting or season (did you mean day?)'


def test_a_reading_that_no_longer_counts_is_no_case_for_the_inspectors_eye() -> None:
    rule = "quantity: winding_mean_mohm, at_least: 20, inspect: the seal"
    motor = (
        "motor: {bench_runs: [{date: 2026-03-01, winding: {ab_mohm: 21, bc_mohm: 21, ca_mohm: 21, winding_c: 20}}],"
        " rebuilds: [{date: 2026-03-02, did: [rewind]}]}"
    )
    assert verdict_of(rule, motor) == "not-shown"


@pytest.mark.parametrize(
    ("rule", "problem"),
    [
        ("quantity: car_type, equals: buggy, leeway: 1", "limit-unfit"),
        ("quantity: mass_g, at_least: 3, leeway: 0", "out-of-range"),
        ("quantity: mass_g, at_least: 3, leeway: {}", "missing-key"),
        ("at_least: 3, inspect: the seal", "missing-key"),
    ],
)
def test_a_leeway_or_a_look_that_fits_nothing_is_a_problem(rule: str, problem: str) -> None:
    files = {"club.yaml": a_ruleset(f"{{id: it, {rule}}}")}
    assert {issue.id for issue in find_in(files).problems} == {problem}
