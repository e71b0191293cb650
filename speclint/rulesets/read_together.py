"""Rulesets read together: what a basis declares of a quantity says how the rules that build on it are to be read."""

from collections.abc import Sequence

from speclint.documents.tree import Document
from speclint.problems import Problem
from speclint.rulesets.library import Library
from speclint.rulesets.load import ruleset_of
from speclint.rulesets.model import Ruleset

ReadRuleset = tuple[Ruleset, tuple[Problem, ...]]
"""A ruleset, and what is wrong with it."""


def rulesets_of(documents: Sequence[Document]) -> dict[str, ReadRuleset]:
    """The rulesets of documents of valid shape by their files; of two with one id and version the first is built on."""
    read = {document.file: ruleset_of(document) for document in documents}
    if not any(ruleset.quantities for ruleset, _ in read.values()):
        return read
    from speclint.rulesets.declarations import inherited_by  # few rulesets declare anything

    library = Library(ruleset for ruleset, _ in read.values())
    for document in documents:
        layers = library.layers(read[document.file][0])
        inherited = inherited_by(layers[:-1]) if isinstance(layers, tuple) else {}
        if inherited:
            read[document.file] = ruleset_of(document, inherited)
    return read
