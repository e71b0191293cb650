"""The demonstration: a small team's repository, with six cars, their motors, a garage and the rulesets of an invented league."""

import re
from collections.abc import Callable, Iterable, Iterator
from typing import Final

CARS: Final = (
    "car-12-carpet",
    "car-14-one-tooth-too-tall",
    "car-16-waiver",
    "car-17-warm-winding",
    "car-18-no-weight",
    "car-19-two-clubs",
)
"""The examples that the cars are taken from: one for each thing that a first check can say."""

SEASON: Final = "motors/00463.yaml"
"""A motor with a season of bench runs, to compare."""

_NAMED: Final = re.compile(r"^motor: \.\./(motors/\S+)$", re.MULTILINE)
_MODELINE: Final = re.compile(r"\A# yaml-language-server:[^\n]*\n")

_README: Final = """\
# A small team's repository

Six cars of an invented league, their motors, what the team shares, and the rules of two invented clubs. Try:

    speclint check cars                          every car, worst first
    speclint check cars/car-14-one-tooth-too-tall.yaml --apply 1
                                                 the smallest change that makes this one legal, put into its file
    speclint explain harbour-city/stock-17       what the class asks, and by which clause
    speclint gearing cars/car-12-carpet.yaml     where to start gearing
    speclint compare motors/00463.yaml --setup cars/car-12-carpet.yaml
                                                 what a rotor swap changed, beyond the scatter of the bench
    speclint start setup cars/mine.yaml --ruleset harbour-city --class stock-17 --on 2026-03-14
                                                 a car of your own, with what its class asks beside each key

Everything here is invented. The club's own text, the maker's instructions and the race director have the last word.
"""


def demo_files(example: Callable[[str], str], rulesets: Iterable[tuple[str, str]]) -> Iterator[tuple[str, str]]:
    """Every file of the demonstration: its path in the repository, with "/", and its text.

    Args:
        example: the text of an example by its path.
        rulesets: the rulesets that come with speclint, each with its path.
    """
    motors = {SEASON}
    yield "README.md", _README
    yield "garage.yaml", _without_schema(example("garage.yaml"))
    for car in CARS:
        text = example(f"cars/{car}.yaml")
        motors.update(_NAMED.findall(text))
        yield f"cars/{car}.yaml", _without_schema(text)
    for motor in sorted(motors):
        yield motor, _without_schema(example(motor))
    for name, text in rulesets:
        yield f"rulesets/{name}", _without_schema(text)


def _without_schema(text: str) -> str:
    """The text without the way to a schema that is not beside it."""
    return _MODELINE.sub("", text)
