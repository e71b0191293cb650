"""A digest is the same for the same rules however they are written down, and another for any change of them.

Canonical JSON is that of RFC 8785; the general library `rfc8785` is held against ours on generated data, and the number
vectors are those of its appendix B (from memory, as the text was not at hand; the library agrees with each of them).
"""

import hashlib
import random
import struct
from typing import Any

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from speclint.documents.parse import parse
from speclint.files import FileText
from speclint.rulesets.canonical import canonical_json, digest
from speclint.workspace.loaded import load
from speclint.workspace.ruleset_index import index_rulesets
from tests.check.world import a_ruleset, project_files

RULES = (
    "{id: weight, quantity: mass_g, at_least: 1350, instrument: scale}",
    "{id: rotor, quantity: rotor_kind, one_of: [standard, torque], when: {entry.round: [1, 2]}}",
    "{id: tyre, quantity: extra.tyre, listed_in: tyres}",
)
TOP = """\
instruments: {scale: {accuracy: 1, resolution: 1}}
lists: {tyres: {items: [{id: T-1, from: 2026-01-01}, {id: T-2, rotors: [a, b]}]}}
waivers: [{rule: weight, when: {motor_serial: "1"}}, {rule: rotor, when: {motor_serial: "2"}}]
"""
CLUB = a_ruleset(*RULES, top=TOP)


def _digests(**texts: str) -> dict[str, str]:
    index = index_rulesets(load(FileText(name, text, None, "ruleset")) for name, text in texts.items())
    assert index.problems == ()
    return {ruleset.id: index.library.digest(ruleset) for ruleset, _ in index.documents.values()}


def _digest(text: str) -> str:
    return _digests(club=text)["club"]


@pytest.mark.parametrize(
    "same",
    [
        CLUB.replace("\n", "\r\n"),
        f"# a comment\n{CLUB}# another\n",
        "\ufeff" + CLUB,
        CLUB.replace("at_least: 1350,", "at_least: 1350.0,"),
        CLUB.replace("at_least: 1350,", "at_least: 1.35e3,"),
        CLUB.replace("id: weight, quantity: mass_g,", "quantity: mass_g, id: weight,"),
        CLUB.replace("id: weight", '"id": "weight"'),
        CLUB.replace("[standard, torque]", "[torque, standard]"),
        CLUB.replace("[1, 2]", "[2, 1]"),
        CLUB.replace("[a, b]", "[b, a]"),
        a_ruleset(*reversed(RULES), top=TOP),
        a_ruleset(*RULES, top="\n".join(reversed(TOP.splitlines()))),
        CLUB.replace("{id: T-1, from: 2026-01-01}, {id: T-2, rotors: [a, b]}", "{id: T-2, rotors: [a, b]}, {id: T-1, from: 2026-01-01}"),
        CLUB.replace('{rule: weight, when: {motor_serial: "1"}}, ', ""),
        CLUB.replace("quantity: mass_g,", "quantity: mass_g, because: so, cite: '3', measure: thus, penalty: none,"),
        CLUB.replace("items:", "about: our tyres, items:"),
        CLUB.replace("classes:", "title: Rules\nexamples: []\nchecked_on: 2026-02-01\nclasses:"),
        CLUB.replace("instruments:", "decision: as-read\nreference_temperature_c: 20\ninstruments:"),
    ],
    ids=["line ends", "comments", "byte order mark", "1350.0", "1.35e3", "order of keys", "quotes", "order of choices",
         "order of conditions", "order of an item's values", "order of rules", "order of sections", "order of items",
         "a waiver", "explaining texts", "what a list is for", "title, examples, last reading", "defaults written out"],
)  # fmt: skip
def test_rules_that_are_written_down_otherwise_have_the_same_digest(same: str) -> None:
    assert same != CLUB
    assert _digest(same) == _digest(CLUB)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("at_least: 1350", "at_least: 1350.1"),
        ("at_least: 1350", "above: 1350"),
        ("[standard, torque]", "[standard]"),
        ("[1, 2]", "[1, 3]"),
        ("instrument: scale", "decision: must-show"),
        ("accuracy: 1,", "accuracy: 2,"),
        ("from: 2026-01-01}, {id: T-2", "from: 2026-01-02}, {id: T-2"),
        ("in_force: {from: 2026-01-01}", "in_force: {from: 2026-01-02}"),
        ("instruments:", "decision: must-show\ninstruments:"),
        ("instruments:", "reference_temperature_c: 25\ninstruments:"),
        ('version: "1"', 'version: "2"'),
        ("in_force:", "published: 2026-01-02\nin_force:"),
        ("at_least: 1350,", "at_least: 1350, published: 2026-01-02,"),
        ("{id: T-1,", "{id: T-1, published: 2026-01-02,"),
    ],
)
def test_any_change_of_what_is_asked_changes_the_digest(old: str, new: str) -> None:
    changed = CLUB.replace(old, new)
    assert changed != CLUB
    assert _digest(changed) != _digest(CLUB)


def test_a_change_in_the_base_changes_the_digest_of_what_builds_on_it() -> None:
    club = a_ruleset("{id: width, quantity: width_mm, at_most: 190}", top="based_on: league@1")
    league = a_ruleset(*RULES, top=TOP, id_="league")
    before = _digests(league=league, club=club)
    after = _digests(league=league.replace("1350", "1360"), club=club)
    assert before["club"] != after["club"]
    moved = _digests(league=f"# moved\n{league}", club=club)
    assert moved == before


def test_a_change_of_a_base_rule_that_the_club_overrides_changes_nothing() -> None:
    club = a_ruleset("{id: weight, quantity: mass_g, at_least: 1400}", top="based_on: league@1")
    league = a_ruleset(*RULES, top=TOP, id_="league")
    changed = _digests(league=league.replace("1350", "1360"), club=club)
    assert changed["club"] == _digests(league=league, club=club)["club"]


def test_a_withdrawal_for_a_time_is_part_of_the_digest() -> None:
    league = a_ruleset(*RULES, top=TOP, id_="league")
    plain = _digests(league=league, club=a_ruleset(top="based_on: league@1", class_id="other"))["club"]
    paused = a_ruleset("{id: weight, withdrawn: true, from: 2026-06-01}", top="based_on: league@1")
    assert len({plain, _digests(league=league, club=paused)["club"]}) == 2


def test_every_shipped_ruleset_has_a_digest_that_does_not_depend_on_the_order_of_files() -> None:
    files = list(project_files("rulesets").items())
    digests = []
    for seed in range(3):
        random.Random(seed).shuffle(files)  # noqa: S311
        digests.append(_digests(**dict(files)))
    assert digests[0] == digests[1] == digests[2]
    assert all(len(one.removeprefix("sha256:")) == 64 for one in digests[0].values())


# --- canonical JSON

PLAIN = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**53) + 1, 2**53 - 1)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=4), inner, max_size=4),
    max_leaves=12,
)


@given(PLAIN)
def test_canonical_json_is_that_of_the_reference_library(data: Any) -> None:
    assert canonical_json(data).encode() == rfc8785.dumps(data)
    assert digest(data) == "sha256:" + hashlib.sha256(rfc8785.dumps(data)).hexdigest()


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_every_number_is_written_as_ecmascript_writes_it(number: float) -> None:
    written = canonical_json(number)
    assert float(written) == number
    assert written.encode() == rfc8785.dumps(number)


@pytest.mark.parametrize(
    ("bits", "written"),
    [
        ("0000000000000000", "0"), ("8000000000000000", "0"), ("0000000000000001", "5e-324"),
        ("7fefffffffffffff", "1.7976931348623157e+308"), ("4340000000000000", "9007199254740992"),
        ("4430000000000000", "295147905179352830000"), ("44b52d02c7e14af5", "9.999999999999997e+22"),
        ("44b52d02c7e14af6", "1e+23"), ("44b52d02c7e14af7", "1.0000000000000001e+23"),
        ("444b1ae4d6e2ef4e", "999999999999999700000"), ("444b1ae4d6e2ef4f", "999999999999999900000"),
        ("444b1ae4d6e2ef50", "1e+21"), ("3eb0c6f7a0b5ed8c", "9.999999999999997e-7"), ("3eb0c6f7a0b5ed8d", "0.000001"),
        ("41b3de4355555553", "333333333.3333332"), ("41b3de4355555554", "333333333.33333325"),
        ("41b3de4355555555", "333333333.3333333"), ("41b3de4355555556", "333333333.3333334"),
        ("41b3de4355555557", "333333333.33333343"), ("becbf647612f3696", "-0.0000033333333333333333"),
        ("43143ff3c1cb0959", "1424953923781206.2"),
    ],
)  # fmt: skip
def test_the_number_vectors_of_the_standard(bits: str, written: str) -> None:
    (number,) = struct.unpack(">d", bytes.fromhex(bits))
    assert canonical_json(number) == written


@pytest.mark.parametrize("number", [float("nan"), float("inf"), -float("inf"), 2**53, -(2**53)])
def test_a_number_that_json_cannot_carry_is_refused(number: float) -> None:
    with pytest.raises(ValueError, match=r"too large|no place"):
        canonical_json(number)


def test_what_is_no_plain_data_is_refused() -> None:
    with pytest.raises(TypeError, match="set is not plain data"):
        canonical_json({1})


def test_keys_are_ordered_by_their_utf16_code_units() -> None:
    # A face (a surrogate pair, D83D) goes before U+FB33, though its code point is higher (RFC 8785 3.2.3).
    assert canonical_json({"\ufb33": 1, "\U0001f600": 2, "a": 3}) == '{"a":3,"\U0001f600":2,"\ufb33":1}'


def test_a_document_and_its_canonical_json_hold_the_same_data() -> None:
    document, _ = parse("club.yaml", CLUB)
    assert document is not None
    again, _ = parse("club.json", canonical_json(document.data))
    assert again is not None
    assert again.data == document.data


def test_how_a_reading_has_to_be_taken_is_part_of_it_in_any_order_and_how_often_one_looks_is_not() -> None:
    rule = "{id: a, quantity: mass_g, at_least: 1, taken: {at: [start, after-run], supply_v: 8}}"
    look = "{id: b, inspect: the seal%s}"
    digest = _digest(a_ruleset(rule, look % ""))
    assert digest == _digest(a_ruleset(rule.replace("start, after-run", "after-run, start"), look % ", per: day"))
    assert digest != _digest(a_ruleset(rule.replace("supply_v: 8", "supply_v: 9"), look % ""))
