"""`speclint editor`, asked by a client over standard input and output as the Language Server Protocol 3.17 has it."""

import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.acceptance.team_repository import EXAMPLE
from tests.editors.client import Client

pytest.importorskip("pygls", reason="the library of the server: pip install -e '.[test]'")

pytestmark = pytest.mark.slow

CAR = "setups/car-12.yaml"
SPECLINT = (sys.executable, "-m", "speclint", "editor")


@pytest.fixture
def editor(tmp_path: Path) -> Iterator[Client]:
    shutil.copytree(EXAMPLE, tmp_path / "team")
    (tmp_path / "team" / ".git").mkdir()
    client = Client(SPECLINT, tmp_path / "team")
    client.start()
    yield client
    assert client.stop() == 0


@pytest.fixture
def text() -> str:
    return (EXAMPLE / CAR).read_text(encoding="utf-8")


def test_what_is_typed_is_judged_unsaved_and_mended_by_a_quick_fix(editor: Client, text: str) -> None:
    assert [mark for mark in editor.open(CAR) if mark["severity"] == 1] == []
    typed = text.replace("pinion_teeth: 42", "pinion_teeth: 44")
    (mark,) = (mark for mark in editor.change(CAR, typed, 2) if mark["severity"] == 1)
    assert mark["message"].startswith("final drive ratio is 4.145; the rule asks at least 4.2: 0.055 short")
    assert mark["range"] == {"start": {"line": 11, "character": 16}, "end": {"line": 11, "character": 18}}
    assert (editor.folder / CAR).read_text(encoding="utf-8") == text

    document, context = {"uri": editor.uri(CAR)}, {"diagnostics": [mark]}
    fixes = editor.ask(
        "textDocument/codeAction", {"textDocument": document, "range": mark["range"], "context": context}
    )
    (fix,) = (fix for fix in fixes if fix["title"].startswith("pinion 43 instead of 44"))
    ((uri, (edit,)),) = fix["edit"]["changes"].items()
    assert (uri, edit["newText"], edit["range"]) == (editor.uri(CAR), "43", mark["range"])
    mended = editor.change(CAR, typed.replace("pinion_teeth: 44", "pinion_teeth: 43"), 3)
    assert [mark for mark in mended if mark["severity"] == 1] == []


def test_every_change_is_answered_before_the_next_key_is_pressed(editor: Client, text: str) -> None:
    start = time.perf_counter()
    editor.open(CAR)
    first = time.perf_counter() - start
    took = []
    for number in range(5):
        start = time.perf_counter()
        editor.change(CAR, f"{text}# {number}\n", number + 2)
        took.append(time.perf_counter() - start)
    # 0.3 s and 0.05 s are what is wanted; a machine that does something else beside it takes longer.
    assert first < 1
    assert min(took) < 0.15


def test_a_value_shows_its_margin_and_leads_to_its_rule_and_a_motor_to_its_file(editor: Client) -> None:
    editor.open(CAR)
    assert (
        "final drive ratio is 4.343; the rule asks at least 4.2: 0.143 to spare"
        in editor.at("hover", CAR, 11, 5)["contents"]["value"]
    )
    assert editor.at("hover", CAR, 1, 3) is None
    rule = editor.at("definition", CAR, 11, 17)
    assert rule["uri"] == editor.uri("rulesets/quay-street-2026.1.yaml")
    ruleset_lines = (EXAMPLE / "rulesets/quay-street-2026.1.yaml").read_text(encoding="utf-8").splitlines()
    assert "id: final-drive" in ruleset_lines[rule["range"]["start"]["line"]]
    assert editor.at("definition", CAR, 16, 12)["uri"] == editor.uri("motors/0417.yaml")
    assert editor.at("definition", CAR, 4, 20)["uri"] == editor.uri("rulesets/quay-street-2026.1.yaml")


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("  - {ruleset: qu", "quay-street"),
        ("  - {ruleset: quay-street, class: st", "stock-17"),
        ("motor: ", "../motors/0417.yaml"),
        ("car: {mass_g: {value: 1350, instrument: pit", "pit-scale"),
    ],
)
def test_what_other_files_have_words_for_is_completed(line: str, wanted: str, editor: Client, text: str) -> None:
    editor.open(CAR)
    editor.change(CAR, f"{text}{line}", 2)
    offered = editor.at("completion", CAR, text.count("\n"), len(line))
    assert wanted in [item["label"] for item in offered]


def test_a_misspelt_quantity_of_a_ruleset_is_marked_with_the_name_that_was_meant(editor: Client) -> None:
    file = "rulesets/quay-street-2026.1.yaml"
    typed = (editor.folder / file).read_text(encoding="utf-8").replace("quantity: width_mm", "quantity: widht_mm")
    (mark,) = (mark for mark in editor.open(file, typed) if "widht_mm" in mark["message"])
    assert (mark["severity"], mark["message"]) == (1, "there is no quantity widht_mm: did you mean width_mm?")
    line = typed.splitlines()[mark["range"]["start"]["line"]]
    assert line[mark["range"]["start"]["character"] :].startswith("widht_mm")


def test_columns_are_counted_as_the_protocol_counts_them(editor: Client, text: str) -> None:
    typed = text.replace("chemistry: LiPo,", 'part: "𝛺𝛺", chemistry: LiPo, capacity_mahh: 6000,').replace(
        " capacity_mah: 6000,", ""
    )
    (mark,) = (mark for mark in editor.open(CAR, typed) if "capacity_mahh" in mark["message"])
    line = typed.splitlines()[mark["range"]["start"]["line"]]
    before = line.encode("utf-16-le")[: mark["range"]["start"]["character"] * 2].decode("utf-16-le")
    assert line[len(before) :].startswith("capacity_mahh")


def test_a_motor_that_is_broken_unsaved_is_told_where_it_is_open(editor: Client) -> None:
    editor.open(CAR)
    marks = editor.open("motors/0417.yaml", "format: motor/1\nturns: many\n")
    assert any("`turns` is" in mark["message"] and mark["severity"] == 1 for mark in marks)


def test_without_its_library_it_says_what_to_install(tmp_path: Path) -> None:
    code = "import sys; sys.modules['pygls'] = None; sys.argv = ['speclint', 'editor']; from speclint.__main__ import main; main()"
    done = subprocess.run([sys.executable, "-c", code], cwd=tmp_path, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (2, "")
    assert "install speclint[editor]" in done.stderr
