"""Setups as a large club's repository holds them: the same ones whenever they are asked for."""

import subprocess
from pathlib import Path
from typing import Final

from tests.console import lay_out_rulesets

_SETUP: Final = """\
# yaml-language-server: $schema=../schemas/setup-1.schema.json
# Ready for the winter series; the numbers are from the evening before.
format: setup/1
name: Car {number:04d}, {hall}
instruments:
  pit-scale: {{accuracy_percent: 0.1, resolution: 1, unit: g, calibrated_on: 2026-01-17}}
  voltmeter: {{accuracy_percent: 0.1, resolution: 0.01, unit: V}}
  milliohm-meter: {{accuracy_percent: 0.25, resolution: 0.01, unit: mohm}}
  thermometer: {{accuracy: 1, resolution: 0.1, unit: C}}
entries:
  - ruleset: harbour-city
    class: stock-17
    on: {on}
    track: harbour-hall
    venue: indoor
car:
  type: touring-4wd
  mass_g: {{value: {mass_g}, instrument: pit-scale}}
  width_mm: {width_mm}
  ride_height_mm: {ride_height_mm}
  internal_ratio: {internal_ratio}
  spur_teeth: {spur_teeth}
  pinion_teeth: {pinion_teeth}
  gear_pitch_dp: 64
  tyre_diameter_mm: {tyre_diameter_mm}
battery:
  chemistry: LiPo
  cells: 2
  voltage_v: {{value: {voltage_v}, instrument: voltmeter}}
  capacity_mah: 6000
  hard_case: true
speed_control:
  timing: none
  firmware: "4.{firmware}"
motor:
  name: club stock, no. {serial}
  turns: 17.5
  part: M-17A
  serial: "{serial}"
  sealed: false
  connection: wye
  timing_deg: {timing_deg}
  rotor:
    kind: {rotor}
    part: R-12
    diameter_mm: 12.3
    bore_mm: 5
    length_mm: 24.8
  shims_mm: {{drive_end: [0.1, 0.2], sensor_end: []}}
  end_play_mm: 0.15
  factory_sheet:
    serial: "{serial}"
    winding: {{ab_mohm: 36.6, bc_mohm: 36.7, ca_mohm: 36.5, winding_c: 20}}
    starting_ratio: [4.2, 5]
  bench_runs:
    - date: 2026-03-0{day}
      rotor: {rotor}
      supply_v: 3.7
      current_a: {current_a}
      kv_rpm_per_v: {kv_rpm_per_v}
      timing_deg: [{timing_deg}.1, {timing_deg}.4, {timing_deg}.2]  # one for each sensor
      sensor_spread_percent: 1.2
      can_c: {can_c}
      winding: {{ab_mohm: {ab_mohm}, bc_mohm: {bc_mohm}, ca_mohm: {ca_mohm}, winding_c: {can_c}, instrument: milliohm-meter}}
  rebuilds:
    - date: 2026-02-1{day}
      did: [clean, shim]
      note: new shims on the drive end, "{number}"
track_runs:
  - {{date: 2026-01-2{day}, spur_teeth: 96, pinion_teeth: 42, minutes: 5, ambient_c: 19, can_c: {track_can_c}}}
extra:
  tyre: HT-36
  body: club list no. {body}
"""

_HALLS: Final = ("indoor carpet", "indoor carpet, spare", "the junior's", "guest", "car park in the dry")
_GEARS: Final = ((96, 42, "1.9"), (96, 43, "1.9"), (84, 39, "1.95"), (100, 44, "1.9"), (98, 42, "40/21"))


def setup_text(number: int) -> str:
    """The setup of that number, legal in its class; its readings differ from those of its neighbours."""
    step = number * 7919  # a prime, so that neighbours differ in every key and periods don't fall together
    spur_teeth, pinion_teeth, internal_ratio = _GEARS[step % 5]
    can_c = 20 + step % 11
    winding_mohm = 36.6 * (1 + 0.00393 * (can_c - 20)) + (step % 23 - 11) * 0.02
    return _SETUP.format(
        number=number,
        hall=_HALLS[step % 5],
        on=f"2026-03-{14 + step % 3 * 7}",
        mass_g=1353 + step % 19,
        width_mm=f"{188 + step % 17 / 10:.1f}",
        ride_height_mm=f"{5.1 + step % 7 / 10:.1f}",
        internal_ratio=internal_ratio,
        spur_teeth=spur_teeth,
        pinion_teeth=pinion_teeth,
        tyre_diameter_mm=f"{62 + step % 13 / 10:.1f}",
        voltage_v=f"{8.2 + step % 18 / 100:.2f}",
        firmware=step % 9,
        serial=f"{step % 100000:05d}",
        timing_deg=36 + step % 4,
        rotor=("standard", "torque")[step % 2],
        day=1 + step % 9,
        current_a=f"{3.4 + step % 9 / 10:.1f}",
        kv_rpm_per_v=2300 + step % 31 * 10,
        can_c=can_c,
        ab_mohm=f"{winding_mohm:.2f}",
        bc_mohm=f"{winding_mohm + 0.1:.2f}",
        ca_mohm=f"{winding_mohm - 0.1:.2f}",
        track_can_c=55 + step % 15,
        body=1 + step % 40,
    )


def write_setups(folder: Path, count: int) -> list[Path]:
    """Write the first setups into a repository, fifty to a folder of their own, with their rulesets; their paths in order."""
    subprocess.run(["git", "init", "--quiet", str(folder)], check=True)
    lay_out_rulesets(folder)
    files = []
    for number in range(count):
        file = folder / f"team-{number // 50:02d}" / f"car-{number:04d}.yaml"
        file.parent.mkdir(exist_ok=True)
        file.write_text(setup_text(number), encoding="utf-8")
        files.append(file)
    return files
