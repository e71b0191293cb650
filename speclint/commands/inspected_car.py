"""Which questions `speclint log FILE car` asks: those that the rules of the car's class want answered that day."""

from typing import Any, Final

from speclint.commands.shell import say, workspace_beside
from speclint.documents.tree import Document
from speclint.files import Folder
from speclint.logbook.fields import RecordField
from speclint.models.inspections import inspection_of
from speclint.rulesets.not_found import NotFound
from speclint.starters.inspection import Wanted, wanted

_UNASKED: Final = frozenset({"name", "entry"})


class AskedReadings:
    """What is asked of a car of an inspection, once its class is known."""

    def __init__(self, folder: Folder, document: Document) -> None:
        self._inspection = inspection_of(document)
        self._workspace = workspace_beside(folder, document.file)
        self._wanted: Wanted | None = None

    def complaint(self, field: RecordField, answer: Any, *, without_rules: bool = False) -> str:
        """Why there are no rules for a class that was answered, or no look at a rule; "" where there are, and for all else.

        A car may be put down `without_rules`, where nobody has them at hand; a class that they do not have, never.
        """
        if field.path == ("looked_at",) and self._wanted is not None and isinstance(answer, dict):
            from speclint.check.inspecting import look_refused  # slow to import, and needed for a look alone

            refused = (look_refused(str(rule_id), self._wanted.book) for rule_id in answer)
            return next((message for _, message in refused if message), "")
        if field.path != ("class",) or not isinstance(answer, str):
            return ""
        wanted_readings = wanted(self._workspace, self._inspection, answer)
        if isinstance(wanted_readings, NotFound):
            if without_rules and wanted_readings.problem != "unknown-class":
                return ""
            return wanted_readings.message
        self._wanted = wanted_readings
        return ""

    def has(self, field: RecordField, values: dict[RecordField, Any]) -> bool:
        """Whether a field is asked for, after the values that are given already."""
        section, *below = field.path
        if section == "readings":
            return self._wanted is not None and any(
                path[: len(below)] == tuple(below) for path in self._wanted.readings
            )
        if section == "looked_at" and self._wanted is not None:
            for rule, asked in self._wanted.looks.items():
                say(f"To look at: {rule}, {asked}", err=True)
            return bool(self._wanted.looks)
        is_numbered = any(given.path == ("number",) for given in values)
        return section not in _UNASKED and not (section == "setup" and is_numbered)
