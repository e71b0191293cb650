"""The cautions that go with every gearing: what can hurt, and who has the last word."""

from typing import Final

from speclint.gearing.case import GearingCase
from speclint.physics.motor import speed_constant_rpm_per_v

LAST_WORD: Final = "The maker's sheet, the club's own text and the race director have the last word."

SHORT: Final = (
    "Care: a can burns the skin from 60 °C on, and the magnet is hotter than the can. Let it cool before the next run.",
    f"Lithium packs: stop before they are empty, charge them cool and under watch. {LAST_WORD}",
)
"""The two lines that stand under every gearing."""

_HANDLING: Final = (
    "A can that is too hot to touch is far from too hot for the model: 60 °C burns the skin within seconds. Measure it,"
    " don't feel it, and let it cool before the next run.",
    "Heat weakens the magnets for good and softens the winding's insulation; a motor that has been above its maker's limit"
    " is measured anew on the bench before it is geared again.",
    "Lithium packs: stop before the cells are empty, never charge a warm or a swollen pack, and charge under watch.",
    "Take the pinion off, or the car off its wheels and hands and cloth away, before the motor spins on the bench.",
)


def cautions(case: GearingCase) -> tuple[str, ...]:
    """The cautions for a case, a sentence or two each."""
    if case.model is None:
        return (*_HANDLING, LAST_WORD)
    motor = case.model.motor.model
    free = speed_constant_rpm_per_v(motor.torque_constant_nm_per_a) * case.model.vehicle.pack_v
    rounded = round(free / 500.0) * 500
    over = (
        f"Never give the motor full throttle with no load: on a full pack it would reach about {rounded:,.0f} rpm"
        + (", more than the limit here." if free > case.limit_rpm else ".")
    )
    return (*_HANDLING, over, LAST_WORD)
