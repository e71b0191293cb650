"""What the command line says of the run that a gearing is worked out for."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class GearingOptions:
    """What the command line says of the run.

    Attributes:
        track: Id of a track, in place of the entry's.
        ambient_c: Temperature of the air, in place of the track's.
        minutes: Length of the run.
        limit_c: Limit for the can, in place of the motor's own.
        limit_rpm: Limit for the motor's speed, in place of the motor's own.
        sums: Range of the sum of teeth.
    """

    track: str | None = None
    ambient_c: float | None = None
    minutes: float = 5.0
    limit_c: float | None = None
    limit_rpm: float | None = None
    sums: tuple[int, int] | None = None
