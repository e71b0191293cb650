"""Keys for a draft, with the help that the schema has for each: new keys appear by themselves."""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

from speclint.places import Path
from speclint.schema_nodes import unit_words
from speclint.starters.draft import KeyBlock, KeyLine
from speclint.structure.empty_keys import types_of
from speclint.structure.topics import Topics, unit_of
from speclint.structure.validate import schema_of

_USUALLY: Final = re.compile(r"Usually .*?\.(?= |$)")
"""What a schema says of all cars, where more is known of this one's class."""

_FIRST_SENTENCE: Final = re.compile(r"(?<=\w)\. .*|\.$", re.DOTALL)
"""What stands behind the first sentence of a description, with its full stop."""


@dataclass(frozen=True, slots=True)
class TemplateKey:
    """One key of the document; without a value it is still to be filled in. `usual` is what the class's cars have."""

    path: Path
    value: Any = None
    asks: tuple[str, ...] = ()
    usual: str = ""


@cache
def topics(kind: str) -> Topics:
    """The help on every key of a kind of document, made from the registry of quantities as it is."""
    return Topics(schema_of(f"{kind}/1"))


def leaves(kind: str, at: Path = ()) -> Iterator[Path]:
    """The path of every key of a kind of document that holds a value, in the order of its format.

    Lists of records count with one record, at the index 0; a mapping of names that the writer chooses is one value.
    """
    schema_topics = topics(kind)
    for key in schema_topics.at(at).keys:
        path = (*at, key)
        if _is_section(schema_topics, path):
            yield from leaves(kind, path)
        elif schema_topics.at(path).types == ("array",) and _is_section(schema_topics, (*path, 0)):
            yield from leaves(kind, (*path, 0))
        else:
            yield path


def _is_section(schema_topics: Topics, path: Path) -> bool:
    topic = schema_topics.at(path)
    return topic.types == ("object",) and bool(topic.keys)


def members(
    kind: str, template_keys: Iterable[TemplateKey], notes: Mapping[Path, tuple[str, ...]]
) -> tuple[KeyLine | KeyBlock, ...]:
    """The keys of a draft: in their order, those of one section together.

    Args:
        kind: the kind of document.
        template_keys: every key, by its path; keys of a list's item have the index 0.
        notes: more comments on a section, by its path.
    """
    return _members(topics(kind), tuple(template_keys), notes, ())


def _members(
    schema_topics: Topics, template_keys: tuple[TemplateKey, ...], notes: Mapping[Path, tuple[str, ...]], at: Path
) -> tuple[KeyLine | KeyBlock, ...]:
    depth = len(at)
    sections: list[KeyLine | KeyBlock] = []
    for step in dict.fromkeys(template_key.path[depth] for template_key in template_keys):
        keys_of_step = tuple(template_key for template_key in template_keys if template_key.path[depth] == step)
        path = (*at, step)
        if len(keys_of_step[0].path) == depth + 1:
            sections.append(_line(schema_topics, keys_of_step[0], notes.get(path, ())))
            continue
        is_list = keys_of_step[0].path[depth + 1] == 0
        inner = _members(schema_topics, keys_of_step, notes, (*path, 0) if is_list else path)
        comments = (*about_key(schema_topics, path), *notes.get(path, ()))
        sections.append(KeyBlock(str(step), inner, comments, is_list))
    return tuple(sections)


def _line(schema_topics: Topics, template_key: TemplateKey, notes: tuple[str, ...]) -> KeyLine:
    name = str(template_key.path[-1])
    if template_key.value is not None:
        return KeyLine(name, template_key.value, notes)
    about = about_key(schema_topics, template_key.path, template_key.usual)
    unit = unit_of(template_key.path)
    described = str(schema_topics.at(template_key.path).node.get("description", ""))
    remark = unit_words(unit) if unit else _FIRST_SENTENCE.sub("", described)
    asks = template_key.asks
    return KeyLine(name, None, (*about, *notes, *asks), "; ".join(filter(None, (remark, *asks))))


def about_key(schema_topics: Topics, path: Path, usual: str = "") -> tuple[str, ...]:
    """What the schema says of a key, in one paragraph or none; `usual` is what is known of the cars of its class."""
    topic = schema_topics.at(path)
    about = str(topic.node.get("description", ""))
    if not about or not topic.key:
        return ()
    if usual:
        about = _USUALLY.sub(usual, about)
    choice = f" One of {', '.join(topic.choices)}." if topic.choices else ""
    items = topic.node.get("items", {})
    is_list_of_numbers = topic.types == ("array",) and types_of(items) in (("number",), ("integer",))
    return (f"{about}{choice}{' A list: [NUMBER, NUMBER].' if is_list_of_numbers else ''}",)
