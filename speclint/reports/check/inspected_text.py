"""What officials read, in words: who inspected the car, what they found, and what its setup declares beside it."""

from collections.abc import Iterator, Sequence

from speclint.findings import EntryResult, Inspected, OfficialReading
from speclint.plain import capitalised
from speclint.rules.checks import Check, Verdict
from speclint.rules.wording import has, title


def inspected_by(inspected: Inspected) -> str:
    """Who inspected the car, when and where: `Round 3, inspected at 10:40 by chief inspector`."""
    number = f"number {inspected.number}" if inspected.number else ""
    at = f" at {inspected.at}" if inspected.at else ""
    by = f" by {inspected.by}" if inspected.by else ""
    return ", ".join(part for part in (inspected.event, number, f"inspected{at}{by}") if part)


def about_inspection(result: EntryResult) -> Iterator[str]:
    """What there is to say of the inspection of an entry, a sentence each; nothing where there was none."""
    inspected = result.inspected
    if inspected is None:
        return
    yield f"{inspected_by(inspected)} ({inspected.place.file}:{inspected.place.line})."
    read = [title(check) for check in result.checks if check.rule.id in inspected.by_rule]
    seen = [check.rule.id for check in result.checks if check.rule.id in inspected.looked_at]
    parts = [f"read: {', '.join(dict.fromkeys(read))}"] if read else []
    parts += [f"looked at: {', '.join(seen)}"] if seen else []
    rest = f"the rest is as {result.file} declares" if inspected.declared is not None else "no setup declares the rest"
    yield f"{capitalised('; '.join((*parts, rest)))}."
    if inspected.declared not in (None, result.verdict):
        yield f"By what the setup declares it would be {_word(inspected.declared)}."
    if inspected.ruling and (inspected.ruling == "passed") is not (result.verdict is Verdict.LEGAL):
        yield f"The ruling is {inspected.ruling}; the readings say {_word(result.verdict)}."
    elif inspected.ruling:
        yield f"Ruling: {inspected.ruling}."
    if inspected.note:
        yield f"Note: {inspected.note.removesuffix('.')}."


def is_without_setup(result: EntryResult) -> bool:
    """Whether a car was judged on the officials' readings alone: what they did not read, nobody has to state."""
    return result.inspected is not None and result.inspected.declared is None


def beside_reading(check: Check, result: EntryResult) -> Iterator[tuple[str, Sequence[str]]]:
    """What stands under a rule that officials read: the instrument, what was declared, and a difference that counts."""
    reading = None if result.inspected is None else result.inspected.by_rule.get(check.rule.id)
    if reading is None:
        return
    yield "read on", (reading.instrument,) if reading.instrument else ()
    yield "declared", (declared_text(check, result),) if reading.declared is not None else ()
    if reading.disagrees:
        yield "differs", (_difference(reading),)


def _difference(reading: OfficialReading) -> str:
    if not reading.difference:
        return "from what was declared"
    beyond = ", more than both readings can be off together" if " ± " in reading.difference else ""
    return f"by {reading.difference} from what was declared{beyond}"


def declared_text(check: Check, result: EntryResult) -> str:
    """What the racer declared where officials read: `1352.0 ± 1.7 g`; "" where there is nothing beside a reading."""
    reading = None if result.inspected is None else result.inspected.by_rule.get(check.rule.id)
    if reading is None or reading.declared is None:
        return ""
    return has(reading.declared) or "not stated"


def differing(result: EntryResult) -> tuple[str, ...]:
    """What was declared otherwise than officials read it, beyond both uncertainties."""
    by_rule = {} if result.inspected is None else result.inspected.by_rule
    return tuple(
        dict.fromkeys(
            title(check) for check in result.checks if check.rule.id in by_rule and by_rule[check.rule.id].disagrees
        )
    )


def _word(verdict: Verdict | None) -> str:
    return "" if verdict is None else verdict.words
