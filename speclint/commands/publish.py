"""`speclint publish`: a ruleset as a site."""

import os
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Final

import click

from speclint.commands.completion import FILE, RULESET
from speclint.commands.shell import CONTEXT, EXIT_FAILED, current_folder, note, ruleset_named
from speclint.errors import UsageError

if TYPE_CHECKING:
    from speclint.files import Folder
    from speclint.publish.check_page import BrowserParts
    from speclint.publish.site import PublishedVersion
    from speclint.rulesets.model import Ruleset
    from speclint.workspace.workspace import Workspace

_USUAL_RUNTIME: Final = "node_modules/pyodide"


@click.command(context_settings=CONTEXT)
@click.argument("ruleset", type=RULESET, metavar="RULESET")
@click.argument("folder", metavar="DIR", type=FILE)
@click.option("--since", metavar="OLD", help="Tell what has changed since this version: id@version or a file.")
@click.option("--sign-with", metavar="KEY", help="Sign the digest with this SSH key, by ssh-keygen.")
@click.option("--with-check", is_flag=True, help="Add a page that checks a car in the browser, with nothing installed.")
@click.option(
    "--runtime",
    metavar="DIR",
    help="Where the npm package `pyodide` was unpacked, which --with-check puts into the site. [default: node_modules/pyodide]",
)
def publish(
    ruleset: str, folder: str, since: str | None, sign_with: str | None, *, with_check: bool, runtime: str | None
) -> None:
    """Writes RULESET (an id, id@version or a file) as a site into DIR.

    Every class has a page with its rules in plain sentences; links to a rule stay the same from version to version. With
    them go the ruleset and all that it builds on in one archive, and its digest. The same ruleset gives the same bytes:
    the files of the archive are dated by SOURCE_DATE_EPOCH, or else by the day on which the version was published.

    With --sign-with a line with the name and the digest is signed; `speclint pin --signed-by` holds it against the
    keys that a team trusts, and so does ssh-keygen -Y verify.

    With --with-check a racer opens the page "Check a car" on a telephone, and this same program judges there, after the
    first visit also without a network. The site grows by 15 MB, and is served by the club as it is: nothing is asked of
    anybody else. What it runs on is the npm package `pyodide`: `npm install pyodide` in any folder, and name that
    folder by --runtime.

    DIR is new, empty, or an earlier site that nobody has changed. Nothing is written where an example of the ruleset
    does not hold.

    Exit status: 0 written; 1 the ruleset has a problem; 2 it could not run as asked.
    """
    from speclint.proof import signature_of
    from speclint.publish.site import site_of, why_not_own
    from speclint.rules.examples import example_problems, run_examples
    from speclint.whole_folders import write_folder

    current = current_folder()
    workspace, chosen = ruleset_named(current, ruleset)
    document = workspace.index.documents[chosen.place.file][1]
    library = workspace.index.library
    failing = tuple(example_problems(run_examples(chosen, document, library), chosen, library))
    if failing:
        for problem in failing:
            note(f"{problem.place}: {problem.message}")
        note(f"{chosen.name} is not published: its own examples do not hold")
        raise click.exceptions.Exit(EXIT_FAILED)
    version = _version(workspace, chosen, since, current)
    if runtime is not None and not with_check:
        raise UsageError("--runtime goes with --with-check: no other page needs it")
    parts = _parts(runtime or _USUAL_RUNTIME) if with_check else None
    site = site_of(version, None if sign_with is None else partial(signature_of, key=sign_with), parts)
    shown = current.shown(folder)
    write_folder(shown, str(Path(folder).absolute()), site, why_not_own)
    note(f"{chosen.name} is published in {shown}: {len(site)} files, {workspace.index.library.digest(chosen)}")


def _version(workspace: "Workspace", ruleset: "Ruleset", since: str | None, folder: "Folder") -> "PublishedVersion":
    from speclint.comparison.ruleset_changes import IndexedVersion
    from speclint.publish.site import PublishedVersion, default_date

    library = workspace.index.library
    texts = {
        source.name: workspace.index.documents[source.place.file][1].text.encode()
        for source in library.sources(ruleset)
    }
    earlier = None
    if since is not None:
        of_earlier, old = ruleset_named(folder, since)
        if old.name == ruleset.name:
            raise UsageError(f"--since {since} is the version itself: name the one before")
        earlier = IndexedVersion(old, of_earlier.index.library)
    return PublishedVersion(ruleset, library, earlier, texts, _date_asked_for() or default_date(ruleset))


def _parts(runtime: str) -> "BrowserParts":
    from speclint.browser_files import package_files, runtime_files
    from speclint.publish.check_page import BrowserParts

    version, files = runtime_files(runtime)
    return BrowserParts(package_files(), files, version)


def _date_asked_for() -> datetime | None:
    """What SOURCE_DATE_EPOCH says, as reproducible-builds.org defines it: seconds since 1970, in UTC."""
    stated = os.environ.get("SOURCE_DATE_EPOCH")
    if not stated:
        return None
    try:
        return datetime.fromtimestamp(int(stated), UTC)
    except (ValueError, OverflowError, OSError) as error:
        raise UsageError(f"SOURCE_DATE_EPOCH is {stated}, which is no number of seconds since 1970") from error
