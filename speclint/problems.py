"""Problems with files: the one registry of their ids, and the value that reports one."""

from collections.abc import Sequence
from enum import Enum
from typing import Final, NamedTuple

from speclint.places import Place
from speclint.plain import counted


class ProblemKind(Enum):
    """Which reader found the problem: the text, its shape, what it points to, or what it records."""

    YAML = "yaml"
    SCHEMA = "schema"
    REFERENCE = "reference"
    RECORD = "record"


class ProblemSort(NamedTuple):
    """One sort of problem: what it means and what a person does about it."""

    id: str
    kind: ProblemKind
    meaning: str
    remedy: str


_Y, _S, _F, _R = ProblemKind.YAML, ProblemKind.SCHEMA, ProblemKind.REFERENCE, ProblemKind.RECORD

PROBLEM_SORTS: Final[tuple[ProblemSort, ...]] = (
    # --- the text
    ProblemSort("not-text", _Y, "The file is not UTF-8 text.", "Save it as UTF-8."),
    ProblemSort("empty-file", _Y, "The file holds nothing.", "Start one with `speclint start`."),
    ProblemSort("too-large", _Y, "The file is larger than 1 MiB.", "Split it, or move pictures and logs elsewhere."),
    ProblemSort(
        "conflict-markers", _Y, "Git has left two versions of a part of the file.", "Keep one, and remove git's lines."
    ),
    ProblemSort("syntax", _Y, "The text is not YAML.", "Mend the line that is named, or the one above it."),
    ProblemSort("tab-indent", _Y, "A tab is used to indent.", "Indent with spaces."),
    ProblemSort("too-deep", _Y, "Values are nested deeper than 40 levels.", "Flatten the document."),
    ProblemSort("second-document", _Y, "The file holds more than one document.", "Give each document its own file."),
    ProblemSort("duplicate-key", _Y, "A key stands twice in one mapping.", "Keep one of the two."),
    ProblemSort("key-not-text", _Y, "A key is a list or a mapping.", "Use a plain word as the key."),
    ProblemSort("anchor", _Y, "Anchors, aliases and merge keys are not used here.", "Write the value out."),
    ProblemSort("tag", _Y, "Tags are not used here.", "Remove the tag, quote the value if it is text."),
    ProblemSort("directive", _Y, "Directives are not used here.", "Remove the line that begins with %."),
    ProblemSort("not-finite", _Y, "A number is infinite or not a number.", "Write the number, or leave the key out."),
    ProblemSort(
        "too-many-digits",
        _Y,
        "A number has more digits than can be kept exactly.",
        "Keep at most 15 significant digits.",
    ),
    # --- the shape
    ProblemSort("format", _S, "The file does not say what it is.", "Begin it with, say, `format: setup/1`."),
    ProblemSort("unknown-key", _S, "A key is not one that this format has.", "Use the spelling that is suggested."),
    ProblemSort("missing-key", _S, "A key that the format needs is missing.", "Add it."),
    ProblemSort("wrong-type", _S, "A value is of another type than its key takes.", "Write it as its example shows."),
    ProblemSort("out-of-range", _S, "A number lies outside what its key can hold.", "Correct the number."),
    ProblemSort("not-a-choice", _S, "A value is not one of the words its key takes.", "Use one of the words listed."),
    ProblemSort("wrong-form", _S, "A text is not written as its key needs it.", "Write it as its example shows."),
    ProblemSort("wrong-count", _S, "A list or a mapping has too few or too many members.", "Add or remove members."),
    # --- what it points to
    ProblemSort(
        "file-missing", _F, "A file that is named does not exist.", "Correct the path; it starts at this file."
    ),
    ProblemSort("file-unreadable", _F, "A file that is named cannot be read.", "Look at its permissions."),
    ProblemSort(
        "file-outside",
        _F,
        "A file that is named lies outside the repository, or without one far from the file that names it.",
        "Copy it into the repository, or nearer.",
    ),
    ProblemSort("file-of-other-kind", _F, "A file that is named is of another kind.", "Name the right file."),
    ProblemSort("file-has-problems", _F, "A file that is named has problems of its own.", "Mend that file first."),
    ProblemSort(
        "unknown-ruleset", _F, "No ruleset of this id was found.", "Use an id that is listed, or add the file."
    ),
    ProblemSort("not-in-force", _F, "No version of the ruleset is in force on the date.", "Check the date."),
    ProblemSort("unknown-class", _F, "The ruleset has no class of this name.", "Use a class that is listed."),
    ProblemSort("unknown-quantity", _F, "A rule names a quantity that does not exist.", "Use the name suggested."),
    ProblemSort("unknown-list", _F, "A rule names a list that the ruleset does not have.", "Use a list it has."),
    ProblemSort("unknown-rule", _F, "A rule is named that the class does not have.", "Use the id of a rule it has."),
    ProblemSort("unknown-instrument", _F, "An instrument is named that is described nowhere.", "Describe it."),
    ProblemSort(
        "unknown-track", _F, "A track is named that the garage describes otherwise.", "Use the name suggested."
    ),
    ProblemSort(
        "unknown-car", _F, "An inspection names a car that is not entered that day.", "Use a number or a setup that is."
    ),
    ProblemSort("same-car", _F, "An inspection has one car twice.", "Put all readings of it under one."),
    ProblemSort(
        "needs-reading", _F, "A rule that is measured is said to be looked at.", "Write what the instrument showed."
    ),
    ProblemSort("circular-basis", _F, "Rulesets or classes are based on each other in a circle.", "Break the circle."),
    ProblemSort("same-version", _F, "Two rulesets have one id and one version.", "Give one a version of its own."),
    ProblemSort("base-over", _F, "A ruleset builds on one that is over.", "Base a new version on one in force."),
    ProblemSort("pin-broken", _F, "A ruleset is not the one that was pinned.", "Look at what changed, then pin anew."),
    # --- what it records
    ProblemSort("limit-contradicts", _R, "No value can meet the limit of a rule.", "Correct the limit."),
    ProblemSort("limit-unfit", _R, "A limit does not fit the quantity it is put on.", "Use a limit of the right form."),
    ProblemSort(
        "quantity-unfit",
        _R,
        "What a ruleset declares of a quantity cannot be so.",
        "Declare it once, its parts as what is stated or built in, and all in one dimension.",
    ),
    ProblemSort(
        "derived-stated",
        _R,
        "A setup states what its ruleset adds up or counts.",
        "Leave the key out, and state the parts.",
    ),
    ProblemSort("dates-out-of-order", _R, "Two dates are in the wrong order.", "Correct one of them."),
    ProblemSort("no-such-date", _R, "A date does not exist.", "Write it as 2026-03-14."),
    ProblemSort("same-rule", _R, "Two rules of one class have one id.", "Give one an id of its own."),
    ProblemSort(
        "example-fails", _R, "A ruleset's own example comes out otherwise.", "Correct the rule or the example."
    ),
    ProblemSort(
        "implausible-value",
        _R,
        "A value is far from what the trade meets, and a slip of the pen explains it: another unit, a radius for a diameter, swapped gears, a misplaced decimal point.",
        "Write what was meant, in the unit of the key.",
    ),
    ProblemSort(
        "serials-differ", _R, "The factory sheet is that of another motor.", "Correct the serial, or the sheet."
    ),
    ProblemSort(
        "rotor-differs", _R, "A bench run was with another rotor than the motor has.", "Record the rotor swap."
    ),
    ProblemSort(
        "timing-differs",
        _R,
        "The timing that is set is not the one measured.",
        "Correct it, or record the timing change.",
    ),
    ProblemSort("speed-differs", _R, "Speed, voltage and speed per volt do not fit.", "Correct the one that is wrong."),
    ProblemSort(
        "readings-differ",
        _R,
        "Two readings that both count contradict each other.",
        "Measure again; record the rebuild.",
    ),
)
"""Every sort of problem there is, in the order of the pipeline."""

NO_ACCESS: Final = ("file-missing", "file-unreadable")
"""Of a file that could not be opened at all."""

MOST_PROBLEMS: Final = 20
"""How many problems of its text, and how many of its shape, are told of one file."""

SORTS_BY_ID: Final = {sort.id: sort for sort in PROBLEM_SORTS}


def and_more(count: int, *, at_least: bool = False) -> str:
    """The message that stands for the problems of a file that are left out; `at_least` where not all were counted."""
    return f"and {'at least ' if at_least else ''}{counted(count, 'more problem')} in this file: mend these first"


class Problem(NamedTuple):
    """Something wrong with a file itself: the id is one of `PROBLEM_SORTS`, the message is for the person who wrote it.

    `cause` is the file whose problems it only passes on.
    """

    id: str
    message: str
    place: Place
    cause: str = ""

    @property
    def kind(self) -> ProblemKind:
        """Which reader found it."""
        return SORTS_BY_ID[self.id].kind


def first_problems(problems: Sequence[Problem]) -> tuple[Problem, ...]:
    """As many of a file's problems as are told, with one that says that there are more; they need not all be there."""
    if len(problems) <= MOST_PROBLEMS:
        return tuple(problems)
    last = problems[MOST_PROBLEMS]
    return (*problems[:MOST_PROBLEMS], Problem(last.id, and_more(1, at_least=True), last.place))
