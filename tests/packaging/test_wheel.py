"""What is built from the project: a wheel and a source archive that hold all they need, and run where they are put."""

import json
import os
import shutil
import subprocess
import sys
import tarfile
import venv
import zipapp
import zipfile
from pathlib import Path

import pytest
from packaging.requirements import Requirement

import speclint
from speclint.reports.check.sarif import HOME
from tests.packaging.tree import PROJECT, copy_project


def run(*command: str | Path, cwd: Path) -> subprocess.CompletedProcess[str]:
    """Run without anything that points a child at this checkout."""
    environment = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "VIRTUAL_ENV"))}
    return subprocess.run(
        command, cwd=cwd, env=environment, capture_output=True, text=True, encoding="utf-8", check=False
    )


def build(project: Path) -> Path:
    """A folder with the source archive and the wheel made from it, as an installer makes one."""
    dist = project.parent / "dist"
    done = run(sys.executable, "-m", "build", "--no-isolation", "--outdir", dist, project, cwd=project.parent)
    assert done.returncode == 0, done.stdout + done.stderr
    return dist


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build(copy_project(tmp_path_factory.mktemp("built") / "project"))


@pytest.fixture(scope="session")
def wheel(built: Path) -> Path:
    (wheel,) = built.glob("*.whl")
    return wheel


def environment_with(wheel: Path, folder: Path) -> Path:
    """The programs of an environment that holds the wheel and what it asks for, nothing else."""
    venv.create(folder, with_pip=True)
    programs = folder / ("Scripts" if os.name == "nt" else "bin")
    done = run(programs / "python", "-m", "pip", "install", "--quiet", wheel, cwd=folder)
    assert done.returncode == 0, done.stdout + done.stderr
    return programs


@pytest.fixture(scope="session")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return environment_with(wheel, tmp_path_factory.mktemp("installed") / "environment")


@pytest.fixture(scope="session")
def installed_without_compiled_parts(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """As a browser's Python has it, where the dependencies' markers leave out what there is no build of."""
    programs = environment_with(wheel, tmp_path_factory.mktemp("pure") / "environment")
    compiled = ("jsonschema-rs", "ruamel.yaml.clib")
    done = run(programs / "python", "-m", "pip", "uninstall", "--quiet", "--yes", *compiled, cwd=programs)
    assert done.returncode == 0, done.stdout + done.stderr
    done = run(programs / "python", "-m", "pip", "show", *compiled, cwd=programs)
    assert done.returncode == 1, done.stdout
    return programs


def test_the_wheel_holds_every_schema_and_ruleset_beside_the_code(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        names = set(archive.namelist())
        for folder in ("schemas", "rulesets"):
            for file in sorted((PROJECT / folder).rglob("*")):
                if file.is_file():
                    shipped = f"speclint/_shipped/{file.relative_to(PROJECT).as_posix()}"
                    assert shipped in names
                    assert archive.read(shipped) == file.read_bytes()
        for template in (PROJECT / "speclint" / "pages" / "templates").iterdir():
            assert template.relative_to(PROJECT).as_posix() in names


@pytest.mark.slow
def test_what_is_built_again_elsewhere_and_later_is_the_same_to_the_byte(built: Path, tmp_path: Path) -> None:
    project = copy_project(tmp_path / "project")
    for file in project.rglob("*"):
        os.utime(file, (1_600_000_000, 1_600_000_000))
    again = build(project)
    files = sorted(file.name for file in built.iterdir())
    assert (
        [Path(name).suffix for name in files]
        == [".whl", ".gz"]
        == [Path(file).suffix for file in sorted(p.name for p in again.iterdir())]
    )
    assert len(files) == 2
    assert sorted(file.name for file in again.iterdir()) == files
    for name in files:
        assert (again / name).read_bytes() == (built / name).read_bytes(), name


def test_the_wheel_says_where_the_project_is_at_home_and_whom_it_is_for(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        (name,) = (name for name in archive.namelist() if name.endswith(".dist-info/METADATA"))
        lines = archive.read(name).decode().partition("\n\n")[0].splitlines()
    addresses = [line.partition(", ")[2] for line in lines if line.startswith("Project-URL: ")]
    assert len(addresses) >= 3
    assert all(address.startswith(HOME) for address in addresses)
    assert "Classifier: Environment :: Console" in lines
    assert f"Classifier: Programming Language :: Python :: {sys.version_info.major}.{sys.version_info.minor}" in lines


def test_the_wheel_holds_the_package_and_nothing_else(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        names = archive.namelist()
    assert "speclint/py.typed" in names
    assert {name.split("/")[0] for name in names} == {"speclint", f"speclint-{speclint.__version__}.dist-info"}
    assert any(name.endswith("/licenses/LICENSE") for name in names)


def test_the_source_archive_holds_what_the_tests_need(built: Path) -> None:
    (archive,) = built.glob("*.tar.gz")
    with tarfile.open(archive) as files:
        names = {name.partition("/")[2] for name in files.getnames()}
    for needed in (
        "README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE", "pyproject.toml", ".pre-commit-hooks.yaml", ".ci/run",
        "tests/packaging/test_wheel.py", "examples/garage.yaml", "schemas/setup-1.schema.json",
    ):  # fmt: skip
        assert needed in names
    for folder in ("tests", "examples", "rulesets", "schemas"):
        for file in (PROJECT / folder).rglob("*.yaml"):
            assert file.relative_to(PROJECT).as_posix() in names


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["text", "lines", "json"])
def test_without_compiled_parts_the_examples_come_out_to_the_same_byte(
    installed: Path, installed_without_compiled_parts: Path, kind: str
) -> None:
    command = ("check", "examples", "--report", kind)
    pure = run(installed_without_compiled_parts / "speclint", *command, cwd=PROJECT)
    compiled = run(installed / "speclint", *command, cwd=PROJECT)
    assert pure.stderr == compiled.stderr == ""
    assert (pure.returncode, pure.stdout) == (compiled.returncode, compiled.stdout)
    assert pure.returncode == 1  # since the demonstration holds illegal cars


def test_what_a_browser_has_no_build_of_is_left_out_there_and_nothing_else(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        (metadata,) = (name for name in archive.namelist() if name.endswith(".dist-info/METADATA"))
        lines = archive.read(metadata).decode().splitlines()
    needs = [Requirement(line.removeprefix("Requires-Dist: ")) for line in lines if line.startswith("Requires-Dist: ")]
    left_out = {
        need.name
        for need in needs
        if need.marker is not None
        and need.marker.evaluate({"platform_system": "Linux", "extra": ""})
        and not need.marker.evaluate({"platform_system": "Emscripten", "extra": ""})
    }
    assert left_out == {"jsonschema-rs", "ruamel-yaml-clib"}


@pytest.mark.slow
def test_an_installed_wheel_checks_a_car_in_a_folder_of_its_own(installed: Path, tmp_path: Path) -> None:
    shutil.copytree(PROJECT / "examples", tmp_path / "team")
    shutil.copytree(PROJECT / "rulesets", tmp_path / "team" / "rulesets")
    done = run(
        installed / "speclint",
        "check",
        "cars/car-14-one-tooth-too-tall.yaml",
        "--report",
        "json",
        cwd=tmp_path / "team",
    )
    assert done.returncode == 1, done.stderr
    report = json.loads(done.stdout)
    (entry,) = report["entries"]
    assert (entry["ruleset"], entry["verdict"]) == ("harbour-city", "illegal")
    assert report["problems"] == []


@pytest.mark.slow
def test_it_runs_from_an_archive_too(wheel: Path, installed: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(wheel) as files:
        files.extractall(tmp_path / "parts")  # noqa: S202 - the wheel is our own
    (tmp_path / "parts" / "__main__.py").write_text("from speclint.__main__ import main\nmain()\n", encoding="utf-8")
    zipapp.create_archive(tmp_path / "parts", tmp_path / "speclint.pyz", compressed=True)
    done = run(installed / "python", "-m", "pip", "uninstall", "--quiet", "--yes", "speclint", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    try:
        archive = (installed / "python", tmp_path / "speclint.pyz")
        assert run(*archive, "start", "demo", "team", cwd=tmp_path).returncode == 0
        checked = run(*archive, "check", "team", "--report", "json", "--save", "page.html", cwd=tmp_path)
        assert checked.returncode == 1, checked.stderr
        assert json.loads(checked.stdout)["problems"] == []
        explained = run(*archive, "explain", "harbour-city/stock-17", cwd=tmp_path)
        assert explained.returncode == 0, explained.stderr
    finally:
        done = run(installed / "python", "-m", "pip", "install", "--quiet", "--no-deps", wheel, cwd=tmp_path)
        assert done.returncode == 0, done.stderr


@pytest.mark.slow
def test_an_installed_wheel_runs_as_a_module_and_names_its_version(installed: Path, tmp_path: Path) -> None:
    done = run(installed / "python", "-m", "speclint", "--version", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert speclint.__version__ in done.stdout


@pytest.mark.slow
def test_a_problem_is_explained_by_an_installed_wheel_too(installed: Path, tmp_path: Path) -> None:
    (tmp_path / "car.yaml").write_text("format: setup/1\ncar: {pinion_tooth: 42}\n", encoding="utf-8")
    done = run(installed / "speclint", "check", "--report", "lines", cwd=tmp_path)
    assert done.returncode == 1, done.stderr
    assert "pinion_teeth" in done.stdout


@pytest.mark.slow
def test_the_first_command_of_the_readme_does_all_its_setting_up(tmp_path: Path) -> None:
    from tests.readme.blocks import setup_commands

    project = copy_project(tmp_path / "clone")
    command = setup_commands().first
    environment = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "VIRTUAL_ENV"))}
    environment["PATH"] = f"{Path(sys.executable).parent}{os.pathsep}{environment['PATH']}"
    done = subprocess.run(
        ["bash", "-c", command],
        cwd=project,
        env=environment,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 1, done.stderr  # since the demonstration holds illegal cars
    assert "  › Car 12, indoor carpet            legal " in done.stdout
    assert "  x Car 14, one tooth too tall       illegal " in done.stdout
