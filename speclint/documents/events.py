"""The events of a YAML text, by the C parser or the pure one: the one module that knows the parser library.

Verdicts come from the C parser. Where it cannot be imported, the pure one stands in, and may only refuse more. Where
the two are known to differ:

* In a flow collection, `http://x` without quotes, `{b:1}`, a value without a key and a lone `?`: the C parser takes
  each for a mistake, and the events of the pure one are held to that.
* The pure parser refuses a tab between a key's colon and its value, or before a comment, and a literal text that begins
  with lines of a few spaces; the C one takes them.
* The pure parser takes a literal text that is not indented, or by a tab, and a colon with no key before it; the events
  are held to what the C one says here, too.
* A value that is left empty in brackets begins right after its colon for the one, before the next sign for the other.
* A byte order mark shifts the offsets of the one and not of the other; neither ever sees it.
* An unknown directive ends the reading of the one and is passed over by the other; both see a comment in its place.
* What the pure parser does not expect of a text, it says by an assertion or an error of another kind: all are syntax.
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

from speclint.documents.positions import Positions

try:
    from _ruamel_yaml import CParser
except ImportError:  # an interpreter that the C parser has no build for
    CParser = None

__all__ = [
    "BLOCK_STYLES",
    "AliasEvent",
    "DocumentStartEvent",
    "MappingEndEvent",
    "MappingStartEvent",
    "NextEvent",
    "ScalarEvent",
    "SequenceEndEvent",
    "SequenceStartEvent",
    "StreamEndEvent",
    "YAMLError",
    "c_events",
    "events",
    "pure_events",
]

BLOCK_STYLES: Final = ("|", ">")

_LINE: Final = re.compile(r"[^\r\n]*(?:\r\n|\r|\n|\Z)")

NextEvent = Callable[[], Any]


def events(text: str) -> NextEvent:
    """The events of a text, one a call, by the C parser, or by the pure one where there is none.

    A call raises `YAMLError` where the text is not YAML, and nothing else.
    """
    return pure_events(text) if CParser is None else c_events(text)


def c_events(text: str) -> NextEvent:
    """The events of a text by the C parser."""
    next_event: NextEvent = CParser(text).get_event
    return next_event


def pure_events(text: str) -> NextEvent:
    """The events of a text by the pure parser, held to what the C one refuses."""
    return _refusing_as_c_does(text).__next__


def _refusing_as_c_does(text: str) -> Iterator[Any]:
    # For each list or mapping that is open: whether it stands in brackets, and whether a mapping's next node is a key.
    open_collections: list[tuple[bool, bool | None]] = []
    in_flow = False
    is_key: bool | None = None
    last_start = -1
    try:
        for event in YAML(typ="safe", pure=True).parse(text):
            kind = type(event)
            if kind is ScalarEvent:
                start = event.start_mark.index
                is_keyless = start == last_start and text[start - 1 : start] == ":"
                last_start = start
                _refuse(event, text, in_flow=in_flow, is_keyless=is_keyless, is_key=bool(is_key))
            if kind is MappingStartEvent or kind is SequenceStartEvent:
                open_collections.append((in_flow, is_key))
                in_flow = in_flow or bool(event.flow_style)
                is_key = True if kind is MappingStartEvent else None
            else:
                if (kind is MappingEndEvent or kind is SequenceEndEvent) and open_collections:
                    in_flow, is_key = open_collections.pop()
                if is_key is not None:
                    is_key = not is_key
            yield event
    except YAMLError:
        raise
    except Exception as error:  # an escape that names no character, an assertion that does not hold, and the like
        raise MarkedYAMLError(problem=str(error)) from error


def _refuse(event: Any, text: str, *, in_flow: bool, is_keyless: bool, is_key: bool) -> None:
    start, end = event.start_mark, event.end_mark
    written = text[start.index : end.index]
    if event.style == '"':
        if any("\ud800" <= sign <= "\udfff" for sign in event.value):
            raise MarkedYAMLError("while parsing a quoted scalar", start, "invalid escape code", start)
    elif event.style in BLOCK_STYLES:
        offset = _unfit_line(written)
        if offset is not None:
            at = _mark(text, start.index + offset)
            raise MarkedYAMLError("while scanning a block scalar", start, "found no indentation", at)
    elif not event.style:
        sign = ":" if not written and (is_keyless or text[start.index : start.index + 1] == ":") else ""
        if in_flow and not sign:
            sign = next((sign for sign in written if sign in ":?"), "")
        if sign:
            at = _mark(text, start.index - 1 if is_keyless else text.index(sign, start.index))
            raise MarkedYAMLError("while scanning a plain scalar", start, f"found unexpected '{sign}'", at)
        if in_flow and is_key and not written:
            at = _mark(text, start.index - 1)
            raise MarkedYAMLError(
                "while scanning a plain scalar", at, f"found unexpected '{text[start.index - 1]}'", at
            )


def _unfit_line(written: str) -> int | None:
    """Where the first line with content of a literal or folded text begins to be unfit: not indented, or by a tab."""
    line = _LINE.match(written)
    while line is not None and line.end() < len(written):
        line = _LINE.match(written, line.end())
        if line is not None and (content := line[0].lstrip(" ").rstrip("\r\n")):
            indent = len(line[0]) - len(line[0].lstrip(" "))
            return line.start() + indent if not indent or content[0] == "\t" else None
    return None


def _mark(text: str, offset: int) -> StringMark:
    line, column = Positions(text).line_and_column(offset)
    return StringMark("", offset, line - 1, column - 1, text, offset)
