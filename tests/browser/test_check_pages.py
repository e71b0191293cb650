"""The slip and the index of a field in a real browser: narrow and wide, light and dark, on screen and on paper."""

import re
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

HOSTILE = "</style><script>alert(1)</script>\"'><img src=x onerror=alert(2)>\u202e & <b>"

PAGES = {
    "illegal": ["examples/cars/car-14-one-tooth-too-tall.yaml"],
    "not-shown": ["examples/cars/car-18-no-weight.yaml"],
    "field": ["examples/cars", "examples/setups", "--on", "2026-03-14"],
}


def write_hostile_car(folder: Path) -> Path:
    """A car whose every text tries to be markup, with a season of a motor."""
    motor = (PROJECT / "examples/motors/00463.yaml").read_text(encoding="utf-8")
    quoted = '"' + HOSTILE.replace("\\", "\\\\").replace('"', '\\"') + '"'
    (folder / "motor.yaml").write_text(motor.replace("name: club stock, no. 463", f"name: {quoted}"), encoding="utf-8")
    car = (PROJECT / "examples/setups/car-14-underweight.yaml").read_text(encoding="utf-8")
    car = re.sub(r"(?m)^name: .*$", f"name: {quoted}", car)
    car = re.sub(r"(?m)^motor: .*$", "motor: motor.yaml", car)
    car = car.replace("garage: ../garage.yaml", "garage: garage.yaml").replace("2026-03-14", "2026-05-16")
    (folder / "garage.yaml").write_bytes((PROJECT / "examples/garage.yaml").read_bytes())
    (folder / "car.yaml").write_text(car, encoding="utf-8")
    (folder / "rulesets").mkdir()
    for ruleset in (PROJECT / "rulesets").iterdir():
        (folder / "rulesets" / ruleset.name).write_bytes(ruleset.read_bytes())
    return folder / "car.yaml"


@pytest.fixture(scope="session")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("pages")
    hostile = write_hostile_car(folder)
    written = {}
    for name, arguments in {**PAGES, "hostile": [str(hostile)]}.items():
        written[name] = folder / f"{name}.html"
        done = subprocess.run(
            [sys.executable, "-m", "speclint", "check", *arguments, "--save", str(written[name])],
            cwd=PROJECT,
            capture_output=True,
            text=True,
            encoding="utf-8",
            check=False,
        )
        assert done.returncode in (0, 1), done.stderr
    return written


each_page = pytest.mark.parametrize("name", [*PAGES, "hostile"])


@each_page
@every_view
def test_it_fits_asks_for_nothing_and_the_console_stays_empty(
    browser: Chromium, pages: dict[str, Path], name: str, view: View
) -> None:
    tab = opened(browser, pages[name], view)
    assert_it_stands_alone(tab, pages[name], view)
    assert_its_text_stands_out(tab, view)
    assert_what_scrolls_can_be_reached_by_keyboard(tab)
    assert tab.ask("document.querySelectorAll('svg.gauge').length") > 3


@each_page
@every_view
@needs_axe
def test_axe_finds_nothing(browser: Chromium, pages: dict[str, Path], name: str, view: View) -> None:
    assert axe_violations(opened(browser, pages[name], view)) == []


@needs_html_validate
def test_the_pages_are_html(pages: dict[str, Path], tmp_path: Path) -> None:
    assert html_errors(list(pages.values()), tmp_path) == ""


def test_text_that_tries_to_be_markup_is_shown_as_it_is(browser: Chromium, pages: dict[str, Path]) -> None:
    tab = opened(browser, pages["hostile"], VIEWS[0])
    assert tab.ask("document.querySelector('h1').textContent") == HOSTILE.replace("\u202e", "?")
    assert tab.ask("document.querySelectorAll('script, img, b b').length") == 0


def test_a_slip_is_one_sheet_of_a4_and_the_motor_another(browser: Chromium, pages: dict[str, Path]) -> None:
    for name in ("illegal", "not-shown", "hostile"):
        tab = opened(browser, pages[name], VIEWS[-1])
        assert tab.paper_pages() == 2
    # 184 mm by 275 mm between the margins of the page, at 96 pixels for 25.4 mm (CSS Values 4, 6.2).
    tab = opened(browser, pages["field"], View(695, "light", "print"))
    heights = tab.ask("[...document.querySelectorAll('.slip, .life')].map(page => page.getBoundingClientRect().height)")
    assert len(heights) > 60
    assert max(heights) < 1039


def test_every_car_of_the_index_leads_to_its_slip(browser: Chromium, pages: dict[str, Path]) -> None:
    tab = opened(browser, pages["field"], VIEWS[0])
    dead = "[...document.querySelectorAll('a[href^=\"#\"]')].filter(a => !document.querySelector(a.hash)).length"
    assert tab.ask("document.querySelectorAll('a[href^=\"#\"]').length") > 30
    assert tab.ask(dead) == 0


def test_on_the_gauge_of_a_broken_limit_the_dot_stands_beside_the_allowed_side(
    browser: Chromium, pages: dict[str, Path]
) -> None:
    tab = opened(browser, pages["illegal"], VIEWS[0])
    dot, left = tab.ask(
        """(() => {
            const gauge = document.querySelector('tr.v-illegal svg.gauge');
            return ['.dot', '.allowed'].map(part => gauge.querySelector(part).getBoundingClientRect())
                .map((box, index) => index ? box.left : box.left + box.width / 2);
        })()"""
    )
    assert dot < left
    assert "0.055 short" in tab.ask("document.querySelector('tr.v-illegal svg').getAttribute('aria-label')")
