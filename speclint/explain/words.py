"""The pages of the words in reports: verdicts, decision rules, problems, rebuilds and advice."""

from typing import Any, Final

from speclint.advice.model import AdviceSort
from speclint.explain.cases import LIMIT_G, decision_cases, scale_text, verdict_case
from speclint.explain.glossary import Term
from speclint.explain.page import Page, Section, page_of, prose_section
from speclint.explain.problem_examples import EXAMPLES
from speclint.limits.decisions import Decision
from speclint.plain import capitalised
from speclint.problems import ProblemKind, ProblemSort
from speclint.quantities.checklists import CHECKLISTS_BY_KIND, MANUAL_FIRST
from speclint.quantities.model import Home, Quantity
from speclint.quantities.rebuilds import RebuildKind
from speclint.quantities.registry import BY_NAME
from speclint.reports import LAST_WORD
from speclint.rules.checks import VERDICT_MEANINGS, Verdict
from speclint.rules.wording import asked, message, percent

_JCGM_106: Final = "JCGM 106:2012, The role of measurement uncertainty in conformity assessment"

_WHAT_TO_DO: Final = {
    Verdict.LEGAL: "Nothing. Look at close calls all the same: the inspector's instrument is another one.",
    Verdict.ILLEGAL: "Change the car until the rule is met; `speclint check` names the smallest change where it can.",
    Verdict.NOT_SHOWN: "Add the key that the report names, or measure again and log the reading with its instrument.",
    Verdict.TO_INSPECT: "Look at it as the rule words it, before the inspector does.",
    Verdict.NOT_APPLICABLE: "Nothing, as long as the reason that the report gives stays true.",
}

_ON_AN_ENTRY: Final = {
    Verdict.LEGAL: "An entry is legal when no rule is illegal and none is not shown.",
    Verdict.ILLEGAL: "An entry is illegal when any of its rules is.",
    Verdict.NOT_SHOWN: "An entry is not shown when none of its rules is illegal, and any is not shown.",
}

_DECISIONS: Final = {
    Decision.AS_READ: (
        "the value counts as it is read",
        "Legal is what meets the limit as the instrument shows it; the uncertainty is reported and changes no verdict.",
        "simple acceptance, 8.2",
    ),
    Decision.MUST_SHOW: (
        "the car has to show that it is legal",
        "Legal is only what meets the limit by the expanded uncertainty U (k = 2) or more. What meets it by less is not"
        " shown; what breaks it is illegal. A reading without a known instrument shows nothing.",
        "guarded acceptance, 8.3.2",
    ),
    Decision.BENEFIT_OF_DOUBT: (
        "doubt speaks for the car",
        "Illegal is only what breaks the limit by more than the expanded uncertainty U (k = 2). What breaks it by less is not"
        " shown where U is wider than the distance of two limits, or than half of one.",
        "guarded rejection, 8.3.3",
    ),
}

_FOUND_IN: Final = {
    ProblemKind.YAML: "the text itself, before anything is made of it",
    ProblemKind.SCHEMA: "the shape: which keys a format has, and what each can hold",
    ProblemKind.REFERENCE: "what the file names: other files, rulesets, classes, quantities, lists, instruments",
    ProblemKind.RECORD: "what the file records, where its shape is right and it still cannot be",
}

_PROBLEM_SOURCES: Final = {
    ProblemKind.YAML: "YAML 1.2.2, of which speclint reads a strict, small part",
    ProblemKind.SCHEMA: "the schemas that come with speclint (JSON Schema, draft 2020-12)",
    ProblemKind.REFERENCE: "speclint's own formats: every name leads to something",
    ProblemKind.RECORD: "speclint's own formats: a record must be able to be true",
}

_PROBLEM_COST: Final = (
    "As long as it is there, `speclint check` exits with 1; the verdicts on files that do not rest on this one stand."
)


def verdict_page(verdict: Verdict) -> Page:
    """What a verdict says of a rule and of an entry, with a case that the engine judged so."""
    case = verdict_case(verdict)
    rule = f"the rule asks {asked(case.rule)}: " if verdict is Verdict.NOT_SHOWN else ""
    return page_of(
        verdict.value,
        "a verdict",
        prose_section("meaning", VERDICT_MEANINGS[verdict], _ON_AN_ENTRY.get(verdict, "")),
        prose_section("example", f"{rule}{message(case)}"),
        prose_section("what to do", _WHAT_TO_DO[verdict]),
        prose_section("source", f"speclint's own words; how a reading near a limit is decided follows {_JCGM_106}"),
        prose_section("mind", LAST_WORD),
    )


def decision_page(decision: Decision) -> Page:
    """What a decision rule makes of a reading near a limit."""
    title, meaning, clause = _DECISIONS[decision]
    rows = [("scale shows", "verdict", f"chance that it is really {LIMIT_G} g or more")]
    rows += [
        (f"{case.mass_g} g", case.ruling, "" if case.chance is None else percent(case.chance))
        for case in decision_cases(decision)
    ]
    return page_of(
        decision.value,
        f"a decision rule: {title}",
        prose_section("meaning", meaning),
        Section(
            "example",
            (f"the rule asks at least {LIMIT_G} g, and U of the scale is {scale_text()}",),
            table=tuple(rows),
        ),
        Section(
            "in a file",
            ("`decision:` of a ruleset, or of one of its rules",),
            lines=(f"decision: {decision.value}",),
        ),
        prose_section("source", f"{_JCGM_106}: {clause}"),
    )


def problem_page(sort: ProblemSort) -> Page:
    """What is wrong with a file that has this problem, and what mends it."""
    wrong = EXAMPLES.get(sort.id, "")
    return page_of(
        sort.id,
        "a problem with a file",
        prose_section("meaning", sort.meaning),
        prose_section("what to do", sort.remedy),
        Section("example", lines=tuple(wrong.splitlines())),
        prose_section("found in", _FOUND_IN[sort.kind]),
        prose_section("cost", _PROBLEM_COST),
        prose_section("source", _PROBLEM_SOURCES[sort.kind]),
    )


def advice_page(sort: AdviceSort[Any]) -> Page:
    """Why a piece of advice is given, and documents that give rise to it."""
    documents = [line for i, text in enumerate(sort.example) for line in (*(("---",) if i else ()), *text.splitlines())]
    return page_of(
        sort.id,
        f"a piece of advice: {sort.title}",
        prose_section("why", sort.because),
        Section("example", ("it is given for this:",), lines=tuple(documents)),
        prose_section(
            "cost", "None: advice changes no verdict. Under `check --strict` advice on a ruleset is status 1."
        ),
        prose_section("source", sort.source),
    )


def term_page(term: Term) -> Page:
    """What a word of a report means."""
    return page_of(
        term.name,
        "a word of the reports",
        prose_section("meaning", *term.meaning),
        Section("in a file", lines=term.in_a_file),
        prose_section("see also", ", ".join(f"`speclint explain {_quoted(name)}`" for name in term.see)),
        prose_section("source", term.source),
    )


def _quoted(name: str) -> str:
    """A name as a command line takes it."""
    return f'"{name}"' if " " in name else name


def rebuild_page(rebuild: RebuildKind) -> Page:
    """What a rebuild does to the readings, and its bench checklist."""
    checklist = CHECKLISTS_BY_KIND[rebuild.kind]
    again = [f"{quantity.title} ({quantity.name})" for quantity in checklist.measure_again]
    down = [f"{BY_NAME[name].title} ({_key(BY_NAME[name])})" for name in checklist.write_down]
    return page_of(
        rebuild.kind,
        f"a rebuild: {rebuild.title}",
        prose_section("first", MANUAL_FIRST),
        Section("steps", steps=checklist.steps),
        prose_section("look at", *checklist.look),
        prose_section("write down", *down),
        prose_section("measure", *(again or ["nothing has to be measured again"])),
        prose_section("why", f"{capitalised(rebuild.because)}. A reading from before no longer counts."
             if again else f"{capitalised(rebuild.because)}."),
        Section("in a file", ("a record under `rebuilds:` of the motor",),
                lines=("rebuilds:", f"  - {{date: 2026-03-11, did: [{rebuild.kind}]}}")),
        prose_section("source", "common practice"),
        prose_section("caution", *checklist.cautions),
    )  # fmt: skip


def _key(quantity: Quantity) -> str:
    key = quantity.key
    home = "" if key is None or key.home is Home.MOTOR else f" of the {key.home.value}"
    return f"{'.'.join(map(str, key.path))}{home}" if key is not None else quantity.name
