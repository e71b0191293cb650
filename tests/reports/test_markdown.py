"""The `markdown` report: a summary for the page of a CI job, by CommonMark 0.31."""

from tests.check.world import a_ruleset, a_setup, find_in
from tests.reports.misprint_cars import CARS, findings
from tests.reports.report_text import report_text


def test_the_answer_stands_first_then_the_cars_then_what_to_mend() -> None:
    lines = report_text("markdown", findings(*CARS["illegal"])).splitlines()
    assert lines[0] == "## 1 illegal"
    assert lines[4].startswith("| Car 2, three things wrong | ")
    assert "### To mend" in lines
    assert any(line.startswith("- **illegal** illegal.yaml:15:17: final drive ratio is 4.145;") for line in lines)
    assert lines[-3].endswith("have the last word.")


def test_what_is_legal_has_nothing_to_mend() -> None:
    text = report_text("markdown", findings(*CARS["legal"]))
    assert text.startswith("## 1 legal\n")
    assert "To mend" not in text


def test_no_text_of_a_file_is_taken_for_markup() -> None:
    club = a_ruleset("{id: body, quantity: extra.body, equals: flat}")
    car = a_setup('name: "| a | <img src=x> [b](c) `d` **e** ~~f~~"\nextra: {body: "&lt; _x_"}')
    lines = report_text("markdown", find_in({"club.yaml": club, "car.yaml": car})).splitlines()
    assert lines[4].startswith(r"| \| a \| \<img src=x\> \[b\](c) \`d\` \*\*e\*\* \~\~f\~\~ | ")
    assert any(r"\&lt; \_x\_" in line for line in lines)


def test_a_field_of_a_thousand_is_cut_with_a_count() -> None:
    club = a_ruleset("{id: mass, quantity: mass_g, at_least: 1350}")
    cars = {f"car-{number:03}.yaml": a_setup("car: {mass_g: 1340}") for number in range(130)}
    text = report_text("markdown", find_in({"club.yaml": club, **cars}))
    assert "\n30 more are not shown here.\n" in text
    assert "\n- 30 more are not shown here.\n" in text
