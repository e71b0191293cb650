"""The starting file of a garage: instruments, a parts box and one track, with nothing in them that nobody measured."""

from typing import Final

from speclint.edits.spelled import key, scalar
from speclint.starters.draft import commented, heading
from speclint.starters.options import StarterOptions
from speclint.starters.setup import HOW

_TEXT: Final = """\
# What a team shares between its setups, which name this file: garage: ../garage.yaml
{how}
format: garage/1
name:{name}

# Instruments by name; a reading names the one it was read from. What stands here comes from the instrument's own sheet
# or its calibration: until it is filled in, the uncertainty of a reading is not known. Take out what you do not own.
instruments:
  # accuracy: how far it can be off, as a half-width, in the unit that it reads; accuracy_percent: in percent of the
  # reading. resolution: the smallest step that it shows. offset: what it is known to show too much.
  pit-scale:
    unit: g
    accuracy_percent:
    resolution:
    calibrated_on:
  voltmeter:
    unit: V
    accuracy_percent:
    resolution:
    offset:
  calliper:
    unit: mm
    accuracy:
    resolution:
  milliohm-meter:
    unit: mohm
    accuracy_percent:
    resolution:
    # Four wires measure the winding alone; two wires add their own resistance.
    note:
  thermometer:
    unit: C
    accuracy:
    resolution:
    # A shiny can reads too cool on a thermometer that does not touch it.
    note:
  # A motor bench reads several units, and is off in each by something else: what its sheet says of volts (v), amperes
  # (a), speed per volt (rpm_per_v) and timing (deg). repeatability: clamp one motor ten times, and take the standard
  # deviation of the ten; `speclint compare` tells a change from that scatter.
  motor-bench:
    per_unit:
      v:
        accuracy_percent:
        resolution:
      a:
        accuracy_percent:
        resolution:
        repeatability_percent:
      rpm_per_v:
        accuracy_percent:
        resolution:
        repeatability_percent:
      deg:
        accuracy:
        resolution:
        repeatability:

# The parts at hand: what a remedy or a gearing can be made of. Teeth and thickness as lists: [NUMBER, NUMBER].
parts_box:
  pinions_teeth:
  spurs_teeth:
  shims_mm:

# Tracks by id; an entry names one: track: {track_id}
tracks:{form}

# Rulesets that must not change unseen: `speclint pin RULESET` writes version and digest here.
pins:
"""

_TRACK: Final = """\
  {track_id}:
    # Length of a lap on the racing line, length of the longest straight, and the mean speed off the straight.
    lap_m:
    straight_m:
    infield_speed_kmh:
    # Coefficient of friction of tyre on track: about 0.6 on dust, 1 on asphalt, 1.6 on carpet.
    grip:
    ambient_c:"""


def garage_text(options: StarterOptions, modeline: str) -> str:
    """The text of a garage."""
    track_id = key(options.track) if options.track else "our-track"
    lines = _TRACK.format(track_id=track_id).splitlines()
    text = _TEXT.format(
        how="\n".join(commented(HOW)),
        name=f" {scalar(options.name, in_flow=False)}" if options.name else "",
        track_id=track_id,
        form="".join(f"\n{line}" if options.track else f"\n  # {line.removeprefix('  ')}" for line in lines),
    )
    return "\n".join([*heading(modeline), text])
