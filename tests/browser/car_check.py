"""The page of a published site that checks a car: published, served, opened, and used as a person does."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.browser.chromium import Chromium, Tab
from tests.browser.serving import Served
from tests.console import ROOT

RUNTIME = os.environ.get("SPECLINT_PYODIDE", "")
"""Where npm has put the package `pyodide`, on which the page runs."""

needs_runtime = pytest.mark.skipif(
    not RUNTIME, reason="SPECLINT_PYODIDE does not say where npm has put the package pyodide"
)

RACE_DAY = "2026-03-14"


def publish(folder: Path, ruleset: str = "harbour-city@2026.2") -> None:
    done = subprocess.run(
        [sys.executable, "-m", "speclint", "publish", ruleset, str(folder), "--with-check", "--runtime", RUNTIME],
        cwd=ROOT,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stderr


_FILL = """values => {
    for (const [name, value] of Object.entries(values)) {
        const field = document.getElementById(name) ?? document.querySelector(`[name="${name}"]`);
        field.value = value;
        field.dispatchEvent(new Event('input', {bubbles: true}));
    }
}"""

_DROP = """texts => {
    const list = Object.entries(texts).map(([name, text]) => {
        const file = new File([text], name.split('/').pop());
        Object.defineProperty(file, 'webkitRelativePath', {value: name});
        return file;
    });
    const event = new Event('drop', {bubbles: true, cancelable: true});
    event.dataTransfer = {files: list};
    document.body.dispatchEvent(event);
}"""


class CarCheck:
    """The page in a tab."""

    def __init__(self, browser: Chromium, site: Served, *, width: int = 390, scheme: str = "light") -> None:
        self.site = site
        self.tab = Tab(browser, width=width, scheme=scheme)

    def open(self, page: str = "check/index.html") -> None:
        """Opens the page and waits until it can be used."""
        self.tab.go(self.site.address + page)
        self.wait_until_ready()

    def wait_until_ready(self) -> None:
        self.tab.until("document.body.dataset.ready === 'yes'")

    def set(self, values: dict[str, str]) -> None:
        """Fills in fields, by their id or their name, as if they were typed."""
        self.tab.ask(f"({_FILL})({json.dumps(values)})")

    def choose(self, class_id: str, on: str = RACE_DAY) -> None:
        """Chooses class and race day, and waits for the form."""
        self.set({"class": class_id, "on": on})
        self.wait()

    def drop(self, files: dict[str, bytes]) -> None:
        """Drops files on the page, and waits for the verdict."""
        texts = {name: data.decode() for name, data in files.items()}
        self.tab.ask(f"({_DROP})({json.dumps(texts)})")
        self.wait()

    def wait(self) -> None:
        """Waits until every question is answered."""
        self.tab.until("document.body.dataset.busy === 'no'")

    @property
    def verdict(self) -> str:
        return str(self.tab.ask("document.getElementById('verdict').textContent"))

    def saved(self, button: str) -> tuple[str, str]:
        """Presses a button that saves; the name of the file and its text."""
        self.tab.ask(
            """(() => {
                window.savedFile = null;
                const make = URL.createObjectURL.bind(URL);
                URL.createObjectURL = blob => { blob.text().then(text => { window.savedText = text; }); return make(blob); };
                HTMLAnchorElement.prototype.click = function () { window.savedFile = this.download; };
            })()"""
        )
        self.tab.ask(f"window.savedText = null; document.getElementById('{button}').click()")
        self.tab.until("window.savedFile !== null && window.savedText !== null")
        return str(self.tab.ask("window.savedFile")), str(self.tab.ask("window.savedText"))

    def boxes(self, selector: str) -> list[dict[str, Any]]:
        """Where the visible elements of a selector stand."""
        boxes: list[dict[str, Any]] = self.tab.ask(
            f"""[...document.querySelectorAll({json.dumps(selector)})].filter(element => element.checkVisibility())
            .map(element => [element, element.getBoundingClientRect()])
            .map(([element, box]) => ({{name: element.id || element.name || element.textContent, width: box.width,
                height: box.height, top: box.top, bottom: box.bottom, left: box.left, right: box.right}}))"""
        )
        return boxes
