"""What a setup is made to say for a quantity to have a value is what the quantity is then read as."""

from datetime import date
from fractions import Fraction

import pytest

from speclint.documents.parse import parse
from speclint.edits.spelled import flow
from speclint.models.cars import Car
from speclint.models.motors import motor_of
from speclint.models.setups import setup_of
from speclint.quantities.facts import Facts, Value
from speclint.quantities.model import Quantity
from speclint.quantities.registry import QUANTITIES
from speclint.quantities.statements import nested, statement_of
from speclint.readings.measured import Measured, value_of
from speclint.structure.validate import validate

ON = date(2026, 3, 14)


def shown(name: str, value: str | bool | Fraction) -> Value | None:
    statement = statement_of(name, value, ON)
    assert statement is not None, name
    document, problems = parse("car.yaml", flow({"format": "setup/1", **nested([statement])}))
    assert document is not None
    assert (*problems, *validate(document, "setup/1")) == ()
    motor = motor_of(document, ("motor",)) if document.has(("motor",)) else None
    facts = Facts(Car(setup_of(document), motor, "", {}), on=ON, reference_c=Fraction(20), entry_keys={})
    found = facts.fact(name).value
    return value_of(found) if isinstance(found, Fraction | Measured) else found


@pytest.mark.parametrize("described", QUANTITIES, ids=lambda described: described.name)
def test_every_quantity_can_be_shown_at_the_value_of_its_example(described: Quantity) -> None:
    name, example = described.name, described.example
    if isinstance(example, bool | str) and not (isinstance(example, str) and "/" in example):
        assert shown(name, example) in (example, (example,))
        return
    value = Fraction(str((*example, 0.1)[0] if isinstance(example, list) else example))
    # Of a ratio of teeth the nearest that gears have.
    near = Fraction(1, 1000) if name == "spur_pinion_ratio" else Fraction(1, 10**6)
    assert abs(shown(name, value) - value) < near  # type: ignore[operator]


def test_a_ratio_is_shown_exactly() -> None:
    for value in (Fraction(4205, 1000), Fraction(40, 21), Fraction(9, 2)):
        assert shown("final_drive_ratio", value) == value
    for value in (Fraction(42, 10), Fraction(40, 21), Fraction(9, 2)):
        assert shown("spur_pinion_ratio", value) == value


def test_teeth_in_all_are_shown_from_the_first_that_leaves_the_spur_a_tooth() -> None:
    pinion = (statement_of("tooth_sum", Fraction(130), ON) or {})["car", "pinion_teeth"]
    assert shown("tooth_sum", Fraction(pinion + 1)) == pinion + 1
    assert statement_of("tooth_sum", Fraction(pinion), ON) is None
    assert statement_of("tooth_sum", Fraction(2 * pinion + 1, 2), ON) is None


def test_what_was_done_to_a_motor_is_shown_by_its_name_alone() -> None:
    assert statement_of("motor_rebuilds", Fraction(1), ON) is None
