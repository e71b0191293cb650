"""`speclint explain`: what a word means, where its number comes from, and who says so."""

from datetime import date

import click

from speclint.commands.completion import NAME
from speclint.commands.shell import CONTEXT, DAY, NEW_FILE, current_folder, paper, workspace_beside


@click.command(context_settings=CONTEXT)
@click.argument("words", nargs=-1, type=NAME, metavar="[NAME]")
@click.option("--on", type=DAY, help="Explain a rule as it is on this day, in place of today.")
def explain(words: tuple[str, ...], on: date | None) -> None:
    """What NAME means, how it comes about, where it stands in a file, and where that is from.

    NAME is a quantity, a verdict, a decision rule, a kind of rebuild (with its bench checklist), a problem, a piece of
    advice, any word of a report, a key of a file, or a rule, as in harbour-city/stock-17/final-drive; harbour-city/stock-17 is the whole class, and
    harbour-city@2026.2 one version. A name of several words needs no quotes. Without NAME it lists all of them.
    """
    from speclint.explain.names import explain as page_of
    from speclint.explain.names import listing
    from speclint.workspace.ruleset_index import RulesetIndex

    folder = current_folder()

    def index() -> RulesetIndex:
        return workspace_beside(folder, NEW_FILE).index

    name = " ".join(words)
    text = page_of(name, index, on or date.today(), paper()) if name.strip() else listing(index(), paper())
    click.echo(text, nl=False)
