"""The rule: what it asks in one of its forms, of whom, when, and why."""

from typing import Any, Final

from speclint.forms.bodies import LOOK_KEY, OPTIONS_KEY, TOGETHER_KEY, look_shape
from speclint.forms.quantity_key import QUANTITY_PATTERN, quantity_key
from speclint.schema_nodes import (
    Schema,
    by_name,
    choice,
    day,
    flag,
    mapping,
    name,
    number,
    only_true,
    several,
    text,
)  # fmt: skip
from speclint.structure.shapes.limit import limit_keys, one_of_each, some_limit

DECISIONS: Final = ("as-read", "must-show", "benefit-of-doubt")

MOST_OPTIONS: Final = 8
"""How many ways a rule may have, and how many tests one of them."""

RULE_EXAMPLE: Final[dict[str, Any]] = {
    "id": "final-drive", "quantity": "final_drive_ratio", "at_least": 4.2, "cite": "4.3",
}  # fmt: skip
_TEST_EXAMPLE: Final[dict[str, Any]] = {"quantity": "motor_turns", "at_least": 9.5}


def decision_shape(about: str) -> Schema:
    """Who gets the doubt."""
    return choice(
        "decision", f"{about} as-read takes the value as it is read, must-show asks it to meet the limit by its"
        " uncertainty, benefit-of-doubt lets it break the limit by its uncertainty.", *DECISIONS,
    )  # fmt: skip


def when_shape(about: str) -> Schema:
    """Conditions by quantity."""
    return {
        **by_name("when", about, {"$ref": "#/$defs/condition"}, {"entry.venue": "indoor"}),
        "propertyNames": {"type": "string", "pattern": QUANTITY_PATTERN},
    }


def _terms() -> dict[str, Schema]:
    """How a value is read."""
    return {
        "read_to": number("read to", "The step that a value is read to before it is compared, half away from"
                          " zero.", 0.01, exclusiveMinimum=0),
        "uncorrected": flag("uncorrected", "The reading is judged as it was read, without correction to the"
                            " reference temperature."),
        "instrument": text("instrument", "The official instrument, by its name under the ruleset's"
                           " `instruments:`.", "tech-scale"),
    }  # fmt: skip


def _test_keys(about: str) -> dict[str, Schema]:
    example = "final_drive_ratio", "mass_g", "extra.body"
    return {"quantity": quantity_key("quantity", about, *example), **limit_keys(), **_terms()}


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
        **one_of_each(keys, (TOGETHER_KEY,)),
        "if": {"required": [TOGETHER_KEY]},
        "else": some_limit(TOGETHER_KEY),
    }


def _other_forms() -> dict[str, Schema]:
    options = several("any of", "Ways to meet the rule, of which one is enough; an option is a limit on a quantity, or"
                      " `all_of:` with several.", {"$ref": "#/$defs/option"},
                      [{"between": [208, 212]}, {"between": [223, 227]}], minItems=1, maxItems=MOST_OPTIONS)  # fmt: skip
    return {OPTIONS_KEY: options, LOOK_KEY: look_shape()}


def asking_shapes() -> dict[str, Schema]:
    """Every key that says what a rule asks, with its shape."""
    return {**limit_keys(), **_other_forms()}


def rule_shape() -> Schema:
    """A rule, whatever its form."""
    keys = {**_test_keys("What is limited"), **_other_forms()}
    return {
        **mapping(
            "rule", "One limit on one quantity, with a clause to cite and a reason.",
            {
                "id": name("id", "Id of the rule; the id of an inherited rule takes its place.", "final-drive"),
                **keys,
                "when": when_shape("The rule applies only where all of this holds."),
                "from": day("from", "First day that the rule binds.", "2026-06-01"),
                "until": day("until", "Last day that the rule binds.", "2026-12-31"),
                "published": day("published", "When the rule was made known; otherwise with the ruleset.",
                                 "2026-02-20"),
                "checked_on": day("checked on", "When somebody last held the rule against the official text.",
                                  "2026-02-21"),
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
        **one_of_each(keys, (OPTIONS_KEY, *_terms()), (LOOK_KEY,)),
        "if": {"required": ["withdrawn"]},
        "else": {
            "if": {"required": [LOOK_KEY]},
            "else": {
                "if": {"required": [OPTIONS_KEY]},
                "else": {"required": ["quantity"], **some_limit(OPTIONS_KEY, LOOK_KEY)},
            },
        },
    }  # fmt: skip
