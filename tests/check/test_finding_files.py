"""Which files a run takes in, under which names, and where it looks for rulesets."""

import itertools
import json
import os
import shutil
from datetime import date
from pathlib import Path

import pytest

from speclint.check.pipeline import check, gathered
from speclint.documents.declared import declared_kind
from speclint.files import Folder, ListedFile
from speclint.workspace.overrides import Overrides
from speclint.workspace.source import NamedFiles
from tests.console import Console, lay_out_rulesets, process, world, write

SETUP = "format: setup/1\n"
ENTRY = "entries: [{ruleset: pier-club, class: touring, on: 2026-05-02}]\n"


def found(folder: Path, *paths: str, pass_over: bool = False) -> list[str]:
    return [source.file for source in Folder(str(folder)).find(paths or (".",), pass_over=pass_over).files]


def ruleset(at_least: int, *, id_: str = "pier-club", version: str = "2026.1", start: str = "2026-01-01") -> str:
    return (
        f"format: ruleset/1\nid: {id_}\nversion: '{version}'\nin_force: {{from: {start}}}\nclasses:\n  touring:\n"
        f"    rules: [{{id: weight, quantity: mass_g, at_least: {at_least}, measure: Ready to race.}}]\n"
    )


def test_what_may_have_been_meant_is_looked_for_in_the_upper_folders(empty: Path) -> None:
    for name in ("deep/er/c.yaml", "b.yaml", "deep/a.yaml"):
        write(empty / name, SETUP)
    source = Folder(str(empty))
    upper = [[listed.file for listed in source.find((".",), most_folders=most).files] for most in (1, 2, 3)]
    assert upper == [["b.yaml"], ["b.yaml", "deep/a.yaml"], ["b.yaml", "deep/a.yaml", "deep/er/c.yaml"]]


def test_folders_are_walked_and_hidden_ones_are_not(empty: Path) -> None:
    for name in (
        "b.yaml",
        "a/z.yml",
        "a/b/c/d.YAML",
        ".hidden/e.yaml",
        "a/.git/f.yaml",
        ".g.yaml",
        "notes.txt",
        "h.json",
    ):
        write(empty / name, SETUP)
    assert found(empty) == ["a/b/c/d.YAML", "a/z.yml", "b.yaml"]
    assert found(empty, ".hidden/e.yaml", "notes.txt", ".hidden") == [".hidden/e.yaml", "notes.txt"]


def test_a_folder_that_is_called_yaml_is_a_folder(empty: Path) -> None:
    write(empty / "cars.yaml/a.yaml", SETUP)
    (empty / "link.yaml").symlink_to("cars.yaml")
    assert found(empty) == ["cars.yaml/a.yaml"]


def test_every_order_of_overlapping_paths_gives_one_report(empty: Path, console: Console) -> None:
    world(empty, "sound", "motor-with-problems")
    paths = (
        ".",
        "car-7.yaml",
        "./car-7.yaml",
        str(empty / "car-8.yaml"),
        "motors/../motors",
        "rulesets/pier-club.yaml",
    )
    reports = {
        (run.status, run.out, run.err)
        for order in itertools.islice(itertools.permutations(paths), 0, None, 90)
        for run in [console(empty, "check", "--report", "json", *order)]
    }
    assert len(reports) == 1
    assert console(empty, "check", "--report", "json").out in next(iter(reports))


def test_a_path_outside_is_shown_from_here_and_never_whole(empty: Path, console: Console) -> None:
    world(empty / "team", "sound", "motor-missing")
    (empty / "elsewhere").mkdir()
    run = console(empty / "elsewhere", "check", "--report", "lines", str(empty / "team"))
    assert run.out.splitlines()[0].startswith(
        "../team/car-7.yaml:6:8: problem: the motor motors/00417.yaml does not exist"
    )
    assert str(empty) not in run.out + run.err


def test_names_have_slashes_and_may_hold_blanks_and_other_letters(empty: Path) -> None:
    write(empty / "Zoë's cars/a b: c.yaml", SETUP)
    assert found(empty) == ["Zoë's cars/a b: c.yaml"]


@pytest.mark.skipif(os.name == "nt", reason="file systems there refuse such names")
def test_a_name_with_line_ends_escapes_or_bytes_that_are_no_text_stays_on_its_line(
    empty: Path, console: Console
) -> None:
    world(empty, "sound")
    write(empty / "car\n\x1b[31m 7.yaml", "format: setup/1\nname: 7\n")
    (empty / os.fsdecode(b"car-\xff.yaml")).write_text("format: setup/1\nname: 8\n")
    run = console(empty, "check", "--report", "lines")
    assert [line.partition(":")[0] for line in run.out.splitlines()] == ["car ?[31m 7.yaml", "car-?.yaml"]
    for kind in ("text", "json"):
        done = process(empty, "check", "--report", kind, "--save", "out.txt")
        assert done.returncode == 1
        assert b"\x1b" not in done.stdout
    files = [problem["where"]["file"] for problem in json.loads(done.stdout)["problems"]]
    assert files == ["car\n\x1b[31m 7.yaml", os.fsdecode(b"car-\xff.yaml")]
    run = console(empty, "check", "car\n\x1b[31m 9.yaml")
    assert (run.status, run.err.splitlines()[0]) == (2, "speclint: car ?[31m 9.yaml: there is no such file or folder")


def test_one_file_under_two_names_is_judged_once_under_its_own(empty: Path) -> None:
    write(empty / "cars/car-7.yaml", SETUP)
    (empty / "a.yaml").symlink_to("cars/car-7.yaml")
    (empty / "z").symlink_to("cars")
    for paths in itertools.permutations((".", "a.yaml", "z", "cars/car-7.yaml")):
        assert found(empty, *paths) == ["cars/car-7.yaml"]
    assert found(empty, "a.yaml", "z") == ["a.yaml"]
    assert found(empty, "z") == ["z/car-7.yaml"]


def test_a_ruleset_under_two_names_does_not_clash_with_itself(empty: Path, console: Console) -> None:
    world(empty, "sound")
    (empty / "rules").symlink_to("rulesets")
    assert console(empty, "check", "--strict", "rules", "car-1.yaml").status == 0
    assert console(empty, "check", "--strict", "--ruleset", "rules/pier-club.yaml", "car-1.yaml").status == 0


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("format: setup/1\n", "setup"),
        ("\ufeff# a comment\n\n---\n\n  format: motor/1\n  name: x\n", "motor"),
        ("name: x\r\nformat: 'garage/1'\r\n", "garage"),
        ("name: x\rformat: ruleset/1\r", "ruleset"),
        ('{"name": "x",\n "format": "setup/1"}\n', "setup"),
        ("{format: setup/1}", "setup"),
        ('"format" : setup/1', "setup"),
        ("format:\n  setup/1\n", "setup"),
        ("format: !!str setup/1\n", "setup"),
        ("format: Setup/1\n", "setup"),
        ("format: setpu/1\n", "setup"),
        ("format: rulesets/2\n", "ruleset"),
        ("format: setup\n", "setup"),
        ("\tformat: setup/1\n", "setup"),
        ("name: x\n\tformat: setup/1\n", "setup"),
        ("", ""),
        ("# format: setup/1\n", ""),
        ("steps:\n  - run: |\n      format: setup/1\n", ""),
        ("text: |\n  format: setup/1\n", ""),
        ("car:\n  format: setup/1\n", ""),
        ("- format: setup/1\n", "setup"),
        ("formt: setup/1\n", "setup"),
        ("Format: setup/1\n", "setup"),
        ("FORMAT: motor/1\n", "motor"),
        ("# a car\nname: Car 12\n'fromat': setup/1\n", "setup"),
        ("car: {mass_g: 1352}\nentries: []\n", "setup"),
        ("id: our-club\nin_force: {from: 2026-01-01}\nclasses: {}\n", "ruleset"),
        ("bench_runs: []\nrebuilds: []\n", "motor"),
        ("instruments: {}\ntracks: {}\n", "garage"),
        ("car: {mass_g: 1352}\n", ""),
        ("a:\n  car: {mass_g: 1352}\n  entries: []\n", ""),
        ("text: |\n  car:\n  entries:\n", ""),
        ("version: setup/1\n", ""),
        ("format: pdf/1\n", ""),
        ("format: report/1\n", ""),
        ("format: set\n", ""),
        ("reformat: setup/1\n", ""),
        ("formats: setup/1\n", "setup"),
        ("format: 1\n", ""),
        ("format", ""),
    ],
)
def test_what_a_file_says_it_is(text: str, kind: str) -> None:
    assert declared_kind(text.encode()) == kind
    for encoding in ("utf-16", "utf-16-le", "utf-16-be", "utf-32"):
        if len(text) > 20 and "\ufeff" not in text:
            assert declared_kind(text.encode(encoding)) == kind


@pytest.mark.parametrize("mistake", ["formt: setup/1", "Format: setup/1", "- format: setup/1", "# no format at all"])
@pytest.mark.parametrize("options", [(), ("--pass-over",)])
def test_an_illegal_car_does_not_slip_through_for_a_mistake_in_its_first_line(
    empty: Path, console: Console, mistake: str, options: tuple[str, ...]
) -> None:
    world(empty, "sound")
    (car,) = (path for path in empty.rglob("*.yaml") if "format: setup/1" in path.read_text(encoding="utf-8"))
    lines = car.read_text(encoding="utf-8").replace("format: setup/1\n", "")
    if mistake[0] == "-":
        lines = "".join(f"  {line}\n" for line in lines.splitlines())
    car.write_text(f"{mistake}\n{lines}", encoding="utf-8")
    run = console(empty, "check", ".", *options, "--report", "lines")
    assert run.status == 1
    assert f"{car.relative_to(empty).as_posix()}:" in run.out
    assert "format" in run.out


def test_other_yaml_in_a_folder_is_passed_over_without_a_word(empty: Path, console: Console) -> None:
    world(empty, "sound")
    write(empty / "workflow.yaml", "jobs:\n  - run: |\n      format: setup/1\n")
    write(empty / "broken.yaml", "a: [\n")
    write(empty / "empty.yaml", "")
    write(empty / "tags.yaml", "format: setup/1".replace("format", "kind") + "\n!x y: &a 1\n---\n2\n")
    run = console(empty, "check", "--report", "json", ".")
    assert (run.status, run.err) == (0, "")
    assert json.loads(run.out)["summary"]["files"] == 2


def test_other_yaml_that_is_named_is_not_taken_for_checked(empty: Path, console: Console) -> None:
    world(empty, "sound")
    write(empty / "workflow.yaml", "jobs: []\n")
    run = console(empty, "check", "workflow.yaml", "car-1.yaml")
    said = "speclint: workflow.yaml was not checked: it says no `format:`; a setup begins with `format: setup/1`\n"
    assert (run.status, run.err) == (2, said)
    assert "1 entry: 1 legal" in run.out
    run = console(empty, "check", "workflow.yaml")
    nothing = "speclint: there is nothing to check: no file here says `format: setup/1` or another of speclint's\n"
    assert (run.status, run.out, run.err) == (2, "", said + nothing)
    assert console(empty / "rulesets", "check", "..", "--ruleset", "pier-club.yaml").status == 0


def test_a_hook_names_files_of_all_sorts(empty: Path, console: Console) -> None:
    world(empty, "sound", "motor-missing")
    others = ["workflow.yaml", "empty.yaml", "latin.yaml", "large.yaml", "broken.yaml"]
    write(empty / "workflow.yaml", "jobs: []\n")
    write(empty / "empty.yaml", "")
    write(empty / "broken.yaml", "a: [\n")
    write(empty / "large.yaml", "a: b\n" * 300_000)
    (empty / "latin.yaml").write_bytes(b"a: \xfc\n")
    run = console(empty, "check", "--pass-over", "--report", "lines", *others)
    assert (run.status, run.out, run.err) == (0, "", "")
    run = console(empty, "check", "--pass-over", "--report", "lines", *others, "car-1.yaml", "car-7.yaml")
    assert (run.status, run.err) == (1, "")
    assert len(run.out.splitlines()) == 1
    assert console(empty, "check", "--pass-over", "--report", "lines", "no-such.yaml").status == 2
    write(empty / "car-8.yaml", "format: setup/1\ncar: [\n")
    assert console(empty, "check", "--pass-over", "--report", "lines", *others, "car-8.yaml").status == 1


def test_an_empty_folder_holds_nothing_to_check(empty: Path, console: Console) -> None:
    run = console(empty, "check")
    assert (run.status, run.out) == (2, "")
    assert "there is nothing to check" in run.err


def test_rulesets_are_found_beside_a_setup_and_above_it_up_to_the_top_of_the_repository(
    empty: Path, console: Console
) -> None:
    repository = empty / "above" / "repository"
    write(empty / "above/rulesets/outside.yaml", ruleset(1, id_="outside"))
    write(repository / "rulesets/top.yaml", ruleset(1400, id_="top"))
    write(repository / "club/rulesets/deep/club.yml", ruleset(1300, id_="club"))
    write(repository / "other/rulesets/other.yaml", ruleset(1, id_="other"))
    entry = "entries: [{{ruleset: {}, class: touring, on: 2026-05-02}}]\n"
    for name in ("top", "club", "other", "outside", "coastal-league"):
        write(repository / f"club/cars/{name}.yaml", SETUP + "car: {mass_g: 1350}\n" + entry.format(name))
    (repository / ".git").mkdir()

    def verdicts(folder: Path, *paths: str) -> dict[str, str]:
        report = json.loads(console(folder, "check", "--report", "json", *paths).out)
        said = {entry["file"].rpartition("/")[2]: entry["verdict"] for entry in report["entries"]}
        return said | {one["where"]["file"].rpartition("/")[2]: one["id"] for one in report["problems"]}

    expected = {
        "top.yaml": "illegal",
        "club.yaml": "legal",
        "other.yaml": "unknown-ruleset",
        "outside.yaml": "unknown-ruleset",
        "coastal-league.yaml": "unknown-ruleset",
    }
    assert verdicts(repository, "club/cars") == expected
    assert verdicts(repository / "club/cars") == expected
    assert verdicts(repository / "other", "../club/cars") == expected
    # A ruleset under a path that was asked for counts as well, wherever it lies.
    assert verdicts(repository) == expected | {"other.yaml": "legal"}
    # Where there is no repository, the current folder is the top: nobody knows whose the folders above it are.
    (repository / ".git").rmdir()
    assert verdicts(repository, "club/cars") == expected
    assert verdicts(empty, "above/repository/club/cars") == expected | {"outside.yaml": "legal"}
    unknown = dict.fromkeys(expected, "unknown-ruleset")
    assert verdicts(repository / "club/cars") == verdicts(repository / "other", "../club/cars") == unknown


def test_a_ruleset_from_above_the_current_folder_is_told_with_its_file(empty: Path, console: Console) -> None:
    write(empty / "rulesets/club.yaml", ruleset(1300))
    for name in ("a", "b"):
        write(empty / f"cars/{name}.yaml", f"{SETUP}{ENTRY}car: {{mass_g: 1350}}\n")
    (empty / ".git").mkdir()
    from_above = "pier-club 2026.1 (from ../rulesets/club.yaml) · "
    assert f" · {from_above}a.yaml" in console(empty / "cars", "check", "a.yaml").out
    assert console(empty / "cars", "check").out.startswith(from_above)
    assert "(from " not in console(empty, "check").out


def test_a_folder_of_rulesets_that_does_not_count_is_named_with_what_to_do(empty: Path, console: Console) -> None:
    write(empty / "team/rulesets/top.yaml", ruleset(1300))
    for name in ("car-7", "car-8"):
        write(empty / f"team/cars/{name}.yaml", SETUP + ENTRY + "car: {mass_g: 1350}\n")
    cars = empty / "team/cars"
    run = console(cars, "check")
    told = " ".join(run.out.split())
    assert run.status == 1
    assert told.count("there is no ruleset pier-club") == 1
    assert (
        "../rulesets does not count, since without a git repository a folder above may be anybody's; run speclint in ..,"
        " or name the folder as well: speclint check . ../rulesets (also car-8.yaml:2:21)" in told
    )
    assert "not judged: car-7.yaml, car-8.yaml: see above" in told
    # Both ways that are told are ways.
    assert console(cars, "check", ".", "../rulesets").status == 0
    assert console(empty / "team", "check", "cars").status == 0
    # A file elsewhere is told likewise, and in a repository nothing lies beyond its top.
    (empty / "else").mkdir()
    assert (
        "../team/rulesets does not count" in console(empty / "else", "check", "../team/cars", "--report", "lines").out
    )
    (cars / ".git").mkdir()
    assert "does not count" not in console(cars, "check").out


def test_a_submodule_is_a_repository_of_its_own(empty: Path, console: Console) -> None:
    write(empty / "rulesets/top.yaml", ruleset(1300))
    (empty / ".git").mkdir()
    write(empty / "club/.git", "gitdir: ../.git/modules/club\n")
    write(empty / "club/car-7.yaml", SETUP + ENTRY + "car: {mass_g: 1350}\n")
    assert "there is no ruleset pier-club" in console(empty, "check", "--report", "lines", "club").out


def test_no_car_is_judged_by_a_ruleset_that_comes_with_speclint(empty: Path, console: Console) -> None:
    entry = "entries: [{ruleset: harbour-city, class: stock-17, on: 2026-03-14}]\n"
    write(empty / "car-7.yaml", f"{SETUP}{entry}car: {{mass_g: 1450}}\nmotor: {{turns: 17.5}}\n")
    lay_out_rulesets(empty)
    assert len(json.loads(console(empty, "check", "--report", "json", "car-7.yaml").out)["entries"]) == 1
    # A team that deletes its own ruleset is told so, and is not judged by the demonstration of that id.
    shutil.rmtree(empty / "rulesets")
    run = console(empty, "check", "--report", "lines", "car-7.yaml")
    assert (run.status, run.out) == (
        1,
        "car-7.yaml:2:21: problem: there is no ruleset harbour-city; none is known: a setup finds rulesets in the"
        " folders `rulesets` beside it and above it, as far as its git repository or, without one, the current folder"
        " reaches\n",
    )
    for command in ("gearing", "compare"):
        done = console(empty, command, "car-7.yaml", "--ruleset", "harbour-city", "--class", "stock-17")
        assert done.status == 2
        assert "there is no ruleset harbour-city" in done.err
    # They can be read and begun with, and the new file says what it still needs.
    assert console(empty, "explain", "harbour-city/stock-17").status == 0
    started = console(empty, "start", "setup", "--ruleset", "harbour-city", "--class", "stock-17", "--on", "2026-03-14")
    assert "harbour-city comes with speclint as a demonstration, and no check judges by it" in " ".join(
        started.out.replace("\n# ", " ").split()
    )


@pytest.mark.parametrize("folder", ["rulesets", "league", "."])
def test_a_ruleset_on_its_own_finds_its_base_in_the_same_folder(folder: str, empty: Path, console: Console) -> None:
    club = ruleset(1300, id_="pier").replace("in_force", "based_on: league@2026.1\nin_force")
    write(empty / folder / "league.yaml", ruleset(1350, id_="league"))
    write(empty / folder / "club.yaml", club)
    write(empty / folder / "deeper/other.yaml", ruleset(1, id_="other"))
    name = f"{folder}/club.yaml".removeprefix("./")
    run = console(empty, "check", "--report", "lines", name)
    assert [line for line in run.out.splitlines() if "problem" in line] == []
    assert run.status == 0
    # What lies deeper is not looked for: a folder of rulesets is no home for all that is below it.
    club = club.replace("league@2026.1", "other@2026.1")
    write(empty / folder / "club.yaml", club)
    assert ("other@2026.1, which was not found" in console(empty, "check", "--report", "lines", name).out) == (
        folder != "rulesets"
    )


def test_a_garage_on_its_own_finds_the_rulesets_that_it_pins(empty: Path, console: Console) -> None:
    write(empty / "rulesets/pier.yaml", ruleset(1300))
    digest = "sha256:" + "0" * 64
    write(empty / "garage.yaml", f'format: garage/1\npins: {{pier-club: {{"2026.1": "{digest}"}}}}\n')
    run = console(empty, "check", "--report", "lines", "garage.yaml")
    assert "pier-club@2026.1 is not what was pinned" in run.out


def test_a_ruleset_that_nobody_asked_for_is_told_of_when_it_is_broken(empty: Path, console: Console) -> None:
    world(empty, "sound")
    write(empty / "rulesets/draft.yaml", "format: ruleset/1\nid: draft\n")
    run = console(empty, "check", "--report", "lines", "car-1.yaml")
    assert run.status == 1
    assert {line.partition(":")[0] for line in run.out.splitlines()} == {"rulesets/draft.yaml"}


@pytest.mark.skipif(not Path("/proc/self/maps").exists(), reason="this system has no files without a size")
def test_a_file_that_states_no_size_is_not_read_byte_by_byte(empty: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    sizes: list[int] = []
    read = os.read

    def counted(descriptor: int, count: int) -> bytes:
        data = read(descriptor, count)
        sizes.append(len(data))
        return data

    monkeypatch.setattr(os, "read", counted)
    text = Folder(str(empty)).read("/proc/self/maps").text
    assert sum(sizes) == len(text.encode()) > 1000
    assert len(sizes) < sum(sizes) / 100


@pytest.mark.parametrize("writes", [1, 100])
def test_a_file_that_changes_while_it_is_read_is_read_anew(
    writes: int, empty: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = write(empty / "car-7.yaml", SETUP + "name: old\n")
    read, numbers = os.read, itertools.count(1)

    def overtaken(descriptor: int, count: int) -> bytes:
        data = read(descriptor, count)
        if not data and (number := next(numbers)) <= writes:
            write(file, f"{SETUP}name: new{'!' * number}\n")
        return data

    monkeypatch.setattr(os, "read", overtaken)
    text = Folder(str(empty)).read("car-7.yaml")
    if writes == 1:
        assert (text.text, text.problem) == (f"{SETUP}name: new!\n", None)
    else:
        assert text.problem is not None
        assert text.problem.message == "it cannot be read: somebody is writing it"


def test_a_file_that_changes_within_the_time_that_its_clock_shows_is_read_anew(
    empty: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = write(empty / "car-7.yaml", SETUP + "name: old\n")
    state, read, numbers = file.stat(), os.read, itertools.count()

    def overtaken(descriptor: int, count: int) -> bytes:
        data = read(descriptor, count)
        if not data and next(numbers) == 0:
            write(file, f"{SETUP}name: new\n")
            os.utime(file, ns=(state.st_atime_ns, state.st_mtime_ns))
        return data

    monkeypatch.setattr(os, "read", overtaken)
    assert Folder(str(empty)).read("car-7.yaml").text == f"{SETUP}name: new\n"


@pytest.mark.parametrize(
    ("kind", "text"), [("setup", "format: motor/1\n"), ("motor", SETUP), ("ruleset", "format: garage/1\n")]
)
def test_a_file_that_is_of_another_kind_when_it_is_judged_is_a_problem(kind: str, text: str) -> None:
    source, day = NamedFiles({"a.yaml": text.encode()}), date(2026, 3, 14)
    findings = gathered(check([ListedFile("a.yaml", kind)], source, Overrides(today=day)))
    (problem,) = findings.problems
    assert str(problem.place) == "a.yaml:1:9"
    assert problem.message.startswith(f"it was taken for a {kind} and says {text.split()[1]}: check again if ")
    assert findings.failed(strict=False)


@pytest.mark.parametrize("reads_once", [True, False])
def test_what_was_found_is_what_is_judged_once_in_a_run_that_reads_once(*, reads_once: bool, empty: Path) -> None:
    file = write(empty / "car-7.yaml", SETUP + "name: old\n")
    folder = Folder(str(empty), reads_once=reads_once)
    assert [listed.declares for listed in folder.find(["."]).files] == ["setup"]
    assert [listed.declares for listed in folder.find(["car-7.yaml"]).files] == ["setup"]
    write(file, "format: motor/1\nname: new\n")
    declared = [folder.read("car-7.yaml").declares for _ in range(2)]
    assert declared == ["setup" if reads_once else "motor", "motor"]


def test_what_waits_to_be_read_is_bounded(empty: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("speclint.files._MOST_WAITING", 2 * len(SETUP) + 1)
    for number in range(5):
        write(empty / f"car-{number}.yaml", SETUP)
    folder, opened = Folder(str(empty), reads_once=True), list[str]()

    def opening(path: str) -> bytes:
        opened.append(Path(path).name)
        return SETUP.encode()

    monkeypatch.setattr("speclint.files.bytes_of", opening)
    files = [listed.file for listed in folder.find(["."]).files]
    assert opened == files
    opened.clear()
    assert {folder.read(file).text for file in files} == {SETUP}
    assert opened == files[2:]


@pytest.mark.parametrize("words", [("explain", "club/touring"), ("publish", "rulesets/club.yaml", "site")])
def test_a_problem_that_stops_a_command_is_told_once(empty: Path, console: Console, words: tuple[str, ...]) -> None:
    write(empty / "rulesets/club.yaml", ruleset(1300, id_="club").replace("at_least: 1300", "at_least: heavy"))
    run = console(empty, *words)
    assert run.status == 1
    assert run.err.count('`at_least` is "heavy"') == 1


def test_a_path_that_is_not_there_is_told_with_the_nearest_that_is(empty: Path, console: Console) -> None:
    write(empty / "cars/car-7.yaml", SETUP)
    for path, near in (("cars/car-7.yml", "cars/car-7.yaml"), ("car", "cars"), ("cars/car_7.yaml", "cars/car-7.yaml")):
        run = console(empty, "check", path)
        assert (run.status, run.out) == (2, "")
        assert f"{path}: there is no such file or folder; did you mean {near}?" in run.err
    assert "did you mean" not in console(empty, "check", "nowhere/at/all").err
