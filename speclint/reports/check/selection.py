"""What `--only` asks to be shown: a verdict, close calls, what comes, a class, a rule or a car."""

from collections.abc import Callable, Iterable
from typing import Final, NamedTuple

from speclint.findings import ComingChange, EntryResult
from speclint.rules.checks import WORST_FIRST, Check, Verdict
from speclint.rules.wording import title
from speclint.spelling import known_words

_OF_CHECKS: Final[dict[str, Callable[[Check], bool]]] = {
    "close": lambda check: check.close_call,
    "coming": lambda check: bool(check.later),
    "to-inspect": lambda check: check.verdict is Verdict.TO_INSPECT,
}
"""Words for some checks of an entry."""

_OF_ENTRIES: Final = {verdict.value: verdict for verdict in WORST_FIRST}
"""Words for whole entries."""

_VERDICT_WORDS: Final = frozenset(verdict.value for verdict in Verdict)


class Names(NamedTuple):
    """Words that could have been given for an entry, and the id of its class where its title was."""

    words: frozenset[str]
    titled_class: str


_NO_NAMES: Final = Names(frozenset(), "")


class Selection:
    """Picks what a word names; without a word everything is picked."""

    def __init__(self, word: str) -> None:
        self.word = word
        self._plain = _plain(word)
        self._words: set[str] = {*_OF_CHECKS, *_OF_ENTRIES}
        self._titled_class = ""
        self._is_met = not word

    def checks(self, result: EntryResult) -> tuple[Check, ...] | None:
        """The checks of an entry that are asked about; None where the entry is not."""
        return self._selected(result) if self._plain else result.checks

    def named(self, result: EntryResult) -> Names:
        """What an entry, its class and its rules are called; nothing where no word is given."""
        if not self._plain:
            return _NO_NAMES
        titled = result.flat.id if self._plain == _plain(result.flat.title) else ""
        return Names(frozenset((result.flat.id, *(check.rule.id for check in result.checks))), titled)

    def note(self, names: Names, *, is_selected: bool) -> None:
        """Takes in whether an entry was asked about, and what could have been."""
        self._words |= names.words
        self._titled_class = names.titled_class or self._titled_class
        self._is_met = self._is_met or is_selected

    def changes(self, changes: Iterable[ComingChange]) -> tuple[ComingChange, ...]:
        """What of the changes to come is asked about; all of them where that is the word."""
        selected = tuple(change for change in changes if self._names_change(change))
        self._is_met = self._is_met or bool(selected)
        return selected

    def trouble(self) -> str:
        """What to say where nothing had to do with the word."""
        if self._is_met:
            return ""
        if self._plain in (*_OF_CHECKS, *_OF_ENTRIES):
            return f"--only {self.word}: there is none."
        return f"--only {self.word}: nothing here is, has or is called that{known_words(self._plain, self._words)}"

    def _selected(self, result: EntryResult) -> tuple[Check, ...] | None:
        if self._plain in _OF_ENTRIES:
            return result.checks if result.verdict is _OF_ENTRIES[self._plain] else None
        of_check = _OF_CHECKS.get(self._plain, self._is_named)
        selected = tuple(check for check in result.checks if of_check(check))
        if selected:
            return selected
        return result.checks if self._is_of(result) else None

    def _names_change(self, change: ComingChange) -> bool:
        if self._plain in ("", "coming"):
            return True
        if self._plain in _VERDICT_WORDS:
            return change.verdict is not None and change.verdict.value == self._plain
        class_id = change.book.partition("/")[2]
        self._words |= {class_id, *change.rule_names[:1]} - {""}
        return (
            self._plain in map(_plain, (class_id, *change.rule_names))
            or (class_id != "" and class_id == self._titled_class)
            or any(self._plain in _plain(text) for text in (change.name, change.file))
        )

    def _is_named(self, check: Check) -> bool:
        return self._plain in (_plain(check.rule.id), _plain(title(check)), _plain(check.rule.quantity or ""))

    def _is_of(self, result: EntryResult) -> bool:
        return (
            self._plain in (_plain(result.flat.id), _plain(result.flat.title))
            or self._plain in _plain(result.name)
            or self._plain in _plain(result.file)
        )


def _plain(text: str) -> str:
    return text.strip().lower().replace(" ", "-").replace("_", "-")
