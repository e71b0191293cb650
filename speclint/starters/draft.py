"""Drafts: a file as a tree of keys with their comments, some of them only offered, and its text.

A key that is offered stands there with a number sign straight before it (`#mass_g: 1352`): without the sign it is part
of the document. A comment has a space after the sign, so that the two can be told apart by eye and by program.
"""

import re
import textwrap
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from speclint.edits.spelled import flow, key, scalar

_WIDTH: Final = 100
_STEP: Final = "  "
_OFFERED: Final = re.compile(r"^( *)#(?=[^\s#])", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class KeyLine:
    """A key with its value on one line; `stands` says whether it is part of the document as it is written."""

    key: str
    value: Any
    stands: bool = False
    comments: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class KeyBlock:
    """A key with keys beneath it, or with one item of a list of such; it stands if anything beneath it does."""

    key: str
    inner: "tuple[KeyLine | KeyBlock, ...]"
    comments: tuple[str, ...] = ()
    is_list: bool = False

    @property
    def stands(self) -> bool:
        """Whether it is part of the document as it is written."""
        return any(member.stands for member in self.inner)


def text_of(head: tuple[str, ...], members: tuple[KeyLine | KeyBlock, ...], *, modeline: str = "") -> str:
    """The text of a file: the way to its schema for editors, a heading, and its keys."""
    lines = [f"# yaml-language-server: $schema={modeline}"] if modeline else []
    for paragraph in head:
        lines += commented(paragraph, "")
    for member in members:
        if isinstance(member, KeyBlock) or member.comments:
            lines.append("")
        lines += _lines(member, "")
    return "\n".join(lines) + "\n"


def with_all_offered(text: str) -> str:
    """The text with every key that it offers made part of the document."""
    return _OFFERED.sub(r"\1", text)


def _lines(member: KeyLine | KeyBlock, indent: str) -> Iterator[str]:
    for comment in member.comments:
        yield from commented(comment, indent)
    sign = "" if member.stands else "#"
    if isinstance(member, KeyLine):
        yield f"{indent}{sign}{key(member.key)}: {_value(member.value)}"
        return
    yield f"{indent}{sign}{key(member.key)}:"
    if not member.is_list:
        for inner in member.inner:
            yield from _lines(inner, indent + _STEP)
        return
    dash_is_due = True
    for inner in member.inner:
        for line in _lines(inner, indent + _STEP * 2):
            if dash_is_due:
                # What is said of the first key stands above the dash, where it reads as said of the item.
                is_comment = line.lstrip().startswith("# ")
                yield line.removeprefix(_STEP) if is_comment else _dashed(line)
                dash_is_due = is_comment
            else:
                yield line


def _dashed(line: str) -> str:
    """A line with the dash of a list item in front of its key, behind its sign."""
    bare = line.lstrip(" ")
    indent = line[: len(line) - len(bare) - len(_STEP)]
    return f"{indent}#- {bare[1:]}" if bare.startswith("#") else f"{indent}- {bare}"


def _value(value: Any) -> str:
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    return flow(value) if isinstance(value, dict | list | tuple) else scalar(value, in_flow=False)


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
