"""The `annotations` report, by the form of workflow commands that GitHub Actions documents."""

import re

from speclint.reports import Paper
from tests.check.world import a_ruleset, a_setup, find_in
from tests.reports.misprint_cars import CARS, findings
from tests.reports.report_text import report_text

COMMAND = re.compile(r"::(error|warning|notice) file=[^:,\n]+,line=\d+(,[a-zA-Z]+=[^:,\n]+)*::[^\n]+")


def lines(*names: str) -> list[str]:
    return report_text("annotations", findings(*names), Paper()).splitlines()


def test_what_is_legal_is_not_annotated() -> None:
    assert lines(*CARS["legal"]) == []


def test_a_command_says_where_it_begins_and_ends_and_what_mends_it() -> None:
    gearing = next(line for line in lines(*CARS["illegal"]) if "final drive" in line)
    assert gearing.startswith(
        "::error file=illegal.yaml,line=15,endLine=15,col=17,endColumn=19,title=speclint%3A illegal::final drive ratio is 4.145;"
    )
    assert "; to mend it: spur 98 instead of 96" in gearing
    assert all(COMMAND.fullmatch(line) for line in lines(*CARS["illegal"]))


def test_the_worst_stand_first_and_no_sign_of_a_file_steers_the_job() -> None:
    club = a_ruleset("{id: body, quantity: extra.body, equals: flat}", "{id: mass, quantity: mass_g, at_least: 1350}")
    found = find_in({"club.yaml": club, "a,b:c%.yaml": a_setup('extra: {body: "100%\\r\\n::error::x"}')})
    first, second, *_ = report_text("annotations", found).splitlines()
    assert first.startswith("::error file=a%2Cb%3Ac%25.yaml,line=3,")
    assert "100%25" in first
    assert second.startswith("::warning ")


def test_ten_are_annotations_and_the_others_are_counted_and_listed() -> None:
    club = a_ruleset("{id: mass, quantity: mass_g, at_least: 1350}")
    cars = {f"car-{number:02}.yaml": a_setup("car: {mass_g: 1340}") for number in range(13)}
    written = [
        line
        for line in report_text("annotations", find_in({"club.yaml": club, **cars})).splitlines()
        if "mass" in line or "more" in line
    ]
    assert sum(line.startswith("::error ") for line in written) == 10
    listed = [line for line in written if re.match(r"car-1[0-2]\.yaml:3:15: illegal: ", line)]
    assert len(listed) == 3
    assert re.fullmatch(r"::notice title=speclint::\d+ more: the log of this step has them all", written[-1])
