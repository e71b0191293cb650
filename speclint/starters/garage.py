"""The starting file of a garage: instruments, a parts box and one track, with nothing in them that nobody measured."""

from typing import Final

from speclint.edits.spelled import key, scalar
from speclint.starters.draft import commented
from speclint.starters.options import StarterOptions
from speclint.starters.setup import HOW

_TEXT: Final = """\
# What a team shares between its setups, which name this file: garage: ../garage.yaml
{how}
format: garage/1
{name}

# Instruments by name; a reading names the one it was read from. What is offered here comes from the instrument's
# own sheet or its calibration: until it is filled in, the uncertainty of a reading is not known.
instruments:
  # accuracy: how far it can be off, as a half-width, in the unit that it reads; accuracy_percent: in percent of the
  # reading. resolution: the smallest step that it shows. offset: what it is known to show too much.
  pit-scale:
    unit: g
    #accuracy_percent: 0.1
    #resolution: 1
    #calibrated_on: {day}
  voltmeter:
    unit: V
    #accuracy_percent: 0.5
    #resolution: 0.01
    #offset: 0.03
  calliper:
    unit: mm
    #accuracy: 0.03
    #resolution: 0.01
  milliohm-meter:
    unit: mohm
    #accuracy_percent: 0.5
    #resolution: 0.1
    #note: four wires
  thermometer:
    unit: C
    #accuracy: 1
    #resolution: 0.1
    #note: a shiny can reads too cool on one that does not touch it

# The parts at hand, each by its teeth or thickness: what a remedy can be made of.
#parts_box:
  #pinions_teeth: [40, 41, 42, 43]
  #spurs_teeth: [93, 96]
  #rotors:
    #- {{kind: standard, part: R-12, diameter_mm: 12.3, bore_mm: 5, length_mm: 24.8}}
  #shims_mm: [0.05, 0.1, 0.1, 0.2]

# Tracks by id; an entry names one: track: {track_example}
{tracks}:
  {track}:
    # Length of a lap on the racing line, length of the longest straight, and speed at the end of the corner before it.
    #lap_m: 162
    #straight_m: 24
    #infield_speed_kmh: 19
    # Coefficient of friction of tyre on track: about 0.6 on dust, 1 on asphalt, 1.6 on carpet.
    #grip: 1.6
    #ambient_c: 19
{track_note}

# Rulesets that must not change unseen: `speclint rules digest RULESET` prints the digest.
#pins:
  #harbour-city: {{version: "2026.2", digest: "sha256:{digest}"}}
"""


def garage_text(options: StarterOptions, modeline: str) -> str:
    """The text of a garage."""
    track = key(options.track) if options.track else "our-track"
    name = f"name: {scalar(options.name, in_flow=False)}" if options.name else "#name: Quay Street garage"
    text = _TEXT.format(
        how="\n".join(commented(HOW)),
        name=name,
        day=options.day.isoformat(),
        tracks="tracks" if options.track else "#tracks",
        track=track if options.track else f"#{track}",
        track_example=track,
        track_note=f"    {'' if options.track else '#'}note: to be measured",
        digest="0123456789abcdef" * 4,
    )
    return (f"# yaml-language-server: $schema={modeline}\n" if modeline else "") + text
