"""What a comparison takes for what nobody stated: which bench, and how far its readings scatter; in words."""

from collections.abc import Iterator, Sequence
from typing import Final

from speclint.comparison.compared import CommonValue
from speclint.comparison.repeatability import USUAL
from speclint.readings.digits import plain_text, with_unit

_READ_IN: Final = {
    "rpm_per_v": "speed",
    "rpm": "speed",
    "a": "current",
    "mohm": "winding",
    "deg": "timing",
    "percent": "evenness",
}


def assumptions_of(values: Sequence[CommonValue]) -> Iterator[str]:
    """What is assumed of the readings behind these values, a sentence each."""
    sources = [source for value in values for source in value.sources]
    assumed = dict.fromkeys(source.scatter_assumed for source in sources if source.scatter_assumed)
    texts: dict[str, str] = {}
    for unit in assumed:
        scatter = USUAL[unit]
        texts[_READ_IN[unit]] = with_unit(plain_text(scatter.size), "percent" if scatter.percent else unit)
    if texts:
        listed = ", ".join(f"{name} {text}" for name, text in texts.items())
        yield (
            f"scatter between two clampings as is usual: {listed} (estimates). Clamp one motor ten times, and state your"
            " bench's own as `repeatability_percent` or `repeatability` of the instrument"
        )
    if any(not source.instrument for source in sources):
        yield "readings without an instrument count as read on one bench: name it with `instrument:` if they were not"
