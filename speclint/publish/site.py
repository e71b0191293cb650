"""A ruleset as a site: pages, the archive, the data that the digest is taken over, and the list of all of its files."""

import json
from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, date, datetime, time
from hashlib import sha256
from typing import Any, Final, NamedTuple

from speclint import __version__
from speclint.comparison.ruleset_changes import ClassChanges, IndexedVersion, changes_between
from speclint.moments import day_text
from speclint.pages.render import page
from speclint.plain import clipped
from speclint.publish.archive import archive_of
from speclint.publish.check_page import BrowserParts, check_page_files
from speclint.publish.class_page import ClassPage, class_page_of
from speclint.reports import LAST_WORD
from speclint.rules.sentences import accuracy_parts
from speclint.rulesets.canonical import canonical_json
from speclint.rulesets.library import Library
from speclint.rulesets.model import FlatClass, Ruleset

CONTENTS: Final = "site.json"
"""The list of a site's files, by which an earlier site is told from anything else."""

_FORMAT: Final = "site/1"
_TITLE_SIGNS: Final = 70

Signer = Callable[[bytes], bytes]
"""Makes a signature of a statement."""


class PublishedVersion(NamedTuple):
    """What is published: the ruleset, the one to tell the changes from, and the texts of it and all that it builds on.

    `texts` holds each ruleset's file by the ruleset's name. `made` dates the files of the archive.
    """

    ruleset: Ruleset
    library: Library
    since: IndexedVersion | None
    texts: Mapping[str, bytes]
    made: datetime


class _Download(NamedTuple):
    file: str
    about: str


class _ClassLine(NamedTuple):
    id: str
    title: str
    about: str
    rules: int
    coming: tuple[str, ...]


def site_of(
    version: PublishedVersion, sign: Signer | None = None, parts: BrowserParts | None = None
) -> dict[str, bytes]:
    """Every file of the site by its path; the same for the same input, byte for byte.

    Args:
        version: what is published.
        sign: signs the digest; None for a site without a signature.
        parts: what runs speclint in a browser, for a page that checks a car; None for a site without one.
    """
    ruleset, library = version.ruleset, version.library
    stem = file_stem(ruleset)
    digest = library.digest(ruleset)
    statement = statement_of(ruleset, digest)
    proof = {f"{stem}.digest": statement}
    if sign is not None:
        proof[f"{stem}.digest.sig"] = sign(statement)
    rulesets = {f"rulesets/{name.replace('@', '-')}.yaml": text for name, text in version.texts.items()}
    files = {
        f"{stem}.zip": archive_of(
            {**rulesets, **{f"rulesets/{name}": data for name, data in proof.items()}}, version.made
        ),
        f"{stem}.json": canonical_json(library.flat_data(ruleset)).encode(),
        **proof,
    }
    pages = [
        class_page_of(flat, library)
        for class_id in library.class_ids(ruleset)
        if isinstance(flat := library.flat(ruleset, class_id), FlatClass)
    ]
    changes = () if version.since is None else changes_between(version.since, IndexedVersion(ruleset, library))
    shared = {
        "ruleset": _head(version),
        "digest": digest,
        "stem": stem,
        "has_check": parts is not None,
        "last_word": LAST_WORD,
    }
    files |= _pages(version, pages, changes, shared, is_signed=sign is not None)
    if parts is not None:
        archive = (f"{stem}.zip", files[f"{stem}.zip"])
        files |= check_page_files(parts, ruleset, tuple(pages), archive, shared, version.made)
    return {**files, CONTENTS: _contents(ruleset, digest, files)}


def _pages(
    version: PublishedVersion,
    pages: Sequence[ClassPage],
    changes: tuple[ClassChanges, ...],
    shared: Mapping[str, Any],
    *,
    is_signed: bool,
) -> dict[str, bytes]:
    """The page of each class, and the first page of all."""
    ruleset, library, stem = version.ruleset, version.library, str(shared["stem"])
    files: dict[str, bytes] = {}
    since = "" if version.since is None else version.since.ruleset.version
    for shown in pages:
        own_changes = next((change.texts for change in changes if change.id == shown.id), ())
        title = clipped(f"{shown.title}: {ruleset.title or ruleset.id}", _TITLE_SIGNS)
        text = page(
            "ruleset_class.html", title=title, shown=shown, changes=own_changes, since=since, top="../", **shared
        )
        files[f"classes/{shown.id}.html"] = text.encode()
    index = page(
        "ruleset_index.html",
        title=clipped(f"{ruleset.title or ruleset.id}, {ruleset.version}", _TITLE_SIGNS),
        classes=[_line(shown) for shown in pages],
        instruments=_instruments(pages, library, ruleset),
        changes=changes,
        since=since,
        is_signed=is_signed,
        downloads=_downloads(stem, is_signed=is_signed),
        top="",
        **shared,
    )
    files["index.html"] = index.encode()
    return files


def file_stem(ruleset: Ruleset) -> str:
    """What the files of a version are called."""
    return f"{ruleset.id}-{ruleset.version}"


def statement_of(ruleset: Ruleset, digest: str) -> bytes:
    """What is signed: a line with the version's name and the digest of all that can turn a verdict by it."""
    return f"{ruleset.name} {digest}\n".encode()


def default_date(ruleset: Ruleset) -> datetime:
    """The date of the archive's files where nobody says another: when the version was published, or comes into force."""
    day = ruleset.published or ruleset.in_force.start
    return datetime(1980, 1, 1, tzinfo=UTC) if day is None else datetime.combine(day, time(), tzinfo=UTC)


def why_not_own(files: Mapping[str, bytes]) -> str:
    """Why a folder's files are no site that speclint wrote and nobody has touched since; "" where they are."""
    listed = _listed(files.get(CONTENTS))
    if listed is None:
        return f"it has no {CONTENTS} of an earlier site"
    for name in sorted(files):
        if name != CONTENTS and name not in listed:
            return f"{name} is no file of the earlier site"
        if name != CONTENTS and sha256(files[name]).hexdigest() != listed[name]:
            return f"{name} was changed since the earlier site was written"
    return ""


def _listed(contents: bytes | None) -> dict[str, str] | None:
    try:
        data = json.loads(contents or b"")
        return {str(name): str(digest) for name, digest in data["files"].items()} if data["format"] == _FORMAT else None
    except (ValueError, KeyError, TypeError, AttributeError):
        return None


def _contents(ruleset: Ruleset, digest: str, files: Mapping[str, bytes]) -> bytes:
    data = {
        "format": _FORMAT,
        "tool": {"name": "speclint", "version": __version__},
        "ruleset": ruleset.name,
        "digest": digest,
        "files": {name: sha256(files[name]).hexdigest() for name in sorted(files)},
    }
    return (json.dumps(data, indent=1) + "\n").encode()


def _head(version: PublishedVersion) -> dict[str, Any]:
    ruleset = version.ruleset
    below = version.library.stack(ruleset)[:-1]
    stated = ruleset.data
    facts = [("In force", ruleset.in_force.text)]
    if ruleset.published is not None:
        facts.append(("Published", day_text(ruleset.published)))
    if stated.get("checked_on"):
        facts.append(("Held against the official text", day_text(date.fromisoformat(stated["checked_on"]))))
    if below:
        facts.append(
            ("Builds on", ", ".join(f"{layer.title or layer.id}, {layer.version}" for layer in reversed(below)))
        )
    facts += [
        (label, str(stated[key])) for label, key in (("Source", "source"), ("Contact", "contact")) if stated.get(key)
    ]
    return {
        "id": ruleset.id,
        "name": ruleset.name,
        "version": ruleset.version,
        "title": ruleset.title or ruleset.id,
        "about": str(stated.get("about", "")),
        "facts": facts,
    }


def _line(shown: ClassPage) -> _ClassLine:
    coming = tuple(f"{entry.day}: {text}" for entry in shown.times[1:] for text in entry.texts)
    return _ClassLine(shown.id, shown.title, shown.about, len(shown.threads), coming)


def _instruments(pages: Sequence[ClassPage], library: Library, ruleset: Ruleset) -> list[tuple[str, str]]:
    """The instruments of the officials, and how far off each can be."""
    flat = library.flat(ruleset, pages[0].id) if pages else None
    described = flat.instruments if isinstance(flat, FlatClass) else ruleset.instruments
    return [(name, ", ".join(accuracy_parts(instrument)) or "not stated") for name, instrument in described.items()]


def _downloads(stem: str, *, is_signed: bool) -> list[_Download]:
    downloads = [
        _Download(f"{stem}.zip", "the ruleset and all that it builds on, as files"),
        _Download(f"{stem}.json", "the data that the digest is taken over: its SHA-256 is the digest"),
        _Download(f"{stem}.digest", "name and digest in a line"),
    ]
    if is_signed:
        downloads.append(_Download(f"{stem}.digest.sig", "the signature of that line"))
    return downloads
