"""Several cars of one team: what stands in two of them at once, and tracks that the garage spells otherwise."""

import json
from pathlib import Path

import pytest

from tests.check.world import find_in, problems_of
from tests.console import Console
from tests.gearing.geared_cars import TRACK, written

CLUB = """\
format: ruleset/1
id: club
version: "1"
in_force: {from: 2026-01-01}
classes:
  stock: {rules: [{id: weight, quantity: mass_g, at_least: 1300, measure: Ready to race.}]}
"""


def car(name: str, *, on: str = "2026-03-14", more: str = "", class_id: str = "stock") -> str:
    return (
        f"format: setup/1\nname: {name}\nentries: [{{ruleset: club, class: {class_id}, on: {on}}}]\n"
        f"car: {{mass_g: 1350}}\n{more}\n"
    )


def told(files: dict[str, str]) -> list[tuple[str, str, str]]:
    found = find_in({"rulesets/club.yaml": CLUB, **files})
    assert found.problems == ()
    ids = ("motor-in-two-cars", "pack-in-two-cars", "entry-twice")
    return [(piece.id, piece.place.file, piece.place.pointer) for piece in found.advice if piece.id in ids]


def test_one_motor_in_two_cars_of_one_day_gets_a_remark() -> None:
    motor = {"motors/1.yaml": "format: motor/1\nturns: 17.5\n"}
    named = "motor: motors/1.yaml"
    assert told({**motor, "a.yaml": car("A", more=named), "b.yaml": car("B", more=named)}) == [
        ("motor-in-two-cars", "b.yaml", "/motor")
    ]
    found = find_in(
        {"rulesets/club.yaml": CLUB, **motor, "a.yaml": car("A", more=named), "b.yaml": car("B", more=named)}
    )
    (message,) = (piece.message for piece in found.advice if piece.id == "motor-in-two-cars")
    assert message.startswith("the motor motors/1.yaml is in a.yaml too, and both are entered for 14 March 2026: ")
    # On two days it moves from one car to the other, as motors do.
    assert told({**motor, "a.yaml": car("A", more=named), "b.yaml": car("B", more=named, on="2026-03-21")}) == []
    # Three cars get two remarks, not three.
    assert len(told({**motor, **{f"{i}.yaml": car(f"Car {i}", more=named) for i in range(3)}})) == 2


def test_a_motor_is_known_by_its_serial_wherever_it_stands() -> None:
    in_place = 'motor: {part: M-1, serial: "7"}'
    files = {"motors/7.yaml": 'format: motor/1\npart: M-1\nserial: "7"\n'}
    assert told({**files, "a.yaml": car("A", more="motor: motors/7.yaml"), "b.yaml": car("B", more=in_place)}) == [
        ("motor-in-two-cars", "b.yaml", "/motor")
    ]
    # Number 7 of another type is another motor, and so are motors without a serial.
    assert told({"a.yaml": car("A", more=in_place), "b.yaml": car("B", more=in_place.replace("M-1", "M-2"))}) == []
    assert (
        told({"a.yaml": car("A", more="motor: {turns: 17.5}"), "b.yaml": car("B", more="motor: {turns: 17.5}")}) == []
    )


def test_one_pack_in_two_cars_of_one_day_gets_a_remark() -> None:
    pack = 'battery: {serial: "P-31"}'
    assert told({"a.yaml": car("A", more=pack), "b.yaml": car("B", more=pack)}) == [
        ("pack-in-two-cars", "b.yaml", "/battery/serial")
    ]
    assert told({"a.yaml": car("A", more=pack), "b.yaml": car("B", more=pack.replace("31", "32"))}) == []


def test_two_setups_of_one_name_and_entry_get_a_remark() -> None:
    assert told({"a.yaml": car("A"), "copy of a.yaml": car("A")}) == [("entry-twice", "copy of a.yaml", "/entries/0")]
    assert told({"a.yaml": car("A"), "b.yaml": car("B")}) == []
    assert told({"a.yaml": car("A"), "b.yaml": car("A", on="2026-03-21")}) == []


@pytest.mark.parametrize(
    ("track", "tracks", "told"),
    [
        ("harbor-hall", "{harbour-hall: {lap_m: 162}}", "did you mean harbour-hall?"),
        ("harbour-hal", "{harbour-hall: {lap_m: 162}, pine-hall: {lap_m: 90}}", "did you mean harbour-hall?"),
        ("harbour-hall", "{harbour-hall: {lap_m: 162}}", ""),
        # A hall that nobody has measured yet is no mistake.
        ("moor-end", "{harbour-hall: {lap_m: 162}}", ""),
        ("harbor-hall", "{}", ""),
    ],
)
def test_a_track_that_the_garage_spells_otherwise_is_a_problem(track: str, tracks: str, told: str) -> None:
    setup = car("A", more="garage: garage.yaml").replace("2026-03-14}", f"2026-03-14, track: {track}}}")
    found = find_in(
        {"rulesets/club.yaml": CLUB, "garage.yaml": f"format: garage/1\ntracks: {tracks}\n", "a.yaml": setup}
    )
    if not told:
        assert found.problems == ()
        return
    (problem,) = problems_of(found)
    assert problem == f"a.yaml:3:64: the garage garage.yaml describes no track {track}; did you mean harbour-hall?"
    assert [entry.verdict.value for entry in found.entries] == ["legal"]


def test_a_gearing_is_not_worked_out_for_a_track_that_is_misspelt(empty: Path, console: Console) -> None:
    entry = "[{ruleset: harbour-city, class: stock-17, on: 2026-03-14, track: %s}]"
    garage = f"format: garage/1\ntracks: {{harbour-hall: {TRACK}}}\n"
    written(empty, entries=entry % "harbor-hall", garage=garage)
    run = console(empty, "gearing", "car.yaml")
    assert run.status == 1
    assert "  car.yaml:4:75: the garage garage.yaml describes no track harbor-hall; did you mean" in run.out
    written(empty, entries=entry % "harbour-hall", garage=garage)
    assert json.loads(console(empty, "gearing", "car.yaml", "--report", "json").out)["run"]["track"] == "harbour-hall"
