"""`speclint pin`: the version and digest of a ruleset into the garage."""

import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

from speclint.commands.completion import FILE, RULESET
from speclint.commands.shell import CONTEXT, EXIT_FAILED, current_folder, note, ruleset_named
from speclint.errors import UsageError

if TYPE_CHECKING:
    from speclint.files import Folder
    from speclint.rulesets.model import Ruleset


@click.command(context_settings=CONTEXT)
@click.argument("ruleset", type=RULESET, metavar="RULESET")
@click.option(
    "--garage", type=FILE, metavar="FILE", help="The garage to write into. [default: the one under the current folder]"
)
@click.option("--signed-by", metavar="FILE", help="Pin only what somebody in this file of allowed signers has signed.")
def pin(ruleset: str, garage: str | None, signed_by: str | None) -> None:
    """Writes into the garage which version of RULESET (an id, id@version or a file) the team works by, with its digest.

    From then on `check` tells when that version is no longer what was pinned, or when an entry is judged by one that is
    not. Several versions of one ruleset may stand side by side; every other byte of the garage is left as it is.

    With --signed-by the publisher's signature has to stand beside the ruleset, as it comes in the archive of a
    published site. FILE has a line for each signer: a name, and a public key, as ssh-keygen(1) describes it under
    ALLOWED SIGNERS.

    Exit status: 0 pinned; 1 the signature does not hold, or a file has a problem; 2 it could not run as asked.
    """
    from speclint.edits.changes import apply_changes
    from speclint.rules.checks import KeyChange
    from speclint.workspace.ruleset_index import BUNDLED

    folder = current_folder()
    file = _garage(folder, garage)
    workspace, chosen = ruleset_named(folder, ruleset, file)
    if chosen.place.file.startswith(BUNDLED):
        raise UsageError(
            f"{chosen.name} comes with speclint to try it out, and no car is judged by it: put your club's ruleset into rulesets/"
        )
    digest = workspace.index.library.digest(chosen)
    signer = None if signed_by is None else _signer(chosen, digest, signed_by)
    before = _pinned(folder, file, chosen)
    by = f", signed by {signer}" if signer is not None else ""
    if before == digest:
        note(f"{chosen.name} is pinned in {file} already: {digest}{by}")
        return
    apply_changes(folder, (KeyChange(file, ("pins", chosen.id, chosen.version), digest),))
    was = f"; it was pinned as {before}" if before else ""
    note(f"{chosen.name} is pinned in {file}: {digest}{by}{was}")


def _garage(folder: "Folder", named: str | None) -> str:
    """The garage to write into."""
    if named is not None:
        text = folder.read(folder.shown(named))
        if text.problem is not None:
            raise UsageError(f"{named}: {text.problem.message}")
        if text.declares != "garage":
            raise UsageError(f"{named} is no garage: it does not say `format: garage/1`")
        return text.file
    garages = [listed.file for listed in folder.find((".",)).files if listed.declares == "garage"]
    if len(garages) != 1:
        garages_text = (
            f"there are several garages here ({', '.join(garages)})" if garages else "there is no garage here"
        )
        hint = "say which with --garage FILE" if garages else "`speclint start garage garage.yaml` begins one"
        raise UsageError(f"{garages_text}: {hint}")
    return garages[0]


def _pinned(folder: "Folder", file: str, ruleset: "Ruleset") -> str:
    """The digest that the garage has for the version; "" for none."""
    from speclint.workspace.loaded import Files

    document = Files(folder).named(file).sound
    pinned = None if document is None else document.get(("pins", ruleset.id, ruleset.version))
    return str(pinned or "")


def _signer(ruleset: "Ruleset", digest: str, allowed_signers: str) -> str:
    """Who signed the version, by the signature beside its file."""
    from speclint.proof import ProofError, signer_of
    from speclint.publish.site import file_stem, statement_of

    signature = Path(ruleset.place.file).parent / f"{file_stem(ruleset)}.digest.sig"
    for file, kind in ((Path(allowed_signers), "file of allowed signers"), (signature, "signature")):
        if not os.path.isfile(file):  # noqa: PTH113 - a name that no file can have is none as well
            raise UsageError(f"{file}: there is no such {kind}; nothing was pinned")
    try:
        return signer_of(statement_of(ruleset, digest), str(signature), allowed_signers)
    except ProofError as error:
        note(f"nothing was pinned: {error}")
        raise click.exceptions.Exit(EXIT_FAILED) from error
