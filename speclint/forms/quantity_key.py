"""A key that names a quantity."""

from typing import Final

from speclint.schema_nodes import Schema, node

QUANTITY_PATTERN: Final = "^([a-z][a-z0-9_]*|(extra|entry)\\.[^\\x00-\\x1f]+)$"
"""What a quantity can be called at all."""

_HELP: Final = "a name that `speclint explain` knows, extra.KEY for a key under a setup's `extra:`, or entry.KEY"


def quantity_key(title: str, about: str, *examples: str) -> Schema:
    """A key that names a quantity."""
    return node(title, f"{about}: {_HELP}.", examples, type="string", pattern=QUANTITY_PATTERN)
