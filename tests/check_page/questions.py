"""Questions as the page of a published ruleset asks them, answered in this process."""

import json
from pathlib import Path
from typing import Any

from speclint.browser.answers import SiteChecks
from tests.console import ROOT

RACE_DAY = "2026-03-14"
HARBOUR_CITY = ("harbour-city-2026.2", "coastal-league-2026.1")


def site_checks(*files: str, ruleset: str = "harbour-city@2026.2") -> SiteChecks:
    """The checks of a site that publishes a ruleset; the files are those of its archive."""
    rulesets = {
        f"rulesets/{name}.yaml": (ROOT / "rulesets" / f"{name}.yaml").read_bytes() for name in files or HARBOUR_CITY
    }
    return SiteChecks(rulesets, ruleset)


def answer(checks: SiteChecks, ask: str, **more: Any) -> dict[str, Any]:
    question = {"ask": ask, "today": RACE_DAY, "on": RACE_DAY, **more}
    answered: dict[str, Any] = json.loads(checks.answer(question))
    return answered


def typed(checks: SiteChecks, values: dict[str, str], class_id: str = "stock-17", **more: Any) -> dict[str, Any]:
    """The answer to a form that was filled in, by JSON pointers."""
    return answer(checks, "check", values=values, **{"class": class_id, **more})


def files_under(folder: Path, *names: str) -> dict[str, bytes]:
    """The YAML files under parts of a folder, named from it."""
    paths = [
        path
        for name in names
        for path in ((folder / name).rglob("*.yaml") if (folder / name).is_dir() else [folder / name])
    ]
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in paths}
