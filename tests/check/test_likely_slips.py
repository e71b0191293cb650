"""What people get wrong on the first evening: each slip is told where it is, with what was meant."""

from pathlib import Path

import pytest

from tests.check.world import a_ruleset, find_in, problems_of
from tests.console import Console, write  # noqa: F401 - a fixture of the run's own

CLUB = """\
format: ruleset/1
id: club
version: "1"
in_force: {from: 2026-01-01}
classes:
  stock-17:
    title: 17.5 touring, stock
    rules: [{id: weight, quantity: mass_g, at_least: 1350}]
  stock-13:
    title: 13.5 touring, stock
    rules: [{id: weight, quantity: mass_g, at_least: 1350}]
"""
HEAD = "format: setup/1\nentries:\n  - {ruleset: club, class: stock-17, on: 2026-03-14}\n"
MOTOR = "format: motor/1\nturns: 17.5\n"


def problem_of(car: str) -> str:
    files = {"cars/car.yaml": car, "motors/007.yaml": MOTOR, "rulesets/club.yaml": CLUB}
    problems = [problem for problem in find_in(files).problems if problem.place.file == "cars/car.yaml"]
    assert len(problems) == 1, problems
    return f"{problems[0].place.line}:{problems[0].place.column}: {problems[0].message}"


@pytest.mark.parametrize(
    ("car", "message"),
    [
        (f"{HEAD}#car:\n  mass_g: 1352\n  spur_teeth: 96\n",
         "4:1: `car:` is a comment here, and what stands beneath it has no key: take its # away."),
        (f"{HEAD}# car:\n\n  mass_g: 1352\n",
         "4:1: `car:` is a comment here, and what stands beneath it has no key: take its # away."),
        (f"{HEAD}car:\n  mass_g: 1352\nwidth_mm: 180\n  spur_teeth: 96\n  pinion_teeth: 42\n",
         "6:1: `width_mm` begins in column 1, the keys around it in column 3: indent it as they are."),
        (f"{HEAD}car:\n  mass_g: 1352\nwidth_mm: 180\n\n  # gears\n  spur_teeth: 96\n",
         "6:1: `width_mm` begins in column 1, the keys around it in column 3: indent it as they are."),
        (HEAD.replace("stock-17", "17.5 touring"),
         "3:28: club@1 has no class 17.5 touring; 17.5 touring, stock is the title of stock-17: write that"),
        (HEAD.replace("stock-17", "stok-17"),
         "3:28: club@1 has no class stok-17; did you mean stock-17? Known: stock-13, stock-17"),
        (f"{HEAD}motor: ../motor/007.yaml\n",
         "4:8: the motor ../motor/007.yaml does not exist; did you mean ../motors/007.yaml?"),
        (f"{HEAD}motor: ..\\motors\\007.yaml\n",
         "4:8: the motor ..\\motors\\007.yaml does not exist; did you mean ../motors/007.yaml (folders are parted by /)?"),
        (f"{HEAD}motor: ../garage/bench.yaml\n",
         "4:8: the motor ../garage/bench.yaml does not exist; the path starts at this file's folder"),
        (f"{HEAD}car:\n  mass_g:\u00a01352\n",
         "5:10: This is a no-break space, which looks like a space and is none: write a space (it comes with text copied from"
         " a page or typed with Alt held down)."),
        (f"{HEAD}car:\n\u00a0\u00a0mass_g: 1352\n",
         "5:1: This is a no-break space, which looks like a space and is none: write a space (it comes with text copied from"
         " a page or typed with Alt held down)."),
    ],
)  # fmt: skip
def test_a_slip_is_told_where_it_is_with_what_was_meant(car: str, message: str) -> None:
    assert problem_of(car) == message


def test_a_no_break_space_within_a_text_is_part_of_it() -> None:
    files = {
        "cars/car.yaml": f"{HEAD}name: Car\u00a012: the\u00a0best\n".replace(": the", ", the"),
        "rulesets/club.yaml": CLUB,
    }
    assert find_in(files).problems == ()


def test_a_comment_above_keys_that_are_in_their_place_is_a_comment() -> None:
    files = {"cars/car.yaml": f"{HEAD}car:\n  # width_mm: 180\n  mass_g: 1352\n", "rulesets/club.yaml": CLUB}
    assert find_in(files).problems == ()


def test_a_file_that_is_not_there_is_all_that_is_said(console: Console, empty: Path) -> None:
    run = console(empty, "check", "car.yaml")
    assert run.status == 2
    assert run.err == "speclint: car.yaml: there is no such file or folder\n"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("check --quiet", "No such option '--quiet'."),
        ("check --verbose", "No such option '--verbose'."),
        ("check -f", "No such option '-f'."),
        ("check --rulset", "No such option '--rulset'. Did you mean '--ruleset'?"),
        ("check --reports", "No such option '--reports'. Did you mean '--report'?"),
        ("gearing car.yaml --ambient 19", "No such option '--ambient'. Did you mean '--ambient-c'?"),
        ("compare --car cars", "No such option '--car'. Did you mean '--cars'?"),
        ("publish club site --sing-with key", "No such option '--sing-with'. Did you mean '--sign-with'?"),
        ("pin club --garag x", "No such option '--garag'. Did you mean '--garage'?"),
        ("start motor --no-question", "No such option '--no-question'. Did you mean '--no-questions'?"),
        ("start setp", "there is no setp; did you mean setup? Known: demo, garage"),
        ("chek", "No such command 'chek'. Did you mean 'check'?"),
        ("polish", "No such command 'polish'. Did you mean 'publish'?"),
        ("--strict", "No such option '--strict'. Did you mean 'check --strict'"),
        ("log m.yaml bench --kv 2450", "No such option '--kv'. Did you mean '--kv-rpm-per-v'?"),
        ("log m.yaml bench --kv=2450", "No such option '--kv'. Did you mean '--kv-rpm-per-v'?"),
        ("log m.yaml bench --kv_rpm_per_v 2450", "'--kv_rpm_per_v'. Did you mean '--kv-rpm-per-v'?"),
        ("log m.yaml bench --kvv-rpm 2450", "'--kvv-rpm'. Did you mean '--kv-rpm-per-v'?"),
        ("log m.yaml bench --mohm 38", "Did you mean '--ab-mohm', '--bc-mohm' or '--ca-mohm'?"),
        ("log m.yaml track --can 61", "No such option '--can'. Did you mean '--can-c'?"),
        ("log m.yaml car --mass 1351", "No such option '--mass'. Did you mean '--mass-g'?"),
        ("log m.yaml car --weight 1351", "No such option '--weight'."),
        ("log m.yaml benc", "No such command 'benc'. Did you mean 'bench'?"),
        ("log m.yaml --kv 2450", "No such option '--kv'. Did you mean 'bench --kv-rpm-per-v'?"),
        ("log bench m.yaml --kv-rpm-per-v 2450", "the file comes first: speclint log m.yaml bench"),
        ("log m.yaml bench kv_rpm_per_v=2450", "belongs to no option; did you mean --kv-rpm-per-v 2450?"),
        ("log m.yaml bench kv 2450", "kv belongs to no option; did you mean --kv-rpm-per-v?"),
        ("log m.yaml bench 2450", "2450 belongs to no option"),
    ],
)
def test_what_is_no_option_or_command_is_guessed_only_where_it_is_near(
    console: Console, empty: Path, words: str, told: str
) -> None:
    run = console(empty, *words.split())
    assert run.status == 2
    said = " ".join(run.err.split())
    assert told in said
    assert ("id you mean" in said) == ("id you mean" in told)


@pytest.mark.parametrize(
    ("word", "meant"),
    [
        ("kv", "kv_rpm_per_v"), ("fdr", "final_drive_ratio"), ("weight", "mass_g"), ("weight_g", "mass_g"),
        ("winding", "winding_mean_mohm"), ("voltage", "battery_voltage_v"), ("car.mass_g", "mass_g"),
        ("final_drive", "final_drive_ratio"), ("timing_set", "timing_set_deg"), ("zzz", ""),
    ],
)  # fmt: skip
def test_a_quantity_that_is_none_is_guessed_by_what_the_trade_calls_it(word: str, meant: str) -> None:
    club = a_ruleset(f"{{id: it, quantity: {word}, at_most: 4}}")
    (told,) = problems_of(find_in({"club.yaml": club}))
    assert (f"did you mean {meant}?" in told) == bool(meant)
    total = f"quantities: {{extra.sum: {{kind: setting, sum_of: [{word}, extra.b]}}}}"
    if "." not in word:
        told = " ".join(
            problems_of(find_in({"club.yaml": a_ruleset("{id: it, quantity: extra.sum, at_most: 4}", top=total)}))
        )
        assert (f"there is no quantity {word}; did you mean {meant}?" in told) == bool(meant)


@pytest.mark.parametrize(
    ("stated", "meant"),
    [
        ("car: {weight: 1352}", "mass_g"), ("car: {tyre: 62}", "tyre_diameter_mm"), ("motor: {wind: 17.5}", "turns"),
        ("motor: {bench_runs: [{date: 2026-01-01, amps: 3}]}", "current_a"),
        ("motor: {bench_runs: [{date: 2026-01-01, rpm: 3000}]}", "speed_rpm"),
    ],
)  # fmt: skip
def test_a_key_that_is_none_is_guessed_by_what_the_trade_calls_it(stated: str, meant: str) -> None:
    (told,) = problems_of(find_in({"car.yaml": f"format: setup/1\n{stated}\n"}))
    assert f"did you mean `{meant}`?" in told


@pytest.mark.parametrize(
    ("rule", "told"),
    [
        ("any_of: [{at_least: 280}], instrument: scale", "`instrument` belongs into each option that it is for"),
        ("any_of: [{at_least: 280}], at_least: 4", "`at_least` belongs into each option that it is for"),
        ("by: motor_part, rows: {a: {at_least: 4}}, otherwise: free, at_least: 4", "`at_least` belongs into the rows"),
        ("at_least: 4, equals: 4", "`equals` stands beside `at_least`; keep one of the two"),
    ],
)
def test_what_stands_beside_several_limits_is_sent_to_where_it_belongs(rule: str, told: str) -> None:
    assert told in problems_of(find_in({"club.yaml": a_ruleset(f"{{id: it, quantity: wheelbase_mm, {rule}}}")}))[0]
