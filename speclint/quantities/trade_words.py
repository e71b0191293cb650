"""What the trade calls a quantity, and which one was meant by a name that none has."""

from collections.abc import Iterable, Mapping
from functools import cache
from typing import Final

from speclint.places import dotted
from speclint.quantities.registry import BY_NAME, QUANTITIES, title_of_key, unit_of_key
from speclint.spelling import nearest


def quantity_meant(name: str, declared: Iterable[str] = ()) -> str:
    """The quantity that was meant by a name that none has: by a word of the trade, or the nearest; "" where none is.

    Args:
        name: what was written, such as `weight_g` or `kv`.
        declared: the names of those that a ruleset declares.
    """
    title = title_of_key(name.lower(), unit_of_key(name.lower()))
    return quantity_aliases().get(title) or nearest(name.replace(" ", "_"), (*declared, *BY_NAME))


def quantity_key_meant(word: str) -> str:
    """The key of the quantity that the trade calls so, without its section; "" where it calls none so."""
    named = BY_NAME.get(quantity_aliases().get(word.lower().replace("_", " "), ""))
    return "" if named is None or named.key is None else str(named.key.path[-1])


@cache
def quantity_aliases() -> Mapping[str, str]:
    """Other ways to say a quantity's name: the path of its key, its title, the words of the trade."""
    paths = {
        dotted(listed.key.path): listed.name
        for listed in QUANTITIES
        if listed.key is not None and len(listed.key.path) > 1
    }
    titles = {listed.title.lower(): listed.name for listed in QUANTITIES}
    return {**paths, **titles, **TRADE_WORDS}


TRADE_WORDS: Final[Mapping[str, str]] = {
    "fdr": "final_drive_ratio",
    "final drive": "final_drive_ratio",
    "gear ratio": "final_drive_ratio",
    "gearing": "final_drive_ratio",
    "ratio": "final_drive_ratio",
    "transmission ratio": "internal_ratio",
    "kv": "kv_rpm_per_v",
    "speed per volt": "kv_rpm_per_v",
    "no-load speed": "no_load_speed_rpm",
    "rpm": "no_load_speed_rpm",
    "weight": "mass_g",
    "pinion": "pinion_teeth",
    "spur": "spur_teeth",
    "tyre": "tyre_diameter_mm",
    "tire": "tyre_diameter_mm",
    "pitch": "gear_pitch_dp",
    "module": "gear_module_mm",
    "wind": "motor_turns",
    "winds": "motor_turns",
    "resistance": "winding_mean_mohm",
    "winding": "winding_mean_mohm",
    "mohm": "winding_mean_mohm",
    "spread of the winding": "winding_spread_percent",
    "timing": "timing_set_deg",
    "blinky": "speed_control_timing",
    "zero timing": "speed_control_timing",
    "turbo": "speed_control_timing",
    "measured timing": "timing_mean_deg",
    "spread of timing": "timing_spread_deg",
    "end bell": "timing_set_deg",
    "rotor": "rotor_kind",
    "amps": "current_a",
    "no-load current": "current_a",
    "current": "current_a",
    "unevenness of the sensors": "sensor_spread_percent",
    "difference of the poles": "pole_difference_percent",
    "voltage": "battery_voltage_v",
    "pack": "battery_voltage_v",
    "cells": "battery_cells",
    "capacity": "battery_capacity_mah",
    "hard case": "battery_hard_case",
    "boost": "speed_control_timing",
    "esc": "speed_control_timing",
    "shims": "shims_drive_end_mm",
    "seal": "motor_sealed",
}
"""Words of the trade for a quantity."""
