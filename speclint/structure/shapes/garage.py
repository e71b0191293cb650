"""The garage: what a team shares between its setups."""

from typing import Final

from speclint.schema_nodes import VERSION, Schema, by_name, mapping, node, text
from speclint.structure.shapes import equipment

DIGEST: Final = "^sha256:[0-9a-f]{64}$"
DIGEST_EXAMPLE: Final = "sha256:" + "0123456789abcdef" * 4


def _pin() -> Schema:
    digest = node(
        "digest",
        "What that version was when it was looked at: `ruleset_digest` of a check's JSON report.",
        [DIGEST_EXAMPLE],
        type="string",
        pattern=DIGEST,
    )
    return {
        **by_name(
            "pin",
            "The versions of a ruleset that a team has looked at, each with its digest.",
            digest,
            {"2026.1": DIGEST_EXAMPLE, "2026.2": DIGEST_EXAMPLE},
        ),
        "propertyNames": {"type": "string", "pattern": f"^{VERSION}$"},
    }


def garage_document() -> Schema:
    """The root of garage/1."""
    return mapping(
        "garage", "What a team shares between its setups: instruments, parts box, tracks and pinned rulesets.",
        {
            "format": node("format", "What this file is.", ["garage/1"], type="string", const="garage/1"),
            "name": text("name", "How you call the garage.", "Quay Street garage"),
            "instruments": equipment.instruments(),
            "parts_box": equipment.parts_box(),
            "tracks": by_name("tracks", "Tracks by id; an entry or a track run names one.", {"$ref": "#/$defs/track"},
                              {"harbour-hall": {"lap_m": 180, "straight_m": 32}}, ids=True),
            "pins": by_name("pins", "Rulesets by id that must not change unseen: one that no longer matches its digest"
                            " is a problem.", {"$ref": "#/$defs/pin"},
                            {"harbour-city": {"2026.2": DIGEST_EXAMPLE}}, ids=True),
            "notes": text("notes", "Anything worth remembering.", "scale comes back in May"),
        },
        {"format": "garage/1", "parts_box": {"pinions_teeth": [40, 41, 42]}},
        required=["format"],
    )  # fmt: skip


DEFS: Final[dict[str, Schema]] = {"pin": _pin()}
