"""Lists that take another body's list, in one version of it, with items added or ended."""

from collections.abc import Iterator
from datetime import date
from typing import TYPE_CHECKING, Any

from speclint.forms.parts_lists import ListBasis, ListItem, PartsList
from speclint.rulesets.model import Ruleset
from speclint.rulesets.not_found import NotFound
from speclint.spelling import known_words

if TYPE_CHECKING:
    from speclint.rulesets.library import Library

_Passed = tuple[tuple[str, str], ...]
"""The lists that led here, each by its ruleset's name and its id."""


def whole_list(
    library: "Library", ruleset: Ruleset, list_id: str, known_on: date | None, passed: _Passed = ()
) -> PartsList | NotFound:
    """A list that a ruleset states, with the items of the list that it is based on, or why that is not there.

    An item of its own takes the place of those of its id; one that was published after `known_on` does not yet.
    """
    parts = ruleset.lists[list_id]
    if parts.basis is None:
        return parts
    holder = _holder(library, parts.basis, (*passed, (ruleset.name, list_id)))
    if isinstance(holder, NotFound):
        return holder
    below = whole_list(library, holder, parts.basis.list_id, known_on, (*passed, (ruleset.name, list_id)))
    if isinstance(below, NotFound):
        return below
    own_ids = {item.id for item in parts.items if _is_known(item, known_on)}
    items = (*(item for item in below.items if item.id not in own_ids), *parts.items)
    return PartsList(list_id, parts.frozen_on or below.frozen_on, items, parts.basis)


def list_data(library: "Library", ruleset: Ruleset, list_id: str) -> dict[str, Any]:
    """What a ruleset writes of a list, with what is written of the list that it is based on under `basis`."""
    keys: dict[str, Any] = ruleset.data["lists"][list_id]
    basis = ruleset.lists[list_id].basis
    if basis is None or isinstance(whole_list(library, ruleset, list_id, None), NotFound):
        return keys
    holder = _holder(library, basis, ())
    return keys if isinstance(holder, NotFound) else {**keys, "basis": list_data(library, holder, basis.list_id)}


def list_sources(library: "Library", ruleset: Ruleset) -> Iterator[Ruleset]:
    """The rulesets whose lists those of a ruleset are directly based on."""
    for parts in ruleset.lists.values():
        base = None if parts.basis is None else library.versions(parts.basis.ruleset).get(parts.basis.version)
        if base is not None:
            yield base


def _is_known(item: ListItem, known_on: date | None) -> bool:
    return known_on is None or item.published is None or item.published <= known_on


def _holder(library: "Library", basis: ListBasis, passed: _Passed) -> Ruleset | NotFound:
    """The ruleset that states the list: the one that is named, or one that it builds on."""
    base = library.versions(basis.ruleset).get(basis.version)
    if base is None:
        wanted = f"{basis.ruleset}@{basis.version}"
        names = [version.name for id_ in library.ids for version in library.versions(id_).values()]
        return NotFound("unknown-ruleset", f"there is no ruleset {wanted}{known_words(wanted, names)}")
    layers = library.layers(base)
    if isinstance(layers, NotFound):
        return layers
    holder: Ruleset | None = next((layer for layer in reversed(layers) if basis.list_id in layer.lists), None)
    if holder is None:
        list_ids = {list_id for layer in layers for list_id in layer.lists}
        message = f"{base.name} has no list {basis.list_id}{known_words(basis.list_id, list_ids)}"
        return NotFound("unknown-list", message)
    if (holder.name, basis.list_id) in passed:
        circle = " → ".join(f"{name}/{list_id}" for name, list_id in (*passed, (holder.name, basis.list_id)))
        return NotFound("circular-basis", f"lists are based on each other in a circle: {circle}")
    return holder
