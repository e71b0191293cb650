"""What a syntax error is, in words for the person who wrote the file rather than those of a parser."""

import re
from dataclasses import dataclass
from typing import Final, Protocol


class Mark(Protocol):
    """A position as a parser gives it: offset, line and column count from 0, in code points."""

    @property
    def index(self) -> int: ...  # noqa: D102
    @property
    def line(self) -> int: ...  # noqa: D102
    @property
    def column(self) -> int: ...  # noqa: D102


class Stretch(Protocol):
    """What a parser says of a piece of text: where it begins and where it ends."""

    @property
    def start_mark(self) -> Mark: ...  # noqa: D102
    @property
    def end_mark(self) -> Mark: ...  # noqa: D102


class Scalar(Stretch, Protocol):
    """A scalar. The style is `'`, `"`, `|` or `>`, and empty for a plain one."""

    @property
    def style(self) -> str | None: ...  # noqa: D102


@dataclass(frozen=True, slots=True)
class Mistake:
    """A syntax error: the id of its problem, what to say, and the offset where it is."""

    problem_id: str
    message: str
    offset: int


_TAB_IN_INDENT: Final = re.compile(r" *\t")
_QUOTED: Final = ("'", '"')

WANTS_QUOTES: Final = (
    "Inside [ ] or { }, text with a colon in it wants quotes.",
    "Inside [ ] or { }, a time such as 5:30 wants quotes; minutes are written as a number, 5.5.",
)
"""Of a colon in a value, whatever it is and in a time."""

QUESTION_MARK: Final = "Inside [ ] or { }, text with a question mark in it wants quotes."

_BY_WORDS: Final[tuple[tuple[str, str, str], ...]] = (
    # what the parser's words hold, problem id, message
    (
        "found unexpected ':'",
        "syntax",
        "A colon inside a value wants quotes round the whole value; after a key, a colon wants a space.",
    ),
    (
        "found unexpected '?'",
        "syntax",
        QUESTION_MARK,
    ),
    (
        "directive",
        "directive",
        "Directives are not used here: remove the line that begins with %.",
    ),
    (
        "scanning an a",  # an anchor, an alias
        "anchor",
        "Text that begins with & or * wants quotes: without them it is an anchor or an alias, which are not used here.",
    ),
    (
        " tag",
        "tag",
        "Text that begins with ! wants quotes: without them it is a tag, and tags are not used here.",
    ),
    (
        "scanning a block scalar",
        "syntax",
        "After | or > only + or -, a digit and a comment may stand on the line; the text begins on the next one.",
    ),
    (
        "unknown escape character",
        "syntax",
        "A backslash in double quotes begins an escape, and this is none: write \\\\, or use single quotes.",
    ),
    (
        "hexdecimal number",
        "syntax",
        "The escape in these double quotes wants hexadecimal digits: \\x two, \\u four, \\U eight.",
    ),
    (
        "escape code",
        "syntax",
        "The escape in these double quotes names no character: write the character itself.",
    ),
    (
        "sequence entries are not allowed",
        "syntax",
        'A list item cannot begin here: put "- " on a line of its own below the key, or the text in quotes.',
    ),
    (
        "mapping keys are not allowed",
        "syntax",
        "A question mark and a space cannot stand here: put the value in quotes.",
    ),
    (
        "'-' indicator",
        "syntax",
        'Each item of this list begins with "- " in one column: this line does not.',
    ),
)


def diagnose(
    text: str,
    *,
    context: str | None,
    problem: str | None,
    context_mark: Mark | None,
    problem_mark: Mark | None,
    last: Scalar | None,
) -> Mistake:
    """Say what is wrong where a parser gave up.

    Args:
        text: What was parsed.
        context: What the parser says it was doing.
        problem: What it says went wrong.
        context_mark: Where it began to do it.
        problem_mark: Where it went wrong.
        last: The last scalar that could be read.
    """
    at = problem_mark or context_mark
    if at is None:
        return Mistake("syntax", "The text cannot be read as YAML.", 0)
    began = context_mark or at
    complaint = f"{context or ''} {problem or ''}".lower()
    tab = _tab(text, at)
    if tab is not None:
        return tab
    if "quoted scalar" in complaint and ("end of stream" in complaint or "document" in complaint):
        return _at(
            began, "This quote is not closed: add the closing quote, or put the text in the other kind of quotes."
        )
    if last is not None and last.style in _QUOTED and last.start_mark.line < last.end_mark.line == at.line:
        return _at(
            last.start_mark, f"The quote that opens here closes on line {at.line + 1} only: is a closing quote missing?"
        )
    if "flow node" in complaint and not text[at.index :].strip():
        return _at(at, "The text ends before it is complete: a closing ] or } is missing.")
    if "flow sequence" in complaint or "flow mapping" in complaint:
        return _unclosed(text, began, at, "sequence" in complaint)
    return (
        _colon_in_brackets(text, complaint, at)
        or _left_sign(text, at)
        or _unspaced_around(text, began, at)
        or _by_words(text, complaint, began, at, last)
    )


def _colon_in_brackets(text: str, complaint: str, at: Mark) -> Mistake | None:
    """A colon in a value in brackets, which alone is wrong."""
    if "found unexpected ':'" not in complaint or _IN_A_VALUE.search(_line(text, at)[: at.column]) is None:
        return None
    is_time = _TIME.match(text, at.index) is not None and text[at.index - 1].isdigit()
    return _at(at, WANTS_QUOTES[is_time])


def _by_words(text: str, complaint: str, began: Mark, at: Mark, last: Scalar | None) -> Mistake:
    """What the parser's own words come to."""
    for words, problem_id, message in _BY_WORDS:
        if words in complaint:
            return _at(began if problem_id in ("anchor", "tag") else at, message, problem_id)
    if "expected ':'" in complaint:
        return _at(
            began, 'This is neither "key: value" nor a list item "- value": is a colon, a dash or a space missing?'
        )
    if "mapping values are not allowed" in complaint:
        return _stray_colon(text, at)
    if "start any token" in complaint:
        if text[at.index : at.index + 1] == "\t":
            return _at(at, "A tab stands here where only spaces can.", "tab-indent")
        return _at(at, f"A value cannot begin with {text[at.index : at.index + 1]}: put it in quotes.")
    return _out_of_place(text, at, last)


def _at(mark: Mark, message: str, problem_id: str = "syntax") -> Mistake:
    return Mistake(problem_id, message, mark.index)


def _line(text: str, mark: Mark) -> str:
    """The line a mark is on, without its end."""
    start = mark.index - mark.column
    return re.split(r"[\r\n]", text[start : start + 10_000], maxsplit=1)[0]


def _tab(text: str, at: Mark) -> Mistake | None:
    tab = _TAB_IN_INDENT.match(_line(text, at))
    if tab is None:
        return None
    return Mistake("tab-indent", "This line is indented with a tab: use spaces.", at.index - at.column + tab.end() - 1)


def _unclosed(text: str, opened: Mark, at: Mark, is_list: bool) -> Mistake:
    kind, opening, closing = ("list", "[", "]") if is_list else ("mapping", "{", "}")
    sign = text[at.index : at.index + 1]
    if sign == "?":
        return _at(at, QUESTION_MARK)
    if sign == ":" and not text[at.index - at.column : at.index].strip():
        return _at(
            at, "This colon has no key before it on its line: write the two on one line, or put the text in quotes."
        )
    if not text[at.index :].strip():
        return _at(opened, f"This {kind} is not closed: a {closing} is missing.")
    if at.line > opened.line:
        return _at(
            opened,
            f"This {kind} is not closed, or lacks a comma: on line {at.line + 1} a comma or {closing} was expected.",
        )
    return _at(
        at, f"A comma or {closing} is missing before this, in the {kind} that opens with {opening} on this line."
    )


_IN_A_VALUE: Final = re.compile(r"(?::[ \t]+[^,\[\]{}:]*|\[[^\[\]{}]*)$")
_TIME: Final = re.compile(r":[0-5][0-9](?![0-9])")
_UNSPACED: Final = re.compile(r"( *(?:- )?)([a-z][a-z0-9_]*):([^\s:/]\S{0,30})[ \t]*(?:#.*)?")
_COMMENTED_KEY: Final = re.compile(r"( *)# ?([\w.-]+):[ \t]*")
_KEY: Final = re.compile(r"( *)(?:- )?([\w.-]+):(?: |$)")


def _lines_before(text: str, at: Mark) -> list[tuple[int, str]]:
    """The lines with something on them before that of a mark, the nearest first, each with its offset."""
    lines, offset = [], 0
    for line in text[: at.index - at.column].splitlines(keepends=True):
        if line.strip():
            lines.append((offset, line.rstrip("\r\n")))
        offset += len(line)
    return lines[::-1]


def _left_sign(text: str, at: Mark) -> Mistake | None:
    """A key above this line that is a comment still, where what stands beneath it no longer has a place."""
    indent = len(_line(text, at)) - len(_line(text, at).lstrip(" "))
    for offset, line in _lines_before(text, at)[:1]:
        commented = _COMMENTED_KEY.fullmatch(line)
        if commented is not None and len(commented[1]) < indent:
            message = f"`{commented[2]}:` is a comment here, and what stands beneath it has no key: take its # away."
            return Mistake("syntax", message, offset + len(commented[1]))
    return None


def _out_of_column(text: str, at: Mark) -> Mistake | None:
    """A key that stands further left than the keys above it and this one, so that they no longer belong together."""
    key_match = _KEY.match(_line(text, at))
    above = _lines_before(text, at)
    if key_match is None:
        return None
    for place, (offset, line) in enumerate(above):
        key = _KEY.match(line)
        if key is None:
            continue
        if len(key[1]) >= len(key_match[1]):
            return None
        before = next((earlier_key for _, earlier in above[place + 1 :] if (earlier_key := _KEY.match(earlier))), None)
        if line.rstrip().endswith(":") or before is None or before[1] != key_match[1]:
            return None
        message = (
            f"`{key[2]}` begins in column {len(key[1]) + 1}, the keys around it in column {len(key_match[1]) + 1}: indent it as"
            " they are."
        )
        return Mistake("syntax", message, offset + len(key[1]))
    return None


def _unspaced_around(text: str, began: Mark, at: Mark) -> Mistake | None:
    lines = [*_lines_before(text, at)[:1], (began.index - began.column, _line(text, began))]
    return next(filter(None, (_unspaced(line, offset) for offset, line in lines)), None)


def _unspaced(line: str, offset: int) -> Mistake | None:
    """A key on a line at an offset whose colon has no space behind it, so that it is none."""
    key = _UNSPACED.fullmatch(line)
    if key is None:
        return None
    message = f"After a key, a colon wants a space: write `{key[2]}: {key[3]}`."
    return Mistake("syntax", message, offset + key.start(3) - 1)


def _stray_colon(text: str, at: Mark) -> Mistake:
    column = _out_of_column(text, at)
    if column is not None:
        return column
    before = text[at.index - at.column : at.index]
    if ": " in before or before.lstrip().startswith(("- ", '"', "'")):
        return _at(at, "There is a second colon on this line: text with a colon and a space in it wants quotes.")
    return _at(
        at,
        "This key does not fit the line above: line it up with the keys it belongs to, or add the colon missing there.",
    )


def _out_of_place(text: str, at: Mark, last: Scalar | None) -> Mistake:
    sign = text[at.index : at.index + 1]
    if sign in ("]", "}"):
        return _at(at, f"This {sign} closes nothing: remove it, or put the text in quotes.")
    if sign == ":":
        return _at(at, "A key is missing before this colon, or the text wants quotes.")
    if sign == ",":
        return _at(at, "A value is missing before this comma, or the text wants quotes.")
    if not text[at.index :].strip():
        return _at(at, "The text ends before it is complete.")
    if last is not None and last.style in _QUOTED and last.end_mark.line == at.line:
        return _at(
            at, "This stands after the closing quote: for a quote within the text, use the other kind around it."
        )
    if text[at.index - at.column : at.index].strip():
        return _at(at, "This does not belong to the value before it: put quotes round the whole value.")
    return _out_of_column(text, at) or _at(
        at, "This line does not line up with the lines above it: indent what belongs together by the same spaces."
    )
