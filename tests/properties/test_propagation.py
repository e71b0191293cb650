"""Uncertainty through every computed quantity, held against two general libraries: `uncertainties` and GTC.

The readings are generated, with instruments that several of them share. The model of a reading is restated here from
JCGM 100 (4.3.7 for accuracy and resolution, 4.2.3 for repeats); the libraries propagate, to first order as JCGM 100
section 5 does, and GTC gives the effective degrees of freedom of its annex G.4 as well.
"""

import math
from collections.abc import Callable, Mapping
from datetime import date
from fractions import Fraction
from typing import Any, Protocol

import GTC
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from uncertainties import ufloat

from speclint.files import FileText
from speclint.models.setups import setup_of
from speclint.quantities.facts import Facts
from speclint.quantities.model import Sort
from speclint.quantities.registry import QUANTITIES
from speclint.readings.measured import Measured
from speclint.workspace.cars import Assembly
from speclint.workspace.loaded import Files, load
from speclint.workspace.source import NamedFiles
from tests.properties.strategies import Data, cars, setup_data, written

K = 235.0
REFERENCE = 20.0
Reading = Any
Formula = Callable[["Bench"], Reading]


class Library(Protocol):
    """Makes an uncertain number of its own kind."""

    def number(self, value: float, uncertainty: float, freedom: float) -> Any: ...


class Uncertainties:
    def number(self, value: float, uncertainty: float, freedom: float) -> Any:  # noqa: ARG002
        return ufloat(value, uncertainty)


class Guide:
    def number(self, value: float, uncertainty: float, freedom: float) -> Any:
        return GTC.ureal(value, uncertainty, freedom)


class Bench:
    """The readings of one car as numbers of a library; one error for each instrument, however often it is read."""

    def __init__(self, car: Data, library: Library) -> None:
        self.car = car
        self._library = library
        self._described: Mapping[str, Data] = {**car["motor"]["instruments"], **car["instruments"]}
        self._errors = {name: library.number(0.0, 1.0, math.inf) for name in self._described}

    def reading(self, raw: Any, name: str | None = None) -> Reading:
        stated, readings = None, raw
        if isinstance(raw, dict):
            name = raw.get("instrument", name)
            stated = raw.get("standard_uncertainty")
            readings = raw.get("readings", raw.get("value"))
        values = readings if isinstance(readings, list) else [readings]
        meter = self._described.get(name or "", {})
        value = sum(values) / len(values) - meter.get("offset", 0.0)
        number: Reading = value
        if len(values) > 1:
            mean = sum(values) / len(values)
            scatter = math.sqrt(sum((one - mean) ** 2 for one in values) / (len(values) - 1) / len(values))
            if scatter > 1e-12:
                number = number + self._library.number(0.0, scatter, len(values) - 1.0)
        if stated is not None:
            return number + self._library.number(0.0, stated, math.inf)
        half_width = abs(value) * meter.get("accuracy_percent", 0.0) / 100 + meter.get("accuracy", 0.0)
        if half_width:
            number = number + self._errors[name or ""] * (half_width / math.sqrt(3.0))
        if meter.get("resolution"):
            number = number + self._library.number(0.0, meter["resolution"] / math.sqrt(12.0), math.inf)
        return number

    def timing(self) -> list[Reading]:
        run = self.car["motor"]["bench_runs"][0]
        return [self.reading(one, "bench") for one in run["timing_deg"]]

    def winding(self, *, sheet: bool = False) -> tuple[list[Reading], Reading]:
        motor = self.car["motor"]
        winding = motor["factory_sheet"]["winding"] if sheet else motor["bench_runs"][0]["winding"]
        phases = [self.reading(winding[key], winding.get("instrument")) for key in ("ab_mohm", "bc_mohm", "ca_mohm")]
        return phases, self.reading(winding["winding_c"], winding.get("thermometer"))

    def copper(self, winding_c: Reading, *, sheet: bool = False) -> Reading:
        """The copper is anywhere within 1 K of where a thermometer touches, unless somebody states its uncertainty."""
        motor = self.car["motor"]
        raw = (motor["factory_sheet"] if sheet else motor["bench_runs"][0])["winding"]["winding_c"]
        if isinstance(raw, dict) and "standard_uncertainty" in raw:
            return winding_c
        return winding_c + self._library.number(0.0, 1 / math.sqrt(3.0), math.inf)

    def ratio(self) -> float:
        car = self.car["car"]
        internal = (
            float(Fraction(car["internal_ratio"])) if isinstance(car["internal_ratio"], str) else car["internal_ratio"]
        )
        return float(car["spur_teeth"] / car["pinion_teeth"] * internal)


def _value(number: Reading) -> float:
    return float(number.nominal_value if hasattr(number, "nominal_value") else GTC.value(number))


def _deviation(number: Reading) -> float:
    """Of a number of `uncertainties`; one that nothing blurs stays a plain one."""
    return float(number.std_dev) if hasattr(number, "std_dev") else 0.0


def _mean(numbers: list[Reading]) -> Reading:
    return sum(numbers[1:], numbers[0]) / len(numbers)


def _least(numbers: list[Reading]) -> Reading:
    return min(numbers, key=_value)


def _spread(numbers: list[Reading]) -> Reading:
    return max(numbers, key=_value) - _least(numbers)


def _at_reference(resistance: Reading, winding_c: Reading) -> Reading:
    return resistance * (K + REFERENCE) / (K + winding_c)


def _is_blurred(numbers: list[Reading]) -> bool:
    """Whether anything is known of the uncertainty of any: where nothing is, values are taken as read."""
    return any(not isinstance(number, int | float) for number in numbers)


def _mean_at_reference(bench: Bench) -> Reading:
    phases, winding_c = bench.winding()
    at_c = bench.copper(winding_c) if _is_blurred([*phases, winding_c]) else winding_c
    return _at_reference(_mean(phases), at_c)


def _lowest_at_reference(bench: Bench) -> Reading:
    phases, winding_c = bench.winding()
    at_c = bench.copper(winding_c) if _is_blurred([*phases, winding_c]) else winding_c
    return _at_reference(_least(phases), at_c)


def _drift_percent(bench: Bench) -> Reading:
    (phases, at_c), (sheet_phases, sheet_c) = bench.winding(), bench.winding(sheet=True)
    if _is_blurred([*phases, at_c, *sheet_phases, sheet_c]):
        at_c, sheet_c = bench.copper(at_c), bench.copper(sheet_c, sheet=True)
    return (_at_reference(_mean(phases), at_c) / _at_reference(_mean(sheet_phases), sheet_c) - 1) * 100.0


def _spread_percent(bench: Bench) -> Reading:
    phases, _ = bench.winding()
    return _spread(phases) * 100.0 / _mean(phases)


FORMULAS: dict[str, Formula] = {
    "rollout_mm": lambda bench: bench.reading(bench.car["car"]["tyre_diameter_mm"]) * (math.pi / bench.ratio()),
    "cell_voltage_v": lambda bench: bench.reading(bench.car["battery"]["voltage_v"]) / bench.car["battery"]["cells"],
    "timing_mean_deg": lambda bench: _mean(bench.timing()),
    "timing_spread_deg": lambda bench: _spread(bench.timing()),
    "winding_mean_mohm": _mean_at_reference,
    "winding_lowest_mohm": _lowest_at_reference,
    "winding_spread_percent": _spread_percent,
    "winding_drift_percent": _drift_percent,
    "mass_g": lambda bench: bench.reading(bench.car["car"]["mass_g"]),
    "current_a": lambda bench: bench.reading(bench.car["motor"]["bench_runs"][0]["current_a"], None),
}


def test_every_computed_quantity_that_an_instrument_blurs_is_among_them() -> None:
    blurred = {known.name for known in QUANTITIES if known.formula is not None and known.sort is Sort.MEASURED}
    assert blurred <= set(FORMULAS)


def _measured(car: Data, name: str) -> Any:
    text = written(setup_data(car))
    world = NamedFiles({"car.yaml": text.encode()})
    files = Files(world)
    document = load(FileText("car.yaml", text, None, "setup")).sound
    assert document is not None
    assembled = Assembly(world, files.named).car(setup_of(document))
    facts = Facts(assembled.car, on=date(2026, 3, 14), reference_c=Fraction(20), entry_keys={})
    return facts.fact(name).value


def _tied(car: Data) -> bool:
    """Whether the lowest or the largest is one of several: which of them is taken is a choice, not a propagation."""
    bench = Bench(car, Uncertainties())
    groups = (bench.timing(), bench.winding()[0], bench.winding(sheet=True)[0])
    return any(
        abs(_value(one) - _value(other)) < 1e-9
        for numbers in groups
        for i, one in enumerate(numbers)
        for other in numbers[i + 1 :]
    )


def _with_a_bench_that_reads_degrees(car: Data) -> Data:
    """An instrument that a whole run names counts for what it reads: here the timing, and not the current."""
    run = car["motor"]["bench_runs"][0]
    bench = {**car["motor"]["instruments"]["bench"], "unit": "deg"}
    return {**car, "motor": {**car["motor"], "instruments": {"bench": bench}, "bench_runs": [run]}}


@pytest.mark.parametrize("name", FORMULAS)
@settings(max_examples=25, deadline=None)
@given(car=cars().map(_with_a_bench_that_reads_degrees))
def test_a_quantity_has_the_uncertainty_that_general_libraries_give_it(name: str, car: Data) -> None:
    assume(not _tied(car))
    found = _measured(car, name)
    by_uncertainties = FORMULAS[name](Bench(car, Uncertainties()))
    by_guide = FORMULAS[name](Bench(car, Guide()))
    value = float(found.value if isinstance(found, Measured) else found)
    own = found.standard_uncertainty if isinstance(found, Measured) else 0.0
    scale = max(abs(value), 1.0)
    # A spread of which only what all readings share is known has no uncertainty to hold against anything.
    assume(isinstance(found, Measured) or "spread" not in name)
    assert value == pytest.approx(_value(by_uncertainties), rel=1e-12, abs=1e-11 * scale)
    assert own == pytest.approx(_deviation(by_uncertainties), rel=1e-7, abs=1e-10 * scale)
    assert own == pytest.approx(GTC.uncertainty(by_guide), rel=1e-7, abs=1e-10 * scale)
    if isinstance(found, Measured) and own > 1e-9 * scale:
        freedom = GTC.dof(by_guide)
        if math.isfinite(freedom):
            assert found.effective_degrees_of_freedom == pytest.approx(freedom, rel=1e-6)
        else:
            assert found.effective_degrees_of_freedom > 1e6


@pytest.mark.parametrize("name", ["winding_mean_mohm", "winding_drift_percent", "rollout_mm"])
@settings(max_examples=20, deadline=None)
@given(car=cars(), more=st.integers(2, 30))
def test_poorer_instruments_never_make_a_value_surer(name: str, car: Data, more: int) -> None:
    poorer = {
        key: {what: size if what == "offset" else round(size * more, 3) for what, size in meter.items()}
        for key, meter in car["instruments"].items()
    }
    before, after = _measured(car, name), _measured({**car, "instruments": poorer}, name)
    assert isinstance(before, Measured) is isinstance(after, Measured)
    if isinstance(before, Measured):
        assert after.standard_uncertainty >= before.standard_uncertainty * (1 - 1e-12)
