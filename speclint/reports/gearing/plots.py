"""Plots as inline SVG: a band with its middle over an axis, with limits as lines; no script, no style from elsewhere."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape
from typing import Final

from speclint.pages.axis import ticks

WIDTH: Final = 360
HEIGHT: Final = 240
_LEFT, _RIGHT, _TOP, _BOTTOM = 40, 12, 24, 42


@dataclass(frozen=True, slots=True)
class Level:
    """A line across the plot: at a height where `upright` is false, at a place along the axis where it is true."""

    at: float
    text: str
    kind: str
    upright: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Plot:
    """A plot.

    Attributes:
        id: Unique on its page.
        title: What it shows, for whoever cannot see it.
        description: What is to be seen in it.
        across: Text of the axis across.
        upwards: Text of the axis upwards.
        points: Place along the axis, and low, middle and high end there; in rising order.
        levels: Limits.
        marks: Single points with their text.
        ceiling: Heights above this are drawn at it.
    """

    id: str
    title: str
    description: str
    across: str
    upwards: str
    points: Sequence[tuple[float, float, float, float]]
    levels: Sequence[Level] = ()
    marks: Sequence[tuple[float, float, str]] = ()
    ceiling: float = 160.0


def svg(plot: Plot) -> str:
    """The plot as an SVG element; empty where there is nothing to draw."""
    if len(plot.points) < 2:
        return ""
    heights = [min(end, plot.ceiling) for _, low, _, high in plot.points for end in (low, high)]
    heights += [min(level.at, plot.ceiling) for level in plot.levels if not level.upright]
    places = [place for place, *_ in plot.points]
    places += [level.at for level in plot.levels if level.upright] + [place for place, _, _ in plot.marks]
    frame = _Frame(min(places), max(places), min(heights), max(heights))
    return "\n".join(
        [
            f'<svg viewBox="0 0 {WIDTH} {HEIGHT}" role="img" aria-labelledby="{plot.id}-t {plot.id}-d">',
            f'<title id="{plot.id}-t">{escape(plot.title)}</title>',
            f'<desc id="{plot.id}-d">{escape(plot.description)}</desc>',
            *_axes(plot, frame),
            *_band(plot, frame),
            *(_level(level, index, frame, plot.ceiling) for index, level in enumerate(plot.levels)),
            *(_mark(mark, frame, plot.ceiling) for mark in plot.marks),
            "</svg>",
        ]
    )


class _Frame:
    """From values to places on the paper."""

    def __init__(self, left: float, right: float, low: float, high: float) -> None:
        self.across = ticks(left, right)
        self.upwards = ticks(low, high)

    def x(self, value: float) -> float:
        first, last = self.across[0], self.across[-1]
        return _LEFT + (value - first) / (last - first) * (WIDTH - _LEFT - _RIGHT)

    def y(self, value: float) -> float:
        first, last = self.upwards[0], self.upwards[-1]
        return HEIGHT - _BOTTOM - (value - first) / (last - first) * (HEIGHT - _TOP - _BOTTOM)


def _axes(plot: Plot, frame: _Frame) -> Iterator[str]:
    right, floor_ = WIDTH - _RIGHT, HEIGHT - _BOTTOM
    for value in frame.upwards:
        y = frame.y(value)
        yield f'<line class="grid" x1="{_LEFT}" x2="{right}" y1="{y:.1f}" y2="{y:.1f}"/>'
        yield f'<text x="{_LEFT - 5}" y="{y + 4:.1f}" text-anchor="end">{value:g}</text>'
    for value in frame.across:
        x = frame.x(value)
        yield f'<line class="tick" x1="{x:.1f}" x2="{x:.1f}" y1="{floor_}" y2="{floor_ + 4}"/>'
        yield f'<text x="{x:.1f}" y="{floor_ + 17}" text-anchor="middle">{value:g}</text>'
    yield f'<text x="{(_LEFT + right) / 2:.1f}" y="{HEIGHT - 5}" text-anchor="middle">{escape(plot.across)}</text>'
    yield f'<text x="4" y="12">{escape(plot.upwards)}</text>'


def _band(plot: Plot, frame: _Frame) -> Iterator[str]:
    def point(place: float, height: float) -> str:
        return f"{frame.x(place):.1f},{frame.y(min(height, plot.ceiling)):.1f}"

    upper = [point(place, high) for place, _, _, high in plot.points]
    lower = [point(place, low) for place, low, _, _ in reversed(plot.points)]
    yield f'<polygon class="band" points="{" ".join(upper + lower)}"/>'
    middle = " ".join(point(place, mid) for place, _, mid, _ in plot.points)
    yield f'<polyline class="middle" points="{middle}"/>'


def _level(level: Level, index: int, frame: _Frame, ceiling: float) -> str:
    if level.upright:
        x = frame.x(level.at)
        anchor, shift = ("start", 4) if x < WIDTH * 0.6 else ("end", -4)
        return (
            f'<line class="{level.kind}" x1="{x:.1f}" x2="{x:.1f}" y1="{_TOP}" y2="{HEIGHT - _BOTTOM}"/>'
            f'<text x="{x + shift:.1f}" y="{HEIGHT - _BOTTOM - 6 - 16 * (index % 3)}" text-anchor="{anchor}">'
            f"{escape(level.text)}</text>"
        )
    y = frame.y(min(level.at, ceiling))
    return (
        f'<line class="{level.kind}" x1="{_LEFT}" x2="{WIDTH - _RIGHT}" y1="{y:.1f}" y2="{y:.1f}"/>'
        f'<text x="{WIDTH - _RIGHT}" y="{y - 4:.1f}" text-anchor="end">{escape(level.text)}</text>'
    )


def _mark(mark: tuple[float, float, str], frame: _Frame, ceiling: float) -> str:
    place, height, text = mark
    x, y = frame.x(place), frame.y(min(height, ceiling))
    anchor, shift = ("start", 7) if x < WIDTH * 0.6 else ("end", -7)
    return (
        f'<circle class="mark" cx="{x:.1f}" cy="{y:.1f}" r="4"/>'
        f'<text x="{x + shift:.1f}" y="{y - 7:.1f}" text-anchor="{anchor}">{escape(text)}</text>'
    )
