"""The page of a gearing in a real browser: narrow and wide, light and dark, on screen and on paper."""

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.browser.chromium import Chromium, Tab, browsing, found

PROJECT = Path(__file__).resolve().parents[2]
OBLIGATORY = os.environ.get("SPECLINT_BROWSER_TESTS") == "1"
AXE = os.environ.get("SPECLINT_AXE", "")
"""Where axe-core's axe.min.js is, if pages are to be held to its rules too."""

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(found() is None and not OBLIGATORY, reason="no Chromium here, and none is obligatory"),
]
every_view = pytest.mark.parametrize(
    ("width", "scheme", "media"),
    [(width, scheme, "screen") for width in (320, 1280) for scheme in ("light", "dark")] + [(794, "light", "print")],
)


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Chromium]:
    with browsing(tmp_path_factory.mktemp("profile")) as opened:
        yield opened


@pytest.fixture(scope="module", params=["car-12-carpet", "car-22-track-runs", "car-13-touring"])
def page(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("page") / "gearing.html"
    limit = ["--limit-c", "50"] if request.param == "car-13-touring" else []
    subprocess.run(
        [sys.executable, "-m", "speclint", "gearing", f"examples/setups/{request.param}.yaml", "--save", str(path), *limit],
        cwd=PROJECT, check=bool(not limit), capture_output=True,
    )  # fmt: skip
    return path


def channels(colour: str) -> tuple[float, float, float]:
    red, green, blue, *_ = (float(part) for part in re.findall(r"[\d.]+", colour))
    return red, green, blue


def luminance(colour: str) -> float:
    """Relative luminance of WCAG 2.2."""
    parts = [each / 255 for each in channels(colour)]
    linear = [each / 12.92 if each <= 0.04045 else ((each + 0.055) / 1.055) ** 2.4 for each in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio of WCAG 2.2, 1.4.3."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@every_view
def test_it_fits_asks_for_nothing_and_the_console_stays_empty(
    browser: Chromium, page: Path, tmp_path: Path, width: int, scheme: str, media: str
) -> None:
    tab = Tab(browser, width=width, scheme=scheme, media=media)
    tab.go(page)
    tab.ask("document.querySelectorAll('details').forEach(each => { each.open = true })")
    assert tab.ask("document.documentElement.scrollWidth") <= tab.ask("document.documentElement.clientWidth") == width
    assert tab.requests() == [page.as_uri()]
    assert tab.complaints() == []
    assert tab.ask("document.querySelectorAll('h1').length") == 1
    plots = tab.ask("[...document.querySelectorAll('svg')].map(each => each.getBoundingClientRect().width)")
    assert all(200 < each <= width for each in plots)
    assert len(tab.picture(tmp_path / f"{width}-{scheme}-{media}.png")) > 10_000


@every_view
def test_its_text_stands_out_from_what_is_behind_it(
    browser: Chromium, page: Path, width: int, scheme: str, media: str
) -> None:
    tab = Tab(browser, width=width, scheme=scheme, media=media)
    tab.go(page)
    pairs = tab.ask(
        """(() => {
            const behind = each => {
                for (let at = each; at; at = at.parentElement) {
                    const colour = getComputedStyle(at).backgroundColor;
                    if (!/, 0\\)$|transparent/.test(colour)) return colour;
                }
                return getComputedStyle(document.body).backgroundColor;
            };
            return [...document.querySelectorAll('h1, h2, p, li, dt, dd, th, td, caption, figcaption, summary, a')]
                .filter(each => each.textContent.trim())
                .map(each => [each.textContent.slice(0, 40), getComputedStyle(each).color, behind(each)]);
        })()"""
    )
    assert len(pairs) > 50
    poor = [(text, front, back) for text, front, back in pairs if contrast(front, back) < 4.5]
    assert poor == []
    dark = luminance(tab.ask("getComputedStyle(document.body).backgroundColor")) < 0.1
    assert dark is (scheme == "dark")


def test_on_paper_everything_is_open(browser: Chromium, page: Path) -> None:
    tab = Tab(browser, width=794, scheme="light", media="print")
    tab.go(page)
    heights = tab.ask(
        "[...document.querySelectorAll('details table')].map(each => each.getBoundingClientRect().height)"
    )
    assert len(heights) >= 2
    assert min(heights) > 100


def test_everything_that_scrolls_can_be_reached_by_keyboard(browser: Chromium, page: Path) -> None:
    tab = Tab(browser, width=320, scheme="light")
    tab.go(page)
    tab.ask("document.querySelectorAll('details').forEach(each => { each.open = true })")
    stuck = tab.ask(
        "[...document.querySelectorAll('*')].filter(each => each.scrollWidth > each.clientWidth + 1"
        " && getComputedStyle(each).overflowX === 'auto' && each.tabIndex < 0).length"
    )
    assert stuck == 0


@every_view
@pytest.mark.skipif(not AXE, reason="SPECLINT_AXE does not say where axe.min.js is")
def test_axe_finds_nothing(browser: Chromium, page: Path, width: int, scheme: str, media: str) -> None:
    tab = Tab(browser, width=width, scheme=scheme, media=media)
    tab.go(page)
    tab.ask("document.querySelectorAll('details').forEach(each => { each.open = true })")
    tab.ask(f"{Path(AXE).read_text(encoding='utf-8')}; null")
    found_ = tab.ask(
        "axe.run().then(found => found.violations.map(each => [each.id, each.nodes.map(one => one.html)]))"
    )
    assert found_ == []
