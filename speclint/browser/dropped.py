"""The files that somebody dropped on a page: their folders are lost, so that a name counts wherever a path leads astray."""

import posixpath
from collections.abc import Mapping

from speclint.files import FileText, file_text
from speclint.workspace.source import NamedFiles


class DroppedFiles(NamedFiles):
    """The files of a person beside the rulesets of a site.

    Args:
        files: the person's, by the names that the browser gives. Rulesets among them are left out: the site's judge.
        rulesets: the site's, by their names below its top.
    """

    def __init__(self, files: Mapping[str, bytes], rulesets: Mapping[str, bytes]) -> None:
        declared = {name: file_text(name, data).declares for name, data in files.items()}
        self.left_out = tuple(sorted(name for name, kind in declared.items() if kind == "ruleset"))
        self._dropped = {name: data for name, data in files.items() if name not in self.left_out}
        self._rulesets = rulesets
        super().__init__({**self._dropped, **rulesets})

    @property
    def names(self) -> tuple[str, ...]:
        """The person's files that count."""
        return tuple(self._dropped)

    def read(self, shown: str) -> FileText:
        """The text of a file; those of the site were held to their schema when it was published."""
        text = super().read(shown)
        return text._replace(is_ours=True) if shown in self._rulesets else text

    def beside(self, file: str, reference: str) -> str:
        """The file that another one names: by its path, or else by its name alone where just one has that."""
        target = super().beside(file, reference)
        if target in self._dropped:
            return target
        namesakes = [name for name in self._dropped if posixpath.basename(name) == posixpath.basename(reference)]
        return namesakes[0] if len(namesakes) == 1 else target

    def outside(self, file: str, reference: str) -> str:  # noqa: ARG002 - what was not dropped is missing
        """Nothing: a file that was not dropped is one that is missing."""
        return ""
