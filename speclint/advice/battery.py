"""The pack: how full a cell may be, and how empty."""

from collections.abc import Iterator
from typing import Final, NamedTuple

from speclint.advice.model import AdviceSort, CarCase, Observation
from speclint.plain import counted
from speclint.readings.digits import with_unit
from speclint.readings.exact import decimal_text, exact, to_float
from speclint.readings.measured import expanded_of, value_of

# Usual charge limits of a cell in V: 4.20 of the common lithium-ion cells, 4.35 of those sold as high-voltage ones, 3.65
# of iron phosphate. Common practice; the maker's figure on the pack counts.
FULL_V: Final = {
    "lipo": 4.20, "li-po": 4.20, "liion": 4.20, "li-ion": 4.20, "lihv": 4.35, "li-hv": 4.35,
    "life": 3.65, "lifepo4": 3.65, "lfp": 3.65,
}  # fmt: skip
EMPTY_V: Final = {"life": 2.5, "lifepo4": 2.5, "lfp": 2.5}
_USUAL_EMPTY_V: Final = 3.0


class _Pack(NamedTuple):
    """A lithium pack: its chemistry as written and as it is looked up, its cells in series, its voltage."""

    named: str
    chemistry: str
    cells: int
    volts: float


def _overcharged(case: CarCase) -> Iterator[Observation]:
    pack = _pack(case)
    if pack is None:
        return
    named, chemistry, cells, volts = pack
    full = FULL_V[chemistry]
    # Floats here, so that a full pack of exactly 8.4 V costs no fractions.
    if volts <= full * cells + 1e-9:
        return
    number = case.number("battery_voltage_v")
    if number is None or to_float(value_of(number)) - (expanded_of(number) or 0.0) <= full * cells + 1e-9:
        return
    cell_text = decimal_text(value_of(number) / exact(cells), 3)
    shown = with_unit(decimal_text(value_of(number), 2), "v")
    yield Observation(
        f"{shown} on {counted(cells, f'{named} cell')} is {cell_text} V a cell, over the {full:.2f} V that such"
        " cells are charged to: an overcharged lithium pack can catch fire. Stop charging it, let it down to the limit"
        " attended and in a fire-proof bag, and look at the charger; the maker's instructions come first",
        case.car.setup.document.place(("battery", "voltage_v")),
    )


def _empty(case: CarCase) -> Iterator[Observation]:
    pack = _pack(case)
    if pack is None:
        return
    named, chemistry, cells, volts = pack
    least = EMPTY_V.get(chemistry, _USUAL_EMPTY_V)
    if volts >= least * cells:
        return
    yield Observation(
        f"{volts:g} V on {counted(cells, f'{named} cell')} is {volts / cells:.2f} V a cell, under the {least:.1f} V"
        " at which they are empty: a lithium cell that was drained is damaged and may catch fire when it is charged."
        " Correct the reading, or do not charge the pack before somebody who knows has looked at it",
        case.car.setup.document.place(("battery", "voltage_v")),
    )


def _pack(case: CarCase) -> _Pack | None:
    """The pack, where it is one of the known lithium ones."""
    battery = case.car.setup.battery
    named, cells, volts = battery.chemistry, battery.cells, battery.voltage_v
    if not named or not cells or volts is None or named.casefold() not in FULL_V:
        return None
    return _Pack(named, named.casefold(), cells, volts.mean)


_PACK: Final = "format: setup/1\nbattery: {chemistry: LiPo, cells: 2, voltage_v: VOLTS, hard_case: true}\n"

BATTERY: Final[tuple[AdviceSort[CarCase], ...]] = (
    AdviceSort(
        id="cell-overcharged",
        title="cell charged too high",
        because="Past its charge limit a lithium cell ages at once and can catch fire.",
        source="common practice, charge limit of the usual lithium cells",
        example=(_PACK.replace("VOLTS", "8.46"),),
        find=_overcharged,
    ),
    AdviceSort(
        id="cell-drained",
        title="cell drained",
        because="A lithium cell that was drained too far is damaged inside, and charging it is where it shows.",
        source="common practice, cut-off voltage of the usual lithium cells",
        example=(_PACK.replace("VOLTS", "5.7"),),
        find=_empty,
    ),
)
