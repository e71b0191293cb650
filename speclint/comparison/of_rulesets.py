"""Two rulesets held against each other: what changed, which step the version needs, and whom it hits."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

from speclint.comparison.ruleset_changes import (
    ChangeKind,
    ClassChanges,
    IndexedVersion,
    Step,
    changes_between,
    largest_step,
)
from speclint.comparison.ruleset_entries import ChangedEntries, ChangedEntry, changed_entries
from speclint.files import ListedFile
from speclint.models.setups import setup_of
from speclint.plain import counted, listed
from speclint.problems import Problem
from speclint.rules.checks import Verdict
from speclint.workspace.loaded import Files
from speclint.workspace.overrides import Overrides
from speclint.workspace.source import Source
from speclint.workspace.workspace import Workspace


@dataclass(frozen=True, slots=True, kw_only=True)
class RulesetComparison:
    """What differs between two rulesets.

    Attributes:
        old: name of the old one, with the revision where it was taken from git.
        new: name of the new one.
        old_digest: digest of the old one, with all that it builds on.
        new_digest: that of the new one.
        classes: the classes that changed.
        step: the step that the version needs.
        edited_in_place: whether both have one name, and what can turn a verdict differs.
        entries: whom it hits; None where no cars were named.
    """

    old: str
    new: str
    old_digest: str
    new_digest: str
    classes: tuple[ClassChanges, ...]
    step: Step
    edited_in_place: bool
    entries: ChangedEntries | None

    @property
    def tightens(self) -> bool:
        """Whether the new one can make a legal car illegal."""
        return self.step is Step.MAJOR

    @property
    def answer(self) -> str:
        """What it comes to, in a few sentences."""
        parts = [f"{self.new} against {self.old}: {_changes_text(self.classes)}.", _STEP_TEXTS[self.step]]
        if self.edited_in_place:
            parts.append(
                f"Both say that they are {self.new}: a version that was published and then edited. Give the new text a"
                " version of its own."
            )
        if self.entries is not None:
            parts.append(_hit(self.entries))
        return " ".join(parts)


_STEP_TEXTS: Final = {
    Step.MAJOR: "It can make a legal car illegal, so the version needs a major step.",
    Step.MINOR: "It only lets more cars through, or changes no verdict: a minor step is enough.",
    Step.PATCH: "It turns no verdict: the smallest step is enough.",
    Step.NONE: "Both ask the same of every car.",
}


def compare_rulesets(
    old: IndexedVersion, new: IndexedVersion, revision: str = "", entries: ChangedEntries | None = None
) -> RulesetComparison:
    """Everything that differs between two rulesets; `revision` is that of the old one, "" where it has none."""
    classes = changes_between(old, new)
    old_digest, new_digest = old.library.digest(old.ruleset), new.library.digest(new.ruleset)
    return RulesetComparison(
        old=f"{old.ruleset.name} of {revision}" if revision else old.ruleset.name,
        new=new.ruleset.name,
        old_digest=old_digest,
        new_digest=new_digest,
        classes=classes,
        step=largest_step(changes.step for changes in classes),
        edited_in_place=old.ruleset.name == new.ruleset.name and old_digest != new_digest,
        entries=entries,
    )


def entries_hit(
    old: IndexedVersion, new: IndexedVersion, listed_files: Iterable[ListedFile], source: Source, overrides: Overrides
) -> tuple[ChangedEntries, tuple[Problem, ...]]:
    """The entries of the setups among some files that come out otherwise, and the problems of these files."""
    files = Files(source)
    loaded_files = [files.named(listed_file.file) for listed_file in listed_files]
    workspace = Workspace(files, overrides, listed=loaded_files)
    loaded_setups = [loaded for loaded in loaded_files if loaded.format == "setup/1"]
    setups = [setup_of(loaded.sound) for loaded in loaded_setups if loaded.sound is not None]
    problems = [problem for loaded in loaded_setups for problem in loaded.problems]
    problems += [problem for setup in setups for problem in workspace.car(setup).problems]
    return changed_entries(old, new, setups, workspace), tuple(dict.fromkeys(problems))


def _changes_text(classes: Sequence[ClassChanges]) -> str:
    kinds = [changes.kind for changes in classes]
    parts = [
        f"{counted(kinds.count(kind), 'class', 'classes')} {kind.value}"
        for kind in (ChangeKind.ADDED, ChangeKind.WITHDRAWN)
        if kind in kinds
    ]
    rules = {(in_class.id, change.rule, change.kind) for in_class in classes for change in in_class.changes}
    changed = [kind for _, _, kind in rules]
    parts += [f"{counted(changed.count(kind), 'rule')} {kind.value}" for kind in ChangeKind if kind in changed]
    return listed(parts) or "nothing is asked otherwise"


def _hit(entries: ChangedEntries) -> str:
    count = entries.judged
    if not count:
        return "None of the cars is entered under it."
    if not entries.changed:
        return "Nothing changes for the one entry." if count == 1 else f"Nothing changes for the {count} entries."
    turned = [*map(_turn, entries.changed)]
    parts = [
        counted(turned.count(turn), turn.singular, turn.plural) for turn in (*_TURNS.values(), _SAME) if turn in turned
    ]
    warned = sum(1 for entry in entries.changed if entry.warnings)
    parts += [f"{counted(warned, 'is', 'are')} warned of a later day"] if warned else []
    rest = count - len(entries.changed)
    unchanged = f"; nothing changes for the other {rest if rest > 1 else 'one'}" if rest else ""
    return f"Of {counted(count, 'entry', 'entries')}, {listed(parts)}{unchanged}."


class _Turn(NamedTuple):
    """What becomes of entries, of one and of several."""

    singular: str
    plural: str


_TURNS: Final = {
    None: _Turn("has no class any more", "have no class any more"),
    Verdict.ILLEGAL: _Turn("becomes illegal", "become illegal"),
    Verdict.NOT_SHOWN: _Turn("becomes not shown", "become not shown"),
    Verdict.LEGAL: _Turn("becomes legal", "become legal"),
}
_SAME: Final = _Turn("keeps its verdict by another margin", "keep their verdict by another margin")
_WARNED_ALONE: Final = _Turn("", "")


def _turn(entry: ChangedEntry) -> _Turn:
    if entry.after is not entry.before:
        return _TURNS[entry.after]
    return _SAME if entry.rules else _WARNED_ALONE
