"""A setup together with what it leans on: its motor, and every instrument that a reading in it may name."""

from collections.abc import Mapping
from dataclasses import dataclass

from speclint.models.motors import Motor
from speclint.models.setups import Setup
from speclint.readings.instruments import Instrument


@dataclass(frozen=True, slots=True)
class Car:
    """What facts are drawn from. `motor_trouble` says why there is no motor where the setup names one."""

    setup: Setup
    motor: Motor | None
    motor_trouble: str
    instruments: Mapping[str, Instrument]
