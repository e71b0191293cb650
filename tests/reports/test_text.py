"""The text of a check: whole texts as files, and what holds for all of them."""

import re

import pytest

from speclint.plain import columns
from speclint.reports import Paper
from speclint.reports.check.deciding import deciding, deciding_text
from speclint.reports.layout import Style
from tests.check.world import a_ruleset, a_setup, find_in
from tests.console import GOLDEN, Golden
from tests.reports.misprint_cars import CARS, findings
from tests.reports.report_text import report_text

PAINTED = re.compile("\x1b\\[[a-z]+;|\x1b\\[0m")


def paint(text: str, style: str) -> str:
    assert style in {known.value for known in Style}
    return f"\x1b[{style};{text}\x1b[0m"


PAPERS = {
    "100": Paper(width=100),
    "80": Paper(width=80),
    "60": Paper(width=60),
    "100-ascii": Paper(width=100, ascii_only=True),
    "100-colour": Paper(width=100, paint=paint),
    "60-colour-ascii": Paper(width=60, ascii_only=True, paint=paint),
}
SOME = ("illegal", "not-shown", "close-call", "problems")
WHOLE = [(name, paper) for name in CARS for paper in PAPERS if paper in ("100", "80", "60") or name in SOME]
FIELD = ("legal.yaml", "illegal.yaml", "not-shown.yaml", "close-call.yaml", "later.yaml", "waived.yaml")
ALL = [*CARS, "field"]


def files_of(name: str) -> tuple[str, ...]:
    return FIELD if name == "field" else CARS[name]


@pytest.mark.parametrize(("name", "paper"), [*WHOLE, *(("field", paper) for paper in PAPERS)])
def test_whole_texts(name: str, paper: str, golden: Golden) -> None:
    golden.holds(GOLDEN / "text" / f"{name}-{paper}.txt", report_text("text", findings(*files_of(name)), PAPERS[paper]))


def test_the_whole_text_of_every_rule(golden: Golden) -> None:
    golden.holds(GOLDEN / "text" / "field-full.txt", report_text("text", findings(*FIELD), PAPERS["100"], full=True))


@pytest.mark.parametrize("name", ALL)
@pytest.mark.parametrize("width", [1, 30, 40, 60, 66, 80, 93, 100, 107, 140, 200, 1000])
@pytest.mark.parametrize("full", [False, True])
def test_no_line_is_longer_than_the_paper_is_wide_and_no_word_is_cut(name: str, width: int, full: bool) -> None:
    found = findings(*files_of(name))
    text = report_text("text", found, Paper(width=width), full=full)
    assert max(columns(line) for line in text.splitlines()) <= max(width, 30)
    assert not any(line != line.rstrip() for line in text.splitlines())
    if width >= 60:
        # What is written at any width are the same words; only where lines end differs, and which stand in a table.
        wide = set(re.findall(r"[\w.%°]+", report_text("text", found, Paper(width=1000), full=full)))
        assert wide - set(re.findall(r"[\w.%°]+", text)) <= {"car", "rule", "the", "has", "asks", "clause", "margin", "what",
                                                            "verdict", "decides", "it", "legal"}  # fmt: skip


@pytest.mark.parametrize("name", ALL)
@pytest.mark.parametrize("paper", ["100", "80", "60"])
def test_colour_adds_nothing_but_colour(name: str, paper: str) -> None:
    plain = report_text("text", findings(*files_of(name)), PAPERS[paper])
    coloured = report_text("text", findings(*files_of(name)), PAPERS[paper]._replace(paint=paint))
    assert PAINTED.sub("", coloured) == plain
    assert "\x1b" in coloured
    assert "\x1b" not in plain


def test_what_is_legal_is_quiet_and_what_fails_and_is_to_be_done_is_not() -> None:
    coloured = report_text("text", findings(*CARS["illegal"]), PAPERS["100-colour"])
    painted = re.findall("\x1b\\[([a-z]+);([^\x1b]*)", coloured)
    failing = [text for style, text in painted if style == Style.FAIL.value]
    assert any("illegal" in text for text in failing)
    assert not any("legal" in text.replace("illegal", "") for text in failing)
    assert any("ballast" in text for style, text in painted if style == Style.DO.value)


@pytest.mark.parametrize("name", ALL)
@pytest.mark.parametrize("paper", ["100-ascii", "60-colour-ascii"])
def test_ascii_paper_takes_no_other_sign_and_loses_none(name: str, paper: str) -> None:
    text = report_text("text", findings(*files_of(name)), PAPERS[paper])
    assert text.isascii()
    unicode = report_text("text", findings(*files_of(name)), PAPERS[paper]._replace(ascii_only=False))
    assert text.count("?") == unicode.count("?")


class TestTheSlipOfOneCar:
    def test_says_the_answer_in_its_first_line_and_what_to_do_in_the_second(self) -> None:
        for name, first, second in (
            ("legal", "Car 1, nothing wrong: legal (1 to inspect)", "  Nothing to do; nearest: "),
            (
                "illegal",
                "Car 2, three things wrong: illegal (1 to inspect)",
                "  Another rotor is needed (approved for M-1: ",
            ),
            ("not-shown", "Car 3, not measured: not shown (1 to inspect)", "  Add: "),
            ("close-call", "Car 4, on the edge of the scale: ", "  "),
        ):
            lines = report_text("text", findings(*CARS[name]), Paper(width=100)).splitlines()
            assert lines[0].startswith(first[:7])
            assert ": " in lines[0]
            assert lines[1].startswith(second)

    def test_has_every_failing_rule_first_with_what_mends_it_and_why(self) -> None:
        text = report_text("text", findings(*CARS["illegal"]), Paper(width=120))
        rows = re.findall(r"^  (.) \S", text, re.MULTILINE)
        assert "".join(rows) == "xxxx" + "".join(rows)[4:]
        assert "x" not in "".join(rows)[4:]
        (mass,) = re.findall(r"^  x mass.*\n((?:      .+\n)+)", text, re.MULTILINE)
        assert [line.split()[0] for line in mass.splitlines() if line[6] != " "] == ["penalty", "fix", "why"]

    def test_asks_for_a_word_to_be_put_right_and_not_to_be_measured(self) -> None:
        declared = "quantities: {extra.wing: {title: wing, kind: text, choices: [low, high]}}"
        ruleset = a_ruleset("{id: wing, quantity: extra.wing, equals: low}", top=declared)
        files = {"rulesets/club.yaml": ruleset, "car.yaml": a_setup("extra: {wing: lwo}")}
        assert report_text("text", find_in(files)).splitlines()[1] == "  Put right: wing."

    def test_names_what_a_person_looks_at_with_its_mark(self) -> None:
        assert re.search(
            r"^  i body +to inspect +Body uncut", report_text("text", findings(*CARS["legal"])), re.MULTILINE
        )


class TestTheFieldTable:
    def test_has_a_row_for_each_entry_the_worst_first(self) -> None:
        found = findings(*FIELD)
        text = report_text("text", found, Paper(width=200))
        table = text.partition("\n\n")[0].splitlines() + text.splitlines()
        marks = [line[2] for line in text.splitlines() if re.match(r"  [x?~› ] Car \d", line)]
        assert len(marks) == len(found.entries)
        for group in re.split(r"\n\n", text):
            ranks = ["x?~› ".index(line[2]) for line in group.splitlines() if re.match(r"  [x?~› ] Car \d", line)]
            assert ranks == sorted(ranks)
        assert table

    def test_tells_below_it_what_fails_and_what_is_not_shown_alone(self) -> None:
        text = report_text("text", findings(*FIELD), Paper(width=120))
        below = text[text.index("\n\nCar ") :]
        assert "x mass" in below
        assert "nearest" not in below
        assert "  i " not in below

    def test_full_has_every_rule_of_every_car_in_the_order_of_the_files(self) -> None:
        found = findings(*FIELD)
        text = report_text("text", found, Paper(width=120), full=True)
        places = [text.index(f"\n{entry.name}: " if i else f"{entry.name}: ") for i, entry in enumerate(found.entries)]
        assert places == sorted(places)
        assert text.count("  i body") == len(found.entries)

    def test_keeps_little_of_a_large_field_and_tells_the_ten_worst(self) -> None:
        ruleset = a_ruleset("{id: mass, quantity: mass_g, at_least: 1350, because: So that all are alike.}")
        cars = {f"car-{i:02}.yaml": a_setup(f"name: Car {i}\ncar: {{mass_g: {1330 + i}}}") for i in range(40)}
        text = report_text("text", find_in({"club.yaml": ruleset, **cars}), Paper(width=100))
        assert text.count("So that all are alike.") == 1
        assert len(re.findall(r"^Car \d+ · car-", text, re.MULTILINE)) == text.count("of ballast") == 10
        assert len(re.findall(r"^  [x ] Car \d", text, re.MULTILINE)) == 40
        assert "--full tells 10 more failing entries" in text
        assert "40 entries: 20 legal, 20 illegal" in text
        assert len(text.splitlines()) <= 80


class TestOnly:
    @pytest.mark.parametrize(
        ("word", "cars"),
        [
            ("illegal", ("Car 2",)),
            ("not-shown", ("Car 3", "Car 4")),
            ("not shown", ("Car 3", "Car 4")),
            ("Car 4", ("Car 4",)),
            ("later.yaml", ("Car 10",)),
        ],
    )
    def test_shows_what_a_word_names_and_changes_no_count(self, word: str, cars: tuple[str, ...]) -> None:
        found = findings(*FIELD)
        text = report_text("text", found, Paper(width=120), only=word)
        shown = {name.partition(",")[0] for name in (entry.name for entry in found.entries) if name in text}
        assert shown == set(cars)
        tally = next(line for line in report_text("text", found, Paper(width=120)).splitlines() if " entries: " in line)
        assert tally in text

    def test_a_rule_is_shown_for_every_car_that_it_binds(self) -> None:
        text = report_text("text", findings(*FIELD), Paper(width=120), only="weight")
        assert len(re.findall(r"^  . Car \d.*  mass ", text, re.MULTILINE)) >= 4

    def test_a_word_that_names_nothing_is_told_with_the_nearest_that_does(self) -> None:
        text = report_text("text", findings(*FIELD), Paper(width=120), only="wieght")
        assert "--only wieght: nothing here is, has or is called that; did you mean weight? Known: " in " ".join(
            text.split()
        )


class TestWhatIsLacking:
    def test_is_a_block_to_paste_with_how_each_is_measured(self) -> None:
        rules = (
            "{id: mass, quantity: mass_g, at_least: 1350, measure: On the club's scale.}",
            "{id: width, quantity: width_mm, at_most: 190}",
            "{id: venue, quantity: entry.venue, equals: indoor}",
            "{id: kv, quantity: kv_rpm_per_v, at_most: 2500}",
        )
        stated = "car: {}\nmotor: {bench_runs: [{date: 2026-03-01, current_a: 3.9}]}"
        found = find_in({"club.yaml": a_ruleset(*rules), "car.yaml": a_setup(stated)})
        text = report_text("text", found, Paper(width=100))
        assert "entries[0]" not in text
        assert "bench_runs[0]" not in text
        block = text[text.index("Add to car.yaml:") :].partition("\n\n")[0]
        assert [line.strip() for line in block.splitlines()[1:] if not line.strip().startswith("#")] == [
            "car:", "mass_g:", "width_mm:", "entries:", "venue:", "motor:", "bench_runs:", "kv_rpm_per_v:",
        ]  # fmt: skip
        assert "    # On the club's scale." in block
        assert "# in the bench run of 2026-03-01" in block


def test_what_is_met_within_its_uncertainty_has_nothing_to_spare_where_it_has_to_be_shown() -> None:
    rules = (
        "{id: known, quantity: width_mm, at_most: 190, instrument: caliper}", "{id: weight, quantity: mass_g, at_least: 1350}",
    )  # fmt: skip
    top = "decision: must-show\ninstruments: {caliper: {accuracy: 1, unit: mm}}"
    found = find_in(
        {"club.yaml": a_ruleset(*rules, top=top), "car.yaml": a_setup("car: {mass_g: 1352, width_mm: 189.5}")}
    )
    text = report_text("text", found, Paper(width=120))
    assert "to spare" not in text
    assert "Name the instrument of: mass; too near the limit for this reading: width." in text
    assert "met by 0.5 mm: not shown" in text
    assert "met by 2 g: not shown" in text
    assert "met by 0.5 mm, within its ±" in deciding(found.entries[0]).text


def test_one_line_parts_problems_from_what_was_not_judged() -> None:
    found = find_in(
        {
            "club.yaml": a_ruleset("{id: weight, quantity: mass_g, at_least: 1350}"),
            "car.yaml": "format: setup/1\ncar: {mass: 3}\n",
        }
    )
    text = report_text("text", found)
    assert "Problems with files" in text
    assert "not judged: car.yaml" in text
    assert "\n\n\n" not in text


def test_a_car_that_no_known_change_mends_is_told_only_that() -> None:
    rule = "{id: packs, quantity: extra.packs_alike, equals: true}"
    found = find_in({"club.yaml": a_ruleset(rule), "car.yaml": a_setup("extra: {packs_alike: false}")})
    for full in (False, True):
        text = report_text("text", found, full=full)
        assert "acks alike: speclint knows no change that makes it legal" in text
        assert "No change" not in text
    assert "packs alike no, the rule asks yes" in deciding_text(found.entries[0])


def test_a_motor_file_that_is_not_there_is_told_once() -> None:
    rules = (
        "{id: turns, quantity: motor_turns, equals: 17.5, because: One wind.}",
        "{id: part, quantity: motor_part, equals: A}",
    )
    found = find_in({"club.yaml": a_ruleset(*rules), "car.yaml": a_setup("motor: 417.yaml")})
    text = report_text("text", found)
    assert text.count("does not exist") == 1
    assert text.count("not read ") == 2
    assert "The motor file is not read, see the problem below." in text
    assert "One wind." not in text
    assert "again" not in text


def test_a_remedy_that_is_a_word_says_it_once() -> None:
    found = find_in(
        {
            "club.yaml": a_ruleset("{id: tyre, quantity: extra.tyre, equals: HT-36}"),
            "car.yaml": a_setup("extra: {tyre: HT36}"),
        }
    )
    assert "fix         tyre HT-36 instead of HT36\n" in report_text("text", found)


def test_a_remedy_that_leaves_a_rule_not_shown_does_not_say_alone_that_the_car_is_legal_then() -> None:
    rules = (
        "{id: tyre, quantity: extra.tyre, equals: HT-36}",
        "{id: gearing, quantity: final_drive_ratio, at_least: 4.2}",
        "{id: mass, quantity: mass_g, at_least: 1350}",
        "{id: width, quantity: width_mm, at_most: 190}",
    )
    one_illegal = a_setup(
        "car: {spur_teeth: 96, pinion_teeth: 44, internal_ratio: 1.9, width_mm: 180}\nextra: {tyre: HT-36}"
    )
    two_illegal = one_illegal.replace("HT-36", "HT36")
    for setup in (one_illegal, two_illegal):
        text = report_text("text", find_in({"club.yaml": a_ruleset(*rules), "car.yaml": setup}))
        sentence = " ".join(text.split())
        assert "To be legal: " in sentence
        assert "; not shown yet, add: mass." in sentence
        shown = find_in(
            {"club.yaml": a_ruleset(*rules), "car.yaml": setup.replace("width_mm", "mass_g: 1400, width_mm")}
        )
        assert "not shown yet" not in report_text("text", shown)


def test_a_part_that_is_written_otherwise_is_named_beside_the_other_motor() -> None:
    top = "lists: {motors: {items: [{id: M-17A}]}}"
    found = find_in(
        {
            "club.yaml": a_ruleset("{id: part, quantity: motor_part, listed_in: motors}", top=top),
            "car.yaml": a_setup("motor: {part: m-17a}"),
        }
    )
    told = "Another motor is needed (m-17a is not on the list motors; M-17A is, spelled otherwise: copy it from there)."
    assert told in " ".join(report_text("text", found).split())


@pytest.mark.parametrize("word", ["close", "coming", "to-inspect", "not-shown", "illegal"])
def test_a_word_that_is_known_and_meets_nothing_is_no_misspelling(word: str) -> None:
    found = find_in(
        {
            "club.yaml": a_ruleset("{id: tyre, quantity: extra.tyre, equals: HT-36}"),
            "car.yaml": a_setup("extra: {tyre: HT-36}"),
        }
    )
    text = report_text("text", found, only=word)
    assert f"--only {word}: there is none." in text
    assert "did you mean" not in text


@pytest.mark.parametrize(
    ("rule", "stated", "lacking"),
    [
        ("quantity: mass_g, at_least: 1350, when: {entry.venue: indoor}", "car: {mass_g: 1360}", "venue"),
        ("quantity: extra.pack_c, at_most: {of: extra.air_c, plus: 5}", "extra: {pack_c: 31}", "air"),
        (
            "quantity: mass_g, by: motor_part, rows: {M-1: {at_least: 1350}}, otherwise: free",
            "car: {mass_g: 1360}",
            "motor part",
        ),
    ],
)
def test_what_is_stated_is_not_asked_for_where_the_rule_hangs_on_something_else(
    rule: str, stated: str, lacking: str
) -> None:
    found = find_in({"club.yaml": a_ruleset(f"{{id: it, {rule}}}"), "car.yaml": a_setup(stated)})
    lines = report_text("text", found).splitlines()
    assert lines[1].strip() == f"Add: {lacking}."
    assert f"{lacking} not stated" in next(line for line in lines if line.startswith("  ?"))
