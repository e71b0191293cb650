"""Values set in several files at once: all of them, or none."""

from dataclasses import dataclass
from pathlib import Path

import pytest

from speclint.edits.changes import apply_changes
from speclint.errors import WriteRefusedError
from speclint.files import Folder
from speclint.places import Path as KeyPath

CAR = "# car\nformat: setup/1\ncar: {spur_teeth: 96, pinion_teeth: 42}  # gears\nmotor: motor.yaml\n"
MOTOR = "format: motor/1\r\ntiming_deg: 38 # set\r\n"


@dataclass(frozen=True)
class Change:
    file: str
    path: KeyPath
    value: int | float | str


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    (tmp_path / "car.yaml").write_bytes(CAR.encode())
    (tmp_path / "motor.yaml").write_bytes(MOTOR.encode())
    (tmp_path / "bad.yaml").write_text("format: setup/1\ncarr: {}\n")
    return Folder(str(tmp_path))


def texts(folder: Folder) -> tuple[str, str]:
    return tuple(Path(folder.full(file)).read_bytes().decode() for file in ("car.yaml", "motor.yaml"))  # type: ignore[return-value]


GEARS = (Change("car.yaml", ("car", "pinion_teeth"), 43), Change("car.yaml", ("car", "spur_teeth"), 100))
TIMING = Change("motor.yaml", ("timing_deg",), 36.5)


def test_every_change_is_made_and_nothing_else(folder: Folder) -> None:
    apply_changes(folder, [*GEARS, TIMING])
    assert texts(folder) == (
        CAR.replace("spur_teeth: 96, pinion_teeth: 42", "spur_teeth: 100, pinion_teeth: 43"),
        MOTOR.replace("38", "36.5"),
    )


def test_two_names_of_one_file_are_one_file(folder: Folder, tmp_path: Path) -> None:
    (tmp_path / "link.yaml").symlink_to("car.yaml")
    apply_changes(folder, [GEARS[0], Change("link.yaml", ("car", "spur_teeth"), 100)])
    assert texts(folder)[0] == CAR.replace("spur_teeth: 96, pinion_teeth: 42", "spur_teeth: 100, pinion_teeth: 43")


def test_what_holds_already_is_not_written(folder: Folder) -> None:
    before = Path(folder.full("car.yaml")).stat()
    apply_changes(folder, [Change("car.yaml", ("car", "spur_teeth"), 96)])
    assert Path(folder.full("car.yaml")).stat() == before


@pytest.mark.parametrize(
    ("last", "said"),
    [
        (Change("motor.yaml", ("timing_deg",), "late"), "the change does not fit, nothing was written: `timing_deg`"),
        (Change("motor.yaml", ("timing",), 36), "does not fit, nothing was written: `timing`"),
        (Change("motor.yaml", ("timing_deg",), 0.1 + 0.2), "significant digits"),
        (Change("bad.yaml", ("car", "mass_g"), 1350), "mend the file first, nothing was written"),
        (Change("none.yaml", ("car", "mass_g"), 1350), "nothing was written: there is no such file"),
        (Change("car.yaml", ("car",), 5), "holds a mapping that would be lost"),
    ],
)
def test_where_one_change_cannot_be_made_none_is(folder: Folder, last: Change, said: str) -> None:
    with pytest.raises(WriteRefusedError, match=said):
        apply_changes(folder, [*GEARS, TIMING, last])
    assert texts(folder) == (CAR, MOTOR)
