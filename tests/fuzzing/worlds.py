"""The files that are spoilt: those of the project, of the demonstration, and of a race meeting."""

from functools import cache
from typing import Final

from tests.check.world import project_files

CAR: Final = "cars/car.yaml"
MOTOR: Final = "motors/00417.yaml"


@cache
def texts() -> tuple[dict[str, str], list[float]]:
    """Every document of the project by its name, and how often each is taken: long ones seldom."""
    files = project_files("examples", "rulesets", "tests/data")
    return files, [1 / (500 + len(text)) for text in files.values()]


@cache
def demonstration() -> dict[str, str]:
    """Cars, motors and rulesets of the demonstration."""
    return project_files("examples/cars", "examples/motors", "rulesets")


@cache
def meeting() -> dict[str, str]:
    """Cars, a motor, a ruleset and what officials read of the cars."""
    return {
        name.removeprefix("tests/data/misprints/"): text for name, text in project_files("tests/data/misprints").items()
    }
