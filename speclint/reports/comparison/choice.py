"""The bench sheet of several motors: which one to choose, what differs, and the numbers side by side."""

from collections.abc import Iterator

from speclint.comparison.compared import COMPARED, COMPARED_BY_NAME
from speclint.comparison.differences import Conclusion
from speclint.comparison.ranking import LESS_IS_BETTER, Candidate, Legality, Ranking
from speclint.comparison.uncertainty import expanded_uncertainty_of
from speclint.readings.digits import plain_text
from speclint.reports.comparison.layout import columns, heading, section
from speclint.reports.comparison.wording import change_text, common_text, united, value_text
from speclint.reports.layout import Layout, Line
from speclint.rules.checks import FAILING
from speclint.rules.wording import message


def ranking_blocks(ranking: Ranking, layout: Layout, *, is_full: bool) -> Iterator[list[Line]]:
    """The parts of the sheet about several motors, one after another."""
    yield layout.wrapped(
        f"{len(ranking.candidates)} motors side by side, by their newest bench runs that still count", "", "  "
    )
    yield section("Which one", list(_choice(ranking)), layout)
    yield section("What differs", list(_differences(ranking)), layout)
    yield _side_by_side(ranking, layout)
    reasons = [f"{candidate.name}: {text}" for candidate in ranking.candidates for text in _reasons(candidate)]
    if reasons:
        yield section("What is not there, or not met", reasons, layout)
    if ranking.obstacles:
        yield section("What keeps them from being compared", ranking.obstacles, layout)
    if is_full:
        yield section("How they were compared", list(_how(ranking)), layout)


def _how(ranking: Ranking) -> Iterator[str]:
    yield common_text(ranking.conditions.supply_v)
    yield (
        "a difference is one where it is larger than the scatter of the bench makes among so many motors, at 5 % of false"
        " alarms for all of them; readings of one instrument share its error, which cancels"
    )


def _choice(ranking: Ranking) -> Iterator[str]:
    if not ranking.one_spec:
        turns = ", ".join(
            f"{candidate.name}: {'not stated' if candidate.turns is None else plain_text(candidate.turns)}"
            for candidate in ranking.candidates
        )
        yield f"these are not motors of one spec (turns: {turns}), so lower is not simply better"
    pick = ranking.pick
    if pick is None:
        yield "none of these motors shows a winding that may be chosen: see below what is missing or not met"
        return
    mean = COMPARED_BY_NAME["winding_mean_mohm"]
    winding = pick.value(mean.name)
    how = {
        Legality.SURE: "that is legal with the uncertainty counted",
        Legality.AS_READ: "that is legal as read; with the uncertainty counted none is shown to be",
        Legality.NOT_JUDGED: "of these; whether it is legal was not asked",
    }[pick.legality]
    yield f"{pick.name} has the lowest winding {how}: {united(value_text(mean, winding), 'mohm')} at 20 °C (common practice: a lower winding pulls harder)"
    if ranking.level_with:
        names = ", ".join(candidate.name for candidate in ranking.level_with)
        yield f"as far as the meter can see, {names} {'is' if len(ranking.level_with) == 1 else 'are'} level with it: choose by the rest"


def _differences(ranking: Ranking) -> Iterator[str]:
    for name in LESS_IS_BETTER:
        against = ranking.differences[name]
        if len(against) < 2:
            continue
        least = against[0][0]
        more = [(candidate, change) for candidate, change in against[1:] if change.conclusion is Conclusion.CHANGED]
        alike = [candidate.name for candidate, change in against[1:] if change.conclusion is Conclusion.NO_CHANGE]
        unknown = [candidate.name for candidate, change in against[1:] if change.conclusion is Conclusion.CANNOT_TELL]
        parts = [f"{candidate.name} {change_text(change)}" for candidate, change in more]
        parts += [f"no difference shown to {', '.join(alike)}"] if alike else []
        parts += [f"can't tell for {', '.join(unknown)}"] if unknown else []
        yield f"{COMPARED_BY_NAME[name].title}: least as read in {least.name}; {'; '.join(parts)}"
    reasons = {change.reason for against in ranking.differences.values() for _, change in against[1:] if change.reason}
    yield from sorted(f"can't tell: {reason}" for reason in reasons)


def _side_by_side(ranking: Ranking, layout: Layout) -> list[Line]:
    """The numbers of all motors; each stands under a number, so that long names leave room for them."""
    lines = heading("The numbers, at common conditions", layout)
    for i, candidate in enumerate(ranking.candidates, 1):
        lines += layout.wrapped(
            f"{i}: {candidate.name} ({candidate.file}), {candidate.legality.value}; newest run {_newest(candidate)}",
            "  ",
            "     ",
        )
    rows: list[tuple[str, ...]] = []
    for quantity in COMPARED:
        numbers = [candidate.value(quantity.name) for candidate in ranking.candidates]
        # In one row all have the digits that the least sure of them supports.
        reach = max((expanded_uncertainty_of(number) for number in numbers if number is not None), default=0.0) or None
        values = [
            "-" if number is None else united(value_text(quantity, number, reach), quantity.unit) for number in numbers
        ]
        if any(value != "-" for value in values):
            rows.append((quantity.title, *values))
    heads = ("", *(str(i) for i in range(1, len(ranking.candidates) + 1)))
    return [*lines, *columns(heads, rows, layout)]


def _newest(candidate: Candidate) -> str:
    runs = [newest_values.run for newest_values in candidate.newest_values.values() if newest_values.run is not None]
    return max(runs, key=lambda run: run.number).title if runs else "none"


def _reasons(candidate: Candidate) -> Iterator[str]:
    reasons: dict[str, list[str]] = {}
    for quantity in COMPARED:
        newest_values = candidate.newest_values[quantity.name]
        if newest_values.reason:
            reasons.setdefault(newest_values.reason, []).append(quantity.title)
    yield from (f"{', '.join(names)}: {reason}" for reason, names in reasons.items())
    for label, check in candidate.checks:
        if check.verdict in FAILING:
            yield f"{check.verdict.value} by {label}: {message(check)}"
