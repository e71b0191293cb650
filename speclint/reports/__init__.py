"""Reports: what was found, as text, one module a kind; `kinds` lists them."""

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Any, Final, Generic, NamedTuple, Protocol, TypeVar

if TYPE_CHECKING:
    from speclint.moments import Period
    from speclint.workspace.overrides import Overrides

Result_contra = TypeVar("Result_contra", contravariant=True)
Result = TypeVar("Result")
Extract = TypeVar("Extract")
End_contra = TypeVar("End_contra", contravariant=True)

LAST_WORD: Final = "The club's own text, the maker's instructions and the race director have the last word."
"""What a report for people ends with."""


class Paper(NamedTuple):
    """What a report is written on: how wide it is, whether only ASCII can be shown, and its colours."""

    width: int = 100
    ascii_only: bool = False
    paint: Callable[[str, str], str] | None = None
    """Puts a word into the colour of its style, one of `layout.Style`; None where there are no colours."""


class RunOptions(NamedTuple):
    """What was asked for that the files do not say: over the entries, of which revision, and how much is told of what."""

    overrides: "Overrides | None" = None
    as_of: str | None = None
    full: bool = False
    only: str = ""

    @property
    def coming(self) -> "Period | None":
        """The days of which what changes is asked."""
        return self.overrides and self.overrides.coming


class Spool(Protocol):
    """A place for values that are too many to keep in mind until the end."""

    def put(self, value: Any, /) -> int:
        """Puts a value aside; how many were before it, by which it is had again."""
        ...

    def get(self, number: int, /) -> Any:
        """The value that was put aside as that one, counted from 0."""
        ...


class MemorySpool:
    """Keeps them in mind all the same, for a report of a few."""

    def __init__(self) -> None:
        self._values: list[Any] = []

    def put(self, value: Any) -> int:
        """Puts a value aside; its number."""
        self._values.append(value)
        return len(self._values) - 1

    def get(self, number: int) -> Any:
        """The value that was put aside as that one."""
        return self._values[number]


class Order(NamedTuple):
    """What a report is made for: its paper, what was asked of the command, and where it can put values aside."""

    paper: Paper = Paper()
    asked: RunOptions = RunOptions()
    spool: Callable[[], Spool] = MemorySpool


class Kept(Generic[Result]):
    """A result that a report may look at again at its end.

    Results themselves hold whole documents. Between two processes a kept one goes as what it takes to have it again.
    """

    def __init__(self, result: Result) -> None:
        self._result = result

    @property
    def result(self) -> Result:
        """The result."""
        return self._result


class Report(Protocol[Result_contra, Extract, End_contra]):
    """A report in the making: of each result in its turn it takes what it needs, and at last the end of the run."""

    def extract(self, result: Result_contra, /) -> Extract:
        """What it needs of a result, which may go from one process to another: the work on one result is done here.

        Each of several processes has some of the results, in their order, so that what it said of one result need not be
        said of the next.
        """
        ...

    def add(self, extract: Extract, /) -> str:
        """What is to be written now that this result is there; "" where the report waits."""
        ...

    def end(self, tally: End_contra, /) -> str | Iterator[str]:
        """The rest, in parts where it is long."""
        ...


class Whole(Generic[End_contra]):
    """A report on one thing, written when that is there."""

    def __init__(self, render: Callable[[End_contra, Paper], str], order: Order) -> None:
        self._render = render
        self._paper = order.paper

    def extract(self, _: object, /) -> None:
        """Nothing: the thing comes at the end."""

    def add(self, _: None, /) -> str:
        """Nothing yet."""
        return ""

    def end(self, tally: End_contra, /) -> str:
        """The report."""
        return self._render(tally, self._paper)
