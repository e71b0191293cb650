"""One setup from its file to its gearing: its entries get their rules, and the plan is made for all of them."""

from collections.abc import Callable, Iterable, Mapping
from datetime import date

from speclint.errors import UsageError
from speclint.files import FileText
from speclint.gearing.case import GearingCase, case_of
from speclint.gearing.forecast import forecaster
from speclint.gearing.implausible_inputs import implausible_inputs
from speclint.gearing.known_motor import class_winding
from speclint.gearing.legality import EntryRules, entry_rules_of
from speclint.gearing.options import GearingOptions
from speclint.gearing.pairs import gear_choice
from speclint.gearing.plan import Plan, plan
from speclint.gearing.track_runs import track_runs
from speclint.models.garages import GarageTrack
from speclint.models.setups import Setup, setup_of
from speclint.problems import Problem
from speclint.quantities.facts import Facts
from speclint.readings.copper import REFERENCE_C
from speclint.spelling import known_words
from speclint.workspace.cars import Assembled
from speclint.workspace.entries import ResolvedEntry, UnresolvedEntry
from speclint.workspace.loaded import Files, Loaded
from speclint.workspace.overrides import Overrides
from speclint.workspace.source import Source
from speclint.workspace.workspace import Workspace

Progress = Callable[[str, int, int], None]
"""Is told what is being done, how much of it is done, and how much there is."""


def gear(
    text: FileText,
    source: Source,
    overrides: Overrides,
    options: GearingOptions,
    *,
    entry: int | None = None,
    progress: Progress,
) -> Plan | tuple[Problem, ...]:
    """The gearing of a setup, or the problems of its files that keep it from being worked out.

    Args:
        text: The setup's file.
        source: Reads what the setup names.
        overrides: What the command line puts over its entries.
        options: What the command line says of the run.
        entry: Number of the entry to look at alone, from 1.
        progress: Is told how far the work has come.

    Raises:
        UsageError: The file is no setup, has no such entry or track, or lacks what no gearing can do without.
    """
    files = Files(source)
    loaded = files.take(text)
    setup = _setup_in(loaded)
    if setup is None:
        return loaded.problems
    workspace = Workspace(files, overrides, near=(loaded.file,))
    assembled = workspace.car(setup)
    entries = _chosen(workspace.entries(setup), entry)
    workspace.refuse_overrides(entries)
    problems = (*workspace.refusal, *workspace.car_problems(assembled), *_of_entries(workspace, setup, entries))
    if problems:
        return tuple(dict.fromkeys(problems))
    resolved = [resolved for resolved in entries if isinstance(resolved, ResolvedEntry)]
    on = resolved[0].entry.on if resolved else overrides.on or overrides.today
    tracks = assembled.garage.tracks if assembled.garage is not None else {}
    case = _case(assembled, resolved, tracks, on, options)
    rules = [entry_rules_of(assembled.car, judged.entry, judged.book) for judged in resolved]
    return _planned(assembled, case, rules, tracks, on, options, progress)


def _setup_in(loaded: Loaded) -> Setup | None:
    """The sound setup of a file, None where it has problems."""
    if loaded.format != "setup/1" and (loaded.format is not None or not loaded.problems):
        raise UsageError(
            f"{loaded.file} is not a setup: a gearing is worked out for a file that says `format: setup/1`"
        )
    return None if loaded.sound is None else setup_of(loaded.sound)


def _of_entries(
    workspace: Workspace, setup: Setup, entries: Iterable[ResolvedEntry | UnresolvedEntry]
) -> tuple[Problem, ...]:
    """Why entries have no rules to be legal under, each with its cause."""
    unresolved = [entry for entry in entries if isinstance(entry, UnresolvedEntry)]
    return tuple(
        problem for entry in unresolved for problem in (entry.problem(setup.document), *workspace.causes(entry.why))
    )


def _case(
    assembled: Assembled,
    entries: list[ResolvedEntry],
    tracks: Mapping[str, GarageTrack],
    on: date,
    options: GearingOptions,
) -> GearingCase:
    file = assembled.car.setup.document.file
    if options.track is not None and options.track not in tracks:
        raise UsageError(f"there is no track {options.track} in the setup's garage{known_words(options.track, tracks)}")
    facts = Facts(assembled.car, on=on, reference_c=REFERENCE_C, entry_keys={})
    implausible = implausible_inputs(facts)
    if implausible:
        raise UsageError(f"no gearing can be worked out for {file}: {'; '.join(implausible)}")
    track = next((resolved.entry.track for resolved in entries if resolved.entry.track), None)
    books = [resolved.book for resolved in entries]
    case = case_of(
        assembled.car,
        facts,
        tracks,
        track,
        options,
        class_winding=next((winding for book in books if (winding := class_winding(book)) is not None), None),
        usual=next((book.flat.usual_ratio for book in books if book.flat.usual_ratio is not None), None),
    )
    if case is None:
        raise UsageError(f"no gearing can be worked out for {file} without car.internal_ratio")
    return case


def _planned(
    assembled: Assembled,
    case: GearingCase,
    entries: list[EntryRules],
    tracks: Mapping[str, GarageTrack],
    on: date,
    options: GearingOptions,
    progress: Progress,
) -> Plan:
    car = assembled.car
    file = car.setup.document.file
    boxes = [("the setup's parts box", car.setup.parts_box)]
    if assembled.garage is not None:
        boxes.append((f"the parts box of {assembled.garage.file}", assembled.garage.parts_box))
    choice = gear_choice(boxes, case.spur, case.pinion, options.sums)
    if choice is None:
        raise UsageError(
            f"{file} states no spur and pinion, and there is no parts box: add car.spur_teeth and car.pinion_teeth"
        )
    ready = None
    if case.model is not None:
        used, left_out = track_runs(car, case, case.model, tracks, on)
        ready = forecaster(
            case.model, case.limit_c, used, left_out, progress=lambda done, of: progress("fitted", done, of)
        )
    return plan(car, case, ready, choice, entries, progress=lambda done, of: progress("worked out", done, of))


def _chosen(
    entries: tuple[ResolvedEntry | UnresolvedEntry, ...], number: int | None
) -> tuple[ResolvedEntry | UnresolvedEntry, ...]:
    if number is None:
        return entries
    if not 1 <= number <= len(entries):
        count = "one entry" if len(entries) == 1 else f"{len(entries)} entries" if entries else "no entry"
        raise UsageError(f"there is no entry {number}: the setup has {count}")
    return (entries[number - 1],)
