"""A published ruleset in a real browser: narrow and wide, light and dark, on screen and on paper."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.browser.chromium import Chromium
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

pytestmark = pytest.mark.browser

PROJECT = Path(__file__).resolve().parents[2]

each_page = pytest.mark.parametrize("name", ["index.html", "classes/stock-17.html", "classes/junior-21.html"])


@pytest.fixture(scope="session")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("published") / "site"
    subprocess.run(
        [sys.executable, "-m", "speclint", "publish", "harbour-city@2026.2", str(folder), "--since", "harbour-city@2026.1"],
        cwd=PROJECT, check=True, capture_output=True,
    )  # fmt: skip
    return folder


@each_page
@every_view
def test_it_fits_asks_for_nothing_and_the_console_stays_empty(
    browser: Chromium, site: Path, name: str, view: View
) -> None:
    tab = opened(browser, site / name, view)
    assert_it_stands_alone(tab, site / name, view)
    assert_its_text_stands_out(tab, view)
    assert_what_scrolls_can_be_reached_by_keyboard(tab)


@each_page
@every_view
@needs_axe
def test_axe_finds_nothing(browser: Chromium, site: Path, name: str, view: View) -> None:
    assert axe_violations(opened(browser, site / name, view)) == []


@needs_html_validate
def test_the_pages_are_html(site: Path, tmp_path: Path) -> None:
    assert html_errors(sorted(site.rglob("*.html")), tmp_path) == ""


def test_every_link_resolves_as_the_browser_reads_it(browser: Chromium, site: Path) -> None:
    for page in site.rglob("*.html"):
        tab = opened(browser, page, VIEWS[0])
        links = tab.ask("[...document.links].map(link => link.href)")
        assert links
        for link in links:
            address, _, anchor = link.partition("#")
            target = Path(address.removeprefix("file://"))
            assert target.is_file(), link
            if anchor:
                assert f'id="{anchor}"' in target.read_text(encoding="utf-8"), link


def test_a_rule_that_a_link_leads_to_stands_out(browser: Chromium, site: Path) -> None:
    tab = opened(browser, site / "classes" / "stock-17.html", VIEWS[1])
    background = "getComputedStyle(document.getElementById('weight')).backgroundColor"
    before = tab.ask(background)
    tab.ask("location.hash = 'weight'")
    assert tab.ask(background) != before
