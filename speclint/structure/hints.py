"""What somebody probably meant by a value of the wrong type or form."""

import re
from collections.abc import Sequence
from fractions import Fraction
from typing import Any, Final

from speclint.documents.scalars import SIGNIFICANT_DIGITS
from speclint.forms.quantity_key import QUANTITY_PATTERN
from speclint.forms.written_unit import UNIT_CODES
from speclint.moments import moment
from speclint.quantities.trade_words import quantity_meant
from speclint.readings.digits import with_unit
from speclint.readings.exact import decimal_text, decimals_of, exact
from speclint.readings.units import converted, is_same_unit
from speclint.schema_nodes import ID
from speclint.spelling import nearest
from speclint.structure.shapes.setup import RULESET_REFERENCE
from speclint.structure.topics import Topic, flow_text

_NUMBER: Final = r"-?[0-9]+(?:\.[0-9]+)?"
_PLAIN: Final = re.compile(_NUMBER)
_WITH_WORDS: Final = re.compile(rf"({_NUMBER})\s*([^\s0-9.,:/_–-][^0-9]*)")
_DECIMAL_COMMA: Final = re.compile(r"(-?[0-9]+),([0-9]+)")
_COMMA_WITH_WORDS: Final = re.compile(r"(-?[0-9]+),([0-9]{1,2}|[0-9]{4,})(\s*[^\s0-9.,:/_–-][^0-9]*)")
_POINTS_AND_COMMA: Final = re.compile(r"([0-9]{1,3}(?:\.[0-9]{3})+),([0-9]+)")
_COMMAS_AND_POINT: Final = re.compile(r"([0-9]{1,3}(?:,[0-9]{3})+)\.([0-9]+)")
_TO_SOME: Final = re.compile(r"([0-9]+) ?: ?([0-9]+)")
_TO_ONE: Final = re.compile(rf"({_NUMBER}) ?: ?1")
_ON_A_CLOCK: Final = re.compile(r"([0-9]+):([0-5][0-9](?:\.[0-9]+)?)")
_GROUPED: Final = re.compile(r"[0-9]{1,3}(?:[_' ][0-9]{3})+")
_YEAR_FIRST: Final = re.compile(r"([0-9]{4})[-/.]([0-9]{1,2})[-/.]([0-9]{1,2})")
_YEAR_LAST: Final = re.compile(r"([0-9]{1,2})[-/.]([0-9]{1,2})[-/.]([0-9]{4})")
_YES: Final = frozenset({"yes", "y", "on", "true", "1"})
_NO: Final = frozenset({"no", "n", "off", "false", "0"})
_CLOCKS: Final = {"minutes": 60, "s": 1}
"""How many seconds there are in a unit that a clock shows."""

_LONGEST: Final = 40


def found(value: Any, written: str) -> str:
    """What stands in the file, in a word or two."""
    if value is None:
        return "empty"
    if isinstance(value, dict):
        return "a group of keys"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, str):
        return f'"{clipped(value)}"'
    return clipped(written)


def key_name(key: str) -> str:
    """A key from a file, as a sentence names it."""
    return f"`{clipped(key)}`" if key else "an empty text"


def clipped(text: str) -> str:
    """A text from a file, short enough for a sentence and without anything that a terminal would obey."""
    shown = "".join(sign if sign.isprintable() else "?" for sign in text)
    return shown if len(shown) <= _LONGEST else shown[: _LONGEST - 1] + "…"


def of_type(value: Any, written: str, topic: Topic, unit: str) -> str:
    """What to write in the stead of a value of the wrong type, "" where that cannot be told."""
    types = topic.types
    if isinstance(value, str) and ("number" in types or "integer" in types):
        return of_number(value, unit)
    if isinstance(value, str) and "boolean" in types:
        return _of_flag(value)
    if isinstance(value, int | float) and not isinstance(value, bool) and "string" in types:
        return _of_text(value, written, topic)
    if isinstance(value, list) and "object" in types and "number" in types:
        return f"write repeated readings as {{readings: {flow_text(value)}}}" if _short_numbers(value) else ""
    if "array" in types and isinstance(value, str | int | float):
        return f"write [{clipped(written)}]"
    return ""


def of_number(text: str, unit: str) -> str:
    """The number that a text holds."""
    text = text.strip()
    if _PLAIN.fullmatch(text):
        return f"write {text} without quotes"
    comma = _DECIMAL_COMMA.fullmatch(text)
    if comma:
        whole, part = comma.groups()
        alternative = f" or {whole}{part}" if len(part) == 3 else ""
        return f"write {whole}.{part}{alternative}, without a comma"
    grouped = _POINTS_AND_COMMA.fullmatch(text) or _COMMAS_AND_POINT.fullmatch(text)
    if grouped:
        return f"write {re.sub('[.,]', '', grouped[1])}.{grouped[2]}"
    to_one = _TO_ONE.fullmatch(text)
    if to_one:
        return f"write {to_one[1]}"
    clock = _ON_A_CLOCK.fullmatch(text)
    if clock and unit in _CLOCKS:
        return f"write {number_text((Fraction(clock[1]) * 60 + Fraction(clock[2])) / _CLOCKS[unit])}"
    if _GROUPED.fullmatch(text):
        return f"write {re.sub('[^0-9]', '', text)}"
    words = _WITH_WORDS.fullmatch(_COMMA_WITH_WORDS.sub(r"\1.\2\3", text))
    return _in_the_unit(words[1], words[2].strip(), unit) if words else ""


def _in_the_unit(written: str, word: str, unit: str) -> str:
    """A number that has a unit behind it, without that or converted; "" where nobody can know what was meant."""
    if is_same_unit(word, unit):
        return f"write {written} without the unit"
    if not unit:
        code = next((code for code in UNIT_CODES if is_same_unit(word, code)), "")
        return f"write {written}, and `unit: {code}` beside it" if code else ""
    value = converted(Fraction(written), word, unit)
    if value is None:
        return ""
    text = number_text(value)
    return f"{written} {word} is {with_unit(text, unit)}, so write {text}"


def written_number(value: Any) -> Fraction | None:
    """The number that a value is, be it in quotes; None where it is none."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        return exact(value)
    return Fraction(value) if isinstance(value, str) and _PLAIN.fullmatch(value) else None


def number_text(value: Fraction) -> str:
    """A number as a file can hold it: all of its decimals, or four where they never end or are too many to keep."""
    decimals = decimals_of(value)
    if decimals is not None:
        text = decimal_text(value, decimals)
        if len(text.strip("-0.").replace(".", "")) <= SIGNIFICANT_DIGITS:
            return text
    return decimal_text(value, 4).rstrip("0").rstrip(".")


def _of_flag(text: str) -> str:
    word = text.strip().lower()
    if word in _YES:
        return "write true" if word != "true" else "write true without quotes"
    if word in _NO:
        return "write false" if word != "false" else "write false without quotes"
    return ""


def _of_text(value: Any, written: str, topic: Topic) -> str:
    if not re.search(topic.node.get("pattern", ""), written):
        return ""
    quoted = f'write it in quotes, "{clipped(written)}"'
    return f"{quoted}: a number loses its zeros" if flow_text(value) != written else quoted


def _short_numbers(values: list[Any]) -> bool:
    numbers = all(isinstance(value, int | float) and not isinstance(value, bool) for value in values)
    return numbers and 2 <= len(values) <= 5


def of_day(text: str) -> str:
    """A day with its parts in the right order and no time, "" where day and month cannot be told apart."""
    text = re.split("[ T]", text.strip())[0]
    first = _YEAR_FIRST.fullmatch(text)
    if first:
        return _calendar_day(*first.groups())
    last = _YEAR_LAST.fullmatch(text)
    if last:
        left, right, year = last.groups()
        if int(left) > 12 >= int(right) or left == right:
            return _calendar_day(year, right, left)
        if int(right) > 12 >= int(left):
            return _calendar_day(year, left, right)
    return ""


def _calendar_day(year: str, month: str, day: str) -> str:
    """To write a day in its form; that there is no such day where the calendar has none."""
    text = f"{year}-{month:>02}-{day:>02}"
    try:
        moment(text)
    except ValueError:
        return f"the calendar has no {text}"
    return f"write {text}"


def of_id(text: str) -> str:
    """An id made of a text, "" where nothing of it would be left."""
    if "/" in text or "\\" in text:
        return "write the id that the file says, not its path"
    made = re.sub(r"[^a-z0-9._]+", "-", text.lower()).strip("-._")
    return f"write {made}" if made and len(made) <= _LONGEST else ""


def of_form(text: str, pattern: str, topic: Topic, unit: str) -> str:
    """What to write in the stead of a text that does not have the form of its key."""
    if topic.node.get("$ref") in ("#/$defs/day", "#/$defs/moment"):
        day = of_day(text) if topic.node["$ref"] == "#/$defs/day" or ":" not in text else ""
        return day or f"write year-month-day, such as {flow_text(topic.example)}"
    if "number" in topic.types:
        to_some = _TO_SOME.fullmatch(text.strip())
        if to_some and to_some[2] != "1":
            return f"write {to_some[1]}/{to_some[2]}"
        return of_number(text, unit) if "/" not in text else ""
    return of_name(text, pattern)


def of_name(text: str, pattern: str) -> str:
    """What to write in the stead of a name that is not one."""
    if pattern in (ID, RULESET_REFERENCE):
        return of_id(text) or "use lower-case letters, digits and hyphens"
    if pattern == QUANTITY_PATTERN:
        near = quantity_meant(text)
        return f"did you mean {near}?" if near else "it takes the name of a quantity"
    return ""


def nearest_choice(value: Any, choices: Sequence[Any]) -> str:
    """The choice that was meant, "" where none is near."""
    return nearest(value, choices) if isinstance(value, str) else ""
