"""Keys that a format does not have: what they were meant to be, or where they belong."""

import re
from collections.abc import Sequence
from typing import Any, Final

from speclint.places import Path
from speclint.plain import first_few
from speclint.quantities.trade_words import quantity_key_meant
from speclint.readings.digits import with_unit
from speclint.readings.units import converted, is_same_unit, unit_at_end
from speclint.schema_nodes import unit_words
from speclint.spelling import nearest
from speclint.structure.hints import key_name, number_text, written_number
from speclint.structure.topics import Topics, unit_of

_SAME_MEANING: Final = {
    "weight": "mass_g", "weight_g": "mass_g", "date": "on", "day": "on", "name": "title",
    "max": "at_most", "maximum": "at_most", "min": "at_least", "minimum": "at_least",
    "reason": "because", "clause": "cite",
}  # fmt: skip
"""Keys that are spelt unlike the ones they mean. Source: common practice."""

_AFTER_COMMA: Final = re.compile(r"[0-9]+( ?[a-zA-Z]+)?\Z")
"""What is left of `47,6 oz` behind its comma."""

_MOST_KEYS: Final = 14
_MOST_SECTIONS: Final = 2


def near_key(key: str, path: Path, topics: Topics) -> str:
    """The key of the same section that was meant, "" where none is near."""
    keys = [valid_key for valid_key, node in topics.at(path).keys.items() if node is not False]
    if _SAME_MEANING.get(key) in keys:
        return _SAME_MEANING[key]
    plain = _without_unit(key)
    stems = {_without_unit(valid_key): valid_key for valid_key in reversed(keys)}
    of_trade = quantity_key_meant(plain)
    return stems.get(key) or stems.get(plain) or (of_trade if of_trade in keys else nearest(key, keys))


def unknown_key(key: str, value: Any, path: Path, topics: Topics) -> tuple[str, str]:
    """The sentence about a key that a section does not have, and the key of the section that was meant, if any.

    Args:
        key: the key as it is written.
        value: what stands behind it.
        path: the way to the section.
        topics: the schema.
    """
    topic = topics.at(path)
    start = f"{key_name(key)} is not a key of {topic.name()}"
    in_other_unit = _in_another_unit(key, value, tuple(topic.keys))
    if in_other_unit is not None:
        sentence, near = in_other_unit
        return f"{start}; {sentence}", near
    if _AFTER_COMMA.match(key) and path != ():
        return f"{start}; a comma ends a value within braces, so write decimals with a point", ""
    # What lacks only its unit is meant here, whichever other section has a key of that name.
    close = next((near for near in topic.keys if _without_unit(near) == key), "") or nearest(
        key, topic.keys, cutoff=0.85
    )
    sections = (
        []
        if close
        else [section for section, valid_key in topics.everywhere() if valid_key == key and 0 not in section]
    )
    if 1 <= len(sections) <= _MOST_SECTIONS:
        return f"{start}; it belongs {' or '.join(map(_under, sections))}", ""
    near = close or near_key(key, path, topics)
    if near:
        unit = unit_of((near,))
        in_unit = f", in {unit_words(unit)}" if unit and _other_unit(key, near) else ""
        return f"{start}; did you mean `{near}`{in_unit}?", near
    below = [(section, valid_key) for section, valid_key in topics.everywhere() if section[: len(path)] == path]
    afar = [(section, valid_key) for section, valid_key in below if key in (valid_key, _without_unit(valid_key))]
    if 1 <= len(afar) <= _MOST_SECTIONS:
        asked = " or ".join(f"`{valid_key}` {_under(section)}" for section, valid_key in afar)
        return f"{start}; did you mean {asked}?", ""
    return f"{start}; {_keys_of(topic.keys)}", ""


def _in_another_unit(key: str, value: Any, keys: Sequence[str]) -> tuple[str, str] | None:
    """What to write for a key that ends in another unit of what a key of the section measures, and that key."""
    for near in keys:
        unit = unit_of((near,))
        word = unit_at_end(key, unit)
        if word and not is_same_unit(word, unit) and key == f"{_without_unit(near)}_{word}":
            number = written_number(value)
            converted_value = None if number is None else converted(number, word, unit)
            if number is None or converted_value is None:
                return f"did you mean `{near}`, in {unit_words(unit)}?", near
            text = number_text(converted_value)
            are = f"{number_text(number)} {word} is {with_unit(text, unit)}"
            return f"{are}: write `{near}: {text}`", near
    return None


def unsought_key(key: str, path: Path, topics: Topics) -> str:
    """The sentence about one of very many such keys, without a search for what was meant."""
    topic = topics.at(path)
    return f"{key_name(key)} is not a key of {topic.name()}; {_keys_of(topic.keys)}"


def _keys_of(keys: dict[str, Any]) -> str:
    names = [key for key, node in keys.items() if node is not False]
    return f"it takes {first_few(names, _MOST_KEYS)}"


def _under(section: Path) -> str:
    keys = [f"{step}:" for step in section if isinstance(step, str)]
    return f"under `{' '.join(keys)}`" if section else "at the top of the file"


def _without_unit(key: str) -> str:
    unit = unit_of((key,))
    return key.removesuffix(f"_{unit}") if unit else key


def _other_unit(key: str, near: str) -> bool:
    stem = _without_unit(near)
    return not near.endswith("_teeth") and key.startswith(f"{stem}_")
