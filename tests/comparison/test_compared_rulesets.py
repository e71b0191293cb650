"""`speclint compare` on rulesets: what became of each rule, which step the version needs, and whom it hits."""

import json
import subprocess
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from speclint.reports import Paper
from speclint.resources import schema_text
from tests.console import Console, write

WIDTH = "{id: width, quantity: width_mm, at_most: 190, cite: '2'}"
CLUB = """format: ruleset/1
id: club
version: "%s"
in_force: {from: 2026-01-01, until: 2026-12-31}
%s
classes:
  stock:
    title: Stock
    rules:
"""
LISTS = "lists: {tyres: {items: [{id: T-1}%s]}}"
TYRE = "{id: tyre, quantity: extra.tyre, listed_in: tyres}"


def club(version: str, *rules: str, top: str = "") -> str:
    return CLUB % (version, top) + "".join(f"      - {rule}\n" for rule in (WIDTH, *rules))


def compared(console: Console, folder: Path, *words: str, status: int = 0) -> dict[str, Any]:
    done = console(folder, "compare", *words, "--report", "json")
    assert done.status == status, done.err
    report: dict[str, Any] = json.loads(done.out)
    jsonschema.Draft202012Validator(json.loads(schema_text("comparison-1"))).validate(report)
    comparison: dict[str, Any] = report["rulesets"]
    return comparison


def between(console: Console, folder: Path, old: str, new: str) -> dict[str, Any]:
    write(folder / "old.yaml", old)
    write(folder / "new.yaml", new)
    return compared(console, folder, "old.yaml", "new.yaml")


def kinds(comparison: dict[str, Any]) -> list[tuple[str, str, str, str | None, str | None]]:
    return [
        (change["rule"], change["kind"], change["step"], change["from"], change["until"])
        for changes in comparison["classes"]
        for change in changes["changes"]
    ]


WIDE = "{quantity: width_mm, at_most: 185}"
LONG = "{quantity: length_mm, at_most: 400}"


def ways(*options: str) -> list[str]:
    return [f"{{id: w, any_of: [{', '.join(options)}]}}"]


MASS = "{id: weight, quantity: mass_g, at_least: 1350}"
SPEED = "{id: speed, quantity: no_load_speed_rpm, at_most: 19500}"
WINDING = "{id: winding, quantity: winding_mean_mohm, at_least: 36}"
JUNE = "{id: weight-june, replaces: weight, from: 2026-06-01, quantity: mass_g, at_least: %d}"
RATIO = "{id: ratio, quantity: final_drive_ratio, at_least: 4.2, when: {entry.venue: %s}}"


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ([], [MASS], [("weight", "added", "major", None, None)]),
        ([MASS], [], [("weight", "withdrawn", "minor", None, None)]),
        ([MASS], [MASS.replace("1350", "1360")], [("weight", "tightened", "major", None, None)]),
        ([MASS], [MASS.replace("1350", "1340")], [("weight", "loosened", "minor", None, None)]),
        ([MASS], [MASS.replace("at_least: 1350", "between: [1340, 1400]")], [("weight", "changed", "major", None, None)]),
        ([MASS], [MASS.replace("at_least", "above")], [("weight", "tightened", "major", None, None)]),
        ([MASS], [MASS.replace("}", ", cite: '3.1'}")], [("weight", "reworded", "patch", None, None)]),
        ([MASS], [MASS.replace("}", ", penalty: Out.}")], [("weight", "reworded", "patch", None, None)]),
        ([MASS], [MASS.replace("}", ", checked_on: 2026-02-01}")], []),
        # Written otherwise, and the same is asked: nothing becomes illegal, and the sentence says what is new.
        (["{id: w, quantity: mass_g, at_least: 1350, at_most: 1400}"], ["{id: w, quantity: mass_g, between: [1350, 1400]}"], []),
        ([MASS], [MASS.replace("weight", "mass")], [("weight", "reworded", "patch", None, None)]),
        ([MASS], [MASS, JUNE % 1360], [("weight", "tightened", "major", "2026-06-01", None)]),
        ([MASS], [MASS, JUNE % 1340], [("weight", "loosened", "minor", "2026-06-01", None)]),
        # An amendment that loosened and is dropped: the old rule binds again.
        ([MASS, JUNE % 1340], [MASS], [("weight", "tightened", "major", "2026-06-01", None)]),
        (
            [MASS, JUNE % 1360],
            [MASS, (JUNE % 1360).replace("06-01", "07-01")],
            [("weight", "moved in time", "minor", "2026-06-01", "2026-06-30")],
        ),
        (
            [MASS, JUNE % 1360],
            [MASS, (JUNE % 1360).replace("06-01", "05-01")],
            [("weight", "moved in time", "major", "2026-05-01", "2026-05-31")],
        ),
        (
            ["{id: ice, quantity: width_mm, at_most: 180, until: 2026-02-28}"],
            ["{id: ice, quantity: width_mm, at_most: 180, until: 2026-03-31}"],
            [("ice", "moved in time", "major", "2026-03-01", "2026-03-31")],
        ),
        ([RATIO % "indoor"], [RATIO % "[indoor, outdoor]"], [("ratio", "tightened", "major", None, None)]),
        ([RATIO % "[indoor, outdoor]"], [RATIO % "indoor"], [("ratio", "loosened", "minor", None, None)]),
        ([RATIO % "indoor"], [RATIO % "outdoor"], [("ratio", "changed", "major", None, None)]),
        (
            ["{id: kind, quantity: rotor_kind, one_of: [standard]}"],
            ["{id: kind, quantity: rotor_kind, one_of: [standard, torque]}"],
            [("kind", "loosened", "minor", None, None)],
        ),
        (
            ["{id: kind, quantity: rotor_kind, none_of: [sintered]}"],
            ["{id: kind, quantity: rotor_kind, none_of: [sintered, bonded]}"],
            [("kind", "tightened", "major", None, None)],
        ),
        (
            ["{id: kind, quantity: rotor_kind, one_of: [standard]}"],
            ["{id: kind, quantity: rotor_kind, stated: true}"],
            [("kind", "loosened", "minor", None, None)],
        ),
        ([MASS], [MASS.replace("}", ", decision: must-show}")], [("weight", "tightened", "major", None, None)]),
        ([MASS], [MASS.replace("}", ", decision: benefit-of-doubt}")], [("weight", "loosened", "minor", None, None)]),
        ([MASS], [MASS.replace("}", ", read_to: 10}")], [("weight", "changed", "major", None, None)]),
        ([MASS], [MASS.replace("}", ", leeway: 2}")], [("weight", "loosened", "minor", None, None)]),
        ([MASS.replace("}", ", leeway: 2}")], [MASS.replace("1350", "1348")], [("weight", "reworded", "patch", None, None)]),
        # Fewer readings count where a rule asks how they were taken.
        ([MASS], [MASS.replace("}", ", taken: {at: after-run}}")], [("weight", "tightened", "major", None, None)]),
        ([MASS.replace("}", ", taken: {at: after-run}}")], [MASS], [("weight", "loosened", "minor", None, None)]),
        (
            [MASS.replace("}", ", taken: {at: after-run}}")],
            [MASS.replace("}", ", taken: {at: [start, after-run]}}")],
            [("weight", "loosened", "minor", None, None)],
        ),
        # Of several bench runs another one may then be the newest that counts, on either side.
        ([SPEED], [SPEED.replace("}", ", taken: {supply_v: 8.4}}")], [("speed", "changed", "major", None, None)]),
        ([WINDING], [WINDING.replace("}", ", reference_temperature_c: 25}")], [("winding", "changed", "major", None, None)]),
        # The temperature of the ruleset, now said by the rule itself.
        ([WINDING], [WINDING.replace("}", ", reference_temperature_c: 20}")], []),
        (["{id: seal, inspect: the seal}"], ["{id: seal, inspect: the seal, per: day}"], [("seal", "reworded", "patch", None, None)]),
        (["{id: seal, inspect: the seal}"], ["{id: seal, inspect: the seal and the screws}"], [("seal", "changed", "major", None, None)]),
        (ways(WIDE), ways(WIDE, LONG), [("w", "loosened", "minor", None, None)]),
        (ways(WIDE, LONG), ways(LONG), [("w", "tightened", "major", None, None)]),
        (ways(WIDE), ways(f"{{all_of: [{WIDE}, {LONG}]}}"), [("w", "tightened", "major", None, None)]),
        # Of two rules on one quantity the stricter decides: one that it covers brings and takes nothing.
        ([MASS], [MASS, "{id: w2, quantity: mass_g, at_least: 1300}"], [("w2", "added", "minor", None, None)]),
        (
            ["{id: w2, quantity: mass_g, at_least: 1300}", MASS],
            ["{id: w2, quantity: mass_g, at_least: 1350}"],
            [("w2", "reworded", "patch", None, None), ("weight", "withdrawn", "minor", None, None)],
        ),
    ],
)  # fmt: skip
def test_what_became_of_a_rule_is_read_from_both_texts_day_by_day(
    empty: Path, console: Console, old: list[str], new: list[str], expected: list[tuple[str, str, str, str, str]]
) -> None:
    assert kinds(between(console, empty, club("1", *old), club("2", *new))) == expected


def test_the_sentence_stands_before_and_after_with_what_it_does_not_say(empty: Path, console: Console) -> None:
    (change,) = between(
        console, empty, club("1", MASS), club("2", MASS.replace("1350", "1340, read_to: 5, cite: '3'"))
    )["classes"][0]["changes"]
    assert change["before"] == ["The mass is at least 1350 g."]
    assert change["after"] == ["The mass is at least 1340 g, clause 3."]
    assert change["details"] == ["The value is first read to 5 g, halves away from zero."]


def test_lists_count_by_what_is_on_them_on_each_day(empty: Path, console: Console) -> None:
    old = club("1", TYRE, top=LISTS % "")
    more = between(console, empty, old, club("2", TYRE, top=LISTS % ", {id: T-2, from: 2026-05-01}"))
    assert kinds(more) == [("tyre", "loosened", "minor", "2026-05-01", None)]
    assert more["classes"][0]["changes"][0]["details"] == ["List tyres, new: T-2."]
    fewer = between(console, empty, old, old.replace("{id: T-1}", "{id: T-1, until: 2026-05-31}").replace('"1"', '"2"'))
    assert kinds(fewer) == [("tyre", "tightened", "major", "2026-06-01", None)]


def test_a_waiver_that_ends_can_make_a_legal_car_illegal(empty: Path, console: Console) -> None:
    waiver = "waivers: [{rule: width, when: {motor_serial: '7'}, until: %s, granted: minutes}]"
    old, new = (club(version, top=waiver % day) for version, day in (("1", "2026-04-30"), ("2", "2026-03-31")))
    shorter = between(console, empty, old, new)
    assert kinds(shorter) == [("width", "withdrawn", "major", "2026-04-01", "2026-04-30")]
    assert kinds(between(console, empty, new, old)) == [("width", "added", "minor", "2026-04-01", "2026-04-30")]
    # A rule of another id is no longer excused by it.
    assert (
        between(console, empty, old, old.replace("{id: width,", "{id: span,").replace("rule: width", "rule: span"))[
            "step"
        ]
        == "major"
    )


def test_a_waiver_for_fewer_cars_takes_something_away_and_one_for_more_does_not(empty: Path, console: Console) -> None:
    waiver = "waivers: [{rule: width, when: {motor_serial: [%s]}, granted: minutes}]"
    one, two = (club(version, top=waiver % serials) for version, serials in (("1", "'7'"), ("2", "'7', '8'")))
    assert kinds(between(console, empty, one, two)) == [("width", "added", "minor", None, None)]
    assert kinds(between(console, empty, two, one)) == [("width", "withdrawn", "major", None, None)]


def test_instruments_and_the_reference_temperature_change_what_is_measured(empty: Path, console: Console) -> None:
    rule = "{id: r, quantity: winding_mean_mohm, at_least: 36}"
    warm = between(
        console,
        empty,
        club("1", rule, top="reference_temperature_c: 20"),
        club("2", rule, top="reference_temperature_c: 25"),
    )
    assert kinds(warm) == [("r", "changed", "major", None, None)]
    scale = "instruments: {scale: {accuracy: %s}}"
    assert kinds(between(console, empty, club("1", MASS, top=scale % 1), club("2", MASS, top=scale % 2))) == [
        ("width", "changed", "major", None, None),
        ("weight", "changed", "major", None, None),
    ]


def test_classes_come_and_go(empty: Path, console: Console) -> None:
    old = club("1")
    new = old.replace('"1"', '"2"') + "  open: {title: Open, rules: [" + MASS + "]}\n"
    (added,) = between(console, empty, old, new)["classes"]
    assert (added["class"], added["kind"]) == ("open", "added")
    gone = between(console, empty, new, old)
    assert (gone["classes"][0]["kind"], gone["step"]) == ("withdrawn", "major")


class TestWhomItHits:
    """Every entry whose verdict or margin changes, the worst first, and those with a warning before it."""

    CAR = (
        "format: setup/1\nname: %s\nentries: [{ruleset: %s, class: stock, on: %s}]\ncar: {width_mm: 180, mass_g: %d}\n"
    )

    def cars(self, folder: Path, *cars: tuple[str, str, str, int]) -> None:
        for name, ruleset, day, mass in cars:
            write(folder / "cars" / f"{name}.yaml", self.CAR % (name, ruleset, day, mass))

    def hit(self, console: Console, folder: Path, *words: str) -> list[tuple[str, str, str | None, list[str]]]:
        entries = compared(console, folder, *words, "--cars", "cars")["entries"]
        return [(entry["name"], entry["before"], entry["after"], entry["warnings"]) for entry in entries["changed"]]

    @pytest.fixture
    def rulesets(self, empty: Path) -> Path:
        write(empty / "rulesets/1.yaml", club("1", MASS))
        new = club(
            "2", MASS.replace("1350", "1370"), "{id: length, quantity: length_mm, at_most: 460, from: 2026-09-01}"
        )
        write(empty / "rulesets/2.yaml", new.replace("from: 2026-01-01, until", "from: 2026-06-01, until"))
        return empty

    def test_of_cars_that_stay_as_they_were_the_illegal_one_stands_first_and_a_close_call_is_told(
        self, rulesets: Path, console: Console
    ) -> None:
        self.cars(rulesets, ("a", "club", "2026-06-14", 1371), ("b", "club", "2026-06-14", 1340))
        car = rulesets / "cars/a.yaml"
        on_scale = "{value: 1371, instrument: scale}}\ninstruments: {scale: {accuracy: 2}}\n"
        car.write_text(car.read_text(encoding="utf-8").replace("1371}\n", on_scale), encoding="utf-8")
        entries = compared(console, rulesets, "club@1", "club@2", "--cars", "cars")["entries"]["changed"]
        assert [(entry["name"], entry["after"]) for entry in entries] == [("b", "illegal"), ("a", "legal")]
        assert entries[1]["rules"][0]["before"]["margin"] == "21.0 g to spare"
        assert entries[1]["rules"][0]["after"]["margin"] == "1.0 g to spare, a close call"

    def test_worst_first_and_a_warning_before_it(self, rulesets: Path, console: Console) -> None:
        self.cars(
            rulesets,
            ("heavy", "club", "2026-09-14", 1400),
            ("light", "club", "2026-06-14", 1360),
            ("early", "club", "2026-03-14", 1360),
            ("never", "other", "2026-06-14", 1360),
            ("past", "club", "2027-06-14", 1360),
        )
        assert self.hit(console, rulesets, "club@1", "club@2") == [
            ("light", "legal", "illegal", ["length: from 1 September 2026 this rule asks at most 460 mm: the setup does not show that"]),
            ("heavy", "legal", "not-shown", []),
            ("early", "legal", "legal", ["mass: from 1 June 2026 this rule asks at least 1370 g: the car with 1360 g will be illegal"]),
        ]  # fmt: skip

    def test_it_is_told_in_words(self, rulesets: Path, console: Console) -> None:
        self.cars(rulesets, ("light", "club", "2026-06-14", 1360))
        text = " ".join(console(rulesets, "compare", "club@1", "club@2", "--cars", "cars").out.split())
        assert text.startswith(
            "club@2 against club@1: 1 rule added and 1 rule tightened. It can make a legal car illegal, so the version needs a"
            " major step. Of 1 entry, 1 becomes illegal and 1 is warned of a later day."
        )
        assert "- Tightened: The mass is at least 1370 g. Before: The mass is at least 1350 g." in text
        assert "- Added: From 1 September 2026: The length is at most 460 mm." in text
        head, _, later = text.partition("Whom it hits, worst first ")[2].partition(" light ")
        assert head == "what before now x"
        assert later.startswith(
            "(cars/light.yaml), club/stock, 14 June 2026: legal → illegal mass 10 g to spare 10 g short later: length: from"
            " 1 September 2026"
        )

    @pytest.mark.parametrize("width", [80, 100, 120])
    def test_a_rule_has_one_line_however_long_the_car_is_called(
        self, empty: Path, console: Console, width: int
    ) -> None:
        ratio = "{id: ratio, quantity: final_drive_ratio, at_least: %s, cite: '4.3 (amended)'}"
        write(empty / "rulesets/1.yaml", club("1", MASS, ratio % "4.2"))
        write(empty / "rulesets/2.yaml", club("2", MASS.replace("1350", "1370"), ratio % "4.4"))
        car = self.CAR.replace("mass_g: %d", "mass_g: %d, spur_teeth: 96, pinion_teeth: 42, internal_ratio: 1.9")
        name = "number twelve of the harbour team, indoor carpet"
        write(empty / "cars" / f"{'-'.join(name.split())}.yaml", car % (name, "club", "2026-06-14", 1360))
        console.monkeypatch.setattr("speclint.commands.compare.paper", lambda: Paper(width=width))
        lines = console(empty, "compare", "club@1", "club@2", "--cars", "cars").out.splitlines()
        assert max(map(len, lines)) <= width
        cells = [[cell.strip() for cell in line.split("  ") if cell.strip()] for line in lines]
        start = cells.index(["what", "before", "now"])
        assert ["final drive ratio (4.3 (amended))", "0.143 to spare", "0.057 short"] in cells[start:]
        assert ["mass", "10 g to spare", "10 g short"] in cells[start:]

    def test_on_narrow_paper_nothing_is_cut(self, rulesets: Path, console: Console) -> None:
        self.cars(rulesets, ("light", "club", "2026-06-14", 1360))
        console.monkeypatch.setattr("speclint.commands.compare.paper", lambda: Paper(width=30))
        out = console(rulesets, "compare", "club@1", "club@2", "--cars", "cars").out
        assert max(map(len, out.splitlines())) <= 30
        told = " ".join(out.split())
        assert "x light (cars/light.yaml), club/stock, 14 June 2026: legal → illegal" in told
        assert "mass: 10 g short (before: 10 g to spare) later: length: from 1 September 2026" in told

    def test_the_changelog_has_the_same_rows(self, rulesets: Path, console: Console) -> None:
        self.cars(rulesets, ("light", "club", "2026-06-14", 1360), ("heavy", "club", "2026-06-14", 1400))
        console(rulesets, "compare", "club@1", "club@2", "--cars", "cars", "--save", "CHANGES.md")
        lines = (rulesets / "CHANGES.md").read_text(encoding="utf-8").splitlines()
        start = lines.index("| car | entered in | verdict | what | before | now |")
        assert lines[start + 2].startswith(
            "| light (cars/light.yaml) | club/stock, 14 June 2026 | legal → illegal | mass | 10 g to spare | 10 g short |"
        )
        assert any(line.startswith("| heavy (cars/heavy.yaml) |") and "| 30 g to spare |" in line for line in lines)

    @pytest.mark.parametrize(
        ("masses", "sentence"),
        [
            ([1360], "Of 1 entry, 1 becomes illegal and 1 is warned of a later day."),
            ([1340, 1360, 1400], "Of 3 entries, 1 becomes illegal, 2 keep their verdict by another margin and 3 are warned of a later day."),
        ],
    )  # fmt: skip
    def test_the_answer_counts_what_becomes_of_the_entries(
        self, rulesets: Path, console: Console, masses: list[int], sentence: str
    ) -> None:
        self.cars(rulesets, *((f"car-{mass}", "club", "2026-06-14", mass) for mass in masses))
        assert sentence in " ".join(console(rulesets, "compare", "club@1", "club@2", "--cars", "cars").out.split())

    def test_a_day_that_is_asked_for_stands_for_all(self, rulesets: Path, console: Console) -> None:
        self.cars(rulesets, ("early", "club", "2026-03-14", 1360))
        hit = self.hit(console, rulesets, "club@1", "club@2", "--on", "2026-06-02")
        assert [(name, before, after) for name, before, after, _ in hit] == [("early", "legal", "illegal")]

    def test_a_national_body_sees_the_cars_of_clubs_that_would_follow(self, rulesets: Path, console: Console) -> None:
        local = 'format: ruleset/1\nid: local\nversion: "1"\nin_force: {from: 2026-01-01}\nbased_on: club@1\nclasses: {stock: {rules: %s}}\n'
        write(rulesets / "rulesets/local.yaml", local % "[]")
        own = local.replace("id: local", "id: own") % f"[{MASS.replace('1350', '1300')}]"
        write(rulesets / "rulesets/own.yaml", own)
        self.cars(rulesets, ("follows", "local", "2026-06-14", 1360), ("has-its-own", "own", "2026-06-14", 1360))
        comparison = compared(console, rulesets, "club@1", "club@2", "--cars", "cars")
        told = [
            (entry["name"], entry["class"], entry["after"], entry["follows"])
            for entry in comparison["entries"]["changed"]
        ]
        assert told[0] == ("follows", "local/stock", "illegal", True)
        assert [entry["warnings"] != [] for entry in comparison["entries"]["changed"]] == [True, True]
        assert comparison["entries"]["judged"] == 2

    def test_a_car_with_a_problem_is_told_and_the_others_are_judged(self, rulesets: Path, console: Console) -> None:
        self.cars(rulesets, ("light", "club", "2026-06-14", 1360))
        write(rulesets / "cars/bad.yaml", "format: setup/1\ncar: {mas_g: 1}\n")
        done = console(rulesets, "compare", "club@1", "club@2", "--cars", "cars")
        assert done.status == 1
        assert "cars/bad.yaml:2:7: " in done.out
        assert "light (cars/light.yaml)" in done.out


def commit(folder: Path, tag: str) -> None:
    for words in (
        ("init", "-q"),
        ("add", "."),
        ("-c", "user.name=x", "-c", "user.email=x@example.invalid", "commit", "-qm", tag),
        ("tag", tag),
    ):
        subprocess.run(["git", *words], cwd=folder, check=True)


class TestThenAndNow:
    """The old text taken from git."""

    def test_a_published_version_that_was_edited_is_found_by_its_tag(self, empty: Path, console: Console) -> None:
        file = write(empty / "rulesets/club-1.yaml", club("1", MASS))
        commit(empty, "v1")
        same = compared(console, empty, "rulesets/club-1.yaml", "--since", "v1")
        assert (same["step"], same["edited_in_place"], same["classes"]) == ("none", False, [])
        write(file, club("1", MASS.replace("1350", "1360")))
        edited = compared(console, empty, "rulesets/club-1.yaml", "--since", "v1")
        assert (edited["edited_in_place"], edited["old"], edited["new"]) == (True, "club@1 of v1", "club@1")
        assert edited["old_digest"] != edited["new_digest"]
        assert "a version that was published and then edited" in edited["answer"]

    def test_a_new_file_is_held_against_the_newest_version_that_git_had(self, empty: Path, console: Console) -> None:
        write(empty / "rulesets/club-1.yaml", club("1", MASS))
        commit(empty, "v1")
        write(empty / "rulesets/club-2.yaml", club("2", MASS.replace("1350", "1360")))
        for name in ("rulesets/club-2.yaml", "club@2"):
            comparison = compared(console, empty, name, "--since", "v1")
            assert (comparison["old"], comparison["edited_in_place"]) == ("club@1 of v1", False)
            assert kinds(comparison) == [("weight", "tightened", "major", None, None)]


def test_a_changelog_to_publish_is_saved_as_markdown(empty: Path, console: Console) -> None:
    write(empty / "old.yaml", club("1", MASS))
    write(empty / "new.yaml", club("2", MASS.replace("1350", "1360")).replace("title: Stock", "title: <b>Stock</b> |"))
    assert console(empty, "compare", "old.yaml", "new.yaml", "--save", "changes.md").status == 0
    text = (empty / "changes.md").read_text(encoding="utf-8")
    assert (
        "### \\<b\\>Stock\\</b\\> \\| (stock)\n\n- **Tightened.** The mass is at least 1360 g. Before: The mass is"
        in text
    )
    # Such a file may be replaced, and no other.
    assert console(empty, "compare", "new.yaml", "old.yaml", "--save", "changes.md").status == 0
    write(empty / "changes.md", "# Ours\n")
    done = console(empty, "compare", "new.yaml", "old.yaml", "--save", "changes.md")
    assert (done.status, "is left as it is" in done.err) == (2, True)


def test_strict_fails_on_what_can_make_a_legal_car_illegal(empty: Path, console: Console) -> None:
    write(empty / "old.yaml", club("1", MASS))
    write(empty / "new.yaml", club("2", MASS.replace("1350", "1340")))
    assert console(empty, "compare", "old.yaml", "new.yaml", "--strict").status == 0
    assert console(empty, "compare", "new.yaml", "old.yaml", "--strict").status == 1
    assert console(empty, "compare", "new.yaml", "old.yaml").status == 0


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("club@1",), "name two rulesets, the old one first, or one with --since REV"),
        (("club@1", "club@1", "club@1.yaml"), "there is no such file"),
        (("club@1", "car.yaml"), "club@1 is a ruleset and car.yaml a setup: name files of one kind"),
        (("club@1", "other"), "there is no ruleset other"),
        (("club@1", "club@1", "--trend"), "--trend goes with motors: these are rulesets"),
        (("club@1", "club@2", "--ruleset", "club"), "--ruleset goes with motors: these are rulesets"),
        (("car.yaml", "car.yaml", "--cars", "."), "--cars goes with rulesets: these are motors and setups"),
        (("club@1", "club@2", "--cars", "nowhere"), "there is no setup under the path"),
    ],
)
def test_what_does_not_go_together_is_refused_by_name(
    empty: Path, console: Console, words: tuple[str, ...], message: str
) -> None:
    write(empty / "rulesets/1.yaml", club("1", MASS))
    write(empty / "rulesets/2.yaml", club("2", MASS))
    write(empty / "car.yaml", "format: setup/1\n")
    done = console(empty, "compare", *words)
    assert done.status in (1, 2), done.out
    assert message in " ".join((done.err + done.out).split())
