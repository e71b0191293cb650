"""The gear chart: every pair with its ratio and what is said of it, as a grid where there is room, else as a list."""

from collections.abc import Iterator

from speclint.gearing.figures import degrees_band, ratio_text, rollout_text
from speclint.gearing.plan import Plan
from speclint.gearing.start import Mark, RatedPair
from speclint.gearing.wording import MARKS, START_SIGN, STEP_SIGN
from speclint.reports.layout import Layout, Line, Span

NARROWEST_GRID = 60
"""Columns below which a grid is cut into too many pieces to be read across."""


def sign(plan: Plan, rated: RatedPair) -> str:
    """What stands behind a pair's ratio: the start, a step up, or its mark."""
    if plan.start is not None and rated is plan.start.rated:
        return START_SIGN
    if any(rated is step.rated for step in plan.steps):
        return STEP_SIGN
    return MARKS[rated.mark][0]


def legend(plan: Plan) -> tuple[str, ...]:
    """What the signs mean that this chart has."""
    shown = {sign(plan, rated) for rated in plan.pairs}
    lines = []
    if START_SIGN in shown:
        lines.append(f"{START_SIGN}  the start")
    if STEP_SIGN in shown:
        lines.append(f"{STEP_SIGN}  a step up from it")
    lines += [f"{MARKS[mark][0]}  {MARKS[mark][1]}" for mark in Mark if MARKS[mark][0] and MARKS[mark][0] in shown]
    if "" in shown:
        plain = Mark.SAFE if plan.case.model is not None else Mark.UNRATED
        lines.append(f"without a sign  {MARKS[plain][1]}")
    return tuple(lines)


def chart(plan: Plan, layout: Layout) -> Iterator[Line]:
    """The chart's lines."""
    if layout.width < NARROWEST_GRID:
        yield from _list(plan, layout)
    else:
        yield from _grid(plan, layout)


def _grid(plan: Plan, layout: Layout) -> Iterator[Line]:
    by_teeth = {(rated.pair.spur, rated.pair.pinion): rated for rated in plan.pairs}
    spurs = sorted({spur for spur, _ in by_teeth})
    pinions = sorted({pinion for _, pinion in by_teeth})
    cells = {teeth: f"{ratio_text(rated)}{sign(plan, rated)}" for teeth, rated in by_teeth.items()}
    # The sign is part of the cell, so a cell without one leaves its column free and the decimals stand in line.
    width = max(len(ratio_text(rated)) for rated in plan.pairs) + 1
    head = "spur \\ pinion"
    across = max(1, (layout.width - 2 - len(head)) // (width + 1))
    for first in range(0, len(pinions), across):
        part = pinions[first : first + across]
        if first:
            yield ()
        heading = f"  {head}" + "".join(f" {str(pinion).rjust(width - 1)} " for pinion in part)
        yield (Span(layout.clean(heading, len(heading))),)
        for spur in spurs:
            row = [_aligned(cells.get((spur, pinion), ""), width) for pinion in part]
            if any(cell.strip() for cell in row):
                line = f"  {str(spur).rjust(len(head))} {' '.join(row)}"
                yield (Span(layout.clean(line, len(line))),)


def _aligned(cell: str, width: int) -> str:
    return cell.rjust(width) if cell and not cell[-1].isdigit() else cell.rjust(width - 1) + " "


def _list(plan: Plan, layout: Layout) -> Iterator[Line]:
    for rated in sorted(plan.pairs, key=lambda rated: (-rated.pair.ratio, rated.pair.spur)):
        can = "" if rated.outlook is None else f", {degrees_band(rated.outlook.can_c)}"
        shown = sign(plan, rated).ljust(1)
        rollout = f", {rollout_text(rated)}" if rated.rollout is not None else ""
        text = f"{shown} {rated.pair.spur}/{rated.pair.pinion} {ratio_text(rated)}{rollout}{can}"
        yield from layout.wrapped(text, "  " if shown.strip() else "    ", "      ")
