"""Quantities explained: nothing left out, and no example that is not true."""

import math
import re
from datetime import date

import pytest

from speclint.explain.example import example_fact, snippet
from speclint.explain.names import explain, groups
from speclint.files import FileText
from speclint.quantities.keys import keys_behind
from speclint.quantities.model import Quantity
from speclint.quantities.registry import QUANTITIES
from speclint.readings.exact import to_float
from speclint.readings.measured import Measured, value_of
from speclint.reports import Paper
from speclint.workspace.loaded import load
from tests.explain.two_rulesets import index

every_quantity = pytest.mark.parametrize("known", QUANTITIES, ids=lambda known: known.name)


def page(name: str, paper: Paper = Paper(width=100)) -> str:  # noqa: B008 frozen
    return explain(name, index, date(2026, 3, 14), paper)


def flat(text: str) -> str:
    return " ".join(text.split())


@every_quantity
def test_its_page_says_what_the_registry_knows(known: Quantity) -> None:
    text = flat(page(known.name))
    for section in (known.name, known.title, known.about, known.source, known.measure, *known.cautions):
        assert flat(section) in text


@every_quantity
def test_its_keys_can_be_pasted_into_a_file_as_they_are_shown(known: Quantity) -> None:
    text = page(known.name)
    for kind, lines in zip(("setup", "motor"), snippet(keys_behind(known)), strict=True):
        assert all(f" {line}\n" in text for line in lines)
        pasted = "".join(f"{line}\n" for line in lines)
        assert load(FileText("pasted.yaml", f"format: {kind}/1\n{pasted}")).problems == ()


@every_quantity
def test_a_quantity_with_a_key_shows_it(known: Quantity) -> None:
    assert bool(keys_behind(known)) is any(snippet(keys_behind(known)))
    assert keys_behind(known)


COMPUTED = [known for known in QUANTITIES if known.formula_text]


def _calculated(formula: str) -> float:
    """The value of a formula with its numbers put in, worked out without any of the program's arithmetic."""
    text = re.sub(r"(?<=[0-9]) ?(mm|mΩ|rpm/V|V|A|g|°|%)", "", formula)
    text = text.replace("÷", "/").replace("×", "*").replace("−", "-").replace("π", repr(math.pi))
    if match := re.fullmatch(r"mean of (.+)", text):
        values = [float(one) for one in re.split(r", | and ", match[1])]
        return sum(values) / len(values)
    if match := re.fullmatch(r"largest - smallest of (.+)", text):
        values = [float(one) for one in re.split(r", | and ", match[1])]
        return max(values) - min(values)
    if match := re.fullmatch(r"\(largest - smallest\) / mean of (.+)", text):
        values = [float(one) for one in re.split(r", | and ", match[1])]
        return (max(values) - min(values)) / (sum(values) / len(values)) * 100
    if match := re.fullmatch(r"lowest of (.+), \* (.+)", text):
        return min(float(one) for one in re.split(r", | and ", match[1])) * float(eval(match[2], {}))  # noqa: S307
    if match := re.fullmatch(r"([0-9-]{10}) - ([0-9-]{10})", text):
        return float((date.fromisoformat(match[1]) - date.fromisoformat(match[2])).days)
    return float(eval(text, {}))  # noqa: S307 our own page, not a user's


@pytest.mark.parametrize("known", COMPUTED, ids=lambda known: known.name)
def test_the_worked_example_is_true_and_is_the_engines(known: Quantity) -> None:
    example = flat(page(known.name)).partition("for example ")[2]
    match = re.match(r"(.+?) = (-?[0-9.]+)", example)
    assert match is not None, example
    shown, places = float(match[2]), len(match[2].partition(".")[2])
    by_hand = _calculated(match[1])
    if known.unit == "percent" and match[1].endswith("− 1"):
        by_hand *= 100
    engine = example_fact(known.name).value
    assert abs(shown - by_hand) <= 0.5 * 10**-places + 1e-12
    assert engine is not None
    if not isinstance(engine, str | bool | tuple | date):
        number = value_of(engine) if isinstance(engine, Measured) else engine
        assert math.isclose(to_float(number), by_hand, rel_tol=1e-12, abs_tol=1e-9)


def test_the_final_drive_ratio_in_full() -> None:
    assert (
        page("final_drive_ratio")
        == """\
final_drive_ratio: final drive ratio

  meaning    Motor turns for one turn of the wheel. A higher number is a shorter gearing: more pull,
             less top speed, a cooler motor.

  unit       none: it is a ratio

  computed   spur_teeth ÷ pinion_teeth × internal_ratio
             for example 96 ÷ 42 × 1.9 = 4.343

  in a file  `car.spur_teeth`, `car.pinion_teeth` and `car.internal_ratio` in the setup
             car:
               spur_teeth: 96
               pinion_teeth: 42
               internal_ratio: 1.9

  usually    1.5 to 20 in the trade; beyond that a mistyped value is likely

  measure    Count the teeth of both gears; the internal ratio comes from the chassis manual.

  rules      It is exact, so it is compared exactly. To change it, change the pinion.

  source     common practice
"""
    )


def test_a_reading_names_the_rebuilds_that_end_it_and_a_setting_none() -> None:
    assert "after rotor-swap: the magnet is half of the motor" in flat(page("timing_mean_deg"))
    assert "after rewind" in page("winding_mean_mohm")
    assert "after rotor-swap" not in page("winding_mean_mohm")
    assert "  stale" not in page("timing_set_deg")
    assert "  stale" not in page("mass_g")


def test_any_key_of_extra_or_of_the_entry_is_a_quantity() -> None:
    assert "amperes (A), as its ending says" in page("extra.charge_current_a")
    assert "extra:\n               charge_current_a: 1\n" in page("extra.charge_current_a")
    assert "`venue` in the entry" in page("entry.venue")


@pytest.mark.parametrize("alias", ["rollout", "Rollout", "car.tyre_diameter_mm", "ROLLOUT_MM", " rollout_mm "])
def test_a_quantity_is_found_by_its_title_and_by_its_key_as_well(alias: str) -> None:
    assert page(alias).startswith(("rollout_mm: ", "tyre_diameter_mm: "))


def test_no_name_stands_for_two_things() -> None:
    names = [name for group in groups() for name in group.pages]
    assert len(names) == len(set(names))


def test_in_ascii_every_sign_has_a_spelling() -> None:
    text = page("rollout_mm", Paper(width=100, ascii_only=True))
    assert text.isascii()
    assert "pi x tyre_diameter_mm / final_drive_ratio" in text


@pytest.mark.parametrize("width", [20, 40, 72, 300])
@every_quantity
def test_prose_keeps_to_the_paper_and_snippets_keep_their_lines(known: Quantity, width: int) -> None:
    text = page(known.name, Paper(width=width))
    snippets = {line for lines in snippet(keys_behind(known)) for line in lines}
    prose = [
        line for line in text.splitlines() if line.strip() and line.strip() not in {one.strip() for one in snippets}
    ]
    margin = len("  in a file  ")
    longest_word = max(len(word) for word in text.split())
    assert max(map(len, prose)) <= max(min(max(width, 40), 100), margin + longest_word)
    assert all(f" {line}\n" in text for line in snippets)
