"""What one run found out, as values that know no output format."""

from collections.abc import Callable, Mapping
from datetime import date
from enum import Enum
from typing import NamedTuple

from speclint.advice.model import Advice
from speclint.documents.tree import Document
from speclint.places import Place
from speclint.problems import Problem
from speclint.quantities.facts import Facts
from speclint.remedies.judged_entry import CarRemedies, JudgedEntry
from speclint.rules.checks import Check, Verdict
from speclint.rulesets.model import FlatClass


class OfficialReading(NamedTuple):
    """What officials read or saw of the quantity of one rule, beside what the racer declared.

    `instrument` is "" where none is named, `declared` None where no setup is there. `difference` is the official value
    minus the declared one in words, with the ± of both together, "" where both say the same or are no numbers;
    `disagrees` says that it is more than that ±.
    """

    instrument: str
    declared: Check | None
    difference: str
    disagrees: bool


class Inspected(NamedTuple):
    """What an inspection says of an entry; `by_rule` holds by the id of a rule what officials read of it.

    `declared` is the verdict on the setup as it stands, None where nobody has it. `looked_at` holds "passed" or "failed"
    by the id of a rule.
    """

    place: Place
    event: str
    number: str
    at: str
    by: str
    ruling: str
    note: str
    declared: Verdict | None
    by_rule: Mapping[str, OfficialReading]
    looked_at: Mapping[str, str]


class EntryResult(NamedTuple):
    """One entry with all its checks, in the order of the class's rules.

    `reason` says why it has its verdict, where no check does; `rests_on_problems` is set where that is what files have
    that it rests on, which is told as problems as well. `notes` are what else is to be known of its rules.
    `inspected` is there where officials read the car: their readings are what was judged.
    """

    file: str
    name: str
    judged: JudgedEntry
    digest_of: Callable[[], str]
    files_of: "Callable[[], tuple[ReadFile, ...]]"
    verdict: Verdict
    reason: str = ""
    rests_on_problems: bool = False
    notes: tuple[str, ...] = ()
    inspected: Inspected | None = None

    @property
    def flat(self) -> FlatClass:
        """The class."""
        return self.judged.book.flat

    @property
    def on(self) -> date:
        """The day of the race."""
        return self.judged.book.on

    @property
    def checks(self) -> tuple[Check, ...]:
        """All checks; those of rules that are plainly met are worked out when a report wants them."""
        return self.judged.checks

    @property
    def unsettled(self) -> tuple[Check, ...]:
        """The checks of all rules that are not plainly met."""
        return self.judged.unsettled

    @property
    def place(self) -> Place:
        """Where the entry stands."""
        return self.judged.place

    @property
    def facts(self) -> Facts:
        """What the car states."""
        return self.judged.facts

    @property
    def files(self) -> "tuple[ReadFile, ...]":
        """Everything that the entry rests on: setup, motor, garage and rulesets; looked up when a report wants it."""
        return self.files_of()

    @property
    def digest(self) -> str:
        """The digest of the ruleset with all that it builds on; worked out when a report wants it."""
        return self.digest_of()


class ReadFile(NamedTuple):
    """A file that something rests on, as it was read: the SHA-256 of its bytes in hexadecimal digits."""

    file: str
    sha256: str


class NotJudged(NamedTuple):
    """A setup, or one of its entries, that could not be judged at all, and why."""

    file: str
    reason: str
    place: Place


class Holding(NamedTuple):
    """What a file holds that is checked without a car."""

    file: str
    name: str
    text: str


class ComingSort(Enum):
    """What it is that changes for a car on a day to come."""

    RULE = "rule"
    LIST = "list"
    WAIVER = "waiver"
    READING = "reading"
    CALIBRATION = "calibration"
    ENTRY = "entry"


class ComingChange(NamedTuple):
    """What changes for a car on a day to come, as the car is now.

    `book` is `ruleset/class`, "" where no rule changes. `verdict` is what the rule turns to, of an entry what is said of
    it, None where nothing turns. `rule_names` are what the rules that change are called: ids, title and quantity.
    """

    on: date
    file: str
    name: str
    sort: ComingSort
    book: str
    text: str
    verdict: Verdict | None
    place: Place
    rule_names: tuple[str, ...] = ()


class Defect(NamedTuple):
    """A defect of speclint's own that kept a part of the work from being done; `what` names it."""

    what: str
    traceback: str


class Counts(NamedTuple):
    """How many entries have which verdict, and how many of their checks a person should look at."""

    entries: int = 0
    legal: int = 0
    illegal: int = 0
    not_shown: int = 0
    close_calls: int = 0
    to_inspect: int = 0

    def with_entry(self, result: EntryResult) -> "Counts":
        """The counts with one entry more."""
        return Counts(
            self.entries + 1,
            self.legal + (result.verdict is Verdict.LEGAL),
            self.illegal + (result.verdict is Verdict.ILLEGAL),
            self.not_shown + (result.verdict is Verdict.NOT_SHOWN),
            self.close_calls + sum(1 for check in result.unsettled if check.close_call),
            self.to_inspect + sum(1 for check in result.unsettled if check.verdict is Verdict.TO_INSPECT),
        )

    def plus(self, counts: "Counts") -> "Counts":
        """Both together."""
        return Counts(*map(int.__add__, self, counts))


def _no_document(_: str) -> None:
    """Where nobody has read one."""


class Tally(NamedTuple):
    """What one run found beside its entries, and how many of these there were: what a report ends with."""

    files: int
    setups: int
    counts: Counts
    problems: tuple[Problem, ...]
    car_remedies: tuple[CarRemedies, ...]
    advice: tuple[Advice, ...]
    not_judged: tuple[NotJudged, ...]
    not_entered: tuple[NotJudged, ...] = ()
    """Sound setups without an entry, and what to do to have them judged; they are no failure."""
    set_aside: tuple[NotJudged, ...] = ()
    """Inspections that no path names, which are judged only where one does; they are no failure."""
    holdings: tuple[Holding, ...] = ()
    """What the files hold, where no setup is among them."""
    coming: tuple[ComingChange, ...] = ()
    """What changes on the days that are asked about, by day; none where nobody asks."""
    defects: tuple[Defect, ...] = ()
    past: int = 0
    """Entries for days before the first that is asked about, which are not judged."""
    document_of: Callable[[str], Document | None] = _no_document
    """The document of a file that was read, for whoever needs its text; None where it is none."""
    entries: tuple[EntryResult, ...] = ()
    """Those of a run that is looked at as a whole, by file, then by line; mostly they were told as they came."""

    def failed(self, *, strict: bool) -> bool:
        """Whether the run found something illegal, or a problem.

        Under `strict` also what is not shown or close, and advice on rulesets.
        """
        if self.problems or self.not_judged or self.counts.illegal:
            return True
        is_loose = self.counts.not_shown or self.counts.close_calls or any(piece.on_ruleset for piece in self.advice)
        return strict and bool(is_loose)
