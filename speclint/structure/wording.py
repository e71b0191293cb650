"""What a validator refuses, as sentences for the person who wrote the file."""

from collections.abc import Callable, Iterable, Iterator
from itertools import islice
from typing import Any, Final, Protocol

from speclint.documents.tree import Document
from speclint.forms.bodies import BY_KEY, OPTIONS_KEY, TABLE_KEYS
from speclint.forms.quantity_key import QUANTITY_WORDS
from speclint.places import Path
from speclint.plain import counted, listed
from speclint.problems import Problem
from speclint.quantities.kinds import QUANTITIES_KEY
from speclint.readings.digits import UNITS, with_unit
from speclint.structure import hints
from speclint.structure.schema_errors import SchemaError, told
from speclint.structure.topics import Topics, flow_text, takes, unit_of
from speclint.structure.unknown_keys import unknown_key, unsought_key

__all__ = ["problems_of"]


class Refusal(Protocol):
    """One refusal, as the validator tells it."""

    @property
    def validator(self) -> Any: ...
    @property
    def validator_value(self) -> Any: ...
    @property
    def instance(self) -> Any: ...
    @property
    def schema(self) -> Any: ...
    @property
    def absolute_path(self) -> Iterable[str | int]: ...
    @property
    def absolute_schema_path(self) -> Iterable[str | int]: ...


_LONGEST_EXAMPLE: Final = 80
_INNER: Final = {OPTIONS_KEY: "into each option that it is for", BY_KEY: "into the rows"}
"""Where the limit of a rule stands that has several."""


def _where_it_belongs(key: str, beside: str) -> str:
    """Where a limit, or how it is held, belongs that stands beside the key of several; "" for another pair of keys."""
    if beside not in _INNER or key == OPTIONS_KEY or key in TABLE_KEYS:
        return ""
    return f"`{key}` belongs {_INNER[beside]}"


_DIFFERENCES: Final = frozenset(
    {"tolerance", "leeway", "read_to", "plus", "accuracy", "resolution", "offset", "standard_uncertainty"}
)
_MOST_LOOKED_AT: Final = 1000
_MOST_SOUGHT: Final = 100
"""For how many unknown keys of a file the nearest spelling is sought: more than are told."""


def problems_of(
    document: Document, schema: dict[str, Any], refusals: Iterable[Refusal], others: tuple[Problem, ...]
) -> tuple[Problem, ...]:
    """A problem for everything that a validator refuses in a document, beside others that were found already.

    They stand in the order of the text. Where there are more than `MOST_PROBLEMS`, the weightiest are kept and a last one
    says how many were left out. Of very many refusals the first are looked at, and no more.
    """
    speaker = _Speaker(document, Topics(schema))
    all_refusals = iter(refusals)
    first = list(islice(all_refusals, _MOST_LOOKED_AT))
    every = (schema_error for refusal in first for schema_error in speaker.schema_errors(refusal))
    looked_at = list(islice(every, _MOST_LOOKED_AT))
    is_whole = next(every, None) is None and (len(first) < _MOST_LOOKED_AT or next(all_refusals, None) is None)
    if not is_whole and not looked_at:
        # The names of quantities are left to the rules' reader, which must not be given what was not looked at.
        message = f"there is no quantity of this name, nor of those in more than {len(first) - 1} other places"
        looked_at = [SchemaError("unknown-quantity", tuple(first[0].absolute_path), message)]
    return told(document, looked_at, others, is_whole=is_whole)


class _Speaker:
    """Puts the refusals of one document into words."""

    def __init__(self, document: Document, topics: Topics) -> None:
        self._document = document
        self._topics = topics
        self._unknown_keys = 0

    def schema_errors(self, error: Refusal) -> Iterator[SchemaError]:
        """What is wrong, for one refusal of the validator."""
        path: Path = tuple(error.absolute_path)
        if "propertyNames" in error.absolute_schema_path:
            yield self._bad_name(error, path)
            return
        say = _SAYINGS.get(str(error.validator)) if error.validator is not None else _Speaker._forbidden
        if say is None:
            yield SchemaError(
                "wrong-form", path, f"{self._label(path)} is not as its key needs it{self._such_as(path)}"
            )
        else:
            yield from say(self, error, path)

    def _unknown(self, error: Refusal, path: Path) -> Iterator[SchemaError]:
        properties = error.schema.get("properties", {})
        for key in error.instance:
            if key not in properties:
                self._unknown_keys += 1
                if self._unknown_keys > _MOST_SOUGHT:
                    yield SchemaError("unknown-key", (*path, key), unsought_key(key, path, self._topics))
                    continue
                message, near = unknown_key(key, error.instance[key], path, self._topics)
                yield SchemaError("unknown-key", (*path, key), message, near)

    def _missing(self, error: Refusal, path: Path) -> Iterator[SchemaError]:
        owner = self._topics.at(path).name("this")
        if "description" in error.schema and "properties" not in error.schema:
            needs = f"{owner} needs {error.schema['title']}: {error.schema['description']}"
            yield SchemaError("missing-key", path, needs)
            return
        for key in error.validator_value:
            if key not in error.instance:
                yield SchemaError("missing-key", (*path, key), f"{owner} needs {self._key_with_help((*path, key))}")

    def _missing_partner(self, error: Refusal, path: Path) -> Iterator[SchemaError]:
        for key, partners in error.validator_value.items():
            for partner in partners if key in error.instance else ():
                if partner not in error.instance:
                    message = f"`{key}` needs `{partner}` beside it{self._such_as((*path, partner))}"
                    yield SchemaError("missing-key", (*path, partner), message)

    def _forbidden(self, error: Refusal, path: Path) -> Iterator[SchemaError]:
        # The validator tells neither the key nor its path, only the way through the schema to the keys forbidden.
        steps = list(error.absolute_schema_path)
        partner = steps[len(steps) - steps[::-1].index("dependentSchemas")]
        forbidden = self._topics.at(path).node["dependentSchemas"][partner]["properties"]
        for key in self._document.get(path, ()):
            if key in forbidden:
                hint = (
                    _where_it_belongs(str(key), str(partner))
                    or _where_it_belongs(str(partner), str(key))
                    or "keep one of the two"
                )
                message = f"`{key}` stands beside `{partner}`; {hint}"
                yield SchemaError("wrong-count", (*path, key), message)

    def _wrong_type(self, error: Refusal, path: Path) -> Iterator[SchemaError]:
        topic, unit = self._topics.at(path), self._unit(path)
        written = self._written(path)
        kind = takes(topic, unit)
        if error.instance is None:
            example = self._such_as(path)
            or_not = "" if self._is_required(path) else f"{',' if example else ''} or leave the key out"
            message = f"{self._label(path)} is empty; write {kind}{example}{or_not}"
        else:
            hint = hints.of_type(error.instance, written, topic, unit)
            # A limit's own example is in no unit, or in another one.
            example = self._such_as(path) if unit == unit_of(path) else ""
            ending = f": {hint}" if hint else example
            message = f"{self._label(path)} is {hints.found(error.instance, written)}; it takes {kind}{ending}"
        yield SchemaError("wrong-type", path, message)

    def _no_choice(self, error: Refusal, path: Path) -> Iterator[SchemaError]:
        if error.validator_value == QUANTITY_WORDS:
            return  # whoever reads the rules says so, beside all else that is wrong with them
        shown = hints.found(error.instance, self._written(path))
        start = f"{self._label(path)} is {shown}"
        if error.validator == "const":
            wanted = flow_text(error.validator_value)
            rest = f"it is either {wanted} or left out" if error.validator_value is True else f"it must be {wanted}"
            yield SchemaError("not-a-choice", path, f"{start}; {rest}")
            return
        choices = self._topics.at(path).choices
        near = hints.nearest_choice(error.instance, choices)
        asked = f" (did you mean {near}?)" if near else ""
        yield SchemaError("not-a-choice", path, f"{start}; it takes {listed(choices, 'or')}{asked}")

    def _wrong_form(self, error: Refusal, path: Path) -> Iterator[SchemaError]:
        text = error.instance
        start = f"{self._label(path)} is {hints.found(text, text)}"
        hint = hints.of_form(text, error.validator_value, self._topics.at(path), self._unit(path))
        yield SchemaError(
            "wrong-form",
            path,
            f"{start}; {hint}" if hint else f"{start}; write it like {flow_text(self._topics.at(path).example)}",
        )

    def _bad_name(self, error: Refusal, path: Path) -> SchemaError:
        key = error.instance
        hint = hints.of_name(key, str(error.validator_value)) or "give it a name"
        return SchemaError(
            "wrong-form", (*path, key), f"{hints.key_name(key)} cannot be a key of {self._label(path)}; {hint}"
        )

    def _empty_text(self, _: Refusal, path: Path) -> Iterator[SchemaError]:
        or_not = "" if self._is_required(path) else ", or leave the key out"
        yield SchemaError(
            "wrong-form", path, f"{self._label(path)} is an empty text; write something{self._such_as(path)}{or_not}"
        )

    def _out_of_range(self, error: Refusal, path: Path) -> Iterator[SchemaError]:
        words = {"minimum": "at least", "exclusiveMinimum": "above", "maximum": "at most", "exclusiveMaximum": "below"}
        bound = with_unit(flow_text(error.validator_value), self._unit(path))
        message = (
            f"{self._label(path)} is {hints.clipped(self._written(path))}; it must be {words[str(error.validator)]}"
            f" {bound}{self._such_as(path)}"
        )
        yield SchemaError("out-of-range", path, message)

    def _wrong_count(self, error: Refusal, path: Path) -> Iterator[SchemaError]:
        schema, count = error.schema, len(error.instance)
        least, top = schema.get("minItems"), schema.get("maxItems")
        if least == top:
            wanted = f"{least}"
        else:
            wanted = f"at least {least}" if error.validator == "minItems" else f"at most {top}"
        has = "is an empty list" if not count else f"has {counted(count, 'item')}"
        yield SchemaError(
            "wrong-count", path, f"{self._label(path)} {has}; it takes {wanted}{self._such_as(path, like=list)}"
        )

    def _unit(self, path: Path) -> str:
        """The unit of a value: that its key ends in, or that of the quantity which the rule around it limits."""
        unit = self._unit_of_key_or_quantity(path)
        # A difference of temperatures is converted otherwise than a temperature, so that no hint is safer.
        return "" if unit in ("c", "f") and any(step in _DIFFERENCES for step in path) else unit

    def _unit_of_key_or_quantity(self, path: Path) -> str:
        unit = unit_of(path)
        for length in range(len(path) - 1, -1, -1):
            if unit:
                return unit
            holder = self._document.get(path[:length])
            quantity = holder.get("quantity") if isinstance(holder, dict) else None
            if isinstance(quantity, str):
                stated_unit = holder.get("unit")
                declared = self._document.get((QUANTITIES_KEY, quantity, "unit")) or unit_of((quantity,))
                return next((code for code in (stated_unit, declared) if isinstance(code, str) and code in UNITS), "")
            step = path[length]
            unit = unit_of((step,)) if isinstance(step, str) else ""
        return unit

    def _label(self, path: Path) -> str:
        if path and isinstance(path[-1], int):
            owner = next((f"`{step}`" for step in reversed(path) if isinstance(step, str)), "the list")
            return f"item {path[-1] + 1} of {owner}"
        return f"`{hints.clipped(str(path[-1]))}`" if path else "the file"

    def _key_with_help(self, path: Path) -> str:
        topic = self._topics.at(path)
        key = str(path[-1])
        title = "" if topic.title.replace(" ", "_") == key else f" ({topic.title})"
        return f"`{key}`{title}{self._such_as(path)}"

    def _such_as(self, path: Path, like: type = object) -> str:
        topic = self._topics.at(path)
        if path[-1:] == ("value",):  # the key that the reading stands under knows a likelier value
            topic = self._topics.at(path[:-1])
        examples = (flow_text(example) for example in topic.examples if isinstance(example, like))
        example = next(examples, "")
        fits = 0 < len(example) <= _LONGEST_EXAMPLE and topic.types != ("boolean",)
        return f", such as {example}" if fits else ""

    def _is_required(self, path: Path) -> bool:
        return bool(path) and path[-1] in self._topics.at(path[:-1]).node.get("required", ())

    def _written(self, path: Path) -> str:
        return self._document.written(path)


_Saying = Callable[[_Speaker, Refusal, Path], Iterator[SchemaError]]

_SAYINGS: Final[dict[str, _Saying]] = {
    "additionalProperties": _Speaker._unknown,
    "required": _Speaker._missing,
    "dependentRequired": _Speaker._missing_partner,
    "type": _Speaker._wrong_type,
    "enum": _Speaker._no_choice,
    "const": _Speaker._no_choice,
    "pattern": _Speaker._wrong_form,
    "minLength": _Speaker._empty_text,
    "minimum": _Speaker._out_of_range,
    "exclusiveMinimum": _Speaker._out_of_range,
    "maximum": _Speaker._out_of_range,
    "exclusiveMaximum": _Speaker._out_of_range,
    "minItems": _Speaker._wrong_count,
    "maxItems": _Speaker._wrong_count,
}
