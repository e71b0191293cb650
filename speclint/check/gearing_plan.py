"""One setup from its file to its gearing: what it names is read, its entries get their rules, and the plan is made."""

from collections.abc import Callable, Iterable, Mapping
from datetime import date
from typing import Any

from speclint.check.judging import EntryJudge
from speclint.errors import UsageError
from speclint.files import FileText
from speclint.gearing.case import Case, Wanted, case_of
from speclint.gearing.forecast import forecaster
from speclint.gearing.implausible_inputs import slips
from speclint.gearing.legality import Entered, entered
from speclint.gearing.pairs import parts_of
from speclint.gearing.plan import Plan, plan
from speclint.gearing.track_runs import track_runs
from speclint.models.garages import GarageTrack
from speclint.models.setups import Entry, setup_of
from speclint.problems import Problem
from speclint.quantities.facts import Facts
from speclint.readings.copper import REFERENCE_C
from speclint.rulesets.model import Ruleset
from speclint.spelling import known_words
from speclint.workspace.cars import Assembled, Assembly
from speclint.workspace.entries import Overrides, entries_of
from speclint.workspace.loaded import Files
from speclint.workspace.ruleset_index import index_rulesets
from speclint.workspace.source import Source

Progress = Callable[[str, int, int], None]
"""Is told what is being done, how much of it is done, and how much there is."""


def gear(
    source: FileText,
    bundled: Iterable[FileText],
    reader: Source,
    asked: Overrides,
    wanted: Wanted,
    entry: int | None,
    progress: Progress,
) -> Plan | tuple[Problem, ...]:
    """The gearing of a setup, or the problems of its files that keep it from being worked out.

    Args:
        source: The setup's file.
        bundled: The rulesets that come with speclint.
        reader: Reads what the setup names.
        asked: What the command line says of its entries.
        wanted: What the command line says of the run.
        entry: Number of the entry to look at alone, from 1.
        progress: Is told how far the work has come.

    Raises:
        UsageError: The file is no setup, has no such entry or track, or lacks what no gearing can do without.
    """
    files = Files(reader)
    loaded = files.take(source)
    if loaded.format != "setup/1" and (loaded.format is not None or not loaded.problems):
        raise UsageError(
            f"{loaded.file} is not a setup: a gearing is worked out for a file that says `format: setup/1`"
        )
    if loaded.problems or loaded.document is None:
        return loaded.problems
    setup = setup_of(loaded.document)
    folders = [files.under(folder) for folder in reader.rulesets_for(loaded.file)]
    beside = [one for found in folders for one in found if one.format == "ruleset/1"]
    if asked.ruleset is not None:
        beside.append(files.named(asked.ruleset))
    by_identity = {reader.full(one.file): one for one in reversed(beside)}
    index = index_rulesets([*by_identity.values(), *map(files.take, bundled)], asked.ruleset)
    ruleset = _asked_for(asked, index.documents, files)
    if not isinstance(ruleset, Ruleset | None):
        return ruleset
    assembled = Assembly(reader, files.named, index.instruments).car(setup)
    if assembled.problems:
        named = [one for one in files.all if one.format in ("motor/1", "garage/1") and one.is_there]
        return (*assembled.problems, *(problem for one in named for problem in one.problems))
    car = assembled.car
    entries = _chosen(entries_of(setup, ruleset, asked), entry)
    court = EntryJudge(index, asked)
    known: list[Entered] = []
    for one in entries:
        case = court.judge(car, one)
        if isinstance(case, Problem):
            return (case,)
        known.append(entered(car, one, case.book))
    on = entries[0].on if entries else asked.on or asked.today
    tracks = assembled.garage.tracks if assembled.garage is not None else {}
    if wanted.track is not None and wanted.track not in tracks:
        raise UsageError(f"there is no track {wanted.track} in the setup's garage{known_words(wanted.track, tracks)}")
    facts = Facts(car, on=on, reference_c=REFERENCE_C, entry_keys={})
    odd = slips(facts)
    if odd:
        raise UsageError(f"no gearing can be worked out for {loaded.file}: {'; '.join(odd)}")
    found = case_of(car, facts, tracks, _track_named(entries), wanted)
    if not isinstance(found, Case):
        raise UsageError(f"no gearing can be worked out for {loaded.file} without {', and without '.join(found)}")
    return _planned(assembled, found, known, tracks, on, wanted, progress)


def _planned(
    assembled: Assembled,
    case: Case,
    known: list[Entered],
    tracks: Mapping[str, GarageTrack],
    on: date,
    wanted: Wanted,
    progress: Progress,
) -> Plan:
    car = assembled.car
    file = car.setup.document.file
    boxes = [("the setup's parts box", car.setup.parts_box)]
    if assembled.garage is not None:
        boxes.append((f"the parts box of {assembled.garage.file}", assembled.garage.parts_box))
    parts = parts_of(boxes, case.spur, case.pinion, wanted.sums)
    if parts is None:
        raise UsageError(
            f"{file} states no spur and pinion, and there is no parts box: add car.spur_teeth and car.pinion_teeth"
        )
    used, left_out = track_runs(car, case, tracks, on)
    ready = forecaster(case, used, left_out, progress=lambda done, of: progress("fitted", done, of))
    return plan(car, ready, parts, known, progress=lambda done, of: progress("worked out", done, of))


def _asked_for(
    asked: Overrides, documents: Mapping[str, tuple[Ruleset, Any]], files: Files
) -> Ruleset | tuple[Problem, ...] | None:
    """The ruleset that the command line names by its file, or its problems."""
    if asked.ruleset is None:
        return None
    loaded = files.named(asked.ruleset)
    if loaded.problems:
        if loaded.problems[0].id in ("file-missing", "file-unreadable"):
            raise UsageError(f"{loaded.file}: {loaded.problems[0].message}")
        return loaded.problems
    if loaded.format != "ruleset/1":
        raise UsageError(f"{loaded.file} is not a ruleset to judge by")
    found = documents.get(loaded.file)
    if found is None:
        raise UsageError(f"the ruleset {loaded.file} has problems: `speclint check {loaded.file}` tells which")
    return found[0]


def _chosen(entries: tuple[Entry, ...], number: int | None) -> tuple[Entry, ...]:
    if number is None:
        return entries
    if not 1 <= number <= len(entries):
        many = "one entry" if len(entries) == 1 else f"{len(entries)} entries" if entries else "no entry"
        raise UsageError(f"there is no entry {number}: the setup has {many}")
    return (entries[number - 1],)


def _track_named(entries: tuple[Entry, ...]) -> str | None:
    """The track of the first entry that names one."""
    return next((str(entry.keys["track"]) for entry in entries if entry.keys.get("track")), None)
