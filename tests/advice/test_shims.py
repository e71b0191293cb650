"""Which shims make a rotor just free again. Just free is 0.1 to 0.3 mm: common practice, from memory."""

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from speclint.advice.shaft import LEAST_PLAY_MM, MOST_PLAY_MM, best_shimming
from tests.advice.hearing import findings_of, told

SHIMS = st.sampled_from([Fraction(n, 100) for n in (5, 10, 15, 20, 30, 50)])


def mm(*texts: str) -> tuple[Fraction, ...]:
    return tuple(Fraction(text) for text in texts)


def setup_text(play: str, fitted: str, box: str, more: str = "") -> str:
    return (
        f"format: setup/1\nmotor:\n  shims_mm: {fitted}\n  end_play_mm: {play}\n{more}parts_box: {{shims_mm: {box}}}\n"
    )


def test_one_shim_from_the_box_takes_up_what_is_too_much(tmp_path: Path) -> None:
    text = setup_text("0.45", "{drive_end: [], sensor_end: []}", "[0.05, 0.2, 0.2]")
    assert told(findings_of(tmp_path, [text])) == [
        (
            "end-play-too-large",
            "end play is 0.45 mm, where a rotor that is just free has about 0.1 to 0.3 mm: it hammers the bearings and"
            " wanders past the sensors; add a 0.2 mm shim from the parts box at the drive end, which leaves 0.25 mm",
        )
    ]


def test_a_thick_shim_is_swapped_for_a_thinner_one_where_taking_it_out_would_be_too_much(tmp_path: Path) -> None:
    text = setup_text("0", "{drive_end: [0.5], sensor_end: [0.5]}", "[0.3]")
    assert told(findings_of(tmp_path, [text])) == [
        (
            "end-play-too-small",
            "end play is 0 mm, where a rotor that is just free has about 0.1 to 0.3 mm: it may bind once the motor is warm;"
            " swap the 0.5 mm shim at the drive end for one of 0.3 mm from the parts box, which leaves 0.2 mm",
        )
    ]


def test_a_box_without_the_shim_that_it_takes_says_how_much_is_lacking(tmp_path: Path) -> None:
    text = setup_text("0.9", "{drive_end: [], sensor_end: []}", "[0.05]")
    ((_, message),) = told(findings_of(tmp_path, [text]))
    assert message.endswith("add about 0.70 mm of shims, which the parts box does not make up")


def test_without_a_word_of_shims_it_says_how_much_to_take_out(tmp_path: Path) -> None:
    ((_, message),) = told(findings_of(tmp_path, ["format: setup/1\nmotor: {end_play_mm: 0.05}\n"]))
    assert message.endswith("take about 0.15 mm of shims out")


def test_the_shims_of_the_garage_count_where_the_setup_has_no_box(tmp_path: Path) -> None:
    files = {
        "car.yaml": "format: setup/1\ngarage: garage.yaml\nmotor: {end_play_mm: 0.4}\n",
        "garage.yaml": "format: garage/1\nparts_box: {shims_mm: [0.2]}\n",
    }
    ((_, message),) = told(findings_of(tmp_path, files))
    assert message.endswith("add a 0.2 mm shim from the parts box at the drive end, which leaves 0.2 mm")


def test_nobody_is_told_to_open_a_sealed_motor(tmp_path: Path) -> None:
    text = setup_text("0.45", "{drive_end: [], sensor_end: []}", "[0.2]").replace(
        "  end_play", "  sealed: true\n  end_play"
    )
    ((_, message),) = told(findings_of(tmp_path, [text]))
    assert message.endswith("the motor is sealed, so leave it closed and show it to the officials")


@pytest.mark.parametrize(("accuracy", "said"), [("0.03", ["end-play-too-large"]), ("0.2", [])])
def test_what_the_calliper_blurs_is_not_too_much_yet(tmp_path: Path, accuracy: str, said: list[str]) -> None:
    text = (
        f"format: setup/1\ninstruments: {{calliper: {{accuracy: {accuracy}}}}}\n"
        "motor: {end_play_mm: {value: 0.35, instrument: calliper}}\n"
    )
    assert [id_ for id_, _ in told(findings_of(tmp_path, [text]))] == said


def test_of_two_ways_the_one_with_fewer_shims_is_told() -> None:
    found = best_shimming(Fraction("0.5"), {}, mm("0.1", "0.1", "0.1", "0.3"))
    assert found is not None
    assert (found.taken, found.added, found.play) == ((), mm("0.3"), Fraction("0.2"))


def test_of_two_ends_the_one_is_told_that_leaves_the_magnet_nearer_to_the_middle() -> None:
    found = best_shimming(Fraction("0.4"), {"drive_end": mm("0.2")}, mm("0.2"))
    assert found is not None
    assert found.end == "sensor_end"


@given(
    play=st.integers(0, 150).map(lambda n: Fraction(n, 100)),
    drive=st.lists(SHIMS, max_size=3),
    sensor=st.lists(SHIMS, max_size=3),
    box=st.lists(SHIMS, max_size=5),
)
def test_whatever_is_told_leaves_the_rotor_just_free_and_uses_only_what_is_there(
    play: Fraction, drive: list[Fraction], sensor: list[Fraction], box: list[Fraction]
) -> None:
    fitted = {"drive_end": drive, "sensor_end": sensor}
    found = best_shimming(play, fitted, box)
    if found is None:
        return
    assert LEAST_PLAY_MM <= play + sum(found.taken) - sum(found.added) == found.play <= MOST_PLAY_MM
    assert all(found.taken.count(one) <= fitted[found.end].count(one) for one in found.taken)
    assert all(found.added.count(one) <= box.count(one) for one in found.added)
    assert found.taken or found.added
