"""The colours of a terminal: what each style of words looks like, on light and on dark grounds alike."""

from collections.abc import Callable
from typing import Final

from speclint.reports.layout import Style

_STYLES: Final = {
    Style.PLAIN: "",
    Style.HEAD: "bold",
    Style.FAIL: "bold #d43d45",
    Style.ASK: "bold #b35c00",
    Style.DO: "bold #1b7aa6",
    Style.SOFT: "#767676",
}
"""Colours that stand out by 4.5 to 1 or nearly so from white and from black (WCAG 2.2, 1.4.3); the words say the same."""


def painter() -> Callable[[str, str], str]:
    """What puts a text into the colour of a style, by its name, in as many colours as the terminal has."""
    from rich.color import ColorSystem
    from rich.console import Console
    from rich.style import Style as Look

    systems = {"windows": ColorSystem.WINDOWS, "standard": ColorSystem.STANDARD, "256": ColorSystem.EIGHT_BIT}
    colour_system = Console(force_terminal=True).color_system
    system = systems.get(colour_system or "standard", ColorSystem.TRUECOLOR)
    looks = {style.value: Look.parse(look) for style, look in _STYLES.items()}
    return lambda text, style: looks[style].render(text, color_system=system)
