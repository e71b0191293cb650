"""How pages are looked at: widths, colours and paper, and what has to hold of every page in all of them."""

import json
import os
import subprocess
from pathlib import Path
from typing import NamedTuple

import pytest

from tests.browser.chromium import Chromium, Tab

OBLIGATORY = os.environ.get("SPECLINT_BROWSER_TESTS") == "1"
AXE = os.environ.get("SPECLINT_AXE", "")
"""Where axe-core's axe.min.js is, if pages are to be held to its rules."""
HTML_VALIDATE = os.environ.get("SPECLINT_HTML_VALIDATE", "")
"""Where html-validate's program is, if pages are to be held to the HTML standard."""


class View(NamedTuple):
    """One way of looking at a page; widths are in CSS pixels, of which A4 has 794."""

    width: int
    scheme: str
    media: str

    @property
    def id(self) -> str:
        return f"{self.media}-{self.scheme}-{self.width}"


VIEWS = (
    *(View(width, scheme, "screen") for width in (320, 1280) for scheme in ("light", "dark")),
    View(794, "light", "print"),
)

every_view = pytest.mark.parametrize("view", VIEWS, ids=lambda view: view.id)
needs_axe = pytest.mark.skipif(not AXE, reason="SPECLINT_AXE does not say where axe.min.js is")
needs_html_validate = pytest.mark.skipif(
    not HTML_VALIDATE, reason="SPECLINT_HTML_VALIDATE does not say where html-validate is"
)


def opened(browser: Chromium, page: Path, view: View) -> Tab:
    """The page, with everything that folds unfolded."""
    tab = Tab(browser, width=view.width, scheme=view.scheme, media=view.media)
    tab.go(page)
    tab.ask("document.querySelectorAll('details').forEach(details => { details.open = true })")
    return tab


def assert_it_stands_alone(tab: Tab, page: Path, view: View) -> None:
    """It fits its width, asks for nothing, and neither its policy nor anything else makes the console speak."""
    assert tab.ask("document.documentElement.scrollWidth") <= tab.ask("document.documentElement.clientWidth")
    assert tab.ask("document.documentElement.clientWidth") == view.width
    assert tab.requests() == [page.as_uri()]
    assert tab.complaints() == []
    assert tab.ask("document.scripts.length + document.querySelectorAll('[style]').length") == 0
    assert tab.ask("document.querySelectorAll('h1').length") == 1
    assert tab.ask("getComputedStyle(document.body).fontVariantNumeric") == "tabular-nums"


_COLOURS = """(() => {
    const paint = document.createElement('canvas').getContext('2d', {willReadFrequently: true});
    const channels = colour => {
        paint.clearRect(0, 0, 1, 1);
        paint.fillStyle = colour;
        paint.fillRect(0, 0, 1, 1);
        return [...paint.getImageData(0, 0, 1, 1).data];
    };
    const behind = element => {
        for (let at = element; at; at = at.parentElement) {
            const colour = channels(getComputedStyle(at).backgroundColor);
            if (colour[3] === 255) return colour;
        }
        return channels(getComputedStyle(document.body).backgroundColor);
    };
    return [...document.querySelectorAll('h1,h2,h3,p,li,dt,dd,th,td,caption,figcaption,summary,a,small,strong,code')]
        .filter(element => element.textContent.trim())
        .map(element => [element.textContent.slice(0, 40), channels(getComputedStyle(element).color), behind(element)]);
})()"""


def luminance(colour: list[int]) -> float:
    """Relative luminance of WCAG 2.2, of red, green and blue from 0 to 255."""
    parts = [channel / 255 for channel in colour[:3]]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(front: list[int], back: list[int]) -> float:
    """Contrast ratio of WCAG 2.2, 1.4.3."""
    light, dark = sorted((luminance(front), luminance(back)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def assert_its_text_stands_out(tab: Tab, view: View) -> None:
    """Every text has the contrast of WCAG 2.2, 1.4.3 (AA) to what is behind it, and dark is dark."""
    colours = tab.ask(_COLOURS)
    assert len(colours) > 20
    assert [text for text, front, back in colours if contrast(front, back) < 4.5] == []
    assert (luminance(colours[0][2]) < 0.1) is (view.scheme == "dark")


def assert_what_scrolls_can_be_reached_by_keyboard(tab: Tab) -> None:
    """Whatever is wider than its place, and scrolls, can have the focus."""
    stuck = (
        "[...document.querySelectorAll('*')].filter(element => element.scrollWidth > element.clientWidth + 1"
        " && getComputedStyle(element).overflowX === 'auto' && element.tabIndex < 0).length"
    )
    assert tab.ask(stuck) == 0


def axe_violations(tab: Tab) -> list[object]:
    """What axe-core finds, all of its rules on."""
    tab.ask(f"{Path(AXE).read_text(encoding='utf-8')}; null")
    rules = "{rules: {'color-contrast-enhanced': {enabled: false}}}"
    violations: list[object] = tab.ask(
        f"axe.run(document, {rules}).then(result => result.violations.map("
        "violation => [violation.id, violation.nodes.map(node => node.html.slice(0, 200))]))"
    )
    return violations


_HTML_RULES = {"root": True, "extends": ["html-validate:recommended"], "rules": {"long-title": "off"}}
"""A title counts as long by the length of its escaped text, which is that of a car's name."""


def html_errors(pages: list[Path], folder: Path) -> str:
    """What html-validate says of pages by its recommended rules; "" where it says nothing."""
    config = folder / "html-validate.json"
    config.write_text(json.dumps(_HTML_RULES), encoding="utf-8")
    done = subprocess.run(
        [HTML_VALIDATE, "--config", config, *pages], capture_output=True, text=True, encoding="utf-8", check=False
    )
    return done.stdout + done.stderr if done.returncode else ""
