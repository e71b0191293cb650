"""Whether data is as a JSON Schema asks: a quick yes or no, for the keywords that speclint's schemas use.

What a part of a schema asks depends on the class of the value that comes to it: a number has no length, a text no keys.
So each part becomes one test for each class, when the first value of that class comes, of those keywords alone that can
refuse it. What they ask is that of JSON Schema 2020-12 (Core, section 10; Validation, section 6), whose official cases
the tests hold it to.
"""

import re
from collections.abc import Callable, Mapping
from typing import Any, Final

Test = Callable[[Any], bool]
"""Whether a value, of the class that the test was made for, is as asked."""

Part = Any
"""A schema, or a part of one: a mapping of keywords, or true or false."""


def _passes(_: Any) -> bool:
    return True


def _fails(_: Any) -> bool:
    return False


class Gate:
    """The tests of a schema, and of the parts of one.

    Args:
        schema: the whole schema, which says what the definitions are; it must not change.

    A keyword that is not among `KEYWORDS` is a `KeyError` when the first value comes to it.
    """

    def __init__(self, schema: Mapping[str, Part]) -> None:
        self._schema = _Tests(self, schema)
        self._definitions = {name: _Tests(self, part) for name, part in schema.get("$defs", {}).items()}

    def is_valid(self, value: Any) -> bool:
        """Whether a value is as the schema asks."""
        return self._schema[type(value)](value)

    def tests(self, part: Part) -> "_Tests":
        """The tests of a part of the schema, or of another that refers to the same definitions."""
        if isinstance(part, dict) and part.keys() == {"$ref"}:
            return self.defined(part["$ref"])
        return _Tests(self, part)

    def defined(self, reference: str) -> "_Tests":
        """The tests of a definition."""
        return self._definitions[reference.removeprefix("#/$defs/")]


class _Tests(dict[type, Test]):
    """The tests of a part of a schema by the class of the value, each made when it is first asked for."""

    def __init__(self, gate: Gate, part: Part) -> None:
        super().__init__()
        self._gate = gate
        self._part = part

    def __missing__(self, of: type) -> Test:
        test = self[of] = self._made(of)
        return test

    def _made(self, of: type) -> Test:
        if isinstance(self._part, bool):
            return _passes if self._part else _fails
        tests: list[Test] = []
        for keyword in self._part:
            test = KEYWORDS[keyword](self._gate, self._part, of)
            if test is _fails:
                return _fails
            if test is not _passes:
                tests.append(test)
        return _all(tests)


def _all(tests: list[Test]) -> Test:
    """One test of several."""
    if len(tests) < 2:
        return tests[0] if tests else _passes
    if len(tests) == 2:
        first, second = tests
        return lambda value: first(value) and second(value)

    def all_pass(value: Any) -> bool:
        for test in tests:  # noqa: SIM110 - a generator takes twice as long
            if not test(value):
                return False
        return True

    return all_pass


_CLASSES: Final[Mapping[str, tuple[type, ...]]] = {
    "null": (type(None),),
    "boolean": (bool,),
    "string": (str,),
    "integer": (int,),
    "number": (int, float),
    "array": (list,),
    "object": (dict,),
}
"""By the name of a type the classes of its values; an integer may also be written as 1.0."""

_NUMBERS: Final = _CLASSES["number"]


def _type(_: Gate, part: Part, of: type) -> Test:
    names = [part["type"]] if isinstance(part["type"], str) else part["type"]
    if any(of in _CLASSES[name] for name in names):
        return _passes
    return float.is_integer if of is float and "integer" in names else _fails


def _enum(_: Gate, part: Part, of: type) -> Test:
    members = part["enum"]
    if of is str:
        return frozenset(member for member in members if isinstance(member, str)).__contains__
    return lambda value: any(_is_same(value, member) for member in members)


def _const(_: Gate, part: Part, of: type) -> Test:
    wanted = part["const"]
    return wanted.__eq__ if of is str and isinstance(wanted, str) else lambda value: _is_same(value, wanted)


def _is_same(value: Any, wanted: Any) -> bool:
    """Whether two values are equal in JSON, where 1 is 1.0, and true is no number."""
    if isinstance(value, bool) or isinstance(wanted, bool):
        return value is wanted
    if isinstance(value, list) and isinstance(wanted, list):
        return len(value) == len(wanted) and all(map(_is_same, value, wanted))
    if isinstance(value, dict) and isinstance(wanted, dict):
        return value.keys() == wanted.keys() and all(_is_same(value[key], wanted[key]) for key in wanted)
    return bool(value == wanted)


def _minimum(_: Gate, part: Part, of: type) -> Test:
    least = part["minimum"]
    return (lambda value: value >= least) if of in _NUMBERS else _passes


def _maximum(_: Gate, part: Part, of: type) -> Test:
    most = part["maximum"]
    return (lambda value: value <= most) if of in _NUMBERS else _passes


def _exclusive_minimum(_: Gate, part: Part, of: type) -> Test:
    bound = part["exclusiveMinimum"]
    return (lambda value: value > bound) if of in _NUMBERS else _passes


def _min_length(_: Gate, part: Part, of: type) -> Test:
    least = part["minLength"]
    return (lambda value: len(value) >= least) if of is str else _passes


def _pattern(_: Gate, part: Part, of: type) -> Test:
    if of is not str:
        return _passes
    search = re.compile(in_python(part["pattern"])).search
    return lambda value: search(value) is not None


def in_python(pattern: str) -> str:
    """A pattern as `re` reads it: the `$` of ECMA 262, JSON Schema's, lets through no line break at the end of a text."""
    return rf"{pattern[:-1]}\Z" if pattern.endswith("$") else pattern


def _items(gate: Gate, part: Part, of: type) -> Test:
    if of is not list:
        return _passes
    tests = gate.tests(part["items"])

    def every_item_passes(value: list[Any]) -> bool:
        for item in value:  # noqa: SIM110 - as above
            if not tests[type(item)](item):
                return False
        return True

    return every_item_passes


def _min_items(_: Gate, part: Part, of: type) -> Test:
    least = part["minItems"]
    return (lambda value: len(value) >= least) if of is list else _passes


def _max_items(_: Gate, part: Part, of: type) -> Test:
    most = part["maxItems"]
    return (lambda value: len(value) <= most) if of is list else _passes


def _properties(gate: Gate, part: Part, of: type) -> Test:
    """What the values of a mapping are asked, those of named keys and the others, in one go."""
    if of is not dict:
        return _passes
    others = gate.tests(part.get("additionalProperties", True))
    named = {key: gate.tests(asked) for key, asked in part.get("properties", {}).items()}

    def every_member_passes(value: dict[str, Any]) -> bool:
        for key, member in value.items():  # noqa: SIM110 - as above
            if not named.get(key, others)[type(member)](member):
                return False
        return True

    return every_member_passes


def _additional_properties(gate: Gate, part: Part, of: type) -> Test:
    return _passes if "properties" in part else _properties(gate, part, of)


def _property_names(gate: Gate, part: Part, of: type) -> Test:
    if of is not dict:
        return _passes
    test = gate.tests(part["propertyNames"])[str]
    return lambda value: all(map(test, value))


def _required(_: Gate, part: Part, of: type) -> Test:
    if of is not dict:
        return _passes
    keys = part["required"]
    if len(keys) == 1:
        (key,) = keys
        return lambda value: key in value
    return lambda value: all(key in value for key in keys)


def _min_properties(_: Gate, part: Part, of: type) -> Test:
    least = part["minProperties"]
    return (lambda value: len(value) >= least) if of is dict else _passes


def _dependent_required(_: Gate, part: Part, of: type) -> Test:
    if of is not dict:
        return _passes
    needs = part["dependentRequired"]
    return lambda value: all(need in value for key, needed in needs.items() if key in value for need in needed)


def _dependent_schemas(gate: Gate, part: Part, of: type) -> Test:
    if of is not dict:
        return _passes
    tests = {key: gate.tests(asked) for key, asked in part["dependentSchemas"].items()}
    return lambda value: all(of_key[dict](value) for key, of_key in tests.items() if key in value)


def _if(gate: Gate, part: Part, of: type) -> Test:
    is_met = gate.tests(part["if"])[of]
    then, otherwise = (gate.tests(part.get(keyword, True))[of] for keyword in ("then", "else"))
    if is_met is _passes or then is otherwise:
        return then
    return otherwise if is_met is _fails else lambda value: then(value) if is_met(value) else otherwise(value)


def _nothing(_: Gate, __: Part, ___: type) -> Test:
    return _passes


KEYWORDS: Final[Mapping[str, Callable[[Gate, Part, type], Test]]] = {
    "$ref": lambda gate, part, of: gate.defined(part["$ref"])[of],
    "type": _type,
    "enum": _enum,
    "const": _const,
    "minimum": _minimum,
    "maximum": _maximum,
    "exclusiveMinimum": _exclusive_minimum,
    "minLength": _min_length,
    "pattern": _pattern,
    "items": _items,
    "minItems": _min_items,
    "maxItems": _max_items,
    "properties": _properties,
    "additionalProperties": _additional_properties,
    "propertyNames": _property_names,
    "required": _required,
    "minProperties": _min_properties,
    "dependentRequired": _dependent_required,
    "dependentSchemas": _dependent_schemas,
    "if": _if,
    **dict.fromkeys(("then", "else", "$defs", "$schema", "$id", "format"), _nothing),
    **dict.fromkeys(
        ("title", "description", "examples", "enumDescriptions", "errorMessage", "defaultSnippets"), _nothing
    ),
}
"""What makes the test of each keyword, of the part of a schema that it stands in; those for people refuse nothing."""
