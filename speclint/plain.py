"""Text that is safe to print: nothing from a file can steer a terminal, and ASCII can stand for every sign we use."""

from collections.abc import Iterable, Sequence
from typing import Final

_ASCII: Final = str.maketrans(
    {
        "±": "+/-", "×": "x", "÷": "/", "−": "-", "–": "-", "→": "->", "≥": ">=", "≤": "<=", "π": "pi", "…": "...",
        "Ω": "Ohm", "°": " deg", "·": "*", "›": ">", "ν": "nu", "√": "sqrt ", "²": "^2", "½": "1/2",
    }
)  # fmt: skip


def one_line(text: str) -> str:
    """The text on one line, with every control character (line ends among them) shown as a plain question mark."""
    if text.isprintable():
        return text
    # Signs that are blank, such as the space between ideographs, steer nothing; to Python none of them is printable.
    return "".join(sign if sign.isprintable() else " " if sign.isspace() else "?" for sign in text)


def in_ascii(text: str) -> str:
    """The text in ASCII; signs that have no usual spelling become question marks."""
    if text.isascii():
        return text
    return text.replace(" °C", " deg C").replace(" ·", " |").translate(_ASCII).encode("ascii", "replace").decode()


def listed(parts: Iterable[str], joined: str = "and") -> str:
    """Parts in a row as a sentence has them: `one, two and three`; nothing of none."""
    *first, last = (*parts,) or ("",)
    return f"{', '.join(first)} {joined} {last}" if first else last


def first_few(parts: Sequence[str], most: int) -> str:
    """As many parts in a row as anybody reads through, and how many more there are: `one, two and 3 more`."""
    shown = ", ".join(parts[:most])
    return f"{shown} and {len(parts) - most} more" if len(parts) > most else shown


def counted(count: int, noun: str, plural: str = "") -> str:
    """A number with its noun: `1 problem`, `2 problems`."""
    return f"{count} {noun if count == 1 else plural or f'{noun}s'}"


def capitalised(text: str) -> str:
    """A text as it begins a sentence."""
    return text[:1].upper() + text[1:]


def clipped(text: str, most: int) -> str:
    """The text, cut off with an ellipsis where it is longer than so many signs."""
    return text if len(text) <= most else f"{text[: most - 1].rstrip()}…"


def columns(text: str) -> int:
    """How many columns of a terminal the text takes: wide signs take two, combining ones none (Unicode UAX 11)."""
    if text.isascii():
        return len(text)
    from unicodedata import combining, east_asian_width

    return sum(2 if east_asian_width(sign) in "WF" else 0 if combining(sign) else 1 for sign in text)
