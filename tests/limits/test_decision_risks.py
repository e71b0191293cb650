"""The risk that a decision rule takes, by throwing many readings at it (JCGM 101 in spirit)."""

import math
from collections.abc import Iterator
from fractions import Fraction

import numpy as np
import pytest
from scipy import integrate, stats

from speclint.limits.decisions import Decision, Limits, Ruling, decide
from speclint.readings.exact import exact
from speclint.readings.instruments import Instrument, reading
from speclint.readings.measured import Influence, Measured
from tests.check.world import check_of

TRIALS = 200_000
CLAIMED = 0.025
"""The most that a guard band of U may let through: ILAC-G8:09/2019, table 1."""

EXPECTED = 0.0227501
"""Φ(-2), at a true value that stands on the limit itself."""


def display(true_value: float, standard_uncertainty: float, seed: int) -> Iterator[tuple[Fraction, int]]:
    """Readings of one true value as a fine display shows them, and how often each came."""
    readings = np.random.default_rng(seed).normal(true_value, standard_uncertainty, TRIALS)
    shown, counts = np.unique(np.round(readings, 2), return_counts=True)
    for value, count in zip(shown.tolist(), counts.tolist(), strict=True):
        yield exact(value), count


def share(ruling: Ruling, decision: Decision, limits: Limits, true_value: float, *, seed: int) -> float:
    u = 2.0
    blur = {Influence("instrument", "instrument"): u}
    hits = sum(
        count
        for value, count in display(true_value, u, seed)
        if decide(Measured(value, blur), limits, decision).ruling is ruling
    )
    return hits / TRIALS


def sampling_error(probability: float, trials: int) -> float:
    return 4 * math.sqrt(probability * (1 - probability) / trials)


@pytest.mark.parametrize("limits", [Limits(low=exact(1350)), Limits(low=exact(1350), high=exact(1400))])
def test_must_show_lets_an_illegal_car_pass_once_in_forty_at_most(limits: Limits) -> None:
    at_the_limit = share(Ruling.LEGAL, Decision.MUST_SHOW, limits, 1350 - 1e-9, seed=1)
    assert at_the_limit <= CLAIMED
    # The display's step of 0.01 moves the guard band by half of it, 0.0025 u.
    assert at_the_limit == pytest.approx(EXPECTED, abs=sampling_error(EXPECTED, TRIALS) + 0.0002)
    assert share(Ruling.LEGAL, Decision.MUST_SHOW, limits, 1349, seed=2) < at_the_limit


@pytest.mark.parametrize("limits", [Limits(high=exact(40)), Limits(low=exact(0), high=exact(40))])
def test_benefit_of_doubt_bars_a_legal_car_once_in_forty_at_most(limits: Limits) -> None:
    at_the_limit = share(Ruling.ILLEGAL, Decision.BENEFIT_OF_DOUBT, limits, 40.0, seed=3)
    assert at_the_limit <= CLAIMED
    assert at_the_limit == pytest.approx(EXPECTED, abs=sampling_error(EXPECTED, TRIALS) + 0.0002)
    assert share(Ruling.ILLEGAL, Decision.BENEFIT_OF_DOUBT, limits, 39, seed=4) < at_the_limit


def test_as_read_is_a_toss_of_a_coin_at_the_limit() -> None:
    legal = share(Ruling.LEGAL, Decision.AS_READ, Limits(low=exact(1350)), 1350, seed=5)
    assert legal == pytest.approx(0.5, abs=sampling_error(0.5, TRIALS) + 0.001)


@pytest.mark.parametrize("repeats", [2, 3, 6])
def test_the_expanded_uncertainty_of_a_few_repeats_covers_what_it_says(repeats: int) -> None:
    # With a plain factor of 2 three repeats would cover 81.6 %, not 95.45 %.
    trials = 10_000
    rows = np.round(np.random.default_rng(repeats).normal(0.0, 1.0, (trials, repeats)), 4).tolist()
    covered = 0
    for row in rows:
        number = reading(tuple(exact(value) for value in row), None, key="x")
        assert isinstance(number, Measured)
        covered += abs(number.value) <= number.expanded()
    assert covered / trials == pytest.approx(0.9545, abs=sampling_error(0.9545, trials))


DRAWS = 100_000
SIDES = {Decision.MUST_SHOW: 1, Decision.BENEFIT_OF_DOUBT: -1}
"""On which side of the limit the value reads when the decision rule is wrong about a car that stands on it."""


def wrongly_decided(values: np.ndarray, expanded: np.ndarray, limit: float, decision: Decision) -> float:
    """The share of cars exactly on a lower limit that are shown legal, or barred, although the reading is only lucky."""
    return float(np.mean(SIDES[decision] * (values - limit) >= expanded))


def expanded_of_repeats(repeats: int, meter: Instrument, scatter: np.ndarray, value: float) -> np.ndarray:
    """U of readings with these standard deviations, each worked out by the product for a fine grid of them."""
    grid = np.linspace(0.0, float(scatter.max()), 2000)
    expanded = []
    for deviation in grid.tolist():
        # Repeats with exactly this standard deviation: half above and half below, or one in the middle.
        spread = math.sqrt((repeats - 1) / (repeats - repeats % 2)) * deviation
        row = [value + spread] * (repeats // 2) + [value - spread] * (repeats // 2) + [value] * (repeats % 2)
        number = reading(tuple(exact(round(item, 9)) for item in row), meter, key="x")
        assert isinstance(number, Measured)
        expanded.append(number.expanded())
    of_scatter: np.ndarray = np.interp(scatter, grid, expanded)
    return of_scatter


@pytest.mark.parametrize("decision", SIDES)
@pytest.mark.parametrize("scatter", [0.3, 1.0, 2.0, 4.0])
@pytest.mark.parametrize("repeats", [2, 3, 5])
def test_a_few_repeats_on_a_meter_keep_the_promise(repeats: int, scatter: float, decision: Decision) -> None:
    """One factor for the Welch-Satterthwaite degrees of freedom of both (JCGM 100 G.4) lets up to 6 % through here."""
    half_width = 0.02
    draw = np.random.default_rng(100 * repeats + int(10 * scatter))
    meter = Instrument("meter", accuracy=exact(half_width))
    u_meter = half_width / math.sqrt(3.0)
    rows = draw.normal(0.0, scatter * u_meter * math.sqrt(repeats), (DRAWS, repeats))
    values = 20.0 + rows.mean(axis=1) + draw.uniform(-half_width, half_width, DRAWS)
    expanded = expanded_of_repeats(repeats, meter, rows.std(axis=1, ddof=1), 20.0)
    assert wrongly_decided(values, expanded, 20.0, decision) <= CLAIMED


WINDING = (
    "instruments: {{meter: {{accuracy_percent: {percent}, resolution: 0.01}}, probe: {{accuracy: {probe}, resolution: 0.1}}}}\n"
    "motor: {{bench_runs: [{{date: 2026-03-10, winding: {{ab_mohm: 22, bc_mohm: 22, ca_mohm: 22, winding_c: 31,"
    " instrument: meter, thermometer: probe}}}}]}}"
)


@pytest.mark.parametrize("decision", SIDES)
@pytest.mark.parametrize(("percent", "probe"), [(0.5, 0.5), (0.1, 0.2), (0.05, 1.0)])
def test_a_corrected_winding_keeps_the_promise_whatever_lies_between_copper_and_thermometer(
    percent: float, probe: float, decision: Decision
) -> None:
    """R20 = R · (235 + 20) ÷ (235 + t), IEC 60034-1; the copper is anywhere within 1 K of where the probe touches."""
    fact = check_of("quantity: winding_mean_mohm, at_least: 20", WINDING.format(percent=percent, probe=probe)).fact
    assert fact is not None
    assert isinstance(fact.value, Measured)
    relative_u = fact.value.expanded() / float(fact.value.value)
    draw = np.random.default_rng(int(1000 * percent + probe))
    limit, copper_c = 21.0, 31.0
    true_ohm = limit * (235 + copper_c) / 255
    scale = 1 + draw.uniform(-percent, percent, DRAWS) / 100
    phases = np.round(np.repeat(true_ohm * scale[:, None], 3, axis=1) + draw.uniform(-0.005, 0.005, (DRAWS, 3)), 2)
    gap, error = draw.uniform(-1, 1, DRAWS), draw.uniform(-probe, probe, DRAWS)
    read_c = np.round(copper_c + gap + error + draw.uniform(-0.05, 0.05, DRAWS), 1)
    values = phases.mean(axis=1) * 255 / (235 + read_c)
    assert wrongly_decided(values, values * relative_u, limit, decision) <= CLAIMED


@pytest.mark.parametrize("decision", SIDES)
def test_what_is_computed_from_a_reading_keeps_the_promise(decision: Decision) -> None:
    """Rollout = π · tyre ÷ final drive ratio (common practice); a caliper of ± 0.05 mm that shows 0.01 mm."""
    setup = (
        "instruments: {caliper: {accuracy: 0.05, resolution: 0.01}}\n"
        "car: {spur_teeth: 96, pinion_teeth: 42, internal_ratio: 1.9, tyre_diameter_mm: {value: 62.5, instrument: caliper}}"
    )
    fact = check_of("quantity: rollout_mm, at_least: 40", setup).fact
    assert fact is not None
    assert isinstance(fact.value, Measured)
    draw = np.random.default_rng(7)
    per_mm = math.pi / (96 / 42 * 1.9)
    read = np.round(62.5 + draw.uniform(-0.05, 0.05, DRAWS) + draw.uniform(-0.005, 0.005, DRAWS), 2)
    expanded = np.full(DRAWS, fact.value.expanded())
    assert wrongly_decided(read * per_mm, expanded, 62.5 * per_mm, decision) <= CLAIMED


@pytest.mark.parametrize("decision", SIDES)
@pytest.mark.parametrize("resolution", [0.01, 1.0])
def test_a_single_reading_keeps_the_promise(resolution: float, decision: Decision) -> None:
    scale = Instrument("scale", accuracy=exact(1), resolution=exact(resolution))
    number = reading((exact(1350),), scale, key="x")
    assert isinstance(number, Measured)
    draw = np.random.default_rng(8)
    # Where the true value stands between two steps of the display is chance as well.
    true_value = 1350 + draw.uniform(-0.5, 0.5, DRAWS)
    shown = np.round((true_value + draw.uniform(-1, 1, DRAWS)) / resolution) * resolution
    assert wrongly_decided(shown - true_value, np.full(DRAWS, number.expanded()), 0.0, decision) <= CLAIMED


def acceptance_limit(decision: Decision, limits: Limits, u: float) -> float:
    """Up to where a reading with this uncertainty is ruled legal, by bisection."""
    low, high = 0.0, 3.0
    for _ in range(40):
        middle = (low + high) / 2
        ruling = decide(Measured(exact(round(middle, 12)), {Influence("meter", "meter"): u}), limits, decision).ruling
        low, high = (middle, high) if ruling is Ruling.LEGAL else (low, middle)
    return low


def test_consumers_risk_of_the_ball_bearings_of_jcgm_106() -> None:
    # JCGM 106:2012, 9.5.4: radial errors of at most 2 µm, gamma distributed with mean 1 and standard deviation 0.5, read
    # with u = 0.25 µm: 4.2 % do not conform, and 0.8 % are accepted although they do not; with an acceptance limit of
    # 1.67 µm 0.1 % would be. The figures to more digits are stored with an example notebook of a general library.
    bearings, u = stats.gamma(4, scale=0.25), 0.25
    assert bearings.sf(2.0) == pytest.approx(0.0423801, abs=1e-7)

    def consumers_risk(accepted_up_to: float) -> float:
        risk, _ = integrate.quad(lambda x: bearings.pdf(x) * stats.norm.cdf((accepted_up_to - x) / u), 2.0, 8.0)
        return float(risk)

    limits = Limits(high=exact(2))
    assert consumers_risk(acceptance_limit(Decision.AS_READ, limits, u)) == pytest.approx(0.0080191, abs=1e-6)
    assert consumers_risk(1.671829) == pytest.approx(0.001, abs=1e-6)
    # The guard band of U = 2u is wider than the clause's, and so the risk is smaller.
    guarded = acceptance_limit(Decision.MUST_SHOW, limits, u)
    assert guarded == pytest.approx(1.5, abs=1e-6)
    assert consumers_risk(guarded) < 0.001
