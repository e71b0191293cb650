"""The gear chart: every pair with its ratio and what is said of it, as a grid where there is room, else as a list."""

from collections.abc import Iterator

from speclint.gearing.figures import degrees_band, ratio_text, rollout_text
from speclint.gearing.plan import Plan
from speclint.gearing.start import Geared, Mark
from speclint.gearing.wording import MARKS, START_SIGN, STEP_SIGN
from speclint.reports.pen import Pen

NARROWEST_GRID = 60
"""Columns below which a grid is cut into too many pieces to be read across."""


def sign(plan: Plan, geared: Geared) -> str:
    """What stands behind a pair's ratio: the start, a step up, or its mark."""
    if geared is plan.start:
        return START_SIGN
    if any(geared is rung.geared for rung in plan.rungs):
        return STEP_SIGN
    return MARKS[geared.mark][0]


def legend(plan: Plan) -> tuple[str, ...]:
    """What the signs mean that this chart has."""
    shown = {sign(plan, geared) for geared in plan.pairs}
    lines = []
    if START_SIGN in shown:
        lines.append(f"{START_SIGN}  the start")
    if STEP_SIGN in shown:
        lines.append(f"{STEP_SIGN}  a step up from it")
    lines += [f"{MARKS[mark][0]}  {MARKS[mark][1]}" for mark in Mark if MARKS[mark][0] and MARKS[mark][0] in shown]
    if "" in shown:
        lines.append(f"without a sign  {MARKS[Mark.SAFE][1]}")
    return tuple(lines)


def chart(plan: Plan, pen: Pen) -> Iterator[str]:
    """The chart's lines."""
    if pen.width < NARROWEST_GRID:
        yield from _list(plan, pen)
    else:
        yield from _grid(plan, pen)


def _grid(plan: Plan, pen: Pen) -> Iterator[str]:
    by_teeth = {(geared.pair.spur, geared.pair.pinion): geared for geared in plan.pairs}
    spurs = sorted({spur for spur, _ in by_teeth})
    pinions = sorted({pinion for _, pinion in by_teeth})
    cells = {teeth: f"{ratio_text(geared)}{sign(plan, geared)}" for teeth, geared in by_teeth.items()}
    # The sign is part of the cell, so a cell without one leaves its column free and the decimals stand in line.
    width = max(len(ratio_text(geared)) for geared in plan.pairs) + 1
    head = "spur \\ pinion"
    across = max(1, (pen.width - 2 - len(head)) // (width + 1))
    for first in range(0, len(pinions), across):
        part = pinions[first : first + across]
        if first:
            yield ""
        yield pen.clean(f"  {head}" + "".join(f" {str(pinion).rjust(width - 1)} " for pinion in part)).rstrip()
        for spur in spurs:
            row = [_aligned(cells.get((spur, pinion), ""), width) for pinion in part]
            if any(cell.strip() for cell in row):
                yield f"  {str(spur).rjust(len(head))} {' '.join(row)}".rstrip()


def _aligned(cell: str, width: int) -> str:
    return cell.rjust(width) if cell and not cell[-1].isdigit() else cell.rjust(width - 1) + " "


def _list(plan: Plan, pen: Pen) -> Iterator[str]:
    for geared in sorted(plan.pairs, key=lambda each: (-each.pair.ratio, each.pair.spur)):
        can = "" if geared.outlook is None else f", {degrees_band(geared.outlook.can_c)}"
        shown = sign(plan, geared).ljust(1)
        text = f"{shown} {geared.pair.spur}/{geared.pair.pinion} {ratio_text(geared)}, {rollout_text(geared)}{can}"
        yield from pen.wrapped(text, "  " if shown.strip() else "    ", "      ")
