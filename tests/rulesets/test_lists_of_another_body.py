"""A list that takes over another body's list, in one version of it, with items added or ended."""

import pytest

from speclint.files import FileText
from speclint.workspace.loaded import load
from speclint.workspace.ruleset_index import RulesetIndex, index_rulesets
from tests.check.world import a_ruleset, a_setup, find_in

RULE = "{id: motor, quantity: motor_part, listed_in: motors}"
NATIONAL_ITEMS = "{id: M-1, from: 2025-01-01}, {id: M-2, from: 2025-01-01}, {id: M-3, from: 2026-02-01}"
NATIONAL = a_ruleset(id_="national", top=f"lists: {{motors: {{frozen_on: 2026-01-01, items: [{NATIONAL_ITEMS}]}}}}")
OURS = "{id: M-2, until: 2026-02-28}, {id: M-9, from: 2025-12-01}"


def _club(list_keys: str) -> str:
    return a_ruleset(RULE, top=f"lists: {{motors: {{{list_keys}}}}}")


CLUB = _club(f"based_on: national@1/motors, items: [{OURS}]")


def _verdict(club: str, part: str, *, on: str = "2026-03-14", national: str = NATIONAL) -> str:
    car = a_setup(f"motor: {{part: {part}}}", on=on)
    findings = find_in({"national.yaml": national, "club.yaml": club, "car.yaml": car})
    assert findings.problems == ()
    return findings.entries[0].verdict.value


@pytest.mark.parametrize(
    ("part", "on", "verdict"),
    [
        ("M-1", "2026-03-14", "legal"),  # as the other body has it
        ("M-9", "2026-03-14", "legal"),  # added
        ("M-2", "2026-02-28", "legal"),
        ("M-2", "2026-03-01", "illegal"),  # ended here, and nowhere else
        ("M-3", "2026-03-14", "illegal"),  # the other body's day of freezing counts
        ("M-4", "2026-03-14", "illegal"),
    ],
)
def test_items_of_the_other_list_count_with_our_own_over_them(part: str, on: str, verdict: str) -> None:
    assert _verdict(CLUB, part, on=on) == verdict


def test_a_day_of_freezing_of_our_own_takes_the_place_of_theirs() -> None:
    assert _verdict(_club("based_on: national@1/motors, frozen_on: 2026-02-15"), "M-3") == "legal"


def test_a_version_is_named_and_a_later_one_changes_nothing() -> None:
    later = NATIONAL.replace('version: "1"', 'version: "2"').replace("M-1", "M-7")
    car = a_setup("motor: {part: M-1}")
    files = {"national.yaml": NATIONAL, "later.yaml": later, "club.yaml": CLUB, "car.yaml": car}
    assert find_in(files).entries[0].verdict.value == "legal"


def test_an_item_that_was_not_yet_published_leaves_theirs_in_force() -> None:
    club = _club("based_on: national@1/motors, items: [{id: M-2, until: 2026-02-28, published: 2026-02-20}]")
    files = {"national.yaml": NATIONAL, "club.yaml": club, "car.yaml": a_setup("motor: {part: M-2}")}
    assert find_in(files, known_on="2026-02-19").entries[0].verdict.value == "legal"
    assert find_in(files, known_on="2026-02-20").entries[0].verdict.value == "illegal"


def test_lists_are_taken_over_through_several_bodies() -> None:
    league = a_ruleset(id_="league", top="lists: {motors: {based_on: national@1/motors, items: [{id: M-5}]}}")
    club = _club("based_on: league@1/motors")
    for part in ("M-1", "M-5"):
        car = a_setup(f"motor: {{part: {part}}}")
        files = {"national.yaml": NATIONAL, "league.yaml": league, "club.yaml": club, "car.yaml": car}
        assert find_in(files).entries[0].verdict.value == "legal"


@pytest.mark.parametrize(
    ("list_keys", "problem", "words"),
    [
        ("based_on: nationel@1/motors", "unknown-ruleset", "national@1"),
        ("based_on: national@2/motors", "unknown-ruleset", "there is no ruleset national@2"),
        ("based_on: national@1/moters", "unknown-list", "national@1 has no list moters"),
        ("based_on: club@1/motors", "circular-basis", "club@1/motors → club@1/motors"),
        ("based_on: national@1", "wrong-form", "based_on"),
        ("about: motors", "missing-key", "items or based_on"),
    ],
)
def test_a_basis_that_is_not_there_is_a_problem_and_judges_nobody(list_keys: str, problem: str, words: str) -> None:
    files = {"national.yaml": NATIONAL, "club.yaml": _club(list_keys), "car.yaml": a_setup("motor: {part: M-1}")}
    findings = find_in(files)
    first, *_ = [issue for issue in findings.problems if issue.place.file == "club.yaml"]
    assert first.id == problem
    assert words in first.message
    assert findings.entries == ()


def test_a_fault_in_the_other_body_s_ruleset_judges_nobody() -> None:
    national = NATIONAL.replace("rules: []", "rules: [{id: it, quantity: motor_part, listed_in: nothing}]")
    files = {"national.yaml": national, "club.yaml": CLUB, "car.yaml": a_setup("motor: {part: M-1}")}
    assert find_in(files).entries == ()


def _index(**texts: str) -> RulesetIndex:
    return index_rulesets(load(FileText(name, text, None, "ruleset")) for name, text in texts.items())


def test_the_other_list_is_part_of_the_digest() -> None:
    digests = set()
    for national in (
        NATIONAL,
        NATIONAL.replace("M-1", "M-8"),
        NATIONAL.replace("2026-01-01, items", "2026-01-02, items"),
    ):
        library = _index(national=national, club=CLUB).library
        digests.add(library.digest(library.versions("club")["1"]))
    assert len(digests) == 3


def test_what_an_entry_rests_on_names_the_other_body_s_file() -> None:
    files = {"national.yaml": NATIONAL, "club.yaml": CLUB, "car.yaml": a_setup("motor: {part: M-1}")}
    assert [read.file for read in find_in(files).entries[0].files] == ["car.yaml", "club.yaml", "national.yaml"]
