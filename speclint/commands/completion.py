"""What a shell offers for a word: files, rulesets, classes, names; looked up when it asks, and never otherwise."""

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any, Final

import click

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem

    from speclint.workspace.ruleset_index import RulesetIndex

if TYPE_CHECKING:
    from click import ParamType as ParamType  # noqa: PLC0414 - for the commands, too
else:

    class ParamType(click.ParamType):
        """That of the command line library, whose older releases do not let it be subscripted."""

        def __class_getitem__(cls, _: object) -> type:
            return cls


FILE: Final = click.Path()
"""A file or a folder, which a shell completes by the names that are there."""


class _Known(ParamType[str]):
    """A word of its own kind: a shell offers those that are there."""

    def __init__(self, name: str, words: Callable[[], Iterable[str]], *, or_files: bool = False) -> None:
        self.name = name
        self._words = words
        self._or_files = or_files

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:  # noqa: ARG002
        """The word as it is: whether there is such a one is said by the command."""
        return str(value)

    def shell_complete(self, ctx: click.Context, param: click.Parameter, incomplete: str) -> "list[CompletionItem]":
        """The words that begin like this; files, where a file may stand in place of a word."""
        items = completions(sorted(set(self._words())), incomplete)
        return items or FILE.shell_complete(ctx, param, incomplete) if self._or_files else items


def completions(words: Iterable[str], incomplete: str) -> "list[CompletionItem]":
    """The words that begin like this."""
    from click.shell_completion import CompletionItem

    return [CompletionItem(word) for word in words if word.startswith(incomplete)]


def _index() -> "RulesetIndex":
    from speclint.commands.shell import NEW_FILE, current_folder, workspace_beside

    return workspace_beside(current_folder(), NEW_FILE).index


def _ruleset_ids() -> Iterable[str]:
    return _index().library.ids


def _class_ids() -> Iterable[str]:
    return _index().class_ids()


def _names_to_explain() -> Iterable[str]:
    from speclint.advice.registry import ADVICE_SORTS
    from speclint.problems import SORTS_BY_ID
    from speclint.quantities.registry import QUANTITIES

    index = _index()
    return (
        *(quantity.name for quantity in QUANTITIES),
        *SORTS_BY_ID,
        *(sort.id for sort in ADVICE_SORTS),
        *index.library.ids,
        *index.declared_names,
    )


RULESET: Final = _Known("ruleset", _ruleset_ids, or_files=True)
CLASS: Final = _Known("class", _class_ids)
NAME: Final = _Known("name", _names_to_explain)
