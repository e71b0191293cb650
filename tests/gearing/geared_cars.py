"""Gearings of the demonstration cars, and of cars written for one test."""

from collections.abc import Mapping
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from speclint.files import Folder
from speclint.gearing.of_setup import gear
from speclint.gearing.options import GearingOptions
from speclint.gearing.plan import Plan
from speclint.problems import Problem
from speclint.workspace.overrides import Overrides
from tests.console import example, lay_out_rulesets

PROJECT = Path(__file__).resolve().parents[2]
TODAY = date(2026, 3, 1)

CAR = {
    "mass_g": "1350",
    "internal_ratio": "1.9",
    "spur_teeth": "96",
    "pinion_teeth": "42",
    "gear_pitch_dp": "64",
    "tyre_diameter_mm": "62.5",
}
TOO_TALL = {"internal_ratio": "0.4", "tyre_diameter_mm": "400"}
"""Gears that pull nothing."""
BATTERY = {"cells": "2", "voltage_v": "8.38", "capacity_mah": "6000"}
BENCH = "{date: 2026-02-20, supply_v: 7.4, current_a: 3.3, kv_rpm_per_v: 2400, can_c: 25, winding: {ab_mohm: 36.5, bc_mohm: 36.5, ca_mohm: 36.5, winding_c: 25}}"
TRACK = "{lap_m: 110, straight_m: 24, infield_speed_kmh: 22, grip: 1.4, ambient_c: 20}"


def _ignored(_doing: str, _done: int, _of: int) -> None:
    """Nobody watches."""


def rated(
    folder: Path, file: str, *, entry: int | None = None, asked: Overrides | None = None, **wanted: Any
) -> Plan | tuple[Problem, ...]:
    """The gearing of a file, named from a folder."""
    reader = Folder(str(folder))
    return gear(
        reader.read(file),
        reader,
        asked or Overrides(today=TODAY),
        GearingOptions(**wanted),
        entry=entry,
        progress=_ignored,
    )


@cache
def demo(name: str, limit_c: float | None = None) -> Plan:
    """The gearing of one of the demonstration cars."""
    plan = rated(PROJECT, example(name), limit_c=limit_c)
    assert isinstance(plan, Plan)
    return plan


def written(
    folder: Path,
    *,
    car: Mapping[str, str | None] = {},
    battery: Mapping[str, str] = BATTERY,
    motor: str = f"{{turns: 17.5, bench_runs: [{BENCH}]}}",
    more: str = "",
    entries: str = "[]",
    garage: str | None = f"format: garage/1\ntracks: {{hall: {TRACK}}}\n",
) -> str:
    """A setup written into a folder, with its garage; the name of its file."""
    keys = {key: value for key, value in {**CAR, **car}.items() if value is not None}
    lines = ["format: setup/1", "name: a car"]
    if garage is not None:
        (folder / "garage.yaml").write_text(garage, encoding="utf-8")
        lines.append("garage: garage.yaml")
    lines += [
        f"entries: {entries}",
        "car: {" + ", ".join(f"{key}: {value}" for key, value in keys.items()) + "}",
        "battery: {" + ", ".join(f"{key}: {value}" for key, value in battery.items()) + "}",
        f"motor: {motor}",
    ]
    lay_out_rulesets(folder)
    (folder / "car.yaml").write_text("\n".join([*lines, more, ""]), encoding="utf-8")
    return "car.yaml"


def planned(folder: Path, *, entry: int | None = None, asked: Overrides | None = None, **more: Any) -> Plan:
    """The gearing of a setup written for one test; what `GearingOptions` knows goes there, the rest into the file."""
    wanted = {
        key: more.pop(key) for key in ("track", "ambient_c", "minutes", "limit_c", "limit_rpm", "sums") if key in more
    }
    plan = rated(folder, written(folder, **more), entry=entry, asked=asked, **wanted)
    assert isinstance(plan, Plan), plan
    return plan
