"""What the subset of YAML refuses, noted in the words in which it is told and at the place where it stands."""

from typing import TYPE_CHECKING, Any, Final

from speclint.documents.positions import Positions
from speclint.documents.text import directives
from speclint.places import Path, Place, pointer
from speclint.problems import MOST_PROBLEMS, Problem, and_more

if TYPE_CHECKING:
    from speclint.documents.syntax import Mark, Scalar, Stretch

DEEPEST: Final = 40
"""How many lists and mappings may stand in one another."""

_HOPELESS: Final = 100  # Here the reading ends: the C parser's time grows with the square of the depth.
_LONGEST_NAME: Final = 60
_ENDINGS: Final = ("too-deep", "syntax")
"""What may end the reading: never left out."""


class Refusals:
    """The problems met on one pass over a text: the first of them, and how many more there are.

    Attributes:
        problems: Those that are told.
        left_out: The id of the first one that is not, how many there are, and the offset of the last of them.
        colon: The offset of a colon in a value in brackets, if it ended the reading and alone is wrong.
        frames: What is open around the list or mapping that is being read, outermost first: its data, the nodes below
            it, its own node, whether it is a mapping, and the key whose value is being read.
    """

    __slots__ = ("colon", "file", "frames", "is_too_deep", "left_out", "positions", "problems")

    def __init__(self, file: str, positions: Positions) -> None:
        self.file = file
        self.positions = positions
        self.problems: list[Problem] = []
        self.left_out = ("", 0, 0)
        self.colon: int | None = None
        self.is_too_deep = False
        self.frames: list[tuple[Any, Any, int, bool, Any]] = []

    def in_reading_order(self) -> tuple[Problem, ...]:
        """The problems as they follow each other in the text; a last one stands for those that are left out."""
        in_order = sorted(self.problems, key=lambda problem: (problem.place.line, problem.place.column))
        problem_id, count, offset = self.left_out
        if count:
            place = Place(self.file, *self.positions.line_and_column(offset))
            in_order.append(Problem(problem_id, and_more(count), place))
        return tuple(in_order)

    def note(self, problem_id: str, message: str, mark: "Mark", data: Any = None, key: Any = None) -> None:
        """Note a problem at a mark, met while the data was being filled at the key."""
        if self._is_room_for(problem_id, mark.index):
            line, column = self.positions.line_and_column(mark.index)
            place = Place(self.file, line, column, pointer(self._path(data, key)))
            self.problems.append(Problem(problem_id, message, place))

    def _is_room_for(self, problem_id: str, offset: int) -> bool:
        """Whether a problem is among the first; one that is not is counted."""
        if len(self.problems) < MOST_PROBLEMS or problem_id in _ENDINGS:
            return True
        first_id, count, _ = self.left_out
        self.left_out = (first_id or problem_id, count + 1, offset)
        return False

    def directives(self) -> tuple[int, ...]:
        """Note every directive; returns their offsets."""
        offsets = directives(self.positions.text)
        message = "Directives are not used here: remove the line that begins with %."
        for offset in offsets:
            if self._is_room_for("directive", offset):
                place = Place(self.file, *self.positions.line_and_column(offset))
                self.problems.append(Problem("directive", message, place))
        return offsets

    def emptiness(self) -> None:
        """Note that there is nothing to read."""
        self.problems.append(Problem("empty-file", "There is nothing in this file.", Place(self.file)))

    def properties(self, event: Any, data: Any, key: Any) -> None:
        """Note the anchor and the tag of a node, and a `?x` in brackets that the C parser reads as an explicit key."""
        if event.anchor is not None:
            message = "Anchors are not used here: write the value out, or put text that begins with & in quotes."
            self.note("anchor", message, event.start_mark, data, key)
        if event.tag is not None:
            message = "Tags are not used here: remove the tag, or put text that begins with ! in quotes."
            self.note("tag", message, event.start_mark, data, key)
        start = event.start_mark.index
        if 0 < start < event.end_mark.index and self.positions.text[start - 1] == "?":
            from speclint.documents.syntax import QUESTION_MARK

            self.note("syntax", QUESTION_MARK, event.start_mark, data, key)

    def alias(self, event: "Stretch", data: Any, key: Any) -> None:
        """Note an alias."""
        message = "Aliases are not used here: write the value out, or put text that begins with * in quotes."
        self.note("anchor", message, event.start_mark, data, key)

    def key(self, event: Any, data: Any, below: dict[str, int]) -> None:
        """Note a merge key, or a key that the mapping has already."""
        key: str = event.value
        if key not in data:
            message = "Merge keys are not used here: write the keys and values out."
            self.note("anchor", message, event.start_mark, data, key)
            return
        if len(self.problems) >= MOST_PROBLEMS:
            self.note("duplicate-key", "", event.start_mark)
            return
        line, column = self.positions.line_and_column(self.positions.starts[below[key] - 1])
        name = key if len(key) <= _LONGEST_NAME else key[:_LONGEST_NAME] + "…"
        message = f'"{name}" stands here again; it stands first on line {line}, column {column}.'
        self.note("duplicate-key", message, event.start_mark, data, key)

    def collection_as_key(self, event: "Stretch", data: Any) -> None:
        """Note a list or a mapping where a key should be."""
        self.note("key-not-text", "A list or a mapping cannot be a key: use a plain word.", event.start_mark, data)

    def depth(self, event: "Stretch", data: Any, key: Any) -> bool:
        """Note the first list or mapping that lies too deep; returns whether the reading should end."""
        if not self.is_too_deep:
            self.is_too_deep = True
            message = f"This is nested more than {DEEPEST} levels deep: flatten the document."
            self.note("too-deep", message, event.start_mark, data, key)
        return len(self.frames) >= _HOPELESS

    def second_document(self, event: "Stretch") -> None:
        """Note that another document begins."""
        message = "A second document begins here: give each document its own file."
        self.note("second-document", message, event.start_mark)

    def syntax(self, text: str, error: Exception, last: "Scalar | None") -> None:
        """Note the error that ended the reading."""
        from speclint.documents.syntax import WANTS_QUOTES, diagnose  # needed only for text that is not YAML

        mistake = diagnose(
            text,
            context=getattr(error, "context", None),
            problem=getattr(error, "problem", None),
            context_mark=getattr(error, "context_mark", None),
            problem_mark=getattr(error, "problem_mark", None),
            last=last,
        )
        offset = min(mistake.offset, len(text))
        if mistake.message in WANTS_QUOTES:
            self.colon = offset
        place = Place(self.file, *self.positions.line_and_column(offset))
        self.problems.append(Problem(mistake.problem_id, mistake.message, place))

    def _path(self, data: Any, key: Any) -> Path:
        path: list[str | int] = []
        for holder, step in [*((frame[0], frame[4]) for frame in self.frames), (data, key)]:
            if isinstance(holder, list):
                path.append(len(holder))
            elif isinstance(step, str):
                path.append(step)
            elif holder is not None:  # a key that is no text, or one whose value is dropped
                break
        return tuple(path)
