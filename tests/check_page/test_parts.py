"""What a page that checks cars is made of: this package as it is installed, all that it imports, and the runtime."""

import json
import shutil
import subprocess
import sys
import tomllib
import zipfile
from hashlib import sha256
from importlib import metadata
from pathlib import Path

import jsonschema
import pytest
import referencing
import typing_extensions
from hypothesis import given
from hypothesis import strategies as st
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

import speclint
from speclint.browser import stand_in_rpds
from speclint.browser_files import PURE_DEPENDENCIES, RUNTIME_FILES, package_files
from tests.console import ROOT, Console, write
from tests.publish.site_command import files_of, write_club

LEFT_AT_HOME = {"rpds-py", "click", "rich"}
"""The compiled part that has a stand-in, and what belongs to the command line."""


def write_runtime(folder: Path, name: str = "pyodide") -> Path:
    """A folder as npm makes it, with small files in place of large ones."""
    for file in RUNTIME_FILES:
        write(folder / file, f"{file}, as it came")
    write(folder / "package.json", json.dumps({"name": name, "version": "314.0.7"}))
    return folder


def needs(name: str) -> set[str]:
    """What a project asks for in a browser's Python, by the markers of its metadata."""
    browser = {"platform_system": "Emscripten", "python_version": "3.14", "extra": ""}
    own = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["dependencies"]
    requirements = map(Requirement, own if name == "speclint" else metadata.requires(name) or ())
    return {
        canonicalize_name(need.name)
        for need in requirements
        if need.marker is None or need.marker.evaluate({**browser})
    }


def test_the_dependencies_are_those_that_the_projects_ask_for() -> None:
    wanted: set[str] = set()
    waiting = ["speclint"]
    while waiting:
        for name in needs(waiting.pop()) - wanted - LEFT_AT_HOME:
            wanted.add(name)
            waiting.append(name)
    assert {canonicalize_name(name) for name in PURE_DEPENDENCIES} == wanted


@pytest.mark.slow
def test_the_packed_files_check_a_car_by_themselves_without_anything_compiled(tmp_path: Path) -> None:
    for name, data in package_files().items():
        path = tmp_path / "packages" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    assert not [path for path in tmp_path.rglob("*") if path.suffix in (".so", ".pyd", ".pyc")]
    if sys.version_info < (3, 13):  # what `referencing` asks for on a Python that is older than a browser's
        shutil.copy(typing_extensions.__file__, tmp_path / "packages")
    archive = tmp_path / "rules.zip"
    with zipfile.ZipFile(archive, "w") as files:
        for path in (ROOT / "rulesets").glob("*.yaml"):
            files.write(path, f"rulesets/{path.name}")
    program = (
        "import json, sys, pathlib; from speclint.browser.answers import opened;"
        "car = pathlib.Path(sys.argv[2]).read_bytes();"
        "checks = opened(pathlib.Path(sys.argv[1]).read_bytes(), 'harbour-city@2026.2');"
        "question = {'ask': 'check', 'today': '2026-03-14', 'on': '2026-03-14', 'files': {'car.yaml': car}};"
        "print(json.loads(checks.answer(question))['line']);"
        "question['files'] = {'car.yaml': b'format: setup/1\\ncar: {pinion_tooth: 42}\\n'};"
        "print(json.loads(checks.answer(question))['line']);"
        "print(sorted(name for name in sys.modules if name in ('click', 'rich', 'rpds', 'jsonschema_rs', '_ruamel_yaml')))"
    )
    car = ROOT / "examples" / "cars" / "car-14-one-tooth-too-tall.yaml"
    done = subprocess.run(
        [sys.executable, "-I", "-S", "-c", f"import sys; sys.path.insert(0, {str(tmp_path / 'packages')!r}); {program}",
         archive, car],
        capture_output=True, text=True, encoding="utf-8", check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    decisive, refused, imported = done.stdout.splitlines()
    assert decisive == "final drive ratio 4.145, at least 4.2: 0.055 short (4.3)"
    assert "pinion_teeth" in refused
    assert imported == "['rpds']"


def test_every_packed_project_brings_its_licence() -> None:
    licences = (name for name in package_files() if ".dist-info/" in name and "LICENSE" in name.upper())
    assert {name.split("-")[0].replace(".", "_").lower() for name in licences} == {
        name.replace("-", "_").replace(".", "_") for name in PURE_DEPENDENCIES
    }


KEYS = st.sampled_from("abcde")


@given(st.lists(st.tuples(st.sampled_from(["insert", "remove", "update"]), KEYS, st.integers(0, 3))))
def test_the_stand_in_does_what_the_compiled_part_does(changes: list[tuple[str, str, int]]) -> None:
    rpds = pytest.importorskip("rpds")
    mappings, sets, lists = [], [], []
    for module in (rpds, stand_in_rpds):
        mapping, values, listed = module.HashTrieMap(), module.HashTrieSet(), module.List()
        for change, key, number in changes:
            if change == "insert":
                mapping, values, listed = mapping.insert(key, number), values.insert(key), listed.push_front(key)
            elif change == "update":
                mapping, values = mapping.update({key: number, "z": 0}), values.update(module.HashTrieSet([key, "z"]))
            elif key in mapping:
                mapping, values = mapping.remove(key), values.discard(key)
        mappings.append(dict(mapping.items()))
        sets.append(set(values))
        lists.append(list(listed))
        assert module.HashTrieMap.convert(mapping) is mapping
        with pytest.raises(KeyError):
            mapping.remove("never there")
    assert mappings[0] == mappings[1]
    assert sets[0] == sets[1]
    assert lists[0] == lists[1]


def test_the_libraries_name_of_it_what_the_stand_in_has() -> None:
    for library in (referencing, jsonschema):
        for path in Path(library.__file__ or "").parent.glob("*.py"):
            for line in path.read_text(encoding="utf-8").splitlines():
                if line.startswith("from rpds import "):
                    assert all(
                        hasattr(stand_in_rpds, name) for name in line.removeprefix("from rpds import ").split(", ")
                    )


def test_the_site_lists_every_file_that_the_page_loads_with_its_digest(empty: Path, console: Console) -> None:
    write_club(empty)
    write_runtime(empty / "runtime")
    done = console(empty, "publish", "oval-club", "site", "--with-check", "--runtime", "runtime")
    assert done.status == 0, done.err
    site = files_of(empty / "site")
    parts = json.loads(site["check/parts.json"])
    assert parts["ruleset"] == "oval-club@2026.1"
    assert parts["digest"] in site["oval-club-2026.1.digest"].decode()
    for name, described in parts["files"].items():
        data = site[name.removeprefix("../") if name.startswith("../") else f"check/{name}"]
        assert (described["bytes"], described["sha256"]) == (len(data), sha256(data).hexdigest())
    present = {name.removeprefix("check/") for name in site if name.startswith("check/")}
    assert present - set(parts["files"]) == {"parts.json", "offline.js"}
    assert "Check a car" in site["index.html"].decode()
    assert "../check/index.html" in site["classes/stock.html"].decode()
    assert "Pyodide 314.0.7" in site["check/index.html"].decode()


def test_the_same_ruleset_gives_the_same_page_and_another_version_another_build(empty: Path, console: Console) -> None:
    write_club(empty)
    write_runtime(empty / "runtime")
    first = console(empty, "publish", "oval-club", "one", "--with-check", "--runtime", "runtime")
    again = console(empty, "publish", "oval-club", "two", "--with-check", "--runtime", "runtime")
    assert (first.status, again.status) == (0, 0)
    assert files_of(empty / "one") == files_of(empty / "two")
    write_club(empty, version="2026.2", mass=1370)
    later = console(empty, "publish", "oval-club@2026.2", "one", "--with-check", "--runtime", "runtime")
    assert later.status == 0, later.err
    builds = {json.loads((empty / folder / "check/parts.json").read_bytes())["build"] for folder in ("one", "two")}
    assert len(builds) == 2


def test_a_site_without_the_page_needs_no_runtime_and_names_no_page(empty: Path, console: Console) -> None:
    write_club(empty)
    assert console(empty, "publish", "oval-club", "site").status == 0
    site = files_of(empty / "site")
    assert not [name for name in site if name.startswith("check/")]
    assert b"Check a car" not in site["index.html"] + site["classes/stock.html"]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--with-check"], "node_modules/pyodide lacks pyodide.mjs"),
        (["--with-check", "--runtime", "nowhere"], "npm install pyodide"),
        (["--with-check", "--runtime", "half"], "half lacks pyodide.asm.wasm: the page runs Python in the browser"),
        (["--with-check", "--runtime", "another"], "another holds another npm package, rollup"),
        (["--with-check", "--runtime", "broken"], "broken/package.json is not as npm writes it"),
        (["--runtime", "half"], "--runtime goes with --with-check"),
    ],
)
def test_where_the_runtime_is_missing_it_says_how_to_get_it(
    empty: Path, console: Console, arguments: list[str], words: str
) -> None:
    write_club(empty)
    write_runtime(empty / "half")
    (empty / "half" / "pyodide.asm.wasm").unlink()
    write_runtime(empty / "another", "rollup")
    write(write_runtime(empty / "broken") / "package.json", "{")
    done = console(empty, "publish", "oval-club", "site", *arguments)
    assert done.status == 2
    assert words in done.err
    assert "Traceback" not in done.err
    assert not (empty / "site").exists()


def test_the_runtime_is_found_where_npm_was_run(empty: Path, console: Console) -> None:
    write_club(empty)
    write_runtime(empty / "node_modules" / "pyodide")
    assert console(empty, "publish", "oval-club", "site", "--with-check").status == 0
    assert console(empty, "publish", "oval-club", "site", "--with-check", "--runtime", ".").status == 0
    assert speclint.__version__ in (empty / "site/check/index.html").read_text(encoding="utf-8")
