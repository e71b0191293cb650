"""What holds for every form of limit in the registry, whatever it asks."""

import pytest

from speclint.forms.limit import Form
from speclint.forms.registry import FORMS, LIMIT_KEYS
from tests.check.world import verdict_of

LISTS = "lists: {motors: {items: [{id: M-1, rotors: [R-1]}]}}"


def name_of(form: Form) -> str:
    return form.keys[0]


@pytest.mark.parametrize("form", FORMS, ids=name_of)
def test_its_example_is_met_by_the_one_setup_and_not_by_the_other(form: Form) -> None:
    assert any(f"{key}:" in form.example.rule for key in form.keys)
    assert verdict_of(form.example.rule, form.example.meets, top=LISTS) == "legal"
    assert verdict_of(form.example.rule, form.example.fails, top=LISTS) == form.example.verdict
    assert form.example.verdict in ("illegal", "not-shown")


@pytest.mark.parametrize("form", FORMS, ids=name_of)
def test_each_of_its_keys_has_a_shape_with_help_and_an_example(form: Form) -> None:
    shapes = form.shapes()
    assert set(shapes) == {*form.keys, *form.beside}
    assert all(shape["title"] and shape["description"].endswith(".") and shape["examples"] for shape in shapes.values())


def test_no_two_forms_share_a_key() -> None:
    assert len(set(LIMIT_KEYS)) == len(LIMIT_KEYS)
