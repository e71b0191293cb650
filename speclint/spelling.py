"""The nearest valid spelling of a word that is not known."""

from collections.abc import Iterable
from typing import Final

_MOST_NAMES: Final = 40
"""As many as anybody reads through."""


def nearest(word: str, valid_words: Iterable[str], *, cutoff: float = 0.6) -> str:
    """The known word most like this one, or "" where none is like it. The order of the known words decides ties."""
    from difflib import get_close_matches  # slow to import, and needed only when something is wrong

    lowered = {name.lower(): name for name in valid_words}
    matches = get_close_matches(word.lower(), lowered, n=1, cutoff=cutoff)
    return lowered[matches[0]] if matches else ""


def known_words(word: str, valid_words: Iterable[str]) -> str:
    """The end of a sentence that names a word which is not known: the nearest one, and all that there are."""
    names = sorted(valid_words)
    if not names:
        return "; none is known"
    near = nearest(word, names)
    more = f" and {len(names) - _MOST_NAMES} more" if len(names) > _MOST_NAMES else ""
    listed = f"{', '.join(names[:_MOST_NAMES])}{more}"
    return f"; did you mean {near}? Known: {listed}" if near else f"; known: {listed}"
