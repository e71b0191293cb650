"""Everything that the records of a car contradict each other in, as problems."""

from collections.abc import Iterator, Sequence
from datetime import date

from speclint.models.cars import Car
from speclint.models.rotors import Rotor
from speclint.problems import Problem
from speclint.records.disagreement import repeat_problems, speed_problems, timing_problems
from speclint.records.identity import far_ahead_problems, rotor_problems, serial_problems, sheet_date_problems
from speclint.records.plausibility import ImplausibleValue


def record_problems(
    car: Car,
    implausible: Sequence[ImplausibleValue],
    *,
    rotors: Sequence[Rotor] = (),
    last_entry: date | None = None,
) -> Iterator[Problem]:
    """What is wrong with the records of a car and its motor.

    Args:
        car: the car.
        implausible: its odd values; those that are slips are problems.
        rotors: the rotors of the parts box.
        last_entry: the last race day that the setup states; None where it states none.
    """
    slips = [implausible_value for implausible_value in implausible if implausible_value.slip]
    for implausible_value in slips:
        yield Problem(
            "implausible-value", implausible_value.message, implausible_value.document.place(implausible_value.path)
        )
    if last_entry is not None:
        yield from far_ahead_problems(car.setup.document, car.setup.track_runs, last_entry)
    motor = car.motor
    if motor is None:
        return
    if last_entry is not None:
        yield from far_ahead_problems(motor.document, motor.records, last_entry)
    yield from serial_problems(motor)
    yield from sheet_date_problems(motor)
    yield from rotor_problems(motor, rotors)
    # A run with a slip in it would contradict its neighbours too, and say nothing new by it.
    spoilt = {
        implausible_value.path[: len(motor.prefix) + 2]
        for implausible_value in slips
        if implausible_value.document is motor.document
    }
    if spoilt:
        motor = motor._replace(bench_runs=tuple(run for run in motor.bench_runs if run.path not in spoilt))
    if motor.bench_runs:
        yield from speed_problems(car, motor)
        yield from timing_problems(car, motor)
    if len(motor.bench_runs) > 1:
        yield from repeat_problems(car, motor)
