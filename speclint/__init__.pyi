from typing import Final

from speclint.api.opening import check_paths as check_paths
from speclint.api.opening import load_ruleset as load_ruleset
from speclint.api.report import Advice as Advice
from speclint.api.report import CarRemedies as CarRemedies
from speclint.api.report import Check as Check
from speclint.api.report import ComingChange as ComingChange
from speclint.api.report import Entry as Entry
from speclint.api.report import Holding as Holding
from speclint.api.report import Inspected as Inspected
from speclint.api.report import KeyChange as KeyChange
from speclint.api.report import LookedAt as LookedAt
from speclint.api.report import Notice as Notice
from speclint.api.report import NotJudged as NotJudged
from speclint.api.report import OfficialReading as OfficialReading
from speclint.api.report import Place as Place
from speclint.api.report import Problem as Problem
from speclint.api.report import ReadFile as ReadFile
from speclint.api.report import Remedy as Remedy
from speclint.api.report import Report as Report
from speclint.api.report import Test as Test
from speclint.api.report import Waiver as Waiver
from speclint.api.ruleset import Rule as Rule
from speclint.api.ruleset import Ruleset as Ruleset
from speclint.api.ruleset import RulesetClass as RulesetClass
from speclint.errors import SpeclintError as SpeclintError

__version__: Final[str]
__all__: list[str]
