"""What a person types for a field, as the value that the file is to hold."""

import re
from dataclasses import dataclass
from typing import Any, Final

from speclint.documents.parse import parse
from speclint.documents.scalars import NUMBER_STARTS, Unkept, number
from speclint.logbook.fields import RecordField, Shape
from speclint.moments import typed_day

_MAYBE_A_DECIMAL_COMMA: Final = re.compile(r"[-+]?[0-9]+,[0-9]+")
_ANSWERS: Final = {"yes": True, "true": True, "no": False, "false": False}


@dataclass(frozen=True, slots=True)
class Misread:
    """Why an answer cannot be taken, in a sentence without its end."""

    message: str


def value_of(field: RecordField, answer: str) -> Any:
    """The value of an answer, or a `Misread`.

    Words are parted by commas. A reading may be followed by @ and the name of its instrument; where several are
    taken, they are parted by commas. Whatever begins with a bracket or a brace is read as the file would hold it.
    An answer that is no number becomes text, which is for the schema to refuse.
    """
    if field.shape is Shape.TEXT:
        day = typed_day(answer) if field.key == "date" else None
        return answer if day is None else day.isoformat()
    answer = answer.strip()
    if answer[:1] in ("[", "{"):
        return _as_in_a_file(field, answer)
    if field.shape is Shape.ANSWER:
        return _ANSWERS.get(answer.lower(), answer)
    if field.shape is Shape.NAMED:
        return _named(answer)
    if field.shape is Shape.WORDS:
        return [word for part in answer.split(",") if (word := part.strip())]
    if field.shape in (Shape.NUMBER, Shape.RATIO, Shape.LABEL):
        return _number(answer)
    written, at, instrument = answer.rpartition("@")
    if not at:
        return _readings(field, answer, "")
    if not instrument.strip():
        return Misread(f"{answer}: the name of an instrument is missing behind the @")
    return _readings(field, written.strip(), instrument.strip())


def _named(answer: str) -> Any:
    values: dict[str, Any] = {}
    for part in answer.split(","):
        name, equals, value = (word.strip() for word in part.partition("="))
        if not (name and equals and value):
            return Misread(f"{part.strip() or answer}: write NAME=VALUE, parted by commas where there are several")
        values[name] = _parsed(value)
    return next((value for value in values.values() if isinstance(value, Misread)), values)


def _readings(field: RecordField, written: str, instrument: str) -> Any:
    if _MAYBE_A_DECIMAL_COMMA.fullmatch(written):
        point, two = written.replace(",", "."), written.replace(",", ", ")
        return Misread(f"is {written} one number or two? Write {point}, or [{two}] for two readings")
    if "," not in written:
        value = _number(written)
        return value if isinstance(value, Misread) or not instrument else {"value": value, "instrument": instrument}
    if field.shape is Shape.READING and not instrument:
        return Misread(f"{written}: this takes one reading; put repeated readings in brackets, [{written}]")
    values = [_number(part.strip()) for part in written.split(",")]
    wrong = next((value for value in values if isinstance(value, Misread)), None)
    if wrong is not None:
        return wrong
    return {"readings": values, "instrument": instrument} if instrument else values


def _number(written: str) -> Any:
    if written[:1] not in NUMBER_STARTS:
        return written
    value = number(written)
    return Misread(f"{written}: {_inner(value.message)}") if isinstance(value, Unkept) else value


def _as_in_a_file(field: RecordField, answer: str) -> Any:
    if answer.startswith("[") and "]@" in answer.replace("] @", "]@"):
        listed, _, instrument = answer.rpartition("@")
        values = _parsed(listed)
        return values if isinstance(values, Misread) else {"readings": values, "instrument": instrument.strip()}
    value = _parsed(answer)
    if field.shape is Shape.READING and isinstance(value, list):
        return {"readings": value}
    return value


def _parsed(text: str) -> Any:
    document, problems = parse("", text)
    if problems:
        return Misread(f"{text}: {_inner(problems[0].message)}")
    return Misread(f"{text}: nothing") if document is None else document.get(())


def _inner(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:].rstrip(".")
