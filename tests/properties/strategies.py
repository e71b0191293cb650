"""Generated cars, motors, instruments and rules, as plain data that a test writes down as documents.

JSON is a part of YAML, so plain data is written down as JSON. Numbers are decimals of few digits, as people write them.
"""

import json
from typing import Any

from hypothesis import strategies as st

Data = dict[str, Any]


def written(data: Any) -> str:
    """Plain data as the text of a document."""
    return json.dumps(data, ensure_ascii=False)


def decimals(low: float, high: float, places: int) -> st.SearchStrategy[float]:
    """Decimals of so many places between two ends."""
    scale = 10**places
    return st.integers(round(low * scale), round(high * scale)).map(lambda steps: steps / scale)


@st.composite
def instruments(draw: st.DrawFn) -> Data:
    """What is known of an instrument; now and then nothing of its error."""
    return draw(
        st.fixed_dictionaries(
            {},
            optional={
                "accuracy_percent": decimals(0.01, 3, 2),
                "accuracy": decimals(0.001, 0.2, 3),
                "resolution": st.sampled_from([0.001, 0.01, 0.1]),
                "offset": decimals(-0.2, 0.2, 3),
            },
        )
    )


NAMES = ("meter", "probe")


@st.composite
def readings(draw: st.DrawFn, low: float, high: float, places: int = 2, *, told: bool = False) -> Any:
    """A measured value in any of its forms; `told` if something is to be known of its uncertainty."""
    value = draw(decimals(low, high, places))
    form = draw(st.sampled_from(["instrument", "repeats", "stated"] + ([] if told else ["plain"])))
    if form == "plain":
        return value
    if form == "stated":
        return {"value": value, "standard_uncertainty": draw(decimals(0.001, 0.2, 3))}
    if form == "instrument":
        return {"value": value, "instrument": draw(st.sampled_from(NAMES))}
    step = 1 / 10**places
    repeats = [value, *(round(value + step * draw(st.integers(-3, 3)), places) for _ in range(draw(st.integers(1, 4))))]
    repeats = [max(one, step) for one in repeats]
    more = {"instrument": draw(st.sampled_from(NAMES))} if draw(st.booleans()) else {}
    return {"readings": repeats, **more}


@st.composite
def windings(draw: st.DrawFn) -> Data:
    """The winding of a bench run or a factory sheet."""
    phases = {key: draw(readings(18, 24)) for key in ("ab_mohm", "bc_mohm", "ca_mohm")}
    return {
        **phases,
        "winding_c": draw(readings(10, 60, 1)),
        **draw(
            st.fixed_dictionaries({}, optional={"instrument": st.sampled_from(NAMES), "thermometer": st.just("probe")})
        ),
    }


@st.composite
def cars(draw: st.DrawFn) -> Data:
    """A setup whose every quantity of size is stated, with its motor in place."""
    return {
        "instruments": {name: draw(instruments()) for name in NAMES},
        "car": {
            "mass_g": draw(readings(1250, 1450, 1)),
            "width_mm": draw(readings(180, 200, 1)),
            "ride_height_mm": draw(readings(4, 7, 1)),
            "tyre_diameter_mm": draw(readings(40, 65, 1)),
            "spur_teeth": draw(st.integers(70, 110)),
            "pinion_teeth": draw(st.integers(20, 50)),
            "internal_ratio": draw(st.sampled_from([1, 1.9, 1.95, 2.1, "40/21"])),
        },
        "battery": {"cells": draw(st.integers(1, 2)), "voltage_v": draw(readings(4, 8.5))},
        "motor": {
            "turns": draw(st.sampled_from([13.5, 17.5, 21.5])),
            "timing_deg": draw(st.integers(30, 45)),
            "end_play_mm": draw(readings(0.1, 0.4)),
            "factory_sheet": {"winding": draw(windings())},
            "bench_runs": [
                {
                    "date": "2026-03-10",
                    "timing_deg": draw(st.lists(decimals(35, 42, 1), min_size=3, max_size=3)),
                    "instrument": "bench",
                    "current_a": draw(readings(3, 5)),
                    "winding": draw(windings()),
                }
            ],
            "instruments": {"bench": {"accuracy": draw(decimals(0.1, 1, 1)), "resolution": 0.1}},
        },
    }


LIMITED = {
    "mass_g": (1250, 1450), "width_mm": (180, 200), "ride_height_mm": (4, 7), "final_drive_ratio": (2, 8),
    "rollout_mm": (20, 80), "cell_voltage_v": (2, 8), "winding_mean_mohm": (16, 25), "winding_lowest_mohm": (16, 25),
    "winding_spread_percent": (0, 15), "winding_drift_percent": (-20, 20), "timing_mean_deg": (35, 42),
    "timing_spread_deg": (0, 5), "timing_set_deg": (30, 45), "current_a": (3, 5), "end_play_mm": (0, 1),
}  # fmt: skip
"""Quantities of size, with the range in which a limit tells generated cars apart."""


@st.composite
def limits(draw: st.DrawFn, low: float, high: float) -> Data:
    """A limit of size that some value meets."""
    first, second = sorted((draw(decimals(low, high, 2)), draw(decimals(low, high, 2))))
    return draw(
        st.sampled_from(
            [{"at_least": first}, {"at_most": second}, {"above": first}, {"below": second}, {"between": [first, second]},
             {"at_least": first, "at_most": second},
             {"nominal": second, "tolerance": {"plus": round(abs(first) / 10, 3), "minus": 0.5}}]
        )
    )  # fmt: skip


@st.composite
def rules(draw: st.DrawFn) -> list[Data]:
    """A few rules on quantities of size, with ids of their own."""
    names = draw(st.lists(st.sampled_from(sorted(LIMITED)), min_size=1, max_size=5, unique=True))
    found = []
    for name in names:
        rule = {"id": name.replace("_", "-"), "quantity": name, **draw(limits(*LIMITED[name]))}
        more = draw(
            st.fixed_dictionaries(
                {}, optional={"read_to": st.sampled_from([0.1, 0.5, 1]), "instrument": st.just("tech")}
            )
        )
        found.append({**rule, **more})
    return found


def ruleset(found: list[Data], **more: Any) -> Data:
    """A ruleset of one class with these rules."""
    return {
        "format": "ruleset/1",
        "id": "club",
        "version": "1",
        "in_force": {"from": "2026-01-01"},
        "instruments": {"tech": {"accuracy": 0.05, "resolution": 0.01}},
        "classes": {"stock": {"rules": found}},
        **more,
    }


def setup_data(car: Data, **entry: Any) -> Data:
    """A setup of this car, entered once."""
    return {"format": "setup/1", "entries": [{"ruleset": "club", "class": "stock", "on": "2026-03-14", **entry}], **car}
