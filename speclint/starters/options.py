"""What a starting file is to say already, by options or by answers, and which of them go with which kind of file."""

from dataclasses import dataclass
from datetime import date
from typing import Final

KINDS: Final = ("setup", "motor", "ruleset", "garage", "inspection")


@dataclass(frozen=True, slots=True, kw_only=True)
class StarterOptions:
    """What a starting file is to say already; "" and None leave a thing open.

    `motor` and `garage` are paths as they are to be written, from the new file's own folder. `today` dates what
    needs a date where `on` gives none.
    """

    today: date
    name: str = ""
    ruleset: str = ""
    class_id: str = ""
    on: date | None = None
    track: str = ""
    venue: str = ""
    motor: str = ""
    garage: str = ""
    turns: float | None = None
    part: str = ""
    serial: str = ""
    id: str = ""
    based_on: str = ""

    @property
    def day(self) -> date:
        """The day that was given, else today."""
        return self.on or self.today


TAKEN: Final = {
    "setup": ("name", "ruleset", "class_id", "on", "track", "venue", "motor", "garage"),
    "motor": ("name", "ruleset", "class_id", "on", "turns", "part", "serial"),
    "ruleset": ("name", "id", "based_on", "class_id", "on"),
    "garage": ("name", "track"),
    "inspection": ("name", "ruleset", "class_id", "on", "track", "venue"),
}
"""The options that each kind of file takes."""
