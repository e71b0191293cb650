"""What a rule does, read from its keys, with what is wrong with it all the same."""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from functools import partial
from typing import Any, Final, NamedTuple

from speclint.documents.tree import Document
from speclint.forms.bodies import (
    BY_KEY,
    LEEWAY_KEY,
    LOOK_KEY,
    OPTIONS_KEY,
    REFERENCE_KEY,
    TOGETHER_KEY,
    AnyOf,
    Body,
    LimitTest,
    Option,
    Otherwise,
    Table,
    ToInspect,
    Withdrawn,
)
from speclint.forms.compared import Compared
from speclint.forms.limit import Leeway, Limit
from speclint.forms.matching import number_in
from speclint.forms.registry import form_of
from speclint.forms.size import Size
from speclint.forms.taken import Taken, read_taken, taken_misfits
from speclint.forms.written_unit import UNIT_KEY, WrittenUnit
from speclint.places import Path
from speclint.problems import Problem
from speclint.quantities.keys import corrected_for_temperature
from speclint.quantities.model import Quantity, Sort
from speclint.quantities.registry import OPEN_PREFIXES, quantity
from speclint.quantities.taken import TAKEN_KEY
from speclint.quantities.trade_words import quantity_meant
from speclint.readings.digits import with_unit
from speclint.readings.exact import exact
from speclint.readings.units import is_of_one_dimension


class StatedKeys(NamedTuple):
    """The keys of a mapping in a ruleset, such as a rule, and where it stands; what is wrong is added to `problems`."""

    document: Document
    path: Path
    keys: dict[str, Any]
    problems: list[Problem]

    def below(self, keys: dict[str, Any], *steps: str | int) -> "StatedKeys":
        """The keys of a mapping below this one."""
        return self._replace(path=(*self.path, *steps), keys=keys)

    def refuse(self, problem_id: str, message: str, *steps: str | int, of_key: bool = False) -> None:
        """Adds a problem with what stands at some steps below."""
        self.problems.append(Problem(problem_id, message, self.document.place((*self.path, *steps), of_key=of_key)))

    def quantity(self, name: str, *steps: str | int, of_key: bool = False) -> Quantity | None:
        """The quantity of a name that stands at some steps below; where there is none, that is a problem."""
        named = quantity(name)
        if named is None:
            near = quantity_meant(name)
            anything_else = f"for anything else, name a key of the setup as {OPEN_PREFIXES[0]}KEY"
            hint = f"did you mean {near}?" if near else anything_else
            self.refuse("unknown-quantity", f"there is no quantity {name}: {hint}", *steps, of_key=of_key)
        return named

    def decimals(self, *steps: str | int) -> int:
        """The decimals that the rulebook writes of a number at some steps below: `4.20` has two."""
        digits = self.document.written((*self.path, *steps)).partition(".")[2]
        return len(digits) if digits.isdecimal() else 0


def body_of(text: StatedKeys) -> Body:
    """What the rule does; what is wrong with its limits is a problem, even of a rule that is withdrawn."""
    keys = text.keys
    body: Body | None = None
    if OPTIONS_KEY in keys:
        body = _any_of(text)
    elif BY_KEY in keys:
        body = _table(text)
    elif form_of(keys) is not None:
        body = _test(text, keys, ())
    elif (name := keys.get("quantity")) is not None:
        text.quantity(name, "quantity")
    if keys.get("withdrawn"):
        return Withdrawn()
    if LOOK_KEY in keys and body is None:
        return ToInspect(keys[LOOK_KEY])
    if body is None:
        raise ValueError("a rule of valid shape limits something, has it looked at, or withdraws a rule")
    return body


def _any_of(text: StatedKeys) -> AnyOf:
    if (name := text.keys.get("quantity")) is not None:
        text.quantity(name, "quantity")
    options = tuple(_options(text))
    return AnyOf(text.keys.get("quantity"), options)


def _options(text: StatedKeys) -> Iterator[Option]:
    for i, option in enumerate(text.keys[OPTIONS_KEY]):
        if TOGETHER_KEY in option:
            together = enumerate(option[TOGETHER_KEY])
            yield tuple(_test(text, keys, (OPTIONS_KEY, i, TOGETHER_KEY, j)) for j, keys in together)
        else:
            yield (_test(text, option, (OPTIONS_KEY, i)),)


def _table(text: StatedKeys) -> Table:
    keys = text.keys
    for key in ("quantity", BY_KEY):
        text.quantity(keys[key], key)
    by = quantity(keys[BY_KEY])
    if (by is not None and by.sort in (Sort.MEASURED, Sort.SUM)) or len(keys["rows"]) > _MOST_ROWS:
        message = "a table is chosen by a text, a flag, a count or a setting, and has at most 200 rows"
        text.refuse("limit-unfit", message, BY_KEY)
    rows = []
    for key, limit in keys["rows"].items():
        steps = ("rows", key)
        if by is not None and not by.is_open and not _can_be(by, key):
            message = f"{by.name} is {by.sort.value}, which {key} is not, so no car stands in this row"
            text.refuse("limit-unfit", message, *steps, of_key=True)
        rows.append((key, _test(text, limit, steps, of_rule=True)))
    otherwise = keys["otherwise"]
    return Table(
        keys["quantity"],
        keys[BY_KEY],
        tuple(rows),
        _test(text, otherwise, ("otherwise",), of_rule=True) if isinstance(otherwise, dict) else Otherwise(otherwise),
    )


def _written(
    text: StatedKeys, keys: Mapping[str, Any], steps: Path, limit: Limit, limited: Quantity
) -> WrittenUnit | None:
    """The unit that a rule is written in; None where it is the quantity's, or where there is something wrong with it."""
    code = keys.get(UNIT_KEY, limited.unit)
    written = WrittenUnit(code, limited.unit)
    if not isinstance(limit, Size | Compared) and UNIT_KEY in keys:
        message = "a unit goes with a limit of size, and this is none"
    elif code == limited.unit:
        return None
    elif not limited.unit:
        message = (
            f"{limited.name} has no unit that could be converted: end its name in one, such as {limited.name}_{code}"
        )
    elif not is_of_one_dimension(code, limited.unit):
        measures = with_unit("1", limited.unit)
        message = (
            f"{limited.name} ({measures}) cannot be converted to {with_unit('1', code)}: it measures something else"
        )
    elif written.shifts_zero and isinstance(keys.get(LEEWAY_KEY), dict):
        message = "percent of a temperature depend on where its zero lies: state the leeway as a number"
    else:
        return written
    text.refuse("limit-unfit", message, *steps, UNIT_KEY)
    return None


def _leeway(
    text: StatedKeys, keys: Mapping[str, Any], steps: Path, limit: Limit, written: WrittenUnit | None
) -> Leeway | None:
    stated = keys.get(LEEWAY_KEY)
    if stated is None:
        return None
    if not isinstance(limit, Size | Compared):
        message = "a leeway goes with a limit of size, and this is none"
        text.refuse("limit-unfit", message, *steps, LEEWAY_KEY)
    is_percent = isinstance(stated, dict)
    size = exact(stated["percent"] if is_percent else stated)
    return Leeway(size if is_percent or written is None else written.reversed.difference(size), is_percent)


def _taken(text: StatedKeys, terms: Mapping[str, Any], steps: Path, limited: Quantity | None) -> Taken:
    steps = (*steps, TAKEN_KEY)
    taken = read_taken(terms.get(TAKEN_KEY), lambda name: partial(text.decimals, *steps, name))
    for misfit in taken_misfits(taken, limited) if taken and limited is not None else ():
        text.refuse(misfit.problem, misfit.message, *steps, *((misfit.key,) if misfit.key else ()))
    return taken


def _reference_c(text: StatedKeys, terms: Mapping[str, Any], steps: Path, limited: Quantity | None) -> Fraction | None:
    stated = terms.get(REFERENCE_KEY)
    if stated is None:
        return None
    if limited is not None and (terms.get("uncorrected") or not corrected_for_temperature(limited)):
        why = (
            "with `uncorrected`" if corrected_for_temperature(limited) else f"and {limited.name} does not depend on it"
        )
        message = f"a reference temperature is what a winding is corrected to, {why}, so that it says nothing here"
        text.refuse("limit-unfit", message, *steps, REFERENCE_KEY)
    return exact(stated)


def _can_be(by: Quantity, key: str) -> bool:
    if by.sort is Sort.FLAG:
        return key in ("true", "false")
    value = number_in(key) if by.numeric else key
    return value is not None and (not by.choices or value in by.choices)


_MOST_ROWS: Final = 200


def _test(text: StatedKeys, keys: Mapping[str, Any], steps: Path, *, of_rule: bool = False) -> LimitTest:
    """One test at these steps below the rule; without a quantity of its own it is on the rule's.

    Where it is one `of_rule`, the rule says how its value is read.
    """
    terms = text.keys if of_rule else keys
    form = form_of(keys)
    if form is None:
        raise ValueError("a test of valid shape has a limit")
    name = keys.get("quantity", text.keys.get("quantity"))
    if name is None:
        message = "this way names no quantity, and its rule names none for all of them: add `quantity`"
        text.refuse("missing-key", message, *steps)
        name = "mass_g"  # the ruleset has a problem, so that no car is judged by it
    limited = text.quantity(name, *steps, "quantity") if "quantity" in keys else quantity(name)
    limit = form.read(keys, partial(text.decimals, *steps))
    if limited is not None:
        first = next(key for key in keys if key in form.keys)
        for misfit in limit.misfits(limited, first):
            text.refuse(misfit.problem, misfit.message, *steps, misfit.key, of_key=misfit.of_key)
    for needed_at, needed in limit.names.quantities:
        text.quantity(needed, *steps, *needed_at)
    terms_at = () if of_rule else steps
    written = None if limited is None else _written(text, terms, terms_at, limit, limited)
    if written is not None and isinstance(limit, Size | Compared):
        limit = limit.written_in(written)
    read_to = None if "read_to" not in terms else exact(terms["read_to"])
    return LimitTest(
        name,
        limit,
        read_to=read_to if read_to is None or written is None else written.reversed.difference(read_to),
        uncorrected=terms.get("uncorrected", False),
        instrument=terms.get("instrument"),
        leeway=_leeway(text, terms, steps, limit, written),
        taken=_taken(text, terms, terms_at, limited),
        reference_c=_reference_c(text, terms, terms_at, limited),
        written=written,
        path=steps,
        keys=keys,
    )
