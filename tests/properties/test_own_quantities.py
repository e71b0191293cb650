"""Laws of a ruleset's own sums and counts: they come out as the number itself would, in whatever order and unit."""

from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.check.world import verdict_of

MASSES_G = st.lists(st.integers(1, 99_999), min_size=2, max_size=6)


def _top(*names: str) -> str:
    return f"quantities:\n  extra.all_g: {{kind: measured, sum_of: [{', '.join(f'extra.{name}' for name in names)}]}}\n"


@settings(max_examples=40)
@given(masses_g=MASSES_G, offset=st.integers(-2, 2), data=st.data())
def test_a_sum_is_judged_as_one_reading_of_it_in_whatever_order_its_parts_stand(
    masses_g: list[int], offset: int, data: st.DataObject
) -> None:
    limit = sum(masses_g) + offset
    names = [f"part_{i}_g" for i in range(len(masses_g))]
    parts = f"extra: {{{', '.join(f'{name}: {mass}' for name, mass in zip(names, masses_g, strict=True))}}}"
    shuffled = data.draw(st.permutations(names))
    as_one = verdict_of(f"quantity: extra.all_g, at_least: {limit}", f"extra: {{all_g: {sum(masses_g)}}}")
    assert verdict_of(f"quantity: extra.all_g, at_least: {limit}", parts, top=_top(*shuffled)) == as_one


@settings(max_examples=40)
@given(masses_g=st.tuples(st.integers(1, 99_999), st.integers(1, 99_999)))
def test_a_part_in_kilograms_is_the_same_in_grams(masses_g: tuple[int, int]) -> None:
    in_kg = Fraction(masses_g[1], 1000)
    parts = f"extra: {{a_g: {masses_g[0]}, b_kg: {float(in_kg)}}}"
    for side in ("at_least", "at_most"):
        rule = f"quantity: extra.all_g, {side}: {sum(masses_g)}"
        assert verdict_of(rule, parts, top=_top("a_g", "b_kg")) == "legal"


@settings(max_examples=30)
@given(count=st.integers(0, 20), limit=st.integers(0, 20))
def test_a_count_is_judged_as_the_number_of_things(count: int, limit: int) -> None:
    top = "quantities:\n  extra.things: {kind: count, count_of: extra.thing_mm}\n"
    verdict = verdict_of(f"quantity: extra.things, at_most: {limit}", f"extra: {{thing_mm: {[13] * count}}}", top=top)
    assert verdict == ("legal" if count <= limit else "illegal")
