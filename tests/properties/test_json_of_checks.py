"""What a report keeps of checks that are alike is what it would work out anew for each."""

from typing import Any, Final

from hypothesis import given, settings
from hypothesis import strategies as st

from speclint.reports.check.fields import ENTRY
from speclint.reports.fields import Record
from speclint.rules.judge import entry_facts, judge
from tests.properties.stated_cars import VENUES, book_of, car_of, clubs, reading, stated_cars
from tests.properties.strategies import Data, setup_data

CHECK: Final[Record[Any]] = next(field.record for field in ENTRY.fields if field.key == "checks" and field.record)


@settings(max_examples=20, deadline=None)
@given(
    clubs(), st.lists(stated_cars(), min_size=2, max_size=3), st.lists(reading(1345, 1355), min_size=1, max_size=2),
    st.sampled_from(VENUES), st.data(),
)  # fmt: skip
def test_every_check_of_several_cars_is_told_as_it_is(
    club: Data, several: list[Data], masses: list[Any], venue: str, data: st.DataObject
) -> None:
    # Met by all of them, so that what tells them apart is what each was read on.
    club["classes"]["stock"]["rules"].append({"id": "any-mass", "quantity": "mass_g", "at_least": 1000})
    book = book_of(club)
    for stated in several:
        stated["car"]["mass_g"] = data.draw(st.sampled_from(masses))
        car = car_of(setup_data(stated, venue=venue))
        for check in judge(book, entry_facts(car, car.setup.entries[0], book.flat), car.setup.document.place(())):
            told = CHECK.json(check)
            assert told == {field.key: field.value(check) for field in CHECK.fields}
            assert list(told) == [field.key for field in CHECK.fields]
