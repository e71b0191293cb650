"""Bench checklists: what to do, look at, write down and measure again for each kind of rebuild.

Source of all of them: common practice of the trade, in our own words. The maker's manual comes before every line.
"""

from dataclasses import dataclass
from typing import Final

from speclint.quantities.keys import from_bench
from speclint.quantities.model import Quantity
from speclint.quantities.rebuilds import REBUILDS_BY_KIND
from speclint.quantities.registry import QUANTITIES

MANUAL_FIRST: Final = (
    "The maker's manual comes first; where it says otherwise, do as it says. Ask whether the class lets this motor be"
    " opened at all: a sealed one stays closed."
)
"""What stands at the head of every checklist."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Checklist:
    """The checklist of one kind of rebuild.

    `steps` are in order. `look` is what an eye or a fingertip finds. `write_down` names the quantities whose keys in
    the motor's file no longer say what is in the motor. `cautions` are what can hurt, the motor or its owner.
    """

    kind: str
    steps: tuple[str, ...]
    look: tuple[str, ...]
    write_down: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def measure_again(self) -> tuple[Quantity, ...]:
        """The quantities whose readings the rebuild ends."""
        ended = REBUILDS_BY_KIND[self.kind].ends
        return tuple(quantity for quantity in QUANTITIES if quantity.family in ended and from_bench(quantity))


_UNPLUG: Final = "Unplug the battery, unsolder or unplug the motor, take it out of the car and let it cool."
_MARK: Final = (
    "Before any screw turns, mark can, ring and end bell with one thin line across the joints, and photograph it: the"
    " line finds the timing again."
)
_BENCH_BEFORE: Final = (
    "Do a bench run first, so that there is something to compare with, and log it with its instrument."
)
_LAY_OUT: Final = (
    "Open it slowly and lay shims, spacers and screws in a row in the order they come off, one row an end."
)
_EVEN: Final = (
    "Close it with all screws finger-tight, then tighten them a little at a time, crosswise, so that the end bell"
    " stays square."
)
_FEEL: Final = (
    "Turn the shaft by hand after every round of the screws: free, without grinding, and the same end play as when they"
    " were loose. If it binds, loosen all of them and begin again."
)
_BENCH_AFTER: Final = "Do a bench run at the same voltage and about the same temperature as before, and log it."
_LOG: Final = "Log the rebuild before the new bench run, with times of day if both fall on one day."

_MAGNET_PULL: Final = (
    "the magnet's pull: feel how strongly the rotor is drawn in and how it steps from pole to pole; weaker than before,"
    " or uneven from step to step, is a chipped or overheated magnet"
)
_SPACERS: Final = "spacers and shims: all there, at the same ends, none stuck to a bearing or to the magnet"
_LINE: Final = "the alignment line: still whole across every joint"
_PLAY: Final = "end play after the last screw: just free, never nil, and the magnet in the middle of the stator"

_HOT: Final = "A motor that has just run burns fingers; let it cool before you touch or open it."
_MAGNETS: Final = (
    "Rotor magnets are strong and brittle: hold the rotor firmly while it is drawn in and out, keep fingers out of the"
    " gap, and keep steel chips, other magnets, cards and pacemakers away."
)
_SPIN: Final = (
    "On the bench clamp the motor, take the pinion off, wear glasses, keep clear of the shaft, and stay below the"
    " maker's no-load voltage: without load a motor can over-speed and throw its magnet."
)
_SOLVENT: Final = (
    "Use only the cleaner that the maker allows, outdoors or with the window open, away from flames and lithium packs;"
    " let it dry wholly before power comes on."
)
_APPROVED: Final = (
    "An unapproved part makes the car illegal however well it runs: hold it against the class's list first."
)

CHECKLISTS: Final[tuple[Checklist, ...]] = (
    Checklist(
        kind="rotor-swap",
        steps=(
            _BENCH_BEFORE,
            "Hold the new rotor's part number against the class's list for this motor.",
            _UNPLUG,
            _MARK,
            _LAY_OUT,
            "Draw the old rotor out straight, wrap it, and write its part number on the wrapping.",
            "Compare the two: diameter, length of the magnet, where the magnet sits on the shaft, diameter of the"
            " shaft. Move the shims so that the new magnet comes to the middle of the stator.",
            "Wipe every metal chip off the new magnet and let it in slowly, held by the shaft.",
            _EVEN,
            _FEEL,
            _LOG,
            _BENCH_AFTER,
        ),
        look=(_SPACERS, _LINE, _PLAY, _MAGNET_PULL, "rub marks on the magnet or in the stator"),
        write_down=("rotor_kind", "rotor_part", "rotor_diameter_mm", "rotor_bore_mm", "rotor_length_mm",
                    "shims_drive_end_mm", "shims_sensor_end_mm", "end_play_mm"),
        cautions=(_MAGNETS, _HOT, _SPIN, _APPROVED),
    ),
    Checklist(
        kind="clean",
        steps=(
            _UNPLUG,
            _MARK,
            _LAY_OUT,
            "Take dust and chips out with a soft brush, and the chips off the magnet with adhesive tape.",
            "Wipe the windings; never scrape the lacquer. Keep cleaner away from the sensor board and its plug.",
            "Give each bearing a small drop of the oil that the maker names, and wipe off what it does not take.",
            _EVEN,
            _FEEL,
            "Log the cleaning, with a time of day if a bench run falls on the same day.",
        ),
        look=(_SPACERS, _LINE, _PLAY, "black or bubbled lacquer, loose strands, solder that has crept",
              "a bearing that grinds, wobbles or looks brown"),
        write_down=(),
        cautions=(_SOLVENT, _MAGNETS, _HOT),
    ),
    Checklist(
        kind="shim",
        steps=(
            _BENCH_BEFORE,
            _UNPLUG,
            _MARK,
            _LAY_OUT,
            "Add up what lies in each row before you change it: the sum of both ends sets the end play, the share"
            " between them sets where the magnet sits.",
            "Change one shim at a time: from one end to the other to centre the magnet, in or out for the end play.",
            _EVEN,
            _FEEL,
            "Push and pull the shaft with a gauge on its end, and write down the end play.",
            _LOG,
            _BENCH_AFTER,
        ),
        look=(_SPACERS, _LINE, _PLAY,
              "where the rotor rests: let go of, it should come back to one place, without leaning on a shim",
              "bent, burred or doubled shims"),
        write_down=("shims_drive_end_mm", "shims_sensor_end_mm", "end_play_mm"),
        cautions=(_MAGNETS, _HOT, _SPIN),
    ),
    Checklist(
        kind="timing-change",
        steps=(
            "Look the timing window of the class up first: `speclint explain` shows the rule.",
            _BENCH_BEFORE,
            "Let the motor cool, and photograph the scale on the end bell as it stands.",
            "Loosen the ring only as far as it takes to turn, and turn it by a degree or two.",
            _EVEN,
            "Read the scale straight from above, with the screws tight: tightening can drag the ring along.",
            "Check the gearing again: more timing is more speed and more heat, so begin a tooth or two on the short side.",
            _LOG,
            _BENCH_AFTER,
        ),
        look=("the mark against the scale, after the last screw", "the timing that the bench measures over all sensors,"
              " beside what the scale says", "the sensor board's screws and its cable"),
        write_down=("timing_set_deg",),
        cautions=(_SPIN, _HOT, "After a change run two or three minutes, measure the can, and stop where it is too hot."),
    ),
    Checklist(
        kind="bearing",
        steps=(
            _BENCH_BEFORE,
            "Ask whether the class lets both bearings be changed; a sensor board must often stay soldered.",
            _UNPLUG,
            _MARK,
            _LAY_OUT,
            "Press the old bearing out by its outer ring, square to its seat, with the shaft's pull on nothing else.",
            "Press the new one in by its outer ring until it sits; it must not be driven by its inner ring.",
            "Put the shims back as they lay, and look at the end play again: bearings differ in width.",
            _EVEN,
            _FEEL,
            _LOG,
            _BENCH_AFTER,
        ),
        look=(_SPACERS, _LINE, _PLAY, "the seat: clean, round, the bearing not loose in it",
              "the shaft: no groove where the inner ring ran"),
        write_down=("shims_drive_end_mm", "shims_sensor_end_mm", "end_play_mm"),
        cautions=(_MAGNETS, _HOT, _SPIN),
    ),
    Checklist(
        kind="rewind",
        steps=(
            "Ask the class first: in most stock classes a rewound stator is not the listed motor any more.",
            _BENCH_BEFORE,
            _UNPLUG,
            _MARK,
            _LAY_OUT,
            "Count turns and strands of the old winding while you take it off, and note how the phases are joined.",
            "Wind with the wire that the maker names, without a scratch in the lacquer, all teeth alike.",
            "Before it is closed, measure each phase to the stator's iron: there must be no path at all.",
            "Measure all three pairs of leads: they should agree within a percent or two.",
            _EVEN,
            _FEEL,
            "Bring it up slowly on a supply with a current limit.",
            _LOG,
            _BENCH_AFTER,
        ),
        look=(_SPACERS, _LINE, _PLAY, "wire that stands into the rotor's way",
              "how far the three pairs of leads differ from each other"),
        write_down=("motor_turns", "motor_connection", "motor_sealed"),
        cautions=(_SPIN, _MAGNETS, _HOT, _APPROVED),
    ),
    Checklist(
        kind="stator-swap",
        steps=(
            _BENCH_BEFORE,
            "Hold the new stator's part number, and the motor's as it will then be, against the class's list.",
            _UNPLUG,
            _MARK,
            _LAY_OUT,
            "Compare the two stators: turns marked, length of the stack, bore, connection of the phases.",
            "Set the sensor board as the maker says for the new stator; the old alignment line no longer holds.",
            _EVEN,
            _FEEL,
            "Read the timing on the scale, then on the bench, over all sensors.",
            _LOG,
            _BENCH_AFTER,
        ),
        look=(_SPACERS, _PLAY, _MAGNET_PULL, "the bore: clean, no lacquer or chip in the rotor's way",
              "leads: none pinched under the end bell"),
        write_down=("motor_turns", "motor_part", "motor_serial", "motor_connection", "timing_set_deg", "end_play_mm"),
        cautions=(_MAGNETS, _SPIN, _HOT, _APPROVED),
    ),
)  # fmt: skip
"""One for each kind of rebuild, in the order of `rebuilds.REBUILDS`."""

CHECKLISTS_BY_KIND: Final = {checklist.kind: checklist for checklist in CHECKLISTS}
