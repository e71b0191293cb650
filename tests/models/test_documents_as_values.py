"""Documents as frozen values: every key that a file may hold has its place, in its unit."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

import pytest

from speclint.documents.parse import parse
from speclint.documents.tree import Document
from speclint.models.bench import BenchRun, FactorySheet, Winding
from speclint.models.garages import Garage, GarageTrack, garage_of
from speclint.models.motors import Motor, Rebuild, Shims, motor_of
from speclint.models.parts import PartsBox
from speclint.models.rotors import Rotor
from speclint.models.setups import setup_of
from speclint.models.stated import StatedReading, stated_reading
from speclint.models.track_runs import TrackRun
from speclint.structure.shapes import equipment, garage, motor, setup


def document(text: str) -> Document:
    parsed, problems = parse("it.yaml", text)
    assert parsed is not None
    assert not problems
    return parsed


SHAPES: dict[str, tuple[type[tuple[Any, ...]], Mapping[str, Any], set[str]]] = {
    "bench run": (BenchRun, motor.DEFS["bench_run"], {"date"}),
    "factory sheet": (FactorySheet, motor.DEFS["factory_sheet"], {"date"}),
    "winding": (Winding, motor.DEFS["winding"], set()),
    "rebuild": (Rebuild, motor.DEFS["rebuild"], {"date"}),
    "motor": (Motor, {"properties": motor.motor_keys()}, {"notes"}),
    "shims": (Shims, motor.motor_keys()["shims_mm"], set()),
    "rotor": (Rotor, equipment.DEFS["rotor"], set()),
    "parts box": (PartsBox, equipment.DEFS["parts_box"], set()),
    "track": (GarageTrack, equipment.DEFS["track"], set()),
    "track run": (TrackRun, setup.DEFS["track_run"], {"date"}),
    "garage": (Garage, garage.garage_document(), {"format", "notes"}),
}
"""For each model the shape of its document, and the keys that it keeps under another name or that only people read."""


@pytest.mark.parametrize("name", SHAPES)
def test_a_model_has_every_key_of_its_document_under_the_name_that_people_write(name: str) -> None:
    model, shape, kept_otherwise = SHAPES[name]
    assert set(shape["properties"]) - kept_otherwise <= set(model.__annotations__)


def test_a_reading_is_one_number_or_several_or_a_mapping_that_names_its_instrument() -> None:
    assert stated_reading(31) == StatedReading((31,))
    assert stated_reading([37.8, 38.1]) == StatedReading((37.8, 38.1), is_list=True)
    assert stated_reading({"readings": [8.3, 8.4], "instrument": "meter"}) == StatedReading(
        (8.3, 8.4), instrument="meter"
    )
    assert stated_reading({"value": 8.3, "standard_uncertainty": 0.1}) == StatedReading(
        (8.3,), standard_uncertainty=0.1
    )
    assert StatedReading((8.3, 8.4)).exact_values == (Fraction("8.3"), Fraction("8.4"))
    assert StatedReading((8, 9)).mean == 8.5


@pytest.mark.parametrize("written", [None, [], {}, {"value": None}, {"instrument": "meter"}, {"readings": None}])
def test_what_states_no_number_is_no_reading(written: object) -> None:
    assert stated_reading(written) is None


def test_records_stand_from_the_newest_to_the_oldest_and_know_where_they_stand() -> None:
    motor = motor_of(
        document(
            "motor:\n"
            "  bench_runs:\n"
            "    - {date: 2026-03-10, kv_rpm_per_v: 2450}\n"
            "    - {date: '2026-03-12 19:30', winding: {ab_mohm: [21.4, 21.6], winding_c: 20}}\n"
            "    - {date: '2026-03-12 18:00'}\n"
            "  rebuilds: [{date: 2026-03-11, did: [clean, shim], note: dusty}]\n"
            "  factory_sheet: {date: 2025-01-01, starting_ratio: [4.2, 5]}\n"
        ),
        ("motor",),
    )
    assert [run.path[-1] for run in motor.bench_runs] == [1, 2, 0]
    winding = motor.bench_runs[0].winding
    assert winding is not None
    assert winding.ab_mohm is not None
    assert winding.ab_mohm.mean == 21.5
    assert winding.phases_mohm is None
    assert motor.rebuilds[0].did == ("clean", "shim")
    sheet = motor.factory_sheet
    assert sheet is not None
    assert sheet.starting_ratio == (Fraction("4.2"), Fraction(5))
    assert sheet.when.day < motor.bench_runs[-1].when.day


def test_a_garage_holds_its_parts_tracks_and_pins() -> None:
    garage = garage_of(
        document(
            "format: garage/1\n"
            "parts_box: {pinions_teeth: [40, 41], rotors: [{kind: torque, part: R-13}], shims_mm: [0.1]}\n"
            "tracks: {harbour-hall: {lap_m: 180, ambient_c: 19}}\n"
            f"pins: {{harbour-city: {{'2026.2': 'sha256:{'0' * 64}'}}}}\n"
        )
    )
    assert garage.name == "it.yaml"
    assert garage.parts_box.pinions_teeth == (40, 41)
    assert garage.parts_box.spurs_teeth is None
    assert garage.parts_box.shims_mm == (Fraction(1, 10),)
    assert garage.parts_box.rotors is not None
    assert garage.parts_box.rotors[0].names == ("torque", "R-13")
    assert garage.tracks["harbour-hall"].lap_m == 180
    assert garage.pins == {"harbour-city": {"2026.2": f"sha256:{'0' * 64}"}}


def test_the_setups_own_box_goes_before_the_garages_for_each_kind_of_part() -> None:
    own, shared = PartsBox(pinions_teeth=(40,), spurs_teeth=()), PartsBox((41,), (96,), None, (Fraction(1, 10),))
    assert own.filled_from(shared) == PartsBox((40,), (), None, (Fraction(1, 10),))


def test_a_track_run_has_its_gearing_exactly() -> None:
    setup = setup_of(
        document(
            "format: setup/1\ntrack_runs: [{date: 2026-03-14, internal_ratio: 40/21, can_c: {value: 61, instrument: gun}}]\n"
        )
    )
    (run,) = setup.track_runs
    assert run.internal_ratio == Fraction(40, 21)
    assert run.can_c == StatedReading((61,), instrument="gun")


def test_a_key_without_a_value_is_a_missing_key() -> None:
    motor = motor_of(
        document("format: motor/1\nturns:\nrotor:\nfactory_sheet:\nbench_runs:\nshims_mm: {drive_end: }\n")
    )
    assert (motor.turns, motor.rotor, motor.factory_sheet) == (None, None, None)
    assert motor.bench_runs == ()
    assert motor.shims_mm == Shims()
