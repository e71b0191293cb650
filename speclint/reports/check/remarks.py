"""Remarks: what is to be mended, each told once, as every report has it that lists places and no cars."""

from collections.abc import Iterator
from datetime import date
from enum import Enum
from typing import TYPE_CHECKING, Final, NamedTuple

from speclint.findings import ComingSort, EntryResult, Tally
from speclint.places import Place
from speclint.plain import first_few
from speclint.rules.checks import Check, Remedy, Verdict

if TYPE_CHECKING:
    from speclint.problems import Problem


class Weight(Enum):
    """How much a remark weighs, in its own word; the worst first."""

    ILLEGAL = "illegal"
    PROBLEM = "problem"
    NOT_SHOWN = "not-shown"
    CLOSE_CALL = "close call"
    DIFFERS = "differs"
    COMING = "coming"
    ADVICE = "advice"


class Remark(NamedTuple):
    """One thing to mend, for all race days on which it is the same.

    `about` names the sort of problem or advice, or the rule as `explain` takes it; `car` is the file of the car where
    the place is in another; `places` are further ones with the same fault, `named_by` those that rest on the file.
    """

    place: Place
    weight: Weight
    message: str
    about: str
    clause: str = ""
    days: tuple[date, ...] = ()
    car: str = ""
    remedies: tuple[Remedy, ...] = ()
    places: tuple[Place, ...] = ()
    named_by: tuple[Place, ...] = ()

    @property
    def context(self) -> str:
        """Whose it is: the car, the rule with its clause and the days; of a problem its further places."""
        if self.weight in _OF_FILES:
            parts = (("also ", self.places), ("named by ", self.named_by))
            return "; ".join(
                f"{word}{first_few([*map(str, places)], _MOST_PLACES)}" for word, places in parts if places
            )
        return ", ".join(part for part in (self.car, self.about, self.clause, *map(str, self.days)) if part)

    @property
    def text(self) -> str:
        """The message with its context and what mends it, on one line."""
        context = f" ({self.context})" if self.context else ""
        remedies = "".join(f"; or {remedy.message}" for remedy in self.remedies).replace("; or", "; to mend it:", 1)
        return f"{self.message}{context}{remedies}"


_OF_FILES: Final = (Weight.PROBLEM, Weight.ADVICE)
"""What is told of a file, not of a rule on a day."""

_ONE_CAUSE: Final = ("file-missing", "file-unreadable", "unknown-ruleset", "not-in-force", "unknown-class")
"""Sorts of problem where several files name the same thing that is not there."""

_MOST_PLACES: Final = 3
"""Further places that one remark names."""


class EntryRemarks(NamedTuple):
    """The remarks on one entry, and the file of its car."""

    file: str
    remarks: tuple[Remark, ...]


def remarks_on(result: EntryResult) -> EntryRemarks:
    """What there is to mend in an entry."""
    return EntryRemarks(result.file, tuple(_entry_remarks(result)))


def _entry_remarks(result: EntryResult) -> Iterator[Remark]:
    """What is illegal, not shown or a close call; nothing of what is not shown for a motor file that is told as a problem."""
    if result.reason and not result.rests_on_problems:
        weight = Weight.ILLEGAL if result.verdict is Verdict.ILLEGAL else Weight.NOT_SHOWN
        yield Remark(result.place, weight, result.reason, result.flat.label, days=(result.on,))
    for check in result.unsettled:
        weight_of_check = _weight(check)
        if weight_of_check is not None and not rests_on_motor_trouble(result, check):
            from speclint.rules.wording import message  # a run with nothing to mend never needs it

            yield _of_check(result, check, weight_of_check, message(check))._replace(remedies=check.remedies)
    for check in result.checks if result.inspected is not None else ():
        difference = _difference(result, check)
        if difference:
            yield _of_check(result, check, Weight.DIFFERS, difference)


class RemarksByCar:
    """The remarks of one car after the other, those that differ in nothing but the day of the entry told once."""

    def __init__(self) -> None:
        self._car = ""
        self._merged: dict[tuple[Place, str], Remark] = {}

    def add(self, entry: EntryRemarks) -> tuple[Remark, ...]:
        """Those of the car before, once an entry of the next one comes."""
        finished = () if entry.file == self._car else self.last()
        self._car = entry.file
        for remark in entry.remarks:
            key = (remark.place, remark._replace(days=()).text)
            merged = self._merged.get(key)
            self._merged[key] = remark if merged is None else merged._replace(days=(*merged.days, *remark.days))
        return finished

    def last(self) -> tuple[Remark, ...]:
        """Those of the last car."""
        remarks, self._merged = tuple(self._merged.values()), {}
        return remarks


def remarks_of(findings: Tally) -> tuple[Remark, ...]:
    """Every remark of a run: of the cars in the order of their files, of problems, and advice."""
    by_car = RemarksByCar()
    of_cars = [remark for result in findings.entries for remark in by_car.add(remarks_on(result))]
    return (*of_cars, *by_car.last(), *problem_remarks(findings), *advice_remarks(findings))


class FirstRemarks:
    """The first few remarks of each weight, and how many there are.

    Args:
        most: how many of each weight are kept.
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._first: dict[Weight, list[Remark]] = {weight: [] for weight in Weight}
        self.counts = dict.fromkeys(Weight, 0)
        """How many have each weight, the worst first."""

    def add(self, remark: Remark) -> bool:
        """Takes one in; whether it is kept."""
        self.counts[remark.weight] += 1
        first = self._first[remark.weight]
        if len(first) < self._most:
            first.append(remark)
            return True
        return False

    def of(self, *weights: Weight) -> list[Remark]:
        """Those that are kept of some weights, in the order of these."""
        return [remark for weight in weights for remark in self._first[weight]]


def problem_remarks(tally: Tally) -> Iterator[Remark]:
    """The problems, each cause told once."""
    faulty = {problem.place.file for problem in tally.problems if not problem.cause}
    faults: dict[Problem | str, list[Problem]] = {}
    named_by: dict[str, list[Place]] = {}
    for problem in tally.problems:
        if problem.cause in faulty:
            named_by.setdefault(problem.cause, []).append(problem.place)
        else:
            faults.setdefault(problem.message if problem.id in _ONE_CAUSE else problem, []).append(problem)
    for first, *others in faults.values():
        places, naming = tuple(problem.place for problem in others), tuple(named_by.get(first.place.file, ()))
        yield Remark(first.place, Weight.PROBLEM, first.message, first.id, places=places, named_by=naming)


def advice_remarks(tally: Tally) -> Iterator[Remark]:
    """The advice."""
    for advice in tally.advice:
        yield Remark(advice.place, Weight.ADVICE, advice.message, advice.id)


def coming_remarks(tally: Tally) -> Iterator[Remark]:
    """What changes on the days to come that are asked about."""
    for change in tally.coming:
        # What is said of a rule or a list says the verdict itself.
        is_said = change.sort in (ComingSort.RULE, ComingSort.LIST)
        turned = "" if is_said or change.verdict is None else f": {change.verdict.value}"
        yield Remark(
            change.place, Weight.COMING, f"{change.name}: {change.text}{turned}", change.book, days=(change.on,)
        )


def _of_check(result: EntryResult, check: Check, weight: Weight, message: str) -> Remark:
    return Remark(
        place=check.place,
        weight=weight,
        message=message,
        about=f"{result.flat.label}/{check.rule.id}",
        clause=check.rule.cite or "",
        days=(result.on,),
        car=result.file if check.place.file != result.file else "",
    )


def _difference(result: EntryResult, check: Check) -> str:
    """What officials read otherwise than the setup declares; "" where they did not."""
    reading = None if result.inspected is None else result.inspected.by_rule.get(check.rule.id)
    if reading is None or not reading.disagrees or reading.declared is None:
        return ""
    from speclint.rules.wording import has, title

    by = f": {reading.difference}" if reading.difference else ""
    return f"{title(check)} is {has(check)}, declared {has(reading.declared)}{by}"


def _weight(check: Check) -> Weight | None:
    if check.verdict is Verdict.ILLEGAL:
        return Weight.ILLEGAL
    if check.verdict is Verdict.NOT_SHOWN:
        return Weight.NOT_SHOWN
    return Weight.CLOSE_CALL if check.close_call else None


def rests_on_motor_trouble(result: EntryResult, check: Check) -> bool:
    """Whether a rule is not shown for a motor file that is told as a problem."""
    trouble = result.facts.car.motor_trouble
    return (
        bool(trouble) and check.verdict is Verdict.NOT_SHOWN and check.fact is not None and check.fact.reason == trouble
    )
