"""The rulesets of a run: those under the paths, those that belong to the setups, and those that come with speclint."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from speclint.check.loaded import Loaded
from speclint.documents.tree import Document
from speclint.problems import Problem
from speclint.rulesets.library import Library
from speclint.rulesets.load import ruleset_of
from speclint.rulesets.model import Ruleset
from speclint.rulesets.references import reference_problems

BUNDLED: Final = "speclint:rulesets/"
"""What the names of the files begin with that come with speclint."""


@dataclass(frozen=True, slots=True)
class Shelf:
    """Every ruleset that could be read, as a library, and what is wrong with the files they stand in.

    `broken` names the files of rulesets that have problems of their own, by id as far as that can be told.
    """

    library: Library
    problems: tuple[Problem, ...]
    broken: Mapping[str, str]
    documents: Mapping[str, tuple[Ruleset, Document]]


def shelve(files: Iterable[Loaded]) -> Shelf:
    """The shelf of the ruleset files among these; of one that comes with speclint, a user's own version wins."""
    sound: list[tuple[Ruleset, Document]] = []
    problems: list[Problem] = []
    broken: dict[str, str] = {}
    for loaded in sorted(files, key=lambda loaded: (loaded.file.startswith(BUNDLED), loaded.file)):
        document = loaded.document
        if loaded.format != "ruleset/1" or document is None:
            continue
        if loaded.problems:
            broken.setdefault(str(document.get(("id",), "")), loaded.file)
            continue
        ruleset, wrong = ruleset_of(document)
        problems.extend(wrong)
        if wrong:
            broken.setdefault(ruleset.id, loaded.file)
        elif not (loaded.file.startswith(BUNDLED) and any(ruleset.name == other.name for other, _ in sound)):
            sound.append((ruleset, document))
    library = Library(ruleset for ruleset, _ in sound)
    for ruleset, document in sound:
        problems.extend(reference_problems(ruleset, document, library))
    problems.extend(library.problems)
    return Shelf(library, tuple(problems), broken, {document.file: (ruleset, document) for ruleset, document in sound})
