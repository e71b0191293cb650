"""`speclint start` and `speclint explain` as a person meets them: files, statuses, messages, and questions on a terminal."""

import os
import pty
import select
import subprocess
import sys
import time
from pathlib import Path

import pytest

from speclint.resources import schemas_folder
from tests.check.world import a_ruleset
from tests.console import Console, in_process, write

PROGRAM = [sys.executable, "-m", "speclint"]
QUIET = {**os.environ, "NO_COLOR": "1", "PYTHONUTF8": "1", "PYTHONPATH": str(Path(__file__).parents[2])}


def run(*words: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    return in_process(cwd, *words)


def test_without_a_path_it_prints_and_asks_nothing(tmp_path: Path) -> None:
    done = run("start", "setup", "--name", "Car 7", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert "\nname: Car 7\n" in done.stdout
    assert list(tmp_path.iterdir()) == []


def test_what_new_writes_check_passes(tmp_path: Path) -> None:
    for kind in ("setup", "motor", "ruleset", "garage"):
        done = run("start", kind, f"{kind}.yaml", cwd=tmp_path)
        assert (done.returncode, done.stdout) == (0, "")
        assert done.stderr == f"{kind}.yaml is written: `speclint check {kind}.yaml` tells what it still lacks\n"
    assert run("check", "--strict", cwd=tmp_path).returncode == 0


def test_it_never_writes_over_a_file(tmp_path: Path) -> None:
    target = tmp_path / "car.yaml"
    target.write_text("mine", encoding="utf-8")
    done = run("start", "setup", "car.yaml", cwd=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == "speclint: car.yaml is there already, and is left as it is: choose another name\n"
    assert target.read_text(encoding="utf-8") == "mine"


def test_nor_through_a_link_that_leads_nowhere(tmp_path: Path) -> None:
    (tmp_path / "car.yaml").symlink_to(tmp_path / "elsewhere.yaml")
    assert run("start", "setup", "car.yaml", cwd=tmp_path).returncode == 2
    assert not (tmp_path / "elsewhere.yaml").exists()


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "setups").write_text("a file", encoding="utf-8")
    done = run("start", "setup", "setups/car.yaml", cwd=tmp_path)
    assert done.returncode == 2
    assert done.stderr.startswith("speclint: setups/car.yaml cannot be written: ")


def test_motor_and_garage_are_named_from_the_new_files_folder(tmp_path: Path) -> None:
    for folder in ("setups", "motors"):
        (tmp_path / folder).mkdir()
    assert run("start", "motor", "motors/a.yaml", cwd=tmp_path).returncode == 0
    assert run("start", "garage", "garage.yaml", cwd=tmp_path).returncode == 0
    done = run("start", "setup", "setups/car.yaml", "--motor", "motors/a.yaml", "--garage", "garage.yaml", cwd=tmp_path)
    assert done.returncode == 0
    text = (tmp_path / "setups" / "car.yaml").read_text(encoding="utf-8")
    assert "\nmotor: ../motors/a.yaml\n" in text
    assert "\ngarage: ../garage.yaml\n" in text
    assert run("check", "--strict", cwd=tmp_path).returncode == 0


@pytest.mark.parametrize(
    ("motor", "message"),
    [
        ("a.yaml", "a.yaml: there is no such file; start one with `speclint start motor a.yaml`"),
        ("garage.yaml", "garage.yaml does not say `format: motor/1`, so it is no motor"),
        ("../outside.yaml", "the motor ../outside.yaml lies outside the repository of the new file"),
    ],
)
def test_a_motor_that_cannot_be_named_is_refused(motor: str, message: str, tmp_path: Path) -> None:
    team = tmp_path / "team"
    (team / ".git").mkdir(parents=True)
    (team / "garage.yaml").write_text("format: garage/1\n", encoding="utf-8")
    (tmp_path / "outside.yaml").write_text("format: motor/1\n", encoding="utf-8")
    done = run("start", "setup", "car.yaml", "--motor", motor, cwd=team)
    assert (done.returncode, done.stderr) == (2, f"speclint: {message}\n")
    assert not (team / "car.yaml").exists()


def test_an_editor_is_shown_the_schema_of_a_checkout_and_no_machine_path(tmp_path: Path) -> None:
    assert "yaml-language-server" not in run("start", "setup", cwd=tmp_path).stdout
    (tmp_path / ".git").mkdir()
    (tmp_path / "schemas").mkdir()
    (tmp_path / "cars" / "mine").mkdir(parents=True)
    schema = schemas_folder() / "setup-1.schema.json"
    (tmp_path / "schemas" / schema.name).write_bytes(schema.read_bytes())
    assert run("start", "setup", "cars/mine/car.yaml", cwd=tmp_path).returncode == 0
    first = (tmp_path / "cars" / "mine" / "car.yaml").read_text(encoding="utf-8").splitlines()[0]
    assert first == "# yaml-language-server: $schema=../../schemas/setup-1.schema.json"


def test_rulesets_beside_the_new_file_count(tmp_path: Path) -> None:
    (tmp_path / "rulesets").mkdir()
    assert run("start", "ruleset", "rulesets/our.yaml", "--on", "2026-01-01", cwd=tmp_path).returncode == 0
    done = run("start", "setup", "--ruleset", "our-club", "--class", "stock-17", "--on", "2026-03-14", cwd=tmp_path)
    assert "# Rule weight (3.2): at least 1350 g.\n" in done.stdout
    done = run("explain", "our-club/stock-17/weight", "--on", "2026-03-14", cwd=tmp_path)
    assert "  asks       mass at least 1350 g\n" in done.stdout
    assert "  source     rulesets/our.yaml:" in done.stdout


def test_an_unknown_kind_and_a_bad_number_are_usage_errors(tmp_path: Path) -> None:
    assert run("start", "car", cwd=tmp_path).returncode == 2
    assert run("start", "motor", "--turns", "many", cwd=tmp_path).returncode == 2


def test_explain_prints_a_page_or_says_what_it_is_near_to(tmp_path: Path) -> None:
    done = run("explain", "final_drive_ratio", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("final_drive_ratio: final drive ratio\n")
    done = run("explain", "final_drive_ration", cwd=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert "did you mean final_drive_ratio?" in done.stderr
    done = run("explain", cwd=tmp_path)
    assert done.returncode == 0
    assert "harbour-city/stock-17" in done.stdout


def on_a_terminal(answers: str, *words: str, cwd: Path) -> tuple[int, str]:
    """Runs the program with a terminal of its own and types the answers; gives its status and all that it showed."""
    ours, theirs = pty.openpty()
    process = subprocess.Popen([*PROGRAM, *words], cwd=cwd, env=QUIET, stdin=theirs, stdout=theirs, stderr=theirs)
    os.close(theirs)
    os.write(ours, answers.encode())
    shown = b""
    end = time.monotonic() + 30
    while time.monotonic() < end:
        ready, _, _ = select.select([ours], [], [], 0.2)
        if ready:
            try:
                part = os.read(ours, 65536)
            except OSError:
                break
            if not part:
                break
            shown += part
        elif process.poll() is not None:
            break
    status = process.wait(timeout=10)
    os.close(ours)
    return status, shown.decode().replace("\r\n", "\n")


def test_on_a_terminal_it_asks_and_asks_again_where_an_answer_leads_nowhere(tmp_path: Path) -> None:
    answers = "Car 7\nharbor-city\nharbour-city\n\nstok-17\nstock-17\n14 March\n2026-03-14\n\n\n"
    status, shown = on_a_terminal(answers, "start", "setup", "car.yaml", cwd=tmp_path)
    assert status == 0, shown
    assert "Press enter to leave a question open." in shown
    assert "did you mean harbour-city?" in shown
    assert "did you mean stock-17?" in shown
    assert "14 March is not a day; write it as 2026-03-14" in shown
    text = (tmp_path / "car.yaml").read_text(encoding="utf-8")
    assert "\nname: Car 7\n" in text
    assert "  - ruleset: harbour-city\n    class: stock-17\n    on: 2026-03-14\n" in text


def test_every_question_may_be_left_open(tmp_path: Path) -> None:
    for kind, questions in (("setup", 4), ("motor", 4), ("ruleset", 5), ("garage", 2)):
        status, shown = on_a_terminal("\n" * questions, "start", kind, f"{kind}.yaml", cwd=tmp_path)
        assert status == 0, shown
        plain = run("start", kind, cwd=tmp_path).stdout
        assert (tmp_path / f"{kind}.yaml").read_text(encoding="utf-8") == plain


def test_on_a_terminal_options_or_no_questions_keep_it_quiet(tmp_path: Path) -> None:
    for words in (("--no-questions",), ("--name", "Car 7")):
        status, shown = on_a_terminal("", "start", "setup", f"car{len(words)}.yaml", *words, cwd=tmp_path)
        assert status == 0
        assert "?" not in shown
        assert "Press enter" not in shown


def test_answers_are_taken_as_people_write_them_and_none_is_lost(tmp_path: Path) -> None:
    (tmp_path / "motors").mkdir()
    status, shown = on_a_terminal("Mine\n17,5T\n\n0123\n", "start", "motor", "motors/1.yaml", cwd=tmp_path)
    assert status == 0, shown
    assert "\nturns: 17.5\n" in (tmp_path / "motors" / "1.yaml").read_text(encoding="utf-8")

    answers = "Car 7\nharbour-city\nstock-17\n5.12.1999\n14.3.2026\nmotors/2.yaml\nmotors/1.yaml\n\n"
    status, shown = on_a_terminal(answers, "start", "setup", "cars/7.yaml", cwd=tmp_path)
    assert status == 0, shown
    assert "no version of harbour-city is in force on 5 December 1999" in shown
    assert "Which file describes its motor, if there is one (motors/1.yaml)" in shown
    assert "motors/2.yaml: there is no such file" in shown
    text = (tmp_path / "cars" / "7.yaml").read_text(encoding="utf-8")
    assert "    on: 2026-03-14\n" in text
    assert "\nmotor: ../motors/1.yaml\n" in text
    assert "comes with speclint to try things on, and judges no car" in " ".join(shown.split())


def test_an_id_that_cannot_be_one_is_answered_with_one_that_can(tmp_path: Path) -> None:
    answers = "Our Club\nour-club\nOur Club, rules\n\n17.5 Touring\nstock-17\n2026-01-01\n"
    status, shown = on_a_terminal(answers, "start", "ruleset", "our.yaml", cwd=tmp_path)
    assert status == 0, shown
    assert "lower-case letters, digits and hyphens, our-club" in shown
    assert "lower-case letters, digits and hyphens, 17.5-touring" in shown
    assert "\nid: our-club\n" in (tmp_path / "our.yaml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("turns", "written"), [("17.5", "17.5"), ("17,5", "17.5"), ("17.5T", "17.5"), ("21.5 turns", "21.5")]
)
def test_turns_are_read_as_people_write_them(tmp_path: Path, turns: str, written: str) -> None:
    done = run("start", "motor", "--turns", turns, cwd=tmp_path)
    assert f"\nturns: {written}\n" in done.stdout


def test_a_day_with_dots_is_day_month_and_year(tmp_path: Path) -> None:
    done = run("start", "setup", "--ruleset", "harbour-city", "--class", "stock-17", "--on", "14.3.2026", cwd=tmp_path)
    assert "    on: 2026-03-14\n" in done.stdout
    done = run("start", "setup", "--on", "3/14/2026", cwd=tmp_path)
    assert "3/14/2026 is not a day; write it as 2026-03-14" in done.stderr


def test_a_key_says_how_its_reading_is_taken_where_a_rule_asks(empty: Path, console: Console) -> None:
    rules = (
        "{id: weight, quantity: mass_g, at_least: 1350, taken: {at: after-run}}",
        "{id: speed, quantity: no_load_speed_rpm, at_most: 19500, taken: {supply_v: 8.4}}",
    )
    write(empty / "rulesets/club.yaml", a_ruleset(*rules))
    texts = []
    for kind in ("setup", "motor"):
        options = ("--ruleset", "club", "--class", "stock", "--on", "2026-03-14", "--no-questions")
        run = console(empty, "start", kind, f"{kind}.yaml", *options)
        assert run.status == 0, run.err
        texts.append((empty / f"{kind}.yaml").read_text("utf-8"))
    words = " ".join(texts[0].replace("#", " ").split())
    assert "at least 1350 g, read at after-run: {value: NUMBER, taken: {at: after-run}}." in words
    assert "supply_v:" in texts[1]
    assert "at most 19500 rpm, read at 8.4 V." in " ".join(texts[1].replace("#", " ").split())
