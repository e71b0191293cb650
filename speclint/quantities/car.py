"""What the car, its battery and its speed control state, and what follows from the teeth and the tyre."""

from fractions import Fraction
from typing import Final

from speclint.quantities.model import Home, Key, Quantity, Sort, span, stated
from speclint.readings.exact import PI
from speclint.readings.measured import Number

TYRES_CAUTION: Final = "Foam tyres wear: measure the diameter again before every run that a rollout rule covers."
PACK_CAUTION: Final = (
    "Lithium packs: stay below the maker's charge voltage, charge in a closed bag, and stay with a charging pack."
)


def final_drive_ratio(spur_teeth: Fraction, pinion_teeth: Fraction, internal_ratio: Fraction) -> Fraction:
    """Motor turns for one turn of the wheel (common practice)."""
    return spur_teeth / pinion_teeth * internal_ratio


def spur_pinion_ratio(spur_teeth: Fraction, pinion_teeth: Fraction) -> Fraction:
    """Motor turns for one turn of the spur gear (common practice)."""
    return spur_teeth / pinion_teeth


def tooth_sum(spur_teeth: Fraction, pinion_teeth: Fraction) -> Fraction:
    """Teeth of spur and pinion together, which the motor mount has room for or not (common practice)."""
    return spur_teeth + pinion_teeth


def rollout_mm(tyre_diameter_mm: Number, ratio: Fraction) -> Number:
    """Way of the car in mm for one turn of the motor: circumference ÷ final drive ratio (common practice)."""
    return tyre_diameter_mm * (PI / ratio)


def cell_voltage_v(battery_voltage_v: Number, battery_cells: Fraction) -> Number:
    """Mean voltage of a cell in V, for cells in series."""
    return battery_voltage_v / battery_cells


_TYRE: Final = Key(Home.SETUP, ("car", "tyre_diameter_mm"))
_PACK: Final = Key(Home.SETUP, ("battery", "voltage_v"))

CAR: Final[tuple[Quantity, ...]] = (
    stated(
        Home.SETUP,
        "car.type",
        name="car_type",
        title="car type",
        sort=Sort.TEXT,
        about="The kind of car, in words that the rules test.",
        example="touring-4wd",
    ),
    stated(
        Home.SETUP,
        "car.mass_g",
        name="mass_g",
        title="mass",
        sort=Sort.MEASURED,
        unit="g",
        about="Mass of the car ready to race; most rules count the transponder in.",
        example=1352,
        above_lowest=True,
        typical=span("300", "4000"),
        measure="Weigh the car ready to race, with its transponder, on a level scale.",
    ),
    stated(
        Home.SETUP,
        "car.width_mm",
        name="width_mm",
        title="width",
        sort=Sort.MEASURED,
        unit="mm",
        about="Width of the car over everything, wheels included.",
        example=189.5,
        above_lowest=True,
        typical=span("80", "350"),
    ),
    stated(
        Home.SETUP,
        "car.length_mm",
        name="length_mm",
        title="length",
        sort=Sort.MEASURED,
        unit="mm",
        about="Length of the car over everything.",
        example=445,
        above_lowest=True,
        typical=span("150", "650"),
    ),
    stated(
        Home.SETUP,
        "car.wheelbase_mm",
        name="wheelbase_mm",
        title="wheelbase",
        sort=Sort.MEASURED,
        unit="mm",
        about="Distance between the axles.",
        example=257,
        above_lowest=True,
        typical=span("120", "360"),
    ),
    stated(
        Home.SETUP,
        "car.ride_height_mm",
        name="ride_height_mm",
        title="ride height",
        sort=Sort.MEASURED,
        unit="mm",
        about="Clearance under the lowest point of the chassis, car ready to race on a flat board.",
        example=5.2,
        typical=span("1", "60"),
        measure="Roll the car over the gauge; the lowest point counts, screws included.",
    ),
    stated(
        Home.SETUP,
        "car.tyre_diameter_mm",
        name="tyre_diameter_mm",
        title="tyre diameter",
        sort=Sort.MEASURED,
        unit="mm",
        about="Outer diameter of a driven tyre, on its wheel.",
        example=62.5,
        above_lowest=True,
        typical=span("35", "140"),
        cautions=(TYRES_CAUTION,),
    ),
    stated(
        Home.SETUP,
        "car.internal_ratio",
        name="internal_ratio",
        title="internal ratio",
        sort=Sort.RATIO,
        about='Fixed reduction between the spur gear and the wheel; 1 for direct drive. Written by teeth, "40/21", it is'
        " exact; a printed decimal may be rounded.",
        example=1.9,
        above_lowest=True,
        typical=span("1", "4"),
    ),
    stated(
        Home.SETUP,
        "car.spur_teeth",
        name="spur_teeth",
        title="spur",
        sort=Sort.COUNT,
        unit="teeth",
        about="Teeth of the spur, the large gear.",
        example=96,
        lowest=1,
        highest=400,
        typical=span("40", "160"),
    ),
    stated(
        Home.SETUP,
        "car.pinion_teeth",
        name="pinion_teeth",
        title="pinion",
        sort=Sort.COUNT,
        unit="teeth",
        about="Teeth of the pinion, the small gear on the motor.",
        example=42,
        lowest=1,
        highest=200,
        typical=span("9", "70"),
    ),
    stated(
        Home.SETUP,
        "car.gear_pitch_dp",
        name="gear_pitch_dp",
        title="gear pitch",
        sort=Sort.SETTING,
        unit="dp",
        about="Diametral pitch: teeth for an inch of pitch diameter. 48 and 64 are usual; the pitches do not mesh with"
        " each other.",
        example=64,
        above_lowest=True,
        typical=span("24", "96"),
        source="module = 25.4 ÷ diametral pitch",
    ),
    stated(
        Home.SETUP,
        "car.gear_module_mm",
        name="gear_module_mm",
        title="gear module",
        sort=Sort.SETTING,
        unit="mm",
        about="Module: pitch diameter for a tooth, in mm, where gears are not sold by diametral pitch.",
        example=0.5,
        above_lowest=True,
        typical=span("0.2", "1.5"),
        source="module = 25.4 ÷ diametral pitch",
    ),
    Quantity(
        name="final_drive_ratio",
        title="final drive ratio",
        sort=Sort.RATIO,
        unit="",
        about="Motor turns for one turn of the wheel. A higher number is a shorter gearing: more pull, less top"
        " speed, a cooler motor.",
        source="common practice",
        example=4.34,
        inputs=("spur_teeth", "pinion_teeth", "internal_ratio"),
        formula=final_drive_ratio,
        edit="pinion_teeth",
        formula_text="{spur_teeth} ÷ {pinion_teeth} × {internal_ratio}",
        typical=span("1.5", "20"),
        measure="Count the teeth of both gears; the internal ratio comes from the chassis manual.",
    ),
    Quantity(
        name="spur_pinion_ratio",
        title="spur to pinion ratio",
        sort=Sort.RATIO,
        unit="",
        about="Motor turns for one turn of the spur gear.",
        source="common practice",
        example=2.29,
        inputs=("spur_teeth", "pinion_teeth"),
        formula=spur_pinion_ratio,
        edit="pinion_teeth",
        formula_text="{spur_teeth} ÷ {pinion_teeth}",
    ),
    Quantity(
        name="tooth_sum",
        title="sum of teeth",
        sort=Sort.COUNT,
        unit="teeth",
        about="Spur and pinion teeth together; the motor mount takes a certain range of it.",
        source="centre distance = module × sum of teeth ÷ 2",
        example=138,
        inputs=("spur_teeth", "pinion_teeth"),
        formula=tooth_sum,
        edit="spur_teeth",
        formula_text="{spur_teeth} + {pinion_teeth}",
    ),
    Quantity(
        name="rollout_mm",
        title="rollout",
        sort=Sort.MEASURED,
        unit="mm",
        about="Way of the car for one turn of the motor: tyre circumference ÷ final drive ratio.",
        source="common practice",
        example=45.2,
        inputs=("tyre_diameter_mm", "final_drive_ratio"),
        formula=rollout_mm,
        edit="pinion_teeth",
        formula_text="π × {tyre_diameter_mm} ÷ {final_drive_ratio}",
        principal=(_TYRE,),
        measure="Measure the driven tyre as it will be raced.",
        cautions=(TYRES_CAUTION,),
    ),
)

BATTERY: Final[tuple[Quantity, ...]] = (
    stated(
        Home.SETUP,
        "battery.part",
        name="battery_part",
        title="battery part",
        sort=Sort.TEXT,
        about="Part number of the pack, as approved lists name it.",
        example="P-6000",
    ),
    stated(
        Home.SETUP,
        "battery.serial",
        name="battery_serial",
        title="battery serial",
        sort=Sort.TEXT,
        about="Serial number of the pack, or the mark that you put on it.",
        example="P-31",
    ),
    stated(
        Home.SETUP,
        "battery.chemistry",
        name="battery_chemistry",
        title="battery chemistry",
        sort=Sort.TEXT,
        about="What the cells are made of, as printed on the pack.",
        example="LiPo",
    ),
    stated(
        Home.SETUP,
        "battery.cells",
        name="battery_cells",
        title="cells",
        sort=Sort.COUNT,
        unit="cells",
        about="Cells in series.",
        example=2,
        lowest=1,
        highest=20,
        typical=span("1", "6"),
    ),
    stated(
        Home.SETUP,
        "battery.voltage_v",
        name="battery_voltage_v",
        title="battery voltage",
        sort=Sort.MEASURED,
        unit="v",
        about="Voltage of the pack as it comes to the start, without load.",
        example=8.38,
        above_lowest=True,
        typical=span("2.5", "26"),
        measure="Read it at the pack's terminals, right before the run.",
        cautions=(PACK_CAUTION,),
    ),
    stated(
        Home.SETUP,
        "battery.capacity_mah",
        name="battery_capacity_mah",
        title="battery capacity",
        sort=Sort.SETTING,
        unit="mah",
        about="Capacity as printed on the pack.",
        example=6000,
        above_lowest=True,
        typical=span("300", "12000"),
    ),
    stated(
        Home.SETUP,
        "battery.hard_case",
        name="battery_hard_case",
        title="hard case",
        sort=Sort.FLAG,
        about="Whether the pack has a closed hard case.",
        example=True,
    ),
    Quantity(
        name="cell_voltage_v",
        title="cell voltage",
        sort=Sort.MEASURED,
        unit="v",
        about="Mean voltage of a cell.",
        source="cells in series share the voltage",
        example=4.19,
        inputs=("battery_voltage_v", "battery_cells"),
        formula=cell_voltage_v,
        edit="battery_voltage_v",
        formula_text="{battery_voltage_v} ÷ {battery_cells}",
        principal=(_PACK,),
        typical=span("2.4", "4.45"),
    ),
    stated(
        Home.SETUP,
        "speed_control.timing",
        name="speed_control_timing",
        title="speed control timing",
        sort=Sort.TEXT,
        about="What the speed control adds to the motor's timing: none, or what its settings say.",
        example="none",
    ),
    stated(
        Home.SETUP,
        "speed_control.part",
        name="speed_control_part",
        title="speed control",
        sort=Sort.TEXT,
        about="Part number of the speed control, as approved lists name it.",
        example="SC-4",
    ),
    stated(
        Home.SETUP,
        "speed_control.firmware",
        name="speed_control_firmware",
        title="speed control firmware",
        sort=Sort.TEXT,
        about="Version of the speed control's firmware.",
        example="4.2",
    ),
)
