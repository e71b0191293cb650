"""A key that names a quantity."""

from typing import Final

from speclint.quantities.registry import QUANTITIES
from speclint.schema_nodes import Schema, node

QUANTITY_PATTERN: Final = "^([a-z][a-z0-9_]*|(extra|entry)\\.[^\\x00-\\x1f]+)$"
"""What a quantity can be called at all."""

DECLARED_PATTERN: Final = "^(extra|entry)\\.[^\\x00-\\x1f]+$"
"""What a quantity can be called that a ruleset declares."""

_HELP: Final = "a name that `speclint explain` knows, extra.KEY for a key under a setup's `extra:`, or entry.KEY"


def quantity_key(title: str, about: str, *examples: str) -> Schema:
    """A key that names a quantity."""
    names = {"$ref": "#/$defs/quantity_names"}
    return node(title, f"{about}: {_HELP}.", examples, type="string", pattern=QUANTITY_PATTERN, **names)


QUANTITY_WORDS: Final = [quantity.name for quantity in QUANTITIES]
"""Every quantity that has a name of its own."""

QUANTITY_NAMES: Final[dict[str, Schema]] = {
    "quantity_names": {
        "type": "string",
        "if": {"type": "string", "pattern": "^(extra|entry)\\.[^\\x00-\\x1f]+$"},
        "else": {
            "enum": QUANTITY_WORDS,
            "enumDescriptions": [quantity.about for quantity in QUANTITIES],
            "errorMessage": f"there is no quantity of this name; it takes {_HELP}",
        },
        # Editors complete by what is unconditional, and hover and mark by the branch.
        "defaultSnippets": [
            {"label": quantity.name, "description": quantity.about, "body": quantity.name} for quantity in QUANTITIES
        ],
    }
}
"""What an editor offers and marks where a quantity is named; one without a name of its own is `extra.` or `entry.` something."""
