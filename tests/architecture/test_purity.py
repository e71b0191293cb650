"""Nothing below the shell prints, asks for the time, or opens a file: what a check says depends on its input alone."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parents[2] / "speclint"

COMMANDS = tuple(sorted(f"commands/{path.name}" for path in (PACKAGE / "commands").glob("*.py")))

SHELL = ("__main__.py", "cli.py", "delivery.py", "progress.py", "structure/__main__.py", "api/opening.py", *COMMANDS)
"""Where a person is spoken to and the clock is read."""

ON_CLOCK = (*SHELL, "edits/write.py")
"""Where the clock is read: beside the shell, to wait for whoever else is writing."""

ON_FILES = (
    *SHELL,
    "browser_files.py",
    "files.py",
    "history.py",
    "plain_files.py",
    "resources.py",
    "whole_files.py",
    "edits/write.py",
    "whole_folders.py",
)
"""Where files are opened."""

TALK = frozenset({"print", "input", "exit", "quit", "breakpoint"})
CLOCK = frozenset({"today", "now", "utcnow", "perf_counter", "monotonic", "getcwd", "getenv"})
FILES = frozenset({"open", "read_text", "write_text", "read_bytes", "write_bytes", "unlink", "mkdir"})
FOR_HELP_ONLY = ("rich", "jinja2", "jsonschema", "importlib.metadata", "numpy", "asyncio")


PROGRAMS = {"history.py": "git", "proof.py": "ssh-keygen"}
"""The only modules that start another program, and which."""

STARTS = frozenset({"system", "popen", "Popen", "posix_spawn", "posix_spawnp", "fork", "forkpty", "startfile"})
"""Names of calls that start a program, beside those of `subprocess` and the families of `os.exec` and `os.spawn`."""


def modules() -> list[str]:
    return sorted(
        path.relative_to(PACKAGE).as_posix() for path in PACKAGE.rglob("*.py") if "_shipped" not in path.parts
    )


def calls(module: str) -> Iterator[tuple[str, int]]:
    tree = ast.parse((PACKAGE / module).read_text(encoding="utf-8"))
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            called = node.func
            name = (
                called.id if isinstance(called, ast.Name) else called.attr if isinstance(called, ast.Attribute) else ""
            )
            yield name, node.lineno


@pytest.mark.parametrize("module", modules())
def test_only_the_shell_speaks_and_looks_at_the_clock_and_few_open_files(module: str) -> None:
    forbidden = frozenset[str]()
    if module not in SHELL:
        forbidden |= TALK
    if module not in ON_CLOCK:
        forbidden |= CLOCK
    if module not in ON_FILES:
        forbidden |= FILES
    assert [(name, line) for name, line in calls(module) if name in forbidden] == []


@pytest.mark.parametrize("module", modules())
def test_every_module_says_in_its_first_line_what_lives_there(module: str) -> None:
    docstring = ast.get_docstring(ast.parse((PACKAGE / module).read_text(encoding="utf-8")))
    assert docstring
    assert docstring[0].isupper() or docstring.startswith(("`", "speclint"))


@pytest.mark.parametrize("module", modules())
def test_a_room_that_starts_a_program_starts_one_and_no_other_room_does(module: str) -> None:
    text = (PACKAGE / module).read_text(encoding="utf-8")
    started = {name for name, _ in calls(module) if name in STARTS or name.startswith(("exec", "spawn"))}
    if module not in PROGRAMS:
        assert "subprocess" not in text
        assert started == set()
        return
    first_words = {
        word.value
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == "run"
        if isinstance(node.args[0], ast.List) and isinstance(word := node.args[0].elts[0], ast.Constant)
    }
    assert first_words == {PROGRAMS[module]}


def test_the_lists_name_modules_that_are_there() -> None:
    assert {*SHELL, *ON_CLOCK, *ON_FILES, *PROGRAMS} <= set(modules())


@pytest.mark.parametrize("arguments", [("--version",), ("--help",), ("check", "--help")])
def test_help_costs_no_heavy_import(arguments: tuple[str, ...]) -> None:
    assert loaded_by(*arguments) & set(FOR_HELP_ONLY) == set()


def test_a_good_file_costs_no_import_that_only_explains_a_bad_one() -> None:
    good = PACKAGE.parent / "examples" / "cars" / "car-12-carpet.yaml"
    loaded = loaded_by("check", str(good), "--report", "lines")
    assert "ruamel.yaml" in loaded
    assert (
        loaded & {"jsonschema", "rich", "jinja2", "difflib", "importlib.metadata", "multiprocessing", "pickle"} == set()
    )


def loaded_by(*arguments: str) -> set[str]:
    """The modules that a run of the command has loaded at its end."""
    program = (
        "import sys, atexit\n"
        "atexit.register(lambda: print('\\nLOADED', *sys.modules))\n"
        f"sys.argv = ['speclint', *{arguments!r}]\n"
        "from speclint.cli import main\n"
        "main()\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, encoding="utf-8", check=True)
    return set(done.stdout.rpartition("LOADED")[2].split())
