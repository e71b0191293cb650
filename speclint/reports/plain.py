"""Text that is safe to print: nothing from a file can steer a terminal, and ASCII can stand for every sign we use."""

from typing import Final

_ASCII: Final = str.maketrans(
    {
        "±": "+/-", "×": "x", "÷": "/", "−": "-", "–": "-", "→": "->", "≥": ">=", "≤": "<=", "π": "pi", "…": "...",
        "Ω": "Ohm", "°": " deg", "·": "*", "ν": "nu",
    }
)  # fmt: skip


def one_line(text: str) -> str:
    """The text on one line, with every control character (line ends among them) shown as a plain question mark."""
    if text.isprintable():
        return text
    return "".join(sign if sign.isprintable() else " " if sign in "\t\n\r" else "?" for sign in text)


def in_ascii(text: str) -> str:
    """The text in ASCII; signs that have no usual spelling become question marks."""
    if text.isascii():
        return text
    return text.replace(" °C", " deg C").translate(_ASCII).encode("ascii", "replace").decode()
