"""The rule: what it asks in one of its forms, of whom, when, and why."""

from typing import Any, Final

from speclint.forms.bodies import (
    BY_KEY,
    LEEWAY_KEY,
    LOOK_KEY,
    OPTIONS_KEY,
    PER_KEY,
    REFERENCE_KEY,
    TABLE_KEYS,
    TOGETHER_KEY,
    Otherwise,
    look_shape,
    per_shape,
)
from speclint.forms.quantity_key import QUANTITY_PATTERN, quantity_key
from speclint.forms.taken import taken_shape
from speclint.forms.written_unit import UNIT_KEY, unit_shape
from speclint.quantities.taken import TAKEN_KEY
from speclint.schema_nodes import (
    Schema,
    by_name,
    choice,
    day,
    flag,
    mapping,
    name,
    node,
    number,
    only_true,
    several,
    text,
)
from speclint.structure.shapes.limit import limit_keys, one_of_each, some_limit

DECISIONS: Final = {
    "as-read": "takes the value as it is read",
    "must-show": "asks it to meet the limit by its uncertainty",
    "benefit-of-doubt": "lets it break the limit by its uncertainty",
}

MOST_OPTIONS: Final = 8
"""How many ways a rule may have, and how many tests one of them."""

RULE_EXAMPLE: Final[dict[str, Any]] = {
    "id": "final-drive",
    "quantity": "final_drive_ratio",
    "at_least": 4.2,
    "cite": "4.3",
}
_TEST_EXAMPLE: Final[dict[str, Any]] = {"quantity": "motor_turns", "at_least": 9.5}


def decision_shape(about: str) -> Schema:
    """Who gets the doubt."""
    meanings = ", ".join(f"{word} {meaning}" for word, meaning in DECISIONS.items())
    return choice("decision", f"{about} {meanings}.", DECISIONS)


def when_shape(about: str) -> Schema:
    """Conditions by quantity."""
    return {
        **by_name("when", about, {"$ref": "#/$defs/condition"}, {"entry.venue": "indoor"}),
        "propertyNames": {"type": "string", "pattern": QUANTITY_PATTERN},
    }


def terms_shapes() -> dict[str, Schema]:
    """How a value is read."""
    return {
        "read_to": number("read to", "The step that a value is read to before it is compared, half away from"
                          " zero.", 0.01, exclusiveMinimum=0),
        "uncorrected": flag("uncorrected", "The reading is judged as it was read, without correction to the"
                            " reference temperature."),
        LEEWAY_KEY: {
            **node("leeway", "How far beyond the limit a value still passes, in the unit of the quantity or in percent of"
                   " the limit.", [1, {"percent": 5}], type=["number", "object"], exclusiveMinimum=0,
                   properties={"percent": number("percent", "In percent of the limit.", 5, unit="percent",
                                                 exclusiveMinimum=0)}, additionalProperties=False),
            "if": {"type": "object"},
            "then": {"required": ["percent"]},
        },
        TAKEN_KEY: taken_shape(),
        REFERENCE_KEY: number("reference temperature", "The temperature that this winding is corrected to, where it is not"
                              " that of the ruleset.", 25, unit="c", minimum=-20, maximum=60),
        UNIT_KEY: unit_shape(),
        "instrument": text("instrument", "The official instrument, by its name under the ruleset's"
                           " `instruments:`.", "tech-scale"),
    }  # fmt: skip


def _test_keys(about: str) -> dict[str, Schema]:
    example = "final_drive_ratio", "mass_g", "extra.body"
    return {"quantity": quantity_key("quantity", about, *example), **limit_keys(), **terms_shapes()}


_OF_RULE: Final = "What is limited; without it the rule's quantity"


def test_shape() -> Schema:
    """One of several tests that together are a way to meet a rule."""
    keys = _test_keys(_OF_RULE)
    return {**mapping("test", "One limit on one quantity.", keys, _TEST_EXAMPLE), **one_of_each(keys), **some_limit()}


def option_shape() -> Schema:
    """One way to meet a rule: a test, or several together."""
    tests = several("all of", "Tests of which every one has to be met.", {"$ref": "#/$defs/test"}, [_TEST_EXAMPLE],
                    minItems=1, maxItems=MOST_OPTIONS)  # fmt: skip
    keys = {**_test_keys(_OF_RULE), TOGETHER_KEY: tests}
    return {
        **mapping("option", "One way to meet the rule.", keys, _TEST_EXAMPLE),
        **one_of_each(keys, ((TOGETHER_KEY,), ())),
        "if": {"required": [TOGETHER_KEY]},
        "else": some_limit(TOGETHER_KEY),
    }


def _other_forms() -> dict[str, Schema]:
    options = several(
        "any of",
        "Ways to meet the rule, of which one is enough; an option is a limit on a quantity, or `all_of:` with several.",
        {"$ref": "#/$defs/option"},
        [{"between": [208, 212]}, {"between": [223, 227]}],
        minItems=1,
        maxItems=MOST_OPTIONS,
    )
    by = quantity_key("by", "For a table: the quantity that chooses the row", "motor_part")
    rows = by_name("rows", "The limit of each row, by the value that chooses it.", {"$ref": "#/$defs/row"}, _ROWS)
    return {
        OPTIONS_KEY: options,
        BY_KEY: by,
        "rows": rows,
        "otherwise": _otherwise(),
        LOOK_KEY: look_shape(),
        PER_KEY: per_shape(),
    }


_ROWS: Final[dict[str, Any]] = {"M-17A": {"at_least": 4.5}, "M-17C": {"at_least": 5.5}}


def row_shape() -> Schema:
    """The limit of one row of a table."""
    keys = limit_keys()
    return {**mapping("row", "The limit of one row.", keys, {"at_least": 4.5}), **one_of_each(keys), **some_limit()}


def _otherwise() -> Schema:
    about = "What counts where no row does: illegal, not-shown, free (the rule does not bind such a car), or a limit."
    row = row_shape()
    words = "|".join(word.value for word in Otherwise)
    return {
        **node("otherwise", about, ["illegal", {"at_least": 4.5}], type=["string", "object"], pattern=f"^({words})$"),
        **{key: row[key] for key in ("properties", "additionalProperties", "dependentRequired", "dependentSchemas")},
        "if": {"type": "object"},
        "then": some_limit(),
    }


def asking_shapes() -> dict[str, Schema]:
    """Every key that says what a rule asks, with its shape."""
    return {**limit_keys(), **terms_shapes(), **_other_forms()}


def rule_shape() -> Schema:
    """A rule, whatever its form."""
    keys = {**_test_keys("What is limited"), **_other_forms()}
    return {
        **mapping(
            "rule",
            "One limit on one quantity, with a clause to cite and a reason.",
            {
                "id": name("id", "Id of the rule; the id of an inherited rule takes its place.", "final-drive"),
                **keys,
                "when": when_shape("The rule applies only where all of this holds."),
                "from": day("from", "First day that the rule binds.", "2026-06-01"),
                "until": day("until", "Last day that the rule binds.", "2026-12-31"),
                "published": day(
                    "published", "When the rule was made known; otherwise with the ruleset.", "2026-02-20"
                ),
                "checked_on": day(
                    "checked on", "When somebody last held the rule against the official text.", "2026-02-21"
                ),
                "replaces": name("replaces", "Id of the rule that ends where this one begins.", "final-drive"),
                "withdrawn": only_true("withdrawn", "The inherited rule of this id does not bind here."),
                "decision": decision_shape("How a close value is decided, where the ruleset's way does not suit."),
                "cite": text("cite", "The clause of the rulebook, in quotes.", "4.3"),
                "because": text("because", "Why the rule is there.", "Keeps lap speeds level across the field."),
                "measure": text("measure", "How it is measured.", "Count the teeth."),
                "penalty": text("penalty", "What happens to a car that breaks it.", "The run does not count."),
            },
            RULE_EXAMPLE,
            required=["id"],
        ),
        **_forms_of_rule(keys),
        "if": {"required": ["withdrawn"]},
        "else": {
            "if": {"required": [LOOK_KEY]},
            "else": {
                "if": {"required": [OPTIONS_KEY]},
                "else": {
                    "required": ["quantity"],
                    "if": {"required": [BY_KEY]},
                    "else": some_limit(OPTIONS_KEY, BY_KEY, LOOK_KEY),
                },
            },
        },
    }


def _forms_of_rule(keys: dict[str, Schema]) -> Schema:
    """What holds a rule to one form, and the keys of a table to each other."""
    held = one_of_each(keys, ((OPTIONS_KEY,), terms_shapes()), (TABLE_KEYS, ()))
    table = {key: [partner for partner in TABLE_KEYS if partner != key] for key in TABLE_KEYS}
    return {**held, "dependentRequired": {**held["dependentRequired"], **table, PER_KEY: [LOOK_KEY]}}
