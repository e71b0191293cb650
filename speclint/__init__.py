"""speclint: keeps spec-class electric model cars legal, from plain text in git.

The names in `__all__` are the public interface; everything else is private and may change. Importing the package costs
nothing: each name loads what it needs when it is first used.
"""

from typing import Any, Final

__version__: Final = "0.1.0"

_HOMES: Final = {
    "speclint.api.opening": ("check_paths", "load_ruleset"),
    "speclint.api.report": (
        "Advice", "CarRemedies", "Check", "ComingChange", "Entry", "Holding", "Inspected", "KeyChange", "LookedAt", "Notice", "NotJudged",
        "OfficialReading", "Place", "Problem", "ReadFile", "Remedy", "Report", "Test", "Waiver",
    ),
    "speclint.api.ruleset": ("Rule", "Ruleset", "RulesetClass"),
    "speclint.errors": ("SpeclintError",),
}  # fmt: skip
"""Where the public names are at home; `__init__.pyi` says the same to type checkers."""

__all__ = [
    "Advice",
    "CarRemedies",
    "Check",
    "ComingChange",
    "Entry",
    "Holding",
    "Inspected",
    "KeyChange",
    "LookedAt",
    "NotJudged",
    "Notice",
    "OfficialReading",
    "Place",
    "Problem",
    "ReadFile",
    "Remedy",
    "Report",
    "Rule",
    "Ruleset",
    "RulesetClass",
    "SpeclintError",
    "Test",
    "Waiver",
    "__version__",
    "check_paths",
    "load_ruleset",
]


def __getattr__(name: str) -> Any:
    for home, names in _HOMES.items():
        if name in names:
            from importlib import import_module

            return getattr(import_module(home), name)
    raise AttributeError(f"module 'speclint' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted(__all__)
