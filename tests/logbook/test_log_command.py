"""What the command adds, what it says of it, and what it refuses."""

from datetime import date, timedelta
from pathlib import Path

import pytest

from speclint.commands.shell import folded
from tests.logbook.log_command import run, start

MOTOR = (
    "# the club's\n"
    "format: motor/1\n"
    "rotor: {kind: standard}\n"
    "end_play_mm: 0.15\n"
    "bench_runs:\n"
    "  - date: 2026-03-10\n"
    "    current_a: 3.9\n"
    "    timing_deg: [37.8, 38.1, 38.3]  # as marked\n"
    "    winding: {ab_mohm: 21.9, bc_mohm: 22.0, ca_mohm: 21.8, winding_c: 31, instrument: milliohm-meter}\n"
    "# the end\n"
)
SETUP = "format: setup/1\ngarage: ../garage.yaml\nmotor: ../motors/00417.yaml\n"
GARAGE = "format: garage/1\ninstruments:\n  milliohm-meter: {accuracy_percent: 0.25}\n  thermometer: {accuracy: 1}\n"
ADDED = "  - date: 2026-03-20\n    current_a: 3.7\n"


@pytest.fixture(autouse=True)
def team(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A repository with a motor, a setup that names it, and a garage; it is the current folder."""
    for folder in (".git", "motors", "cars"):
        (tmp_path / folder).mkdir()
    (tmp_path / "motors" / "00417.yaml").write_bytes(MOTOR.encode())
    (tmp_path / "cars" / "car-12.yaml").write_bytes(SETUP.encode())
    (tmp_path / "garage.yaml").write_text(GARAGE)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def motor() -> str:
    return Path("motors/00417.yaml").read_bytes().decode()


def test_a_bench_run_is_added_behind_the_last_one_and_nothing_else_changes() -> None:
    told = run("motors/00417.yaml", "bench", "--date", "2026-03-20", "--current-a", "3.7")
    assert told.status == 0
    assert told.out == ("motors/00417.yaml, line 10: bench run added, {date: 2026-03-20, current_a: 3.7}",)
    assert motor() == MOTOR.replace("# the end\n", ADDED + "# the end\n")


def test_a_day_with_dots_is_written_as_files_have_it() -> None:
    told = run("motors/00417.yaml", "bench", "--date", "20.3.2026", "--current-a", "3.7")
    assert told.out == ("motors/00417.yaml, line 10: bench run added, {date: 2026-03-20, current_a: 3.7}",)


def test_what_belongs_to_a_motor_goes_into_its_own_file_and_that_is_said() -> None:
    told = run("cars/car-12.yaml", "bench", "--date", "2026-03-20", "--current-a", "3.7")
    assert told.status == 0
    assert told.err[0] == "speclint: cars/car-12.yaml names the motor motors/00417.yaml: that file was changed"
    assert motor() == MOTOR.replace("# the end\n", ADDED + "# the end\n")
    assert Path("cars/car-12.yaml").read_text() == SETUP


def test_a_motor_in_place_gets_its_records_in_the_setup() -> None:
    Path("own.yaml").write_text("format: setup/1\nmotor:\n  turns: 17.5  # as marked\ncar: {spur_teeth: 96}\n")
    assert run("own.yaml", "rebuild", "--date", "2026-03-20", "--did", "clean").status == 0
    assert Path("own.yaml").read_text() == (
        "format: setup/1\nmotor:\n  turns: 17.5  # as marked\n  rebuilds:\n    - {date: 2026-03-20, did: [clean]}\n"
        "car: {spur_teeth: 96}\n"
    )


def test_a_track_run_goes_into_the_setup() -> None:
    words = ["--date", "2026-03-20 19:30", "--spur-teeth", "96", "--minutes", "5.5", "--can-c", "61@thermometer"]
    told = run("cars/car-12.yaml", "track", *words, "--internal-ratio", "40/21", "--note", "no: 7 # wet")
    assert told.status == 0
    assert Path("cars/car-12.yaml").read_text() == SETUP + (
        "track_runs:\n  - date: 2026-03-20 19:30\n    spur_teeth: 96\n    internal_ratio: 40/21\n    minutes: 5.5\n"
        '    can_c: {value: 61, instrument: thermometer}\n    note: "no: 7 # wet"\n'
    )
    assert told.err == ("speclint: nobody can tell later what made the can so warm without pinion_teeth, ambient_c",)


def test_without_a_date_it_is_today() -> None:
    days = {date.today()}
    told = run("motors/00417.yaml", "bench", "--current-a", "3.7")
    days.add(date.today())
    assert any(f"date: {day}" in told.out[0] for day in days)


def test_readings_are_written_as_they_are_given() -> None:
    words = ["--date", "2026-03-20", "--current-a", "[3.6, 3.7]@bench-meter", "--timing-deg", "37.8, 38.1, 38.3",
             "--ab-mohm", "21.9,22.0@milliohm-meter", "--bc-mohm", "[21, 22]",
             "--supply-v", "{value: 3.7, standard_uncertainty: 0.01}"]  # fmt: skip
    assert run("motors/00417.yaml", "bench", *words).status == 0
    assert motor().endswith(
        "  - date: 2026-03-20\n"
        "    supply_v: {value: 3.7, standard_uncertainty: 0.01}\n"
        "    current_a: {readings: [3.6, 3.7], instrument: bench-meter}\n"
        "    timing_deg: [37.8, 38.1, 38.3]\n"
        "    winding: {ab_mohm: {readings: [21.9, 22.0], instrument: milliohm-meter}, bc_mohm: [21, 22]}\n"
        "# the end\n"
    )


def test_a_dry_run_shows_the_change_and_writes_nothing() -> None:
    told = run("motors/00417.yaml", "bench", "--date", "2026-03-20", "--current-a", "3.7", "--dry-run")
    assert told.status == 0
    assert told.out == (
        "--- a/motors/00417.yaml",
        "+++ b/motors/00417.yaml",
        "@@ -7,4 +7,6 @@",
        "     current_a: 3.9",
        "     timing_deg: [37.8, 38.1, 38.3]  # as marked",
        "     winding: {ab_mohm: 21.9, bc_mohm: 22.0, ca_mohm: 21.8, winding_c: 31, instrument: milliohm-meter}",
        "+  - date: 2026-03-20",
        "+    current_a: 3.7",
        " # the end",
    )
    assert "speclint: this is a dry run: nothing was written" in told.err
    assert motor() == MOTOR


def test_a_winding_without_its_temperature_is_told_to_be_of_little_use() -> None:
    told = run("motors/00417.yaml", "bench", "--date", "2026-03-20", "--ab-mohm", "21.9")
    assert told.status == 0
    assert "the winding lacks bc_mohm and ca_mohm" in told.all
    assert "the winding has no temperature (winding_c): no rule that corrects for temperature can use it" in told.all
    assert "no instrument is named for ab_mohm" in told.all


def test_a_complete_winding_is_passed_without_a_word() -> None:
    phases = ["--ab-mohm", "21.9", "--bc-mohm", "21.8", "--ca-mohm", "21.9", "--winding-c", "30"]
    meters = ["--winding-instrument", "milliohm-meter", "--thermometer", "thermometer"]
    told = run("motors/00417.yaml", "bench", "--date", "2026-03-20", *phases, *meters)
    assert (told.status, told.err) == (0, ())


@pytest.mark.parametrize("file", ["motors/00417.yaml", "cars/car-12.yaml"])
def test_an_instrument_that_no_file_describes_is_told(file: str) -> None:
    told = run(file, "bench", "--date", "2026-03-20", "--current-a", "3.7@milliohm-metre")
    assert "no file here describes the instrument milliohm-metre" in told.all
    assert "did you mean milliohm-meter?" in told.all


def test_a_reading_that_looks_like_a_slip_of_the_pen_is_told() -> None:
    told = run("cars/car-12.yaml", "bench", "--date", "2026-03-20", "--current-a", "3.7", "--supply-v", "37")
    assert told.status == 0
    assert "37 V looks like a misplaced decimal point" in told.all


def test_what_was_refused_is_folded_to_the_terminal_s_width(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("speclint.commands.shell.folded", lambda text, _width: folded(text, 60))
    refused = run("motors/00417.yaml", "bench", "--current-a", "3.7 A", "--can-c", "100 F", "--supply-v", "3700 mV")
    assert refused.status != 0
    assert max(map(len, refused.err)) <= 60


def test_a_day_to_come_is_told() -> None:
    ahead = date.today() + timedelta(days=40)
    assert "is still to come" in run("motors/00417.yaml", "bench", "--date", str(ahead), "--current-a", "3.7").all


def test_a_rebuild_names_the_readings_that_it_ends_and_what_to_take_care_of() -> None:
    told = run("motors/00417.yaml", "rebuild", "--date", "2026-03-20", "--did", "rotor-swap, clean")
    assert told.status == 0
    assert told.err[:2] == (
        "speclint: what the bench run of 10 March 2026 says of timing and current no longer counts: measure it again",
        "speclint: see whether rotor and end_play_mm in motors/00417.yaml still say what is in the motor",
    )
    assert "The maker's manual comes first" in told.all
    assert "Rotor magnets are strong and brittle" in told.all
    assert "speclint explain rotor-swap, speclint explain clean" in told.all


def test_a_rebuild_from_before_the_newest_reading_ends_nothing() -> None:
    told = run("motors/00417.yaml", "rebuild", "--date", "2026-03-01", "--did", "rotor-swap")
    assert "no reading became stale: the newest are from after it" in told.all


def test_a_new_winding_ends_what_the_factory_sheet_says() -> None:
    Path("m.yaml").write_text("format: motor/1\nfactory_sheet: {winding: {ab_mohm: 21.4}}\n")
    told = run("m.yaml", "rebuild", "--date", "2026-03-01", "--did", "rewind")
    assert "what the factory sheet says of winding no longer counts" in told.all


def test_a_bench_run_on_the_day_of_a_rebuild_wants_a_time() -> None:
    run("motors/00417.yaml", "rebuild", "--date", "2026-03-20 18:00", "--did", "rotor-swap")
    told = run("motors/00417.yaml", "bench", "--date", "2026-03-20", "--current-a", "3.7")
    assert "nothing says which came first, so the run counts as before the rebuild" in told.all
    told = run("motors/00417.yaml", "bench", "--date", "2026-03-20 19:00", "--current-a", "3.7")
    assert "which came first" not in told.all


@pytest.mark.parametrize(
    ("words", "status", "said"),
    [
        (["bench", "--current-a", "abc"], 2, '--current-a: `current_a` is "abc"; it takes a number in A, such as 3.9'),
        (["bench", "--can-c", "4000"], 2, "--can-c: `can_c` is 4000; it must be at most 300 °C, such as 31"),
        (["bench", "--can-c", "3,7"], 2, "--can-c: is 3,7 one number or two? Write 3.7, or [3, 7] for two readings"),
        (["bench", "--can-c", "3.7,3.8"], 2, "put repeated readings in brackets, [3.7,3.8]"),
        (["bench", "--can-c", "31@"], 2, "the name of an instrument is missing behind the @"),
        (["bench", "--can-c", "1.0000000000000001"], 2, "significant digits"),
        (["bench", "--can-c", "[1, 2"], 2, "--can-c: [1, 2: this list is not closed"),
        (["bench", "--can-c", ".nan"], 2, "not a number"),
        (["bench", "--winding-instrument", ""], 2, "--winding-instrument: `instrument` is an empty text"),
        (
            ["bench", "--date", "2026-02-30", "--can-c", "31"],
            2,
            "--date: `date` is 2026-02-30, a date that does not exist",
        ),
        (["bench", "--date", "14 March", "--can-c", "31"], 2, "--date: "),
        (["bench", "--note", "\ud800"], 2, "cannot be written, nothing was"),
        (["rebuild", "--note", "x"], 2, "this rebuild needs `did`"),
        (["rebuild", "--did", "polish"], 2, '--did: item 1 of `did` is "polish"; it takes rotor-swap, clean'),
        (["bench"], 2, "say what the bench run holds, in options"),
        (["track", "--can-c", "61"], 2, "motors/00417.yaml is a motor: a track run goes into the setup of the car"),
        ([], 2, "say what to add to motors/00417.yaml: bench, track, rebuild"),
        (["pit"], 2, "No such command 'pit'"),
        (["bench", "--can", "31"], 2, "No such option"),
    ],
)
def test_what_cannot_be_kept_is_refused_and_nothing_is_written(words: list[str], status: int, said: str) -> None:
    told = run("motors/00417.yaml", *words)
    assert told.status == status
    assert said in told.all
    assert motor() == MOTOR


def test_the_same_record_twice_is_refused() -> None:
    words = ["motors/00417.yaml", "bench", "--date", "2026-03-20", "--current-a", "3.7"]
    assert run(*words).status == 0
    told = run(*words)
    assert told.status == 2
    assert "holds this very bench run already, on line 10, so nothing was written" in told.all
    assert motor() == MOTOR.replace("# the end\n", ADDED + "# the end\n")


def test_a_file_with_problems_is_left_alone_and_they_are_named() -> None:
    text = MOTOR.replace("end_play_mm", "end_play")
    Path("motors/00417.yaml").write_text(text)
    told = run("motors/00417.yaml", "bench", "--current-a", "3.7")
    assert told.status == 1
    assert told.err[0] == "speclint: nothing was written; mend this first:"
    assert told.err[1].startswith("motors/00417.yaml:4:1: `end_play` is not a key of a motor")
    told = run("cars/car-12.yaml", "bench", "--current-a", "3.7")
    assert told.status == 1
    assert told.err[1].startswith("cars/car-12.yaml:3:8: the motor ../motors/00417.yaml has a problem")
    assert told.err[2].startswith("motors/00417.yaml:4:1: `end_play` is not a key of a motor")
    assert motor() == text


@pytest.mark.parametrize(
    ("text", "status", "said"),
    [
        (SETUP.replace("00417", "00418"), 1, "the motor ../motors/00418.yaml does not exist"),
        (SETUP.replace("../motors/00417", "../../m"), 1, "lies outside the repository of this file"),
        (SETUP.replace("../motors/00417.yaml", "../garage.yaml"), 1, "is a garage, not a motor"),
        ("format: setup/1\n", 2, "cars/car-12.yaml names no motor"),
        ("a: 1\n", 1, "`format` is missing"),
        ("a: [\n", 1, "a closing ] or } is missing"),
        ("", 1, "nothing in this file"),
    ],
)
def test_a_car_without_a_motor_to_write_to_is_refused(tmp_path: Path, text: str, status: int, said: str) -> None:
    outside = tmp_path.parent / "m.yaml"
    outside.write_text("format: motor/1\n")
    Path("cars/car-12.yaml").write_text(text)
    told = run("cars/car-12.yaml", "bench", "--current-a", "3.7")
    assert told.status == status
    assert said in told.all
    assert Path("cars/car-12.yaml").read_text() == text
    assert outside.read_text() == "format: motor/1\n"


@pytest.mark.parametrize(
    ("file", "said"),
    [
        ("none.yaml", "none.yaml: there is no such file"),
        ("motors", "folder"),
        ("garage.yaml", "garage.yaml is a garage: a bench run goes into a setup or a motor"),
    ],
)
def test_what_is_no_file_for_records_is_refused(file: str, said: str) -> None:
    told = run(file, "bench", "--current-a", "3.7")
    assert told.status == 2
    assert said in told.all


def test_a_read_only_file_is_left_alone() -> None:
    Path("motors/00417.yaml").chmod(0o444)
    told = run("motors/00417.yaml", "bench", "--current-a", "3.7")
    assert told.status == 2
    assert "motors/00417.yaml is read-only, so nothing was written" in told.all
    assert motor() == MOTOR


def test_many_who_log_at_once_all_get_their_record_in(team: Path) -> None:
    processes = [
        start(team, "motors/00417.yaml", "bench", "--date", "2026-03-20", "--current-a", f"3.{i}") for i in range(6)
    ]
    told = [(process.communicate(timeout=60), process.returncode) for process in processes]
    written = [out for (out, _), status in told if status == 0]
    for (out, err), status in told:
        assert status in (0, 2), err
        assert "bench run added" in out if status == 0 else "changed by someone else meanwhile" in err
    assert len(written) >= 2
    assert motor().count("  - date: 2026-03-20\n") == len(written)
    assert motor().startswith(MOTOR.removesuffix("# the end\n"))
    assert motor().endswith("# the end\n")
    assert sorted(path.name for path in (team / "motors").iterdir()) == ["00417.yaml"]


def test_the_exit_status_reaches_the_shell(team: Path) -> None:
    statuses = []
    for words in (["motors/00417.yaml", "bench", "--can-c", "abc"], ["none.yaml", "bench"], ["--help"]):
        process = start(team, *words)
        _, err = process.communicate(timeout=60)
        assert "Traceback" not in err
        statuses.append(process.returncode)
    assert statuses == [2, 2, 0]


def test_the_fitted_gears_are_put_into_a_track_run_that_says_nothing_of_them(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    file = tmp_path / "c.yaml"
    file.write_text("format: setup/1\ncar: {spur_teeth: 96, pinion_teeth: 42}\n")
    told = run("c.yaml", "track", "--date", "2026-03-14", "--minutes", "5", "--can-c", "61", "--pinion-teeth", "43")
    assert told.status == 0
    assert "speclint: with the gears that are fitted: spur_teeth 96" in told.err
    assert "spur_teeth: 96, pinion_teeth: 43" in file.read_text()


def test_a_rebuild_says_what_is_in_the_motor_after_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "garage.yaml").write_text("format: garage/1\nparts_box: {rotors: [{part: R-13, diameter_mm: 12.5}]}\n")
    file = tmp_path / "m.yaml"
    file.write_text("format: motor/1\nrotor:\n  part: R-12  # old\n  length_mm: 24.8\n")
    words = ("m.yaml", "rebuild", "--date", "2026-03-14", "--did", "rotor-swap", "--shims-drive-end", "0.1")
    assert run(*words, "--rotor", "R-31").all.endswith(
        "speclint: no parts box has a rotor R-31; did you mean R-13? Known: R-13"
    )
    told = run(*words, "--rotor", "R-13")
    assert told.status == 0, told.all
    assert "m.yaml: rotor.part is R-13 now" in told.out
    assert "see whether rotor" not in told.all
    assert file.read_text() == (
        "format: motor/1\nrotor:\n  part: R-13  # old\n  length_mm: null\n  diameter_mm: 12.5\nrebuilds:\n"
        "  - {date: 2026-03-14, did: [rotor-swap]}\nshims_mm: {drive_end: [0.1]}\n"
    )
