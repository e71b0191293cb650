"""The questions of the page and their answers, as JSON: each is answered by the rooms that answer the command line."""

import io
import json
import zipfile
from collections.abc import Callable, Mapping
from datetime import date
from typing import Any, Final, NamedTuple

from speclint.browser.dropped import DroppedFiles
from speclint.browser.form import form_sections
from speclint.browser.inspecting import INSPECTION_FILE, inspected_car, inspection_sections, inspection_text
from speclint.browser.typed_setup import SETUP_FILE, TypedSetup, typed_setup
from speclint.check.pipeline import check, gathered
from speclint.errors import SpeclintError, UsageError
from speclint.files import Found
from speclint.findings import EntryResult, Tally
from speclint.models.setups import setup_of
from speclint.pages.render import page
from speclint.reports import Order, Paper, RunOptions
from speclint.reports.check.deciding import deciding_text
from speclint.reports.check.json_report import JsonReport
from speclint.reports.check.page import content_of, render, verdict_counts
from speclint.rules.checks import WORST_FIRST, Verdict
from speclint.rulesets.library import Library
from speclint.rulesets.model import FlatClass
from speclint.rulesets.not_found import NotFound
from speclint.workspace.loaded import Files, load
from speclint.workspace.overrides import Overrides
from speclint.workspace.workspace import Workspace

_PROBLEM: Final = "problem"
"""What stands in a verdict's place where something is wrong with a file."""

Answer = dict[str, Any]


class _Asked(NamedTuple):
    """What is to be judged: the person's files beside the site's rulesets, and what is put over their entries."""

    source: DroppedFiles
    listing: Found
    overrides: Overrides
    typed: TypedSetup | None


def opened(archive: bytes, ruleset: str) -> "SiteChecks":
    """The checks of a site.

    Args:
        archive: its archive for teams: the ruleset and all that it builds on.
        ruleset: the one that it publishes, as `id@version`.
    """
    with zipfile.ZipFile(io.BytesIO(bytes(archive))) as files:
        return SiteChecks({name: files.read(name) for name in files.namelist()}, ruleset)


class SiteChecks:
    """Answers by the rulesets of one site.

    Args:
        rulesets: every file of the site's archive that is a ruleset, by its name in there.
        ruleset: the one that is published, as `id@version`.
    """

    def __init__(self, rulesets: Mapping[str, bytes], ruleset: str) -> None:
        self._rulesets = {name: bytes(data) for name, data in rulesets.items()}
        self._ruleset = ruleset

    def answer(self, question: Mapping[str, Any]) -> str:
        """The answer to one question as JSON; what cannot be answered as asked says so under `refused`.

        A question holds `ask`, a key of `_ANSWERS`, and `today`; `class` and `on` where they are put over the files;
        and `files` (bytes by name), or `values` (what was typed by the JSON pointer of its key).
        """
        try:
            answer = _ANSWERS[str(question["ask"])](self, question)
        except SpeclintError as error:
            answer = {"refused": str(error)}
        return json.dumps(answer, ensure_ascii=False)

    def form(self, question: Mapping[str, Any]) -> Answer:
        """The form of a class: the keys that its rules rest on on the day."""
        flat, day = self._flat(question), _day(question, "on")
        return {"html": page("check_form.html", sections=form_sections(flat, day), mark="")}

    def readings(self, question: Mapping[str, Any]) -> Answer:
        """The fields of one car that is inspected."""
        flat, day = self._flat(question), _day(question, "on")
        return {"html": page("check_form.html", sections=inspection_sections(flat, day), mark="@")}

    def inspect(self, question: Mapping[str, Any]) -> Answer:
        """The verdict on each car of a field as it is read, the slip of the one that is `selected`, and the inspection."""
        asked = self._asked(question)
        findings = _findings(asked)
        results = {
            (result.inspected.number, result.flat.id): result
            for result in findings.entries
            if result.inspected is not None
        }
        of_cars = [results.get((str(car["number"]), str(car["class"]))) for car in question["cars"]]
        cars = [_inspected_verdict(result, findings) for result in of_cars]
        selected = of_cars[int(question["selected"])]
        shown = () if selected is None else (selected,)
        html = page("check_answer.html", notes=(), **content_of(findings._replace(entries=shown)))
        top = f"/cars/{question['selected']}"
        complaints = {
            problem.place.pointer.removeprefix(top): problem.message
            for problem in findings.problems
            if problem.place.file == INSPECTION_FILE and problem.place.pointer.startswith(f"{top}/")
        }
        typed = asked.typed
        if typed is not None:
            complaints |= typed.complaints
        return {
            "cars": cars,
            "html": html,
            "setups": [],
            "setup": "" if typed is None else typed.text,
            "complaints": complaints,
        }

    def check(self, question: Mapping[str, Any]) -> Answer:
        """The verdict in a line, and the slips as a part of the page."""
        asked = self._asked(question)
        findings = _findings(asked)
        word, line = _verdict(findings)
        notes = [f"{name}: rulesets of your own do not count here, the club's judge" for name in asked.source.left_out]
        notes += [f"{name} was not checked: it says no `format:`" for name in asked.listing.passed_over]
        if any(problem.id == "file-missing" for problem in findings.problems):
            notes.append("A setup stands with its motor's file and its garage's: choose them together.")
        answer: Answer = {
            "verdict": word,
            "line": line,
            "html": page("check_answer.html", notes=notes, **content_of(findings)),
            "setups": [listed.file for listed in asked.listing.files if listed.declares == "setup"],
        }
        if asked.typed is not None:
            at_fields = asked.typed.complaints | {
                problem.place.pointer: problem.message for problem in findings.problems if problem.place.pointer
            }
            answer |= {"complaints": at_fields, "setup": asked.typed.text}
        return answer

    def slip(self, question: Mapping[str, Any]) -> Answer:
        """The slips as a page of their own, as `--save slip.html` writes it."""
        return {"text": render(_findings(self._asked(question)), Paper())}

    def report(self, question: Mapping[str, Any]) -> Answer:
        """The report as JSON, as `--report json` writes it."""
        asked = self._asked(question)
        findings = _findings(asked)
        report = JsonReport(Order(Paper(), RunOptions(asked.overrides)))
        return {
            "text": "".join([*(report.add(report.extract(entry)) for entry in findings.entries), report.end(findings)])
        }

    def gearing(self, question: Mapping[str, Any]) -> Answer:
        """Where to start with the gearing of one setup, as a part of the page."""
        from speclint.gearing.of_setup import gear  # slow to import, and no verdict waits for it
        from speclint.gearing.options import GearingOptions
        from speclint.reports.gearing.page import content_of as gearing_content

        asked = self._asked(question)
        text = asked.source.read(str(question["setup"]))
        plan = gear(text, asked.source, asked.overrides, GearingOptions(), progress=lambda *_: None)
        if isinstance(plan, tuple):
            raise UsageError("; ".join(f"{problem.place}: {problem.message}" for problem in plan))
        return {"html": page("check_gearing.html", **gearing_content(plan))}

    def _asked(self, question: Mapping[str, Any]) -> _Asked:
        class_id = question.get("class")
        overrides = Overrides(today=_day(question, "today"))
        typed = None
        files = {str(name): bytes(data) for name, data in question.get("files", {}).items()}
        if "cars" in question:
            typed = self._inspection(question, files)
            files |= {INSPECTION_FILE: typed.text.encode()}
        elif "values" in question:
            flat, day = self._flat(question), _day(question, "on")
            typed = typed_setup(flat, day, form_sections(flat, day), question["values"])
            files = {SETUP_FILE: typed.text.encode()}
        elif class_id:
            day = _day(question, "on")
            overrides = Overrides(today=day, ruleset=self._ruleset, class_id=str(class_id), on=day)
        source = DroppedFiles(files, self._rulesets)
        return _Asked(source, source.find(source.names), overrides, typed)

    def _inspection(self, question: Mapping[str, Any], files: Mapping[str, bytes]) -> TypedSetup:
        """The inspection that was typed; complaints are those of the car that is selected."""
        day = _day(question, "on")
        cars: list[dict[str, Any]] = []
        complaints: dict[str, str] = {}
        numbers = _entered_numbers(DroppedFiles(files, self._rulesets))
        digest = ""
        for i, car in enumerate(question["cars"]):
            flat = self._flat({**question, "class": car["class"]})
            digest = self._library(question).digest(flat.ruleset)
            keys, wrong = inspected_car(
                car, inspection_sections(flat, day), day, has_setup=str(car["number"]) in numbers
            )
            cars.append(keys)
            complaints |= wrong if i == int(question["selected"]) else {}
        return TypedSetup(inspection_text(question, self._ruleset, digest, cars), complaints)

    def _library(self, question: Mapping[str, Any]) -> Library:
        source = DroppedFiles({}, self._rulesets)
        return Workspace(Files(source), Overrides(today=_day(question, "on")), near=(SETUP_FILE,)).index.library

    def _flat(self, question: Mapping[str, Any]) -> FlatClass:
        id_, _, version = self._ruleset.partition("@")
        library = self._library(question)
        ruleset = library.in_force(id_, version, _day(question, "on"), None)
        flat = ruleset if isinstance(ruleset, NotFound) else library.flat(ruleset, question["class"])
        if isinstance(flat, NotFound):
            raise UsageError(flat.message)
        return flat


_ANSWERS: Final[Mapping[str, Callable[[SiteChecks, Mapping[str, Any]], Answer]]] = {
    "form": SiteChecks.form,
    "check": SiteChecks.check,
    "readings": SiteChecks.readings,
    "inspect": SiteChecks.inspect,
    "slip": SiteChecks.slip,
    "report": SiteChecks.report,
    "gearing": SiteChecks.gearing,
}


def _findings(asked: _Asked) -> Tally:
    named = frozenset(asked.source.names)
    return gathered(check(asked.listing.files, asked.source, asked.overrides, named=named))


def _verdict(findings: Tally) -> tuple[str, str]:
    """The worst verdict, and what decides it; of several cars how many have which. No problem hides behind a verdict."""
    entries = findings.entries
    reasons = [
        *(f"{defect.what} could not be worked out" for defect in findings.defects),
        *(problem.message for problem in findings.problems),
        *(setup.reason for setup in (*findings.not_judged, *findings.not_entered)),
    ]
    if not entries:
        return _PROBLEM, reasons[0] if reasons else "there is nothing to check"
    worst = min((result.verdict for result in entries), key=WORST_FIRST.index)
    line = _line(entries[0]) if len(entries) == 1 else verdict_counts(result.verdict for result in entries)
    if reasons and worst is not Verdict.ILLEGAL:
        return _PROBLEM, f"{reasons[0]} (else {worst.words})"
    return worst.value, line


def _inspected_verdict(result: EntryResult | None, findings: Tally) -> dict[str, str]:
    if result is None:
        return {"verdict": _PROBLEM, "line": next((problem.message for problem in findings.problems), "not judged")}
    return {"verdict": result.verdict.value, "line": _line(result)}


def _entered_numbers(source: DroppedFiles) -> frozenset[str]:
    """The numbers that the dropped setups are entered under."""
    documents = (load(source.read(name)) for name in source.names)
    setups = [setup_of(loaded.sound) for loaded in documents if loaded.format == "setup/1" and loaded.sound is not None]
    return frozenset(str(entry.keys["number"]) for setup in setups for entry in setup.entries if "number" in entry.keys)


def _line(result: EntryResult) -> str:
    return deciding_text(result) or result.name


def _day(question: Mapping[str, Any], key: str) -> date:
    try:
        return date.fromisoformat(str(question[key]))
    except ValueError as error:
        raise UsageError("choose the race day") from error
