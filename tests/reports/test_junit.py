"""The `junit` report: valid by junit-10.xsd, the schema of the xUnit plug-in of Jenkins."""

from functools import cache
from typing import Any

import pytest

from tests.check.world import a_ruleset, a_setup, find_in
from tests.console import DATA
from tests.reports.misprint_cars import CARS, findings
from tests.reports.report_text import report_text

etree = pytest.importorskip("lxml.etree", reason="reads the schema: pip install -e '.[test]'")


@cache
def schema() -> Any:
    return etree.XMLSchema(etree.parse(DATA / "standards" / "junit-10.xsd"))


def suites(found: Any) -> Any:
    """The report, which is sound by the schema."""
    report = etree.fromstring(report_text("junit", found).encode())
    assert schema().validate(report), schema().error_log
    return report


@pytest.mark.parametrize("name", CARS)
def test_every_report_is_sound_and_counts_its_cases(name: str) -> None:
    found = findings(*CARS[name])
    report = suites(found)
    for suite in report:
        cases = list(suite)
        assert int(suite.get("tests")) == len(cases)
        assert int(suite.get("failures")) == len(suite.findall("testcase/failure"))
        assert int(suite.get("skipped")) == len(suite.findall("testcase/skipped"))
    assert len(report) == len(found.entries) + 1
    assert len(report.findall("testsuite/testcase")) >= sum(len(entry.checks) for entry in found.entries)


def test_what_is_legal_is_a_case_that_passes_and_what_is_illegal_says_where_and_what_mends_it() -> None:
    report = suites(findings(*CARS["illegal"]))
    cases = {case.get("name"): case for case in report[0]}
    assert any(not len(case) for case in cases.values())
    failure = cases["gearing"].find("failure")
    assert failure.get("message").startswith("final drive ratio is 4.145; the rule asks 4.2 to 6.0")
    assert failure.text.startswith("illegal.yaml:15:17: ")
    assert "\nto mend it: spur 98 instead of 96" in failure.text


def test_the_schema_would_refuse_another_attribute() -> None:
    report = etree.fromstring(report_text("junit", findings(*CARS["legal"])).encode())
    report[0][0].set("file", "legal.yaml")
    assert not schema().validate(report)


def test_no_text_of_a_file_can_break_the_form() -> None:
    found = find_in(
        {
            "club.yaml": a_ruleset("{id: body, quantity: extra.body, equals: flat}"),
            "car.yaml": a_setup('extra: {body: "<b>&\\"\\u0001\\uFFFE"}'),
        }
    )
    (failure,) = suites(found).iter("failure")
    assert '<b>&"??' in failure.get("message")
