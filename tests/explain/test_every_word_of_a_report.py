"""Whatever word a report uses, `speclint explain` knows it; and it guesses nothing that nobody could have meant."""

import json
import re
from datetime import date
from pathlib import Path

import pytest

from speclint.errors import UsageError
from speclint.explain.glossary import TERMS
from speclint.explain.keys import keys
from speclint.explain.names import explain, groups
from speclint.quantities.registry import BY_NAME
from speclint.quantities.trade_words import TRADE_WORDS
from speclint.reports import Paper
from speclint.resources import schemas_folder
from speclint.workspace.ruleset_index import RulesetIndex, index_rulesets
from tests.console import in_process

ROOT = Path(__file__).parents[2]
CARS, SETUPS = "examples/cars", "examples/setups"
REPORTS = {
    "a field": ("check", CARS),
    "a car": ("check", f"{CARS}/car-14-one-tooth-too-tall.yaml"),
    "a car that is not shown": ("check", f"{CARS}/car-18-no-weight.yaml"),
    "an inspection": ("check", "tests/data/misprints/inspected.yaml"),
    "a gearing": ("gearing", f"{SETUPS}/car-22-track-runs.yaml"),
    "two bench runs": ("compare", "examples/motors/00463.yaml", "--setup", f"{CARS}/car-12-carpet.yaml", "--full"),
    "motors side by side": ("compare", "examples/motors/00463.yaml", "examples/motors/00417.yaml", "--full"),
}
LABEL = re.compile(r"^ +(?:[x?~›i] )?([^\W\d_][\w '±/-]*?) {2,}\S")
"""What stands before a gap at the beginning of an indented line."""

HEADING = re.compile(r"[A-Z][a-z' ]+")


def bundled() -> RulesetIndex:
    return index_rulesets([])


def page_of(name: str) -> str:
    return explain(name, bundled, date(2026, 3, 14), Paper())


def report(*words: str) -> str:
    done = in_process(ROOT, *words)
    assert done.returncode in (0, 1), done.stderr
    return done.stdout


def subjects_of_rules() -> set[str]:
    """What a ruleset names by itself, which no registry holds: the body, a wing, a charging current."""
    found = json.loads(report("check", SETUPS, "--report", "json"))
    checks = [check for entry in found["entries"] for check in entry["checks"]]
    inspected = {check["rule"].replace("-", " ") for check in checks if not check["quantity"]}
    stated = {check["quantity"] for check in checks if str(check["quantity"]).startswith(("extra.", "entry."))}
    names = {entry["name"].lower() for entry in found["entries"]}
    return (
        inspected
        | names
        | {re.sub(r"_(?:a|v|g|mm|kg|mah)$", "", name.partition(".")[2]).replace("_", " ") for name in stated}
    )


def words_of(text: str) -> set[str]:
    labels = {match[1].lower() for line in text.splitlines() if (match := LABEL.match(line))}
    return labels | {line.lower() for line in text.splitlines() if HEADING.fullmatch(line)}


def test_every_label_and_heading_of_a_report_is_explained() -> None:
    subjects = subjects_of_rules()
    unknown: dict[str, set[str]] = {}
    for name, words in REPORTS.items():
        labels = words_of(report(*words)) - subjects
        assert labels, name
        for label in labels:
            try:
                page_of(label)
            except UsageError:
                unknown.setdefault(name, set()).add(label)
    assert unknown == {}


@pytest.mark.parametrize(
    "word",
    [
        "close call", "margin", "advice", "remedy", "penalty", "waiver", "±", "+/-", "stale", "clause", "tolerance",
        "decision", "entry", "garage", "track", "pins", "FDR", "kv", "weight", "Final Drive", "RPM", "notice", "digest",
        "bare least", "rollout", "winding", "can", "band", "scatter", "infield", "parts box",
    ],
)  # fmt: skip
def test_words_of_the_trade_and_of_the_reports_have_a_page(word: str) -> None:
    assert "meaning" in page_of(word)


def test_every_key_of_a_file_and_of_a_json_report_has_a_page() -> None:
    assert {"penalty", "read_to", "close_call", "infield_speed_kmh", "repeatability_percent", "conclusion"} <= set(
        keys()
    )
    for key in keys():
        assert page_of(key)
    for schema in schemas_folder().glob("*.schema.json"):
        assert set(json.loads(schema.read_text(encoding="utf-8"))["properties"]) <= set(keys()), schema.name


def test_what_a_page_refers_to_is_there() -> None:
    for term in TERMS:
        for name in (term.name, *term.also, *term.see):
            assert page_of(name)
    assert set(TRADE_WORDS.values()) <= set(BY_NAME)


def test_a_word_has_one_page() -> None:
    also = [word for term in TERMS for word in term.also]
    assert len(also) == len(set(also))
    names = {name for group in groups() for name in group.pages}
    assert not names & set(also)
    assert not names & set(TRADE_WORDS)
    assert not set(also) & set(TRADE_WORDS)


@pytest.mark.parametrize(
    ("word", "guess"),
    [
        ("weihgt", "weight"),
        ("remdy", "remedy"),
        ("cloze call", "close call"),
        ("final-drive-ration", "final_drive_ratio"),
    ],
)
def test_a_slip_is_guessed(word: str, guess: str) -> None:
    with pytest.raises(UsageError, match=f"did you mean {guess}"):
        page_of(word)


@pytest.mark.parametrize("word", ["hello", "banana", "margarine", "stall", "beer", "xyz", "chassis number"])
def test_nothing_nonsensical_is_guessed(word: str) -> None:
    with pytest.raises(UsageError) as refused:
        page_of(word)
    assert "did you mean" not in str(refused.value)
