"""A value in another unit is told what it is in that of its key, by the exact factor, and nothing where nobody can know.

The factors and the worked conversions are those of NIST Special Publication 811 (2008), appendix B: 1 in = 25.4 mm,
1 ft = 0.3048 m, 1 lb = 453.59237 g, 1 oz = 28.349523125 g, 1 mi/h = 1.609344 km/h, t/°C = (t/°F - 32)/1.8.
"""

from fractions import Fraction
from pathlib import Path

import pytest

from speclint.documents.parse import parse
from speclint.readings.digits import UNITS
from speclint.readings.units import converted, is_same_unit
from speclint.structure.validate import validate
from tests.check.world import a_ruleset, find_in
from tests.logbook.log_command import run

RULESET = "format: ruleset/1\nid: a\nversion: '1'\nin_force: {from: 2026-01-01}\nclasses:\n  b:\n    rules:\n      - "


def told(text: str) -> str:
    document, problems = parse("f", text)
    assert document is not None
    assert problems == ()
    (problem,) = validate(document, document.data["format"])
    return problem.message


@pytest.mark.parametrize(
    ("value", "word", "unit", "expected"),
    [
        (1, "oz", "g", "28.349523125"), (1, "lb", "g", "453.59237"), (1, "in", "mm", "25.4"), (1, "ft", "m", "0.3048"),
        (1, "mph", "kmh", "1.609344"), (1, "m/s", "kmh", "3.6"), (77, "°F", "c", "25"), (-40, "F", "c", "-40"),
        (300, "K", "c", "26.85"), (1, "kg", "g", "1000"), (3, "lbs", "kg", "1.36077711"), (1, "yd", "m", "0.9144"),
        (36, "cm", "mm", "360"), ("0.0214", "Ω", "mohm", "21.4"), (5, "Ah", "mah", "5000"), (90, "s", "minutes", "1.5"),
        ("0.2", "thou", "mm", "0.00508"), (2, "hours", "minutes", "120"), (500, "ms", "s", "0.5"),
    ],
)  # fmt: skip
def test_factors_are_the_exact_ones(value: int | str, word: str, unit: str, expected: str) -> None:
    assert converted(Fraction(value), word, unit) == Fraction(expected)


@pytest.mark.parametrize("unit", [unit for unit in UNITS if unit])
def test_every_unit_of_a_key_is_known_by_its_own_signs(unit: str) -> None:
    assert is_same_unit(unit, unit)
    assert is_same_unit(UNITS[unit].sign.strip(), unit)
    assert is_same_unit((UNITS[unit].one or UNITS[unit].sign).strip(), unit)


@pytest.mark.parametrize(("word", "unit"), [("blorps", "g"), ("mm", "g"), ("rad", "deg"), ("oz", ""), ("t", "mm")])
def test_what_measures_something_else_is_converted_to_nothing(word: str, unit: str) -> None:
    assert converted(Fraction(1), word, unit) is None
    assert not is_same_unit(word, unit)


@pytest.mark.parametrize(
    ("line", "ending"),
    [
        ("mass_g: 53 oz", "it takes a number in g: 53 oz is 1502.524725625 g, so write 1502.524725625"),
        ("mass_g: 1.352kg", "it takes a number in g: 1.352 kg is 1352 g, so write 1352"),
        ("mass_g: 1352 g", "it takes a number in g: write 1352 without the unit"),
        ("mass_g: 53 blorps", "it takes a number in g, such as 1352"),
        ("width_mm: 7.6 in", "it takes a number in mm: 7.6 in is 193.04 mm, so write 193.04"),
        ("width_mm: 36 cm", "it takes a number in mm: 36 cm is 360 mm, so write 360"),
        ("pinion_teeth: 42 t", "it takes a whole number of teeth: write 42 without the unit"),
        ("width_in: 7.6", "7.6 in is 193.04 mm: write `width_mm: 193.04`"),
        ("width_in: '7.6'", "7.6 in is 193.04 mm: write `width_mm: 193.04`"),
        ("mass_oz: 53", "53 oz is 1502.524725625 g: write `mass_g: 1502.524725625`"),
        ("mass_kg: {value: 1}", "did you mean `mass_g`, in g?"),
    ],
)
def test_a_setup_says_what_to_write(line: str, ending: str) -> None:
    assert told(f"format: setup/1\ncar:\n  {line}\n").endswith(f"; {ending}")


@pytest.mark.parametrize(
    ("keys", "ending"),
    [
        ("can_c: 77 F", "77 F is 25 °C, so write 25"),
        ("can_c: 100 F", "100 F is 37.7778 °C, so write 37.7778"),
        ("winding: {ab_mohm: 0.0214 ohm}", "0.0214 ohm is 21.4 mΩ, so write 21.4"),
        ("can_f: 77", "77 f is 25 °C: write `can_c: 25`"),
    ],
)
def test_a_bench_run_says_what_to_write(keys: str, ending: str) -> None:
    assert told(f"format: motor/1\nbench_runs: [{{date: 2026-03-01, {keys}}}]\n").endswith(ending)


@pytest.mark.parametrize(
    ("limit", "ending"),
    [
        ("quantity: mass_g, at_least: 53 oz", "53 oz is 1502.524725625 g, so write 1502.524725625"),
        ("quantity: width_mm, between: [7 in, 200]", "7 in is 177.8 mm, so write 177.8"),
        ("quantity: extra.deck_mm, at_most: 4 in", "4 in is 101.6 mm, so write 101.6"),
        ("quantity: mass_g, nominal: 1400, tolerance: {plus: 1 oz, minus: 0}", "so write 28.349523125"),
        ("quantity: final_drive_ratio, at_least: 4 x", "it takes a number, such as 4.2"),
    ],
)
def test_a_limit_of_a_ruleset_says_what_to_write_in_the_unit_of_its_quantity(limit: str, ending: str) -> None:
    assert told(f"{RULESET}{{id: rule, {limit}}}\n").endswith(ending)


def test_a_record_says_what_to_write(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "motor.yaml").write_text("format: motor/1\n", encoding="utf-8")
    logged = run("motor.yaml", "bench", "--date", "2026-03-01", "--can-c", "77 F")
    assert logged.status != 0
    assert "77 F is 25 °C, so write 25" in logged.all


@pytest.mark.parametrize(
    ("keys", "message"),
    [
        ("max: 4.5", "`max` is not a key of a rule; did you mean `at_most`?"),
        ("at_least: 4, reason: so it is", "`reason` is not a key of a rule; did you mean `because`?"),
        ("at_least: 47,6 oz", "`6 oz` is not a key of a rule; a comma ends a value within braces, so write decimals with a point"),
        ("at_least: 7.5 inches", '`at_least` is "7.5 inches"; it takes a number: write 7.5, and `unit: in` beside it'),
        ("at_least: 4, inspect: true", '`inspect` is true; it takes text, such as "the seal is whole"'),
    ],
)  # fmt: skip
def test_what_an_organiser_writes_in_a_rule_is_told_in_its_own_words(keys: str, message: str) -> None:
    found = find_in({"club.yaml": a_ruleset(f"{{id: r, quantity: extra.anything, {keys}}}")})
    assert message in [problem.message for problem in found.problems]


def test_a_key_without_its_unit_is_meant_where_it_stands_and_not_in_another_section() -> None:
    found = find_in({"car.yaml": "format: setup/1\nmotor: {timing: 38}\n"})
    assert [problem.message for problem in found.problems] == [
        "`timing` is not a key of `motor`; did you mean `timing_deg`?"
    ]


@pytest.mark.parametrize(
    ("line", "ending"),
    [
        ("mass_g: 1.512,0", "write 1512.0"),
        ("mass_g: 1,512.5", "write 1512.5"),
        ("mass_g: 1512,5 g", "write 1512.5 without the unit"),
        ("width_mm: 9,5 in", "9.5 in is 241.3 mm, so write 241.3"),
        # A comma before three figures may part thousands.
        ("mass_g: 1,512 g", "it takes a number in g, such as 1352"),
        ("internal_ratio: 26:10", "write 26/10"),
        ("internal_ratio: 2.6:1", "write 2.6"),
    ],
)
def test_numbers_as_other_countries_write_them_are_understood(line: str, ending: str) -> None:
    assert told(f"format: setup/1\ncar:\n  {line}\n").endswith(ending)


@pytest.mark.parametrize(
    ("written", "ending"),
    [
        ("14.3.2026", "write 2026-03-14"),
        ("3/14/2026", "write 2026-03-14"),
        ("2026/3/14", "write 2026-03-14"),
        ("31.11.2026", "the calendar has no 2026-11-31"),
        ("2/30/2026", "the calendar has no 2026-02-30"),
        ("2026/13/1", "the calendar has no 2026-13-01"),
    ],
)
def test_a_day_in_another_order_is_read_and_one_that_no_calendar_has_is_never_proposed(
    written: str, ending: str
) -> None:
    message = told(f"format: setup/1\nentries: [{{ruleset: club, class: stock, on: {written}}}]\n")
    assert message.endswith(ending)


@pytest.mark.parametrize("written", ["../rulesets/club-2026.yaml", "rulesets\\club.yaml"])
def test_a_path_where_an_id_belongs_is_no_id_with_hyphens(written: str) -> None:
    message = told(f"format: setup/1\nentries: [{{ruleset: {written}, class: stock, on: 2026-03-14}}]\n")
    assert message.endswith("write the id that the file says, not its path")


def test_a_time_is_told_as_the_number_that_it_is_and_hides_nothing_else() -> None:
    setup = (
        "format: setup/1\ncar: {mass: 1350}\ntrack_runs:\n  - {date: 2026-03-14, minutes: 5:00}\n"
        "  - {date: 2026-03-14, minutes: 5:30, best_lap_s: 0:14.3}\n"
    )
    messages = [problem.message for problem in find_in({"car.yaml": setup}).problems]
    assert messages[0].startswith("`mass` is not a key of `car`")
    wrong_numbers = [message for message in messages if "it takes a number" in message]
    assert [message.rpartition(": ")[2] for message in wrong_numbers] == ["write 5", "write 5.5", "write 14.3"]
    assert sum("wants quotes" in message for message in messages) == 3
    block = "format: setup/1\ntrack_runs:\n  - date: 2026-03-14\n    minutes: 5:20\n"
    assert told(block) == '`minutes` is "5:20"; it takes a number of minutes: write 5.3333'
    assert told("format: setup/1\ncar: {mass_g: '13:50'}\n").endswith("it takes a number in g, such as 1352")
