"""Text to a document, straight from the events of a YAML parser.

The subset of YAML 1.2 that is read has one document a file, text for keys, finite numbers, and neither anchors nor
tags nor directives.
"""

from collections.abc import Callable
from typing import Any, Final

from speclint.documents.events import (
    BLOCK_STYLES,
    AliasEvent,
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    NextEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
    YAMLError,
    events,
)
from speclint.documents.positions import Positions, length_of_block_text
from speclint.documents.refusals import DEEPEST, Refusals
from speclint.documents.scalars import NUMBER_STARTS, WORDS, Unkept, number
from speclint.documents.text import conflict, odd_space, unreadable, without
from speclint.documents.tree import Document
from speclint.problems import Problem

_DROPPED: Final[Any] = object()  # stands for a key whose value goes nowhere

_STAND_IN: Final = "\N{RATIO}"
"""What stands for a colon that wants quotes, to read on."""

_MOST_COLONS: Final = 20
_LONGEST_READ_AGAIN: Final = 65_536
"""The text is read anew behind each such colon: of so many at most, in texts as people write them."""


def parse(file: str, text: str) -> tuple[Document | None, tuple[Problem, ...]]:
    """Read a file's text.

    Every problem is told for which the text can be read on. A document that comes with problems holds stand-ins
    where a value could not be kept (the first value of a key that stands twice, an empty one for an alias or an
    infinite number), fit for a look at its shape and for nothing else.

    Args:
        file: The file's name for the places of problems.
        text: All of it; a byte order mark at its start is dropped, and all offsets count from after it.

    Returns:
        The document, if the text could be read to its end and holds something, and the problems in reading order.
        Nothing is raised, whatever the text.
    """
    return parse_events(file, text, events)


def parse_events(
    file: str, text: str, events_of: Callable[[str], NextEvent]
) -> tuple[Document | None, tuple[Problem, ...]]:
    """Do as `parse`, with the parser of choice."""
    text = text.removeprefix("\ufeff")
    refused = unreadable(file, text) or conflict(file, text) or odd_space(file, text)
    if refused is not None:
        return None, (refused,)
    positions = Positions(text)
    refuse = Refusals(file, positions)
    without_directives = without(text, refuse.directives()) if "%" in text else text
    is_whole, data = _read(without_directives, events_of, positions, refuse)
    if not is_whole and refuse.colon is not None:
        return _read_past_colons(file, text, without_directives, events_of, refuse)
    return Document(file, text, data, positions) if is_whole else None, refuse.in_reading_order()


def _read_past_colons(
    file: str, text: str, overlaid: str, events_of: Callable[[str], NextEvent], refuse: Refusals
) -> tuple[Document | None, tuple[Problem, ...]]:
    """Reads on where a value in brackets has a colon that wants quotes (`{minutes: 5:00}`), so that it hides nothing else."""
    colons: tuple[Problem, ...] = ()
    is_whole, data, positions = False, None, refuse.positions
    while refuse.colon is not None and len(colons) < _MOST_COLONS and len(text) <= _LONGEST_READ_AGAIN:
        colons = (*colons, refuse.problems.pop())
        overlaid = f"{overlaid[: refuse.colon]}{_STAND_IN}{overlaid[refuse.colon + 1 :]}"
        positions = Positions(text)
        refuse = Refusals(file, positions)
        refuse.directives()
        is_whole, data = _read(overlaid, events_of, positions, refuse)
    refuse.problems.extend(colons)
    document = Document(file, text, _with_colons(data), positions) if is_whole else None
    return document, refuse.in_reading_order()


def _with_colons(data: Any) -> Any:
    if isinstance(data, dict):
        return {key: _with_colons(value) for key, value in data.items()}
    if isinstance(data, list):
        return [_with_colons(item) for item in data]
    return data.replace(_STAND_IN, ":") if isinstance(data, str) else data


# One long loop on purpose: with a method for each sort of event, reading a document took an eighth longer.
def _read(  # noqa: PLR0912, PLR0915
    text: str, events_of: Callable[[str], NextEvent], positions: Positions, refuse: Refusals
) -> tuple[bool, Any]:
    """Whether the text could be read to its end and holds something, and the data of its first document."""
    frames = refuse.frames
    starts, ends, all_below = positions.starts, positions.ends, positions.below
    root: Any = None
    documents = 0
    data: Any = None  # the list or mapping that is being read, with the nodes below it and its own node
    below: Any = None
    parent = 0
    in_mapping = False
    key: Any = None  # the key whose value comes next, in a mapping
    end = 0  # where the last value ended
    last: Any = None
    is_wary = "&" in text or "!" in text or "<<" in text or "?" in text
    try:
        next_event = events_of(text)
        while True:
            event = next_event()
            kind = type(event)
            if kind is ScalarEvent:  # a key, or a single value
                last = event
                start = event.start_mark.index
                end = event.end_mark.index
                value = written = event.value
                if is_wary:
                    refuse.properties(event, data, key)
                if in_mapping and key is None:
                    starts.append(start)
                    ends.append(end)
                    if written in data or (is_wary and written == "<<" and not event.style):
                        refuse.key(event, data, below)
                        key = _DROPPED
                    else:
                        key = written
                    continue
                style = event.style
                if style:
                    if style in BLOCK_STYLES:
                        end = start + length_of_block_text(text[start:end])
                elif written[:1] in NUMBER_STARTS:
                    value = number(written)
                    if type(value) is Unkept:
                        refuse.note(value.problem_id, value.message, event.start_mark, data, key)
                        value = value.stand_in
                else:
                    value = WORDS.get(written, written)
                node = len(starts)
                starts.append(start)
                ends.append(end)
            elif kind is MappingEndEvent or kind is SequenceEndEvent:  # a list or a mapping is whole
                # A parser ends a block collection where the next token begins, which may be lines further on.
                mark = event.end_mark
                if mark.index > event.start_mark.index:
                    end = mark.index
                ends[parent] = end
                node = parent
                value = data if len(frames) <= DEEPEST else None
                data, below, parent, in_mapping, key = frames.pop()
                if in_mapping and key is None:  # what ends here was itself a key
                    key = _DROPPED
                    continue
            elif kind is MappingStartEvent or kind is SequenceStartEvent:
                if is_wary:
                    refuse.properties(event, data, key)
                if in_mapping and key is None:
                    refuse.collection_as_key(event, data)
                if len(frames) >= DEEPEST and refuse.depth(event, data, key):
                    return False, None
                frames.append((data, below, parent, in_mapping, key))
                parent = len(starts)
                starts.append(event.start_mark.index)
                ends.append(0)
                key = None
                in_mapping = kind is MappingStartEvent
                if in_mapping:
                    data, below = {}, {}
                else:
                    data, below = [], []
                all_below[parent] = below
                continue
            elif kind is AliasEvent:  # refused; an empty value stands for it
                refuse.alias(event, data, key)
                node, value = len(starts), None
                end = event.end_mark.index
                starts.append(event.start_mark.index)
                ends.append(end)
                if in_mapping and key is None:
                    key = _DROPPED
                    continue
            elif kind is DocumentStartEvent:
                documents += 1
                if documents == 2:
                    refuse.second_document(event)
                continue
            elif kind is StreamEndEvent:
                break
            else:
                continue
            # A value at its place in what is being read.
            if in_mapping:
                if key is not _DROPPED:
                    data[key] = value
                    below[key] = node
                key = None
            elif data is not None:
                data.append(value)
                below.append(node)
            elif documents == 1:
                root = value
    except YAMLError as error:
        refuse.syntax(text, error, last)
        return False, None
    if documents <= 1 and (not starts or (len(starts) == 1 and starts[0] == ends[0])):
        refuse.emptiness()
        return False, None
    return True, root
