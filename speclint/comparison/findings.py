"""What one run of `compare` found out, as values that know no output format."""

from dataclasses import dataclass
from typing import Final

from speclint.comparison.differences import Comparison
from speclint.comparison.drift import LimitCrossing
from speclint.comparison.equivalent import Equivalent
from speclint.comparison.interpretation import Interpretation
from speclint.comparison.of_rulesets import RulesetComparison
from speclint.comparison.ranking import Ranking
from speclint.comparison.setups import SetupComparison
from speclint.comparison.trend import Trend
from speclint.problems import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class MotorFindings:
    """What there is to say of one motor.

    `trouble` says why two runs were not compared, where they were not; `answer` what they come to, in a sentence or two;
    `equivalent` is the gearing that keeps the top
    speed, or why there is none. `instruments_from` names the files whose instruments were used.
    """

    name: str
    file: str
    comparison: Comparison | None
    trouble: str
    answer: str
    interpretations: tuple[Interpretation, ...]
    equivalent: Equivalent | str
    trends: tuple[Trend, ...]
    crossings: tuple[LimitCrossing, ...]
    instruments_from: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparisonFindings:
    """Everything that one run of the command found: one motor over its runs, several motors side by side, setups, or rulesets."""

    motor: MotorFindings | None = None
    ranking: Ranking | None = None
    setups: SetupComparison | None = None
    rulesets: RulesetComparison | None = None
    notes: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()


CAUTIONS: Final[tuple[tuple[str, str], ...]] = (
    ("maker-first", "The maker's manual comes first: its no-load voltage, its speed limit and its way to open the motor."),
    ("clamp", "Clamp the motor, take the pinion off or guard it, and keep fingers, cables and loose clothes clear of it."),
    ("over-speed", "Without load a motor can run past the speed that its rotor stands: start low, and stay below the maker's"
     " no-load voltage."),
    ("magnet", "Rotor magnets are strong and brittle: they pull steel and each other together, pinch, and split; keep them"
     " away from cards and pacemakers."),
    ("hot", "A can burns from about 60 °C on, and the winding inside is hotter: let it cool before you open or measure it."),
)  # fmt: skip
"""What a person who measures motors should know; each with an id."""
