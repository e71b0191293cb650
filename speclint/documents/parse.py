"""Text to a document, straight from the events of a YAML parser: the one module that knows the parser library.

The subset of YAML 1.2 that is read has one document a file, text for keys, finite numbers, and neither anchors nor
tags nor directives. Verdicts come from the C parser. Where it cannot be imported, the pure one stands in. Where the
two are known to differ:

* In a flow collection, `http://x` without quotes and `{b:1}`: the C parser takes a colon or a question mark in a
  plain scalar there for a mistake, and the events of the pure one are held to that.
* The pure parser refuses a tab between a key's colon and its value, or before a comment, and a literal text that begins
  with lines of a few spaces; the C one takes them.
* The pure parser takes a literal text that is not indented, or by a tab, and a colon with no key before it; the events
  are held to what the C one says here, too.
* A value that is left empty in brackets begins right after its colon for the one, before the next sign for the other.
* A byte order mark shifts the offsets of the one and not of the other; neither ever sees it.
* An unknown directive ends the reading of the one and is passed over by the other; both see a comment in its place.
"""

import re
from collections.abc import Callable, Iterator
from typing import Any, Final

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, StringMark, YAMLError
from ruamel.yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
)

from speclint.documents.positions import Positions, length_of_block_text
from speclint.documents.refusals import DEEPEST, Refusals
from speclint.documents.scalars import NUMBER_STARTS, WORDS, Unkept, number
from speclint.documents.text import unreadable, without
from speclint.documents.tree import Document
from speclint.problems import Problem

try:
    from _ruamel_yaml import CParser
except ImportError:  # an interpreter that the C parser has no build for
    CParser = None

__all__ = ["c_events", "parse", "parse_events", "pure_events"]

_DROPPED: Final[Any] = object()  # stands for a key whose value goes nowhere

_BLOCK_STYLES: Final = ("|", ">")

_UNFIT_BLOCK_TEXT: Final = r"[|>][^\r\n]*(?:[\r\n]+ *)*?[\r\n]+(?: *\t|[^ \r\n])"
"""A literal or folded text whose first line is not indented, or by a tab."""

NextEvent = Callable[[], Any]


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
    return parse_events(file, text, pure_events if CParser is None else c_events)


def c_events(text: str) -> NextEvent:
    """The events of a text, one a call, by the C parser."""
    events: NextEvent = CParser(text).get_event
    return events


def pure_events(text: str) -> NextEvent:
    """The events of a text, one a call, by the pure parser held to what the C one refuses."""
    return _refusing_as_c_does(text).__next__


def parse_events(
    file: str, text: str, events_of: Callable[[str], NextEvent]
) -> tuple[Document | None, tuple[Problem, ...]]:
    """Do as `parse`, with the parser of choice."""
    text = text.removeprefix("\ufeff")
    refused = unreadable(file, text)
    if refused is not None:
        return None, (refused,)
    positions = Positions(text)
    refuse = Refusals(file, positions)
    without_directives = without(text, refuse.directives()) if "%" in text else text
    is_whole, data = _read(without_directives, events_of, positions, refuse)
    return Document(file, text, data, positions) if is_whole else None, refuse.in_reading_order()


def _read(  # noqa: PLR0912, PLR0915 - one loop: a call for each event would cost as much as parsing does
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
            if kind is ScalarEvent:
                last = event
                node = len(starts)
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
                    if style in _BLOCK_STYLES:
                        end = start + length_of_block_text(text[start:end])
                elif written[:1] in NUMBER_STARTS:
                    value = number(written)
                    if type(value) is Unkept:
                        refuse.note(value.problem_id, value.message, event.start_mark, data, key)
                        value = value.stand_in
                else:
                    value = WORDS.get(written, written)
                starts.append(start)
                ends.append(end)
            elif kind is MappingEndEvent or kind is SequenceEndEvent:
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
            elif kind is AliasEvent:
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


def _refusing_as_c_does(text: str) -> Iterator[Any]:
    flows = 0
    last_start = -1
    try:
        for event in YAML(typ="safe", pure=True).parse(text):
            kind = type(event)
            if kind is ScalarEvent:
                start = event.start_mark.index
                is_keyless = start == last_start and text[start - 1 : start] == ":"
                _refuse(event, text, in_flow=flows > 0, is_keyless=is_keyless)
                last_start = start
            elif kind is MappingStartEvent or kind is SequenceStartEvent:
                flows += bool(flows or event.flow_style)
            elif (kind is MappingEndEvent or kind is SequenceEndEvent) and flows:
                flows -= 1
            yield event
    except (ValueError, OverflowError) as error:  # an escape that names no character
        raise MarkedYAMLError(problem=str(error)) from error


def _refuse(event: Any, text: str, *, in_flow: bool, is_keyless: bool) -> None:
    start, end = event.start_mark, event.end_mark
    written = text[start.index : end.index]
    if event.style == '"':
        if any("\ud800" <= sign <= "\udfff" for sign in event.value):
            raise MarkedYAMLError("while parsing a quoted scalar", start, "invalid escape code", start)
    elif event.style in _BLOCK_STYLES:
        unfit = re.match(_UNFIT_BLOCK_TEXT, written)
        if unfit is not None:
            at = _mark(text, start.index + unfit.end() - 1)
            raise MarkedYAMLError("while scanning a block scalar", start, "found no indentation", at)
    elif not event.style:
        sign = ":" if not written and (is_keyless or text[start.index : start.index + 1] == ":") else ""
        if in_flow and not sign:
            sign = next((sign for sign in written if sign in ":?"), "")
        if sign:
            at = _mark(text, start.index - 1 if is_keyless else text.index(sign, start.index))
            raise MarkedYAMLError("while scanning a plain scalar", start, f"found unexpected '{sign}'", at)


def _mark(text: str, offset: int) -> StringMark:
    line, column = Positions(text).line_and_column(offset)
    return StringMark("", offset, line - 1, column - 1, text, offset)
