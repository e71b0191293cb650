"""The reports of a gearing: whole outputs, the schema they keep to, and text from a stranger's file."""

import json
import re
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from speclint.gearing.figures import degrees, degrees_band, lap_band, ratio_text, whole_band
from speclint.gearing.plan import Plan
from speclint.physics.bands import Band
from speclint.reports import Paper
from speclint.reports.gearing.text import render, render_full
from speclint.reports.kinds import GEARING
from speclint.resources import schema_text
from tests.console import Golden
from tests.gearing.geared_cars import TOO_TALL, demo, planned
from tests.reports.report_text import kinds_of, report_text

GOLDEN = Path(__file__).parent / "golden"
SCHEMA = json.loads(schema_text("gearing-1"))
WIDE, NARROW = Paper(width=120), Paper(width=44, ascii_only=True)


def write(kind: str, plan: Plan, paper: Paper) -> str:
    return report_text(kind, plan, paper, command=GEARING)


def in_full(plan: Plan, paper: Paper) -> str:
    return render_full(plan, paper)


@pytest.mark.parametrize(
    ("name", "file", "paper"),
    [
        ("car-12-carpet", "car-12-carpet.txt", WIDE),
        ("car-13-touring", "car-13-touring.txt", WIDE),
        ("car-22-track-runs", "car-22-track-runs.txt", WIDE),
        ("car-31-stale-bench-run", "car-31-stale-bench-run-narrow.txt", NARROW),
    ],
)
def test_the_sheet_of_a_demonstration_car_is_the_one_on_file(
    name: str, file: str, paper: Paper, golden: Golden
) -> None:
    golden.holds(GOLDEN / file, write("text", demo(name), paper))


def test_in_full_every_pair_and_constant_is_told(golden: Golden) -> None:
    golden.holds(GOLDEN / "car-22-track-runs-full.txt", in_full(demo("car-22-track-runs"), WIDE))


def test_where_there_is_no_start_the_text_says_so_first(golden: Golden) -> None:
    text = write("text", demo("car-13-touring", 45.0), WIDE)
    assert text.splitlines()[2].startswith("There is no start to recommend. ")
    golden.holds(GOLDEN / "car-13-touring-limit-45.txt", text)


@pytest.mark.parametrize("name", ["car-12-carpet", "car-13-touring", "car-22-track-runs", "car-31-stale-bench-run"])
def test_the_answer_stands_first_and_all_of_it_fits_on_one_screen(name: str) -> None:
    lines = write("text", demo(name), Paper(width=100)).splitlines()
    assert lines[2].startswith("Start with ")
    assert "read the can" in " ".join(lines[2:5])
    assert len(lines) <= 32
    assert any("fitted" in line for line in lines)
    assert sum("Care:" in line or "Lithium packs:" in line for line in lines) == 2
    assert any("--full" in line for line in lines)
    assert "last word" in " ".join(lines[-2:])
    assert "from memory" not in in_full(demo(name), WIDE)


@pytest.mark.parametrize("width", [30, 44, 60, 80, 100, 120, 200])
@pytest.mark.parametrize("name", ["car-12-carpet", "car-31-stale-bench-run"])
def test_no_line_is_wider_than_the_paper_and_ascii_is_ascii(name: str, width: int) -> None:
    for sheet in (f(demo(name), Paper(width=width, ascii_only=True)) for f in (render, in_full)):
        assert sheet.isascii()
        assert max(map(len, sheet.splitlines())) <= width


def test_a_narrow_paper_has_a_list_and_a_wide_one_a_grid() -> None:
    assert "spur \\ pinion" in in_full(demo("car-12-carpet"), Paper(width=80))
    narrow = in_full(demo("car-12-carpet"), Paper(width=50))
    assert "spur \\ pinion" not in narrow
    assert "  * 96/42 4.343" in narrow
    assert re.search(r"^    pinion +ratio +can", write("text", demo("car-12-carpet"), Paper(width=100)), re.MULTILINE)
    assert "  * 42 on 96: ratio 4.343, can" in write("text", demo("car-12-carpet"), Paper(width=50))


@pytest.mark.parametrize(("name", "limit_c"), [("car-12-carpet", None), ("car-22-track-runs", None), ("car-31-stale-bench-run", None), ("car-13-touring", 45.0), ("car-19-two-clubs", None)])  # fmt: skip
def test_the_json_report_keeps_to_its_schema(name: str, limit_c: float | None) -> None:
    text = write("json", demo(name, limit_c), Paper())
    document = json.loads(text, parse_constant=pytest.fail)
    jsonschema.Draft202012Validator(SCHEMA).validate(document)
    assert len(document["pairs"]) == len(demo(name, limit_c).pairs)
    assert (document["start"] is None) == bool(document["no_start"])


def test_a_gearing_without_entries_and_with_nothing_that_pulls_keeps_to_the_schema_too(tmp_path: Path) -> None:
    for car in ({}, TOO_TALL, {"tyre_diameter_mm": None}):
        document = json.loads(write("json", planned(tmp_path, track="hall", car=car), Paper()))
        jsonschema.Draft202012Validator(SCHEMA).validate(document)


def test_every_report_is_the_same_every_time() -> None:
    from tests.gearing.geared_cars import PROJECT, rated

    again = rated(PROJECT, "examples/cars/car-12-carpet.yaml")
    assert isinstance(again, Plan)
    assert all(write(kind, again, Paper()) == write(kind, demo("car-12-carpet"), Paper()) for kind in kinds_of(GEARING))


class Elements(HTMLParser):
    """Collects elements with their attributes, and minds that they close in order."""

    VOID = frozenset({"meta", "line", "circle", "polygon", "polyline"})

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.texts: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.texts.append(data)

    def all(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.found if name == tag]


def page(plan: Plan) -> Elements:
    elements = Elements()
    elements.feed(write("html", plan, Paper()))
    elements.close()
    assert elements.open == []
    return elements


def test_the_page_stands_alone_and_can_be_read_by_everyone() -> None:
    elements = page(demo("car-12-carpet"))
    assert elements.all("html") == [{"lang": "en"}]
    assert [len(elements.all(tag)) for tag in ("h1", "main", "title")] == [1, 1, 1]
    assert {tag for tag, _ in elements.found} & {"script", "img", "link", "iframe", "object", "form", "base"} == set()
    policy = next(each["content"] for each in elements.all("meta") if each.get("http-equiv"))
    assert policy is not None
    assert policy.startswith("default-src 'none'")
    for _, attributes in elements.found:
        assert not any(name.startswith("on") for name in attributes)
        assert not {"src", "srcset", "style", "xlink:href"} & set(attributes)
    assert elements.all("a") == []
    assert len(elements.all("caption")) == len(elements.all("table")) == 6
    assert all(each.get("scope") in ("row", "col") for each in elements.all("th"))
    assert all(plot["role"] == "img" and plot["aria-label"] for plot in elements.all("svg"))
    scrolling = [each for each in elements.all("section") if each.get("class") == "scroll"]
    assert len(scrolling) == 6
    assert all(each.get("tabindex") == "0" and each.get("aria-label") for each in scrolling)


def test_every_plot_has_a_table_of_the_same_numbers() -> None:
    text = write("html", demo("car-12-carpet"), Paper())
    assert text.count("<svg") == 2
    assert text.count("as numbers</summary>") == 2


def test_what_a_stranger_writes_stays_text(tmp_path: Path) -> None:
    name = r'"</title><script>alert(1)</script>\e[2J\u202e<b>"'
    file = tmp_path / "car.yaml"
    from tests.gearing.geared_cars import rated, written

    written(tmp_path)
    file.write_text(file.read_text(encoding="utf-8").replace("name: a car", f"name: {name}"), encoding="utf-8")
    plan = rated(tmp_path, "car.yaml", track="hall")
    assert isinstance(plan, Plan)
    text = write("html", plan, Paper())
    assert "<script" not in text
    assert "<b>" not in text
    for report in (text, write("text", plan, WIDE)):
        assert "\x1b" not in report
        assert "\u202e" not in report
    assert json.loads(write("json", plan, Paper()))["setup"]["name"].startswith("</title>")


def test_no_temperature_is_told_past_what_can_be_believed() -> None:
    assert degrees(149.6) == "150 °C"
    assert degrees(150.4) == "over 150 °C"
    assert degrees(float("nan")) == "over 150 °C"
    assert degrees_band(Band(61.4, 70, 82.6)) == "61 to 83 °C"
    assert degrees_band(Band(140, 170, 230)) == "140 °C to over 150 °C"
    assert degrees_band(Band(180, 200, 230)) == "over 150 °C"
    assert degrees_band(Band(61.4, 61.4, 61.4)) == "61 °C"


def test_a_car_that_cooks_its_motor_is_told_without_a_false_number(tmp_path: Path) -> None:
    plan = planned(tmp_path, track="hall", car={"internal_ratio": "0.9"})
    sheet = in_full(plan, Paper(width=50))
    assert "over 150 °C" in sheet
    told = [int(number) for number in re.findall(r"(\d+) °C", sheet)]
    assert max(told) <= 150


def test_other_figures_have_no_more_digits_than_their_band() -> None:
    assert whole_band(18_273, 19_044, "rpm", 100) == "18,300 to 19,000 rpm"
    assert whole_band(6.6, 7.4, "a") == "7 A"
    assert lap_band(Band(12.31, 12.6, 13.0)) == "12.3 to 13.0 s"
    assert lap_band(Band(12.3, 13, 15.1)) == "12 to 15 s"


def test_a_ratio_just_short_of_its_limit_never_reads_like_the_limit() -> None:
    for name in ("car-12-carpet", "car-14-exactly-on-the-limit", "car-40-junior"):
        for rated in demo(name).pairs:
            limit = rated.standings[0].ratio_limit
            assert limit is not None
            text = ratio_text(rated)
            assert (float(text) >= float(limit)) == rated.is_legal, text


def numbers(value: Any) -> Any:
    if isinstance(value, dict):
        for each in value.values():
            yield from numbers(each)
    elif isinstance(value, list):
        for each in value:
            yield from numbers(each)
    elif isinstance(value, float):
        yield value


def test_the_json_report_s_bands_are_in_order() -> None:
    document = json.loads(write("json", demo("car-22-track-runs"), Paper()))
    for pair in document["pairs"]:
        for band in pair["outlook"].values():
            if isinstance(band, dict):
                assert band["low"] <= band["median"] <= band["high"]
    assert all(number == number for number in numbers(document))  # noqa: PLR0124 - not a number is unlike itself
    course = [each["can_c"]["median"] for each in document["course"]]
    assert course == sorted(course)
    assert course[0] == document["run"]["model"]["ambient_c"]
