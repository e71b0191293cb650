"""The page of a gearing in a real browser: narrow and wide, light and dark, on screen and on paper."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.browser.chromium import Chromium, Tab
from tests.browser.views import (
    VIEWS,
    View,
    assert_it_stands_alone,
    assert_its_text_stands_out,
    assert_what_scrolls_can_be_reached_by_keyboard,
    axe_violations,
    every_view,
    html_errors,
    needs_axe,
    needs_html_validate,
    opened,
)
from tests.console import example

PROJECT = Path(__file__).resolve().parents[2]

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module", params=["car-12-carpet", "car-22-track-runs", "car-13-touring"])
def page(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("page") / "gearing.html"
    limit = ["--limit-c", "50"] if request.param == "car-13-touring" else []
    subprocess.run(
        [sys.executable, "-m", "speclint", "gearing", example(request.param), "--save", str(path), *limit],
        cwd=PROJECT,
        check=bool(not limit),
        capture_output=True,
    )
    return path


@every_view
def test_it_fits_asks_for_nothing_and_its_text_stands_out(browser: Chromium, page: Path, view: View) -> None:
    tab = opened(browser, page, view)
    assert_it_stands_alone(tab, page, view)
    assert_its_text_stands_out(tab, view)
    assert_what_scrolls_can_be_reached_by_keyboard(tab)
    plots = tab.ask(
        "[...document.querySelectorAll('svg')].map(plot => plot.getBoundingClientRect().width).filter(width => width)"
    )
    assert plots
    assert all(200 < width <= view.width for width in plots)


def test_on_paper_it_takes_two_sheets_with_the_gear_chart_open(browser: Chromium, page: Path) -> None:
    tab = Tab(browser, width=794, scheme="light", media="print")
    tab.go(page)
    assert tab.ask("document.querySelector('table.grid').getBoundingClientRect().height") > 100
    assert tab.paper_pages() <= 2


def test_the_answer_stands_on_the_first_screen(browser: Chromium, page: Path) -> None:
    tab = opened(browser, page, VIEWS[0])
    assert tab.ask("document.querySelector('.band strong').getBoundingClientRect().bottom < innerHeight")


@every_view
@needs_axe
def test_axe_finds_nothing(browser: Chromium, page: Path, view: View) -> None:
    assert axe_violations(opened(browser, page, view)) == []


@needs_html_validate
def test_the_page_is_html(page: Path, tmp_path: Path) -> None:
    assert html_errors([page], tmp_path) == ""
