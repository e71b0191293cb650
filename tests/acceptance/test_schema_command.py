"""`speclint schema`: the schemas for whoever has installed it, printed or laid into a folder."""

from pathlib import Path

import pytest

from speclint.resources import schema_text
from speclint.schemas import DOCUMENTS
from tests.console import Console


def test_it_prints_a_schema_and_lists_the_kinds(empty: Path, console: Console) -> None:
    assert console(empty, "schema", "motor").out == schema_text("motor-1")
    assert console(empty, "schema").out.split() == [name.rpartition("-")[0] for name in DOCUMENTS]


def test_it_lays_them_into_a_folder_that_what_start_writes_names(empty: Path, console: Console) -> None:
    assert console(empty, "schema", "--copy", "schemas").status == 0
    assert {file.name: file.read_text(encoding="utf-8") for file in (empty / "schemas").iterdir()} == {
        f"{name}.schema.json": schema_text(name) for name in DOCUMENTS
    }
    (empty / "cars").mkdir()
    assert console(empty, "start", "setup", "cars/mine.yaml", "--no-questions").status == 0
    first = (empty / "cars" / "mine.yaml").read_text(encoding="utf-8").partition("\n")[0]
    assert first == "# yaml-language-server: $schema=../schemas/setup-1.schema.json"


def test_a_kind_that_is_none_is_guessed_and_a_file_is_no_folder(empty: Path, console: Console) -> None:
    run = console(empty, "schema", "moter")
    assert (run.status, run.out) == (2, "")
    assert "did you mean motor?" in run.err
    (empty / "file").write_text("", encoding="utf-8")
    assert console(empty, "schema", "motor", "--copy", "file").status == 2


def test_a_full_disk_is_told_and_is_no_defect(empty: Path, console: Console, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_: Path, __: Path) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    done = console(empty, "schema", "motor", "--copy", "schemas")
    assert (done.status, done.err) == (
        2,
        "speclint: schemas/motor-1.schema.json cannot be written: no space left on device\n",
    )
    assert list((empty / "schemas").iterdir()) == []
