"""The few conversions between what a racer writes down and SI; every one has a name."""

from math import pi

STANDARD_GRAVITY_M_PER_S2 = 9.80665
"""Standard acceleration of free fall (3rd CGPM 1901, ISO 80000-3)."""

RAD_PER_S_PER_RPM = 2.0 * pi / 60.0


def rpm(speed_rad_per_s: float) -> float:
    """Turns a minute of an angular speed in rad/s."""
    return speed_rad_per_s / RAD_PER_S_PER_RPM


def rad_per_s(speed_rpm: float) -> float:
    """Angular speed in rad/s of a speed in turns a minute."""
    return speed_rpm * RAD_PER_S_PER_RPM


def kmh(speed_m_per_s: float) -> float:
    """Kilometres an hour of a speed in metres a second."""
    return speed_m_per_s * 3.6


def m_per_s(speed_kmh: float) -> float:
    """Metres a second of a speed in kilometres an hour."""
    return speed_kmh / 3.6


def ohm(resistance_mohm: float) -> float:
    """Ohm of a resistance in milliohm."""
    return resistance_mohm / 1000.0


def mah(charge_c: float) -> float:
    """Milliampere-hours of a charge in coulomb."""
    return charge_c / 3.6
