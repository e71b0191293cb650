"""The kinds of value a key can take, as JSON Schema nodes with their help."""

from collections.abc import Mapping, Sequence
from typing import Any, Final

from speclint.readings.digits import UNITS

Schema = dict[str, Any]
"""One node of a JSON Schema (draft 2020-12)."""

_UNIT_WORDS: Final = {"deg": "degrees", "dp": "teeth for an inch of pitch diameter", "minutes": "minutes"}


def unit_words(code: str) -> str:
    """A unit as a sentence about a key spells it, by the code that the key ends in."""
    return _UNIT_WORDS.get(code) or UNITS[code].sign.strip()


ID: Final = "^[a-z0-9][a-z0-9._-]*$"
"""Ids of rulesets, classes, rules, lists and tracks: they stand in commands and file names."""

VERSION: Final = "[0-9A-Za-z][0-9A-Za-z._+-]*"


def node(title: str, about: str, examples: Sequence[Any], unit: str = "", **keywords: Any) -> Schema:
    """A node with its help: every key has a title, a description that names the unit, and examples."""
    description = f"{about} Unit: {unit_words(unit)}." if unit else about
    return {"title": title, "description": description, **keywords, "examples": list(examples)}


def text(title: str, about: str, *examples: str, **keywords: Any) -> Schema:
    """A text that is not empty."""
    return node(title, about, examples, type="string", minLength=1, **keywords)


def name(title: str, about: str, *examples: str) -> Schema:
    """An id: lower-case letters, digits, hyphens, dots and underscores."""
    return node(title, about, examples, type="string", pattern=ID)


def number(title: str, about: str, *examples: float, unit: str = "", **bounds: float) -> Schema:
    """A plain number that no instrument blurs."""
    return node(title, about, examples, unit, type="number", **bounds)


def whole(title: str, about: str, *examples: int, unit: str = "", **bounds: int) -> Schema:
    """A whole number."""
    return node(title, about, examples, unit, type="integer", **bounds)


def flag(title: str, about: str, *examples: bool) -> Schema:
    """True or false."""
    return node(title, about, examples or (True,), type="boolean")


def only_true(title: str, about: str) -> Schema:
    """A key that is either left out or true."""
    return node(title, about, (True,), type="boolean", const=True)


def choice(title: str, about: str, words: Mapping[str, str]) -> Schema:
    """One of a closed set of words, each with its meaning."""
    return node(title, about, list(words)[:1], **one_word_of(words))


def one_word_of(words: Mapping[str, str]) -> Schema:
    """What holds a text to a closed set of words, each with the meaning that an editor shows."""
    return {"type": "string", "enum": list(words), "enumDescriptions": list(words.values())}


def use(definition: str, title: str, about: str, *examples: Any, unit: str = "") -> Schema:
    """A node that takes its shape from `$defs` and its help from here."""
    return node(title, about, examples, unit, **{"$ref": f"#/$defs/{definition}"})


def day(title: str, about: str, example: str = "2026-03-14") -> Schema:
    """A calendar day."""
    return use("day", title, about, example)


def several(title: str, about: str, items: Schema, *examples: Sequence[Any], unit: str = "", **keywords: Any) -> Schema:
    """A list of values of one shape."""
    return node(title, about, examples, unit, type="array", items=items, **keywords)


def mapping(
    title: str,
    about: str,
    keys: Mapping[str, Schema],
    *examples: Mapping[str, Any],
    required: Sequence[str] = (),
    otherwise: Schema | bool = False,
    **keywords: Any,
) -> Schema:
    """A mapping with known keys; `other` is the shape of any other key, False where there must be none."""
    needs: Schema = {"required": list(required)} if required else {}
    return node(
        title,
        about,
        examples,
        type="object",
        properties=dict(keys),
        additionalProperties=otherwise,
        **needs,
        **keywords,
    )


def by_name(title: str, about: str, value: Schema, *examples: Mapping[str, Any], ids: bool = False) -> Schema:
    """A mapping whose keys are names that the writer chooses, or ids where other documents refer to them."""
    names: Schema = {"type": "string", "pattern": ID} if ids else {"type": "string", "minLength": 1}
    return node(title, about, examples, type="object", propertyNames=names, additionalProperties=value)


def needs_one(title: str, keys: Sequence[str]) -> Schema:
    """What asks a mapping for at least one of the keys: a chain of conditions, so that a failure has one plain cause."""
    first, *others = keys
    about = f"one of {', '.join(keys[:-1])} or {keys[-1]}"
    message = f"{title} is missing: {about}"
    chain: Schema = {"title": title, "description": about, "required": [first], "errorMessage": message}
    for key in reversed(others):
        chain = {"if": {"required": [key]}, "else": chain}
    return chain


WORD: Final[Schema] = {"type": ["string", "number", "boolean"], "minLength": 1}
"""What a rule compares by equality."""
