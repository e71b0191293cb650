"""Drafts: a file as a tree of keys with their comments, and its text.

A key without a value stands there as `mass_g:`, which means that it is still to be measured. What a list would hold
stands under it as a comment, in the form of one item.
"""

import textwrap
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from speclint.edits.spelled import flow, key, scalar

_WIDTH: Final = 100
_STEP: Final = "  "


@dataclass(frozen=True, slots=True)
class KeyLine:
    """A key on one line; without a value, which is None, it is still to be filled in.

    `comments` stand above it; `remark` stands behind it where it is part of a mere form.
    """

    key: str
    value: Any = None
    comments: tuple[str, ...] = ()
    remark: str = ""


@dataclass(frozen=True, slots=True)
class KeyBlock:
    """A key with keys beneath it, or a list of such: with one item, or as the mere form of one in a comment."""

    key: str
    inner: "tuple[KeyLine | KeyBlock, ...]"
    comments: tuple[str, ...] = ()
    is_list: bool = False

    @property
    def is_form(self) -> bool:
        """Whether it is a list whose item says nothing yet, so that it would not be one."""
        return self.is_list and not self.says_something

    @property
    def says_something(self) -> bool:
        """Whether any key beneath it has a value."""
        return any(
            member.value is not None if isinstance(member, KeyLine) else member.says_something for member in self.inner
        )


def text_of(head: tuple[str, ...], members: tuple[KeyLine | KeyBlock, ...], modeline: str) -> str:
    """The text of a file: the way to its schema for editors, a heading, and its keys."""
    lines = heading(modeline, *head)
    for member in members:
        if isinstance(member, KeyBlock) or member.comments:
            lines.append("")
        lines += _lines(member, "")
    return "\n".join(lines) + "\n"


def _lines(member: KeyLine | KeyBlock, indent: str) -> Iterator[str]:
    for comment in member.comments:
        yield from commented(comment, indent)
    if isinstance(member, KeyLine):
        yield f"{indent}{_key_line(member)}"
        return
    yield f"{indent}{key(member.key)}:"
    if member.is_form:
        # Without the sign and the space after it, each line is part of the list.
        yield from (f"{indent}{_STEP}# {line}" for line in _dashed(_form(member.inner, "")))
    elif member.is_list:
        yield from (f"{indent}{_STEP}{line}" for line in _dashed(_item(member.inner)))
    else:
        yield from _item(member.inner, indent + _STEP)


def _item(members: tuple[KeyLine | KeyBlock, ...], indent: str = "") -> Iterator[str]:
    for member in members:
        yield from _lines(member, indent)


def _form(members: tuple[KeyLine | KeyBlock, ...], indent: str) -> Iterator[str]:
    """Keys without values, and what to write behind each."""
    for member in members:
        if isinstance(member, KeyLine):
            yield f"{indent}{_key_line(member)}{f'  # {member.remark}' if member.remark else ''}"
        else:
            yield f"{indent}{key(member.key)}:"
            yield from _form(member.inner, indent + _STEP)


def _dashed(lines: Iterator[str]) -> Iterator[str]:
    """An item of a list: the dash stands before its first key, and what is said of that key above the dash."""
    dash_is_due = True
    for line in lines:
        is_comment = line.lstrip().startswith("# ")
        if not dash_is_due:
            yield f"{_STEP}{line}"
        elif is_comment:
            yield line
        else:
            dash_is_due = False
            yield f"- {line}"


def _key_line(line: KeyLine) -> str:
    return f"{key(line.key)}:{'' if line.value is None else f' {_value(line.value)}'}"


def _value(value: Any) -> str:
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    return flow(value) if isinstance(value, dict | list | tuple) else scalar(value, in_flow=False)


def heading(modeline: str, *paragraphs: str) -> list[str]:
    """What a file begins with: the way to its schema for editors, if there is one, and paragraphs of comment."""
    schema = [f"# yaml-language-server: $schema={modeline}"] if modeline else []
    return [*schema, *(line for paragraph in paragraphs for line in commented(paragraph))]


def commented(text: str, indent: str = "") -> list[str]:
    """A paragraph as lines of comment."""
    return textwrap.wrap(
        text,
        _WIDTH,
        initial_indent=f"{indent}# ",
        subsequent_indent=f"{indent}# ",
        break_long_words=False,
        break_on_hyphens=False,
    )
