"""Documents as values: entries, motors in place or in a file, records in order, and the instruments that readings name."""

from datetime import date, time
from fractions import Fraction

import pytest

from speclint.documents.parse import parse
from speclint.documents.tree import Document
from speclint.models.instruments import instruments_of
from speclint.models.motors import motor_of
from speclint.models.setups import setup_of
from speclint.readings.measured import Measured
from tests.check.world import a_ruleset, a_setup, check_of, find_in, problems_of


def _document(text: str) -> Document:
    document, problems = parse("it.yaml", text)
    assert document is not None
    assert problems == ()
    return document


def test_an_entry_names_a_ruleset_or_one_version_of_it() -> None:
    text = "entries: [{ruleset: a, class: c, on: 2026-03-14, venue: indoor}, {ruleset: b@2026.2, class: d, on: 2026-03-15}]"
    first, second = setup_of(_document(text)).entries
    assert (first.ruleset, first.version, first.class_id, first.on) == ("a", None, "c", date(2026, 3, 14))
    assert (second.ruleset, second.version) == ("b", "2026.2")
    assert first.keys["venue"] == "indoor"
    assert (first.path, second.path) == (("entries", 0), ("entries", 1))


def test_a_setup_without_a_name_is_called_by_its_file() -> None:
    assert setup_of(_document("format: setup/1")).name == "it.yaml"
    assert setup_of(_document("name: Car 12")).name == "Car 12"


@pytest.mark.parametrize(
    ("text", "in_place", "named"),
    [("motor: {turns: 17.5}", True, None), ("motor: ../7.yaml", False, "../7.yaml"), ("name: x", False, None)],
)
def test_a_motor_stands_in_the_setup_or_is_named_by_its_file(text: str, in_place: bool, named: str | None) -> None:
    setup = setup_of(_document(text))
    assert (setup.has_motor_in_place, setup.motor) == (in_place, named)


RECORDS = """\
motor:
  bench_runs:
    - date: 2026-03-01
    - date: 2026-03-09
    - date: 2026-03-05 08:00
    - date: 2026-03-05T20:30
    - date: 2026-03-05
    - date: 2026-03-05
"""


def test_records_are_ordered_from_the_newest_to_the_oldest() -> None:
    runs = motor_of(_document(RECORDS), ("motor",)).bench_runs
    assert [(run.when.day.day, run.when.at) for run in runs] == [
        (9, None),
        (5, time(20, 30)),
        (5, time(8, 0)),
        (5, None),
        (5, None),
        (1, None),
    ]
    # Of two that no time tells apart the one written last is taken for the newer: records are added at the end.
    assert [run.path[-1] for run in runs] == [1, 3, 2, 5, 4, 0]


def test_records_of_a_day_and_before_it() -> None:
    motor = motor_of(_document(RECORDS), ("motor",))
    assert len(motor.bench_runs_until(date(2026, 3, 5))) == 5
    assert len(motor.bench_runs_until(date(2026, 2, 28))) == 0
    assert motor.rebuilds_until(date(2026, 3, 5)) == ()


def test_an_instrument_is_read_exactly() -> None:
    described = _document(
        "{scale: {accuracy_percent: 0.1, accuracy: 0.5, resolution: 1, offset: -0.2, calibrated_on: 2026-01-17, unit: g}, bare: {}}"
    ).data
    found = instruments_of(described)
    scale = found["scale"]
    assert (scale.accuracy_percent, scale.accuracy) == (Fraction(1, 10), Fraction(1, 2))
    assert (scale.resolution, scale.offset) == (Fraction(1), Fraction(-1, 5))
    assert (scale.calibrated_on, scale.unit, scale.states_its_error) == (date(2026, 1, 17), "g", True)
    assert not found["bare"].states_its_error
    assert instruments_of(None) == {}


def _uncertainty(files: dict[str, str], motor: bool = False) -> float | None:
    rule = "quantity: current_a, at_most: 9" if motor else "quantity: mass_g, at_least: 1000"
    findings = find_in({"club.yaml": a_ruleset(f"{{id: it, {rule}}}"), **files})
    assert problems_of(findings) == []
    fact = findings.entries[0].checks[0].fact
    assert fact is not None
    return fact.value.standard_uncertainty if isinstance(fact.value, Measured) else None


def test_the_nearest_description_of_an_instrument_counts() -> None:
    mass = "car: {mass_g: {value: 1350, standard_uncertainty: 0.5}}"
    assert _uncertainty({"car.yaml": a_setup(mass)}) == 0.5
    named = "car: {mass_g: {value: 1350, instrument: scale}}\ngarage: garage.yaml"
    garage = "format: garage/1\ninstruments: {scale: {accuracy: 3}}\n"
    assert _uncertainty({"car.yaml": a_setup(named), "garage.yaml": garage}) == pytest.approx(3 / 3**0.5)
    own = f"{named}\ninstruments: {{scale: {{accuracy: 6}}}}"
    assert _uncertainty({"car.yaml": a_setup(own), "garage.yaml": garage}) == pytest.approx(6 / 3**0.5)


def test_a_motor_may_bring_its_instruments() -> None:
    motor = (
        "format: motor/1\ninstruments: {clamp: {accuracy: 0.3}}\n"
        "bench_runs: [{date: 2026-03-01, current_a: {value: 3.9, instrument: clamp}}]\n"
    )
    assert _uncertainty({"car.yaml": a_setup("motor: m.yaml"), "m.yaml": motor}, motor=True) == pytest.approx(
        0.3 / 3**0.5
    )


@pytest.mark.parametrize(
    ("described", "counts"),
    [
        ("unit: A, accuracy: 0.3", True),
        ("unit: a, accuracy: 0.3", True),
        ("unit: V, accuracy: 0.3", False),
        ("accuracy_percent: 1", True),
        ("accuracy: 0.3", False),
    ],
)
def test_an_instrument_that_a_whole_bench_run_names_counts_for_what_it_reads(described: str, counts: bool) -> None:
    """Without a unit, only an error in percent can be meant for every reading of the run."""
    stated = (
        f"instruments: {{bench: {{{described}}}}}\n"
        "motor: {bench_runs: [{date: 2026-03-01, instrument: bench, current_a: 3.9, timing_deg: 38}]}"
    )
    assert (_uncertainty({"car.yaml": a_setup(stated)}, motor=True) is not None) is counts


def test_an_instrument_that_nobody_describes_is_told_with_the_nearest() -> None:
    files = {
        "club.yaml": a_ruleset("{id: it, quantity: mass_g, at_least: 1000}"),
        "car.yaml": a_setup(
            "instruments: {pit-scale: {accuracy: 1}}\ncar: {mass_g: {value: 1350, instrument: pit-scal}}"
        ),
    }
    assert problems_of(find_in(files)) == [
        "car.yaml:4:41: no instrument pit-scal is described; did you mean pit-scale? Known: pit-scale"
    ]


def test_a_reading_whose_uncertainty_is_stated_keeps_the_offset_of_its_instrument() -> None:
    stated = (
        "instruments: {scale: {accuracy: 9, offset: 2}}\n"
        "car: {mass_g: {value: 1352, instrument: scale, standard_uncertainty: 0.5}}"
    )
    fact = check_of("quantity: mass_g, at_least: 1000", stated).fact
    assert fact is not None
    assert isinstance(fact.value, Measured)
    assert (fact.value.value, fact.value.standard_uncertainty) == (Fraction(1350), 0.5)


def test_an_instrument_of_several_units_reads_each_with_its_own_error() -> None:
    bench = instruments_of(
        {
            "motor-bench": {
                "repeatability_percent": 0.3,
                "per_unit": {
                    "rpm_per_v": {"accuracy_percent": 0.5, "resolution": 1},
                    "a": {"accuracy_percent": 1, "resolution": 0.01, "repeatability_percent": 2},
                },
            }
        }
    )["motor-bench"]

    assert bench.reads("a")
    assert bench.in_unit("a").accuracy_percent == 1
    assert bench.in_unit("a").repeatability_percent == 2
    assert bench.in_unit("rpm_per_v").resolution == 1
    assert bench.in_unit("rpm_per_v").repeatability_percent == Fraction(3, 10)
    assert bench.in_unit("a").name == "motor-bench"
