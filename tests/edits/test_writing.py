"""Files are written whole or not at all, never over somebody else's change, and stay what they were otherwise."""

import stat
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from speclint.edits.diff import unified
from speclint.edits.write import ChangedMeanwhileError, Rewrite, write_all, write_new
from speclint.errors import WriteRefusedError


def rewrite(path: Path, before: str, after: str) -> Rewrite:
    return Rewrite(path.name, str(path.resolve()), before, after)


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_a_byte_order_mark_and_line_ends_stay(tmp_path: Path, mark: bytes) -> None:
    file = tmp_path / "car.yaml"
    file.write_bytes(mark + "a: é\r\nb: 1".encode())
    write_all([rewrite(file, "a: é\r\nb: 1", "a: ü\r\nb: 1")])
    assert file.read_bytes() == mark + "a: ü\r\nb: 1".encode()


def test_the_mode_of_a_file_stays(tmp_path: Path) -> None:
    file = tmp_path / "car.yaml"
    file.write_text("a")
    file.chmod(0o640)
    write_all([rewrite(file, "a", "b")])
    assert stat.S_IMODE(file.stat().st_mode) == 0o640


def test_a_link_stays_a_link_and_its_target_is_written(tmp_path: Path) -> None:
    (tmp_path / "shared").mkdir()
    target, link = tmp_path / "shared" / "motor.yaml", tmp_path / "motor.yaml"
    target.write_text("a")
    link.symlink_to("shared/motor.yaml")
    write_all([rewrite(link, "a", "b")])
    assert link.is_symlink()
    assert target.read_text() == "b"
    assert [path.name for path in (tmp_path / "shared").iterdir()] == ["motor.yaml"]


def test_a_change_of_somebody_else_is_not_written_over(tmp_path: Path) -> None:
    file = tmp_path / "car.yaml"
    file.write_text("theirs")
    with pytest.raises(ChangedMeanwhileError, match="was changed by someone else meanwhile, so nothing was written"):
        write_all([rewrite(file, "read", "mine")])
    assert file.read_text() == "theirs"
    assert list(tmp_path.iterdir()) == [file]


def test_a_file_that_went_away_is_not_made_anew(tmp_path: Path) -> None:
    with pytest.raises(WriteRefusedError, match=r"car\.yaml cannot be written, nothing was: no such file"):
        write_all([rewrite(tmp_path / "car.yaml", "a", "b")])
    assert list(tmp_path.iterdir()) == []


def test_a_read_only_file_is_left_alone(tmp_path: Path) -> None:
    file = tmp_path / "car.yaml"
    file.write_text("a")
    file.chmod(0o444)
    with pytest.raises(WriteRefusedError, match="is read-only"):
        write_all([rewrite(file, "a", "b")])
    assert file.read_text() == "a"


def test_a_folder_is_no_ordinary_file(tmp_path: Path) -> None:
    with pytest.raises(WriteRefusedError, match="no ordinary file"):
        write_all([rewrite(tmp_path, "a", "b")])


def test_of_several_files_none_is_written_where_one_has_changed(tmp_path: Path) -> None:
    one, other = tmp_path / "one.yaml", tmp_path / "other.yaml"
    one.write_text("a")
    other.write_text("theirs")
    with pytest.raises(ChangedMeanwhileError, match=r"other\.yaml"):
        write_all([rewrite(one, "a", "b"), rewrite(other, "read", "mine")])
    assert (one.read_text(), other.read_text()) == ("a", "theirs")
    assert sorted(tmp_path.iterdir()) == [one, other]


def test_a_failure_while_writing_leaves_the_old_file_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "car.yaml"
    file.write_text("a" * 10_000)

    def full(_: Path, __: str) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(WriteRefusedError, match=r"car\.yaml cannot be written: no space left on device"):
        write_all([rewrite(file, "a" * 10_000, "b")])
    assert file.read_text() == "a" * 10_000
    assert list(tmp_path.iterdir()) == [file]


def test_an_interruption_leaves_the_old_file_and_nothing_else(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "car.yaml"
    file.write_text("a")

    def interrupted(_: Path, __: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(Path, "chmod", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_all([rewrite(file, "a", "b")])
    assert file.read_text() == "a"
    assert list(tmp_path.iterdir()) == [file]


def test_of_many_who_write_at_once_one_succeeds_and_the_others_are_told(tmp_path: Path) -> None:
    file = tmp_path / "car.yaml"
    file.write_text("old")

    def write(name: str) -> str:
        try:
            write_all([rewrite(file, "old", name * 5000)])
        except ChangedMeanwhileError:
            return ""
        return name

    with ThreadPoolExecutor(8) as pool:
        written = [name for name in pool.map(write, "abcdefgh") if name]
    assert len(written) == 1
    assert file.read_text() == written[0] * 5000
    assert list(tmp_path.iterdir()) == [file]


def test_a_new_file_never_takes_the_place_of_another(tmp_path: Path) -> None:
    file = tmp_path / "car.yaml"
    write_new("car.yaml", str(file), "é\r\n")
    assert file.read_bytes() == "é\r\n".encode()
    with pytest.raises(WriteRefusedError, match=r"car\.yaml is there already"):
        write_new("car.yaml", str(file), "other")
    dangling = tmp_path / "link.yaml"
    dangling.symlink_to("nowhere.yaml")
    with pytest.raises(WriteRefusedError, match="is there already"):
        write_new("link.yaml", str(dangling), "other")
    with pytest.raises(WriteRefusedError, match="cannot be written"):
        write_new("car.yaml/a.yaml", str(file / "a.yaml"), "other")
    write_new("new/car.yaml", str(tmp_path / "new" / "car.yaml"), "in a folder of its own")
    assert file.read_bytes() == "é\r\n".encode()
    assert not (tmp_path / "nowhere.yaml").exists()


def test_a_file_with_two_names_is_refused_as_the_second_would_keep_the_old_text(tmp_path: Path) -> None:
    file, second = tmp_path / "car.yaml", tmp_path / "copy.yaml"
    file.write_text("a")
    second.hardlink_to(file)
    with pytest.raises(WriteRefusedError, match=r"car\.yaml has another name \(a hard link\)"):
        write_all([rewrite(file, "a", "b")])
    assert (file.read_text(), second.read_text()) == ("a", "a")
    assert sorted(tmp_path.iterdir()) == [file, second]


def test_a_difference_names_the_file_and_shows_missing_line_ends() -> None:
    assert unified("cars/a.yaml", "a: 1\r\nb: 2", "a: 1\r\nb: 2\r\nc: 3") == (
        "--- a/cars/a.yaml", "+++ b/cars/a.yaml", "@@ -1,2 +1,3 @@", " a: 1",
        "-b: 2", "\\ No newline at end of file", "+b: 2", "+c: 3", "\\ No newline at end of file",
    )  # fmt: skip
    assert unified("a", "same\n", "same\n") == ()


def test_the_second_name_that_a_killed_program_left_of_a_file_is_no_hindrance(tmp_path: Path) -> None:
    file, leftover = tmp_path / "car.yaml", tmp_path / ".car.yaml.0123456789abcdef.new"
    others = [tmp_path / ".car.yaml.mine.new", tmp_path / ".other.yaml.0123456789abcdef.new"]
    file.write_text("a")
    leftover.hardlink_to(file)
    for other in others:
        other.write_text("mine")
    write_all([rewrite(file, "a", "b")])
    assert file.read_text() == "b"
    assert sorted(tmp_path.iterdir()) == [*others, file]
