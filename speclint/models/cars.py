"""A setup together with what it leans on: its motor, and every instrument that a reading in it may name."""

from collections.abc import Mapping
from typing import NamedTuple

from speclint.models.motors import Motor
from speclint.models.setups import Setup
from speclint.readings.instruments import Instrument


class Car(NamedTuple):
    """What facts are drawn from. `motor_trouble` says why there is no motor where the setup names one."""

    setup: Setup
    motor: Motor | None
    motor_trouble: str
    instruments: Mapping[str, Instrument]
