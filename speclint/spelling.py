"""How words are spelled: which known one is the nearest, and which two are one word written in two ways."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

_MOST_NAMES: Final = 40
"""As many as anybody reads through."""


def nearest(word: str, valid_words: Iterable[str], *, cutoff: float = 0.6) -> str:
    """The known word most like this one, or "" where none is like it. The order of the known words decides ties."""
    from difflib import get_close_matches  # slow to import, and needed only when something is wrong

    lowered = {name.lower(): name for name in valid_words}
    matches = get_close_matches(word.lower(), lowered, n=1, cutoff=cutoff)
    return lowered[matches[0]] if matches else ""


def nearest_by_parts(word: str, valid_words: Iterable[str]) -> tuple[str, ...]:
    """The known words most like this one, of words in parts, such as options: `--kv` is a part of `--kv-rpm-per-v`.

    Where several are as like, three of them are given; none where none is like it.
    """
    from difflib import SequenceMatcher

    typed = word.lower().replace("_", "-").strip("-")
    likeness: dict[str, float] = {}
    for name in valid_words:
        bare = name.strip("-")
        ratios = {run: SequenceMatcher(None, typed, run).ratio() for run in _runs(bare.split("-"))}
        least = {run: _LEAST_LIKE if run == bare else _LEAST_LIKE_A_PART for run in ratios}
        likeness[name] = max((ratio for run, ratio in ratios.items() if ratio >= least[run]), default=0)
    best = max(likeness.values(), default=0)
    return tuple(name for name, like in likeness.items() if like == best)[:3] if best else ()


def _runs(parts: Sequence[str]) -> Iterator[str]:
    """Every run of parts that follow one another."""
    for start in range(len(parts)):
        for end in range(start + 1, len(parts) + 1):
            yield "-".join(parts[start:end])


_LEAST_LIKE: Final = 0.75
"""How alike a word must be to what was typed, to be what was meant: below that, `--quiet` would be `--ruleset`."""

_LEAST_LIKE_A_PART: Final = 0.85
"""The same of a part of one: below that, `--weight` would be `--ride-height-mm`."""


def known_words(word: str, valid_words: Iterable[str]) -> str:
    """The end of a sentence that names a word which is not known: the nearest one, and all that there are."""
    names = sorted(valid_words)
    if not names:
        return "; none is known"
    near = nearest(word, names)
    more = f" and {len(names) - _MOST_NAMES} more" if len(names) > _MOST_NAMES else ""
    listed = f"{', '.join(names[:_MOST_NAMES])}{more}"
    return f"; did you mean {near}? Known: {listed}" if near else f"; known: {listed}"


def is_one_word(first: str, second: str) -> bool:
    """Whether two texts differ in nothing but case, spaces, dashes and signs that nobody sees, so that one slip parts them."""
    letters = _letters(first)
    return letters != "" and letters == _letters(second)


def nearest_listed(word: str, names: Iterable[str], *, only_alike: bool = False) -> str:
    """The end of a sentence about a word that is not on a list: the nearest that is, or one that looks like it alone."""
    near = nearest(word, names)
    if near and (is_one_word(word, near) or word.isascii() is not near.isascii()):
        return f"; {near} is, spelled otherwise: copy it from there"
    return f"; the nearest is {near}" if near and not only_alike else ""


def is_like(first: str, second: str) -> bool:
    """Whether two words differ by a letter or so: one of six that is another, one of five that is left out."""
    # No two words agree in more than the letters that both have: most pairs end here, before anything slow is loaded.
    letters, others = Counter(first.lower()), Counter(second.lower())
    most_alike = 2 * (letters & others).total() / max(1, letters.total() + others.total())
    return most_alike >= _SLIP and nearest(first, (second,), cutoff=_SLIP) != ""


_SLIP: Final = 0.82
"""Five letters of six agree at 0.83, and four of five, where so many honest words do, at 0.80."""


def says_nothing(text: str) -> bool:
    """Whether a text has no letter and no figure, or a word for that: where somebody still has to look."""
    return not any(sign.isalnum() for sign in text) or text.strip(" ?!.").lower() in _STILL_TO_DO


_STILL_TO_DO: Final = frozenset({"todo", "tbd", "tba", "fixme", "xxx", "unknown", "not known", "not measured"})
"""What people write for what they do not know yet (common practice)."""


def _letters(text: str) -> str:
    if not text.isascii():
        from unicodedata import normalize  # slow to import, and most texts are ASCII

        text = normalize("NFKC", text)
    return "".join(sign for sign in text.casefold() if sign.isprintable() and sign not in _OVERLOOKED)


_OVERLOOKED: Final = " _-\N{HYPHEN}\N{FIGURE DASH}\N{EN DASH}\N{EM DASH}\N{MINUS SIGN}\"'“”„‟‘’‚«»‹›"
"""What one person writes and another leaves out, or writes otherwise; what is not printable nobody sees."""
