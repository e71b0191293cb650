"""A published site says what the ruleset says, is the same for the same ruleset, and takes no other folder's place."""

import hashlib
import html
import io
import json
import re
import zipfile
from pathlib import Path

import pytest

from tests.check.world import a_ruleset
from tests.console import Console, process
from tests.publish.site_command import files_of, published, write_club


def text_of(page: bytes) -> str:
    """What a page says, without its markup."""
    body = page.decode().partition("<body>")[2]
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", "", body)))


@pytest.fixture
def site(empty: Path, console: Console) -> dict[str, bytes]:
    write_club(empty)
    return published(console, empty)


def test_every_class_has_a_page_and_every_rule_its_sentence(site: dict[str, bytes]) -> None:
    text = text_of(site["classes/stock.html"])
    for sentence in (
        "The mass is at least 1350 g.",
        "The mass is at least 1300 g.",
        "The turns are exactly 17.5.",
        "Where the venue is indoor, the tyre is on the list tyres.",
        "Hard case: yes.",
        "The inspector looks at this: <b>body</b> uncut.",
        "The width is at most 200 mm.",
        "The value is first read to 0.5 mm, halves away from zero.",
        "The official instrument is the club-scale: ± 1 g, in steps of 1 g.",
        "The reading must meet the limit with its ± counted: doubt goes against the car.",
        "Penalty: The run is deleted.",
        "Clause 1.1 · Oval Club, class rules, 2026.1",
        "amends weight; made known on 1 March 2026",
        "weight where motor serial is 00012, until 30 April 2026, minutes of 2 March",
    ):
        assert sentence in text


def test_the_season_is_a_line_of_time(site: dict[str, bytes]) -> None:
    page = site["classes/stock.html"].decode()
    times = re.findall(
        r"<li><b>([^<]*)</b>(.*?)</li>", page.partition('class="times"')[2].partition("</ol>")[0], re.DOTALL
    )
    happenings = {day: html.unescape(re.sub("<[^>]+>", "|", texts)).strip("|") for day, texts in times}
    assert happenings == {
        "1 February 2026": "Version 2026.1 comes into force.",
        "1 April 2026": "No longer asked: The width is at most 200 mm."
        "||T-2 comes onto the list tyres, which is frozen: it waits for the next season.",
        "1 June 2026": "The mass is at least 1300 g, clause 1.1a; until then at least 1350 g."
        "||T-1 no longer counts on the list tyres.",
        # The amendment is for a while only: the old text binds again after it.
        **({"1 September 2026": happenings["1 September 2026"]} if "1 September 2026" in happenings else {}),
        "31 December 2026": "The last day of this version.",
    }


def test_a_link_to_a_rule_stays_when_the_rule_is_amended(site: dict[str, bytes], empty: Path, console: Console) -> None:
    anchors = set(re.findall(r' id="([^"]+)"', site["classes/stock.html"].decode()))
    assert anchors >= {"weight", "weight-in-summer", "turns", "tyre", "case", "body", "trial", "List-tyres"}
    write_club(empty, version="2026.2", mass=1370)
    later = published(console, empty, "oval-club@2026.2", "site")
    assert anchors <= set(re.findall(r' id="([^"]+)"', later["classes/stock.html"].decode()))


def test_every_link_of_the_site_leads_somewhere(site: dict[str, bytes]) -> None:
    pages = {name: data.decode() for name, data in site.items() if name.endswith(".html")}
    links = [(name, link) for name, page in pages.items() for link in re.findall(r'href="([^"]+)"', page)]
    assert len(links) > 10
    for name, link in links:
        target, _, anchor = link.partition("#")
        top = name.rpartition("/")[0]
        while target.startswith("../"):
            target, top = target.removeprefix("../"), top.rpartition("/")[0]
        path = f"{top}/{target}".lstrip("/") if target else name
        assert path in site, link
        assert not anchor or f'id="{anchor}"' in pages[path], link


def test_the_same_ruleset_gives_the_same_bytes_wherever_and_whenever(empty: Path, console: Console) -> None:
    write_club(empty)
    first = published(console, empty)
    elsewhere = empty / "elsewhere" / "deep"
    elsewhere.mkdir(parents=True)
    write_club(elsewhere)
    done = process(
        elsewhere, "publish", "rulesets/oval-club-2026.1.yaml", "site", TZ="Pacific/Auckland", PYTHONHASHSEED="7"
    )
    assert done.returncode == 0, done.stderr
    assert files_of(elsewhere / "site") == first


def test_the_archive_is_dated_by_the_version_or_by_source_date_epoch(
    empty: Path, console: Console, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_club(empty)

    def dates() -> set[tuple[int, ...]]:
        with zipfile.ZipFile(empty / "site" / "oval-club-2026.1.zip") as archive:
            return {entry.date_time for entry in archive.infolist()}

    published(console, empty)
    assert dates() == {(2026, 1, 10, 0, 0, 0)}
    # 1767225600 is 2026-01-01T00:00:00Z (POSIX, seconds since the Epoch).
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1767225600")
    published(console, empty)
    assert dates() == {(2026, 1, 1, 0, 0, 0)}
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "yesterday")
    done = console(empty, "publish", "oval-club", "site")
    assert (done.status, "SOURCE_DATE_EPOCH is yesterday" in done.err) == (2, True)


def test_the_digest_can_be_reckoned_without_speclint(site: dict[str, bytes]) -> None:
    data = site["oval-club-2026.1.json"]
    digest = f"sha256:{hashlib.sha256(data).hexdigest()}"
    assert site["oval-club-2026.1.digest"] == f"oval-club@2026.1 {digest}\n".encode()
    assert digest in text_of(site["index.html"])
    assert json.loads(data)["id"] == "oval-club"


def test_what_a_team_downloads_judges_its_cars(site: dict[str, bytes], empty: Path, console: Console) -> None:
    team = empty / "team"
    (team / ".git").mkdir(parents=True)
    with zipfile.ZipFile(io.BytesIO(site["oval-club-2026.1.zip"])) as archive:
        archive.extractall(team)
    (team / "car.yaml").write_text(
        "format: setup/1\nentries:\n  - {ruleset: oval-club, class: stock, on: 2026-03-14}\ncar: {mass_g: 1200}\n",
        "utf-8",
    )
    done = console(team, "check", "car.yaml", "--report", "lines")
    assert done.status == 1
    assert "car.yaml:4:15: illegal: mass is 1200.0 ± 1.3 g; the rule asks at least 1350 g: 150.0 g short" in done.out
    source = (empty / "rulesets" / "oval-club-2026.1.yaml").read_bytes()
    assert (team / "rulesets" / "oval-club-2026.1.yaml").read_bytes() == source


def test_a_base_goes_into_the_archive(empty: Path, console: Console) -> None:
    write_club(empty)
    (empty / "rulesets" / "annex.yaml").write_text(
        "format: ruleset/1\nid: annex\nversion: '1'\nin_force: {from: 2026-02-01}\nbased_on: oval-club@2026.1\n"
        "classes:\n  stock:\n    rules:\n      - {id: turns, quantity: motor_turns, equals: 21.5, cite: A1}\n"
        "      - {id: body, withdrawn: true, cite: A2}\n",
        encoding="utf-8",
    )
    site = published(console, empty, "annex", "site")
    with zipfile.ZipFile(io.BytesIO(site["annex-1.zip"])) as archive:
        assert archive.namelist() == [
            "rulesets/annex-1.digest",
            "rulesets/annex-1.yaml",
            "rulesets/oval-club-2026.1.yaml",
        ]
    text = text_of(site["classes/stock.html"])
    assert "Clause A1 · annex, 1; in place of a rule of oval-club: exactly 17.5, clause 1.2" in text
    assert "body (A2), taken away by annex" in text
    assert "Clause 1.1 · Oval Club, class rules, 2026.1" in text


def test_changes_since_a_version_are_told_rule_by_rule(empty: Path, console: Console) -> None:
    write_club(empty)
    newer = write_club(empty, version="2026.2", mass=1370)
    text = newer.read_text(encoding="utf-8").replace("Light cars tip over.", "Light cars fly off.")
    text = text.replace('      - {id: turns, quantity: motor_turns, equals: 17.5, cite: "1.2"}\n', "")
    text = text.replace("items:\n", "items:\n      - {id: T-3}\n")
    newer.write_text(text, encoding="utf-8")
    site = published(console, empty, "oval-club@2026.2", "site", "--since", "oval-club@2026.1")
    changes = text_of(site["index.html"]).partition("Changes since version 2026.1")[2]
    for change in (
        "Tightened: Until 31 May 2026: The mass is at least 1370 g, clause 1.1. Before: The mass is at least 1350 g, clause 1.1.",
        "Withdrawn: The turns are exactly 17.5, clause 1.2.",
        "Loosened: Where the venue is indoor, the tyre is on the list tyres, clause 1.3. List tyres, new: T-3.",
    ):
        assert change in changes
    assert "Hard case" not in changes
    assert published(console, empty, "oval-club@2026.2", "site", "--since", "rulesets/oval-club-2026.1.yaml") == site


class TestWhatStandsInTheWay:
    """A folder that is not an earlier site, untouched, is never replaced."""

    def test_an_earlier_site_is_replaced_whole(self, empty: Path, console: Console) -> None:
        write_club(empty)
        published(console, empty)
        write_club(empty, mass=1370)
        text = text_of(published(console, empty)["classes/stock.html"])
        assert "at least 1370 g" in text
        assert [path.name for path in empty.iterdir() if path.name.startswith(".")] == []

    @pytest.mark.parametrize("name", ["notes.txt", "classes/mine.html", ".htaccess"])
    def test_a_file_of_somebody_elses_is_never_lost(self, empty: Path, console: Console, name: str) -> None:
        write_club(empty)
        published(console, empty)
        (empty / "site" / name).write_text("mine", encoding="utf-8")
        before = files_of(empty / "site")
        done = console(empty, "publish", "oval-club", "site")
        assert done.status == 2
        assert f"site is left as it is: {name} is no file of the earlier site" in done.err
        assert files_of(empty / "site") == before

    def test_a_page_that_was_edited_by_hand_is_never_lost(self, empty: Path, console: Console) -> None:
        write_club(empty)
        published(console, empty)
        with (empty / "site" / "index.html").open("a", encoding="utf-8") as file:
            file.write("<!-- ours -->")
        done = console(empty, "publish", "oval-club", "site")
        assert (done.status, "index.html was changed since the earlier site was written" in done.err) == (2, True)

    def test_a_folder_without_a_site_and_a_file_are_left_alone(self, empty: Path, console: Console) -> None:
        write_club(empty)
        done = console(empty, "publish", "oval-club", "rulesets")
        assert (done.status, "has no site.json of an earlier site" in done.err) == (2, True)
        (empty / "plain").write_text("x", encoding="utf-8")
        (empty / "link").symlink_to("rulesets")
        for name in ("plain", "link"):
            done = console(empty, "publish", "oval-club", name)
            assert (done.status, f"{name} is no folder, and is left as it is" in done.err) == (2, True)

    def test_an_empty_folder_will_do(self, empty: Path, console: Console) -> None:
        write_club(empty)
        (empty / "site").mkdir()
        assert "index.html" in published(console, empty)

    @pytest.mark.parametrize(
        ("trouble", "status"), [(OSError(28, "No space left on device"), 2), (KeyboardInterrupt(), 130)]
    )
    def test_a_site_that_cannot_be_put_in_place_leaves_the_earlier_one(
        self, trouble: BaseException, status: int, empty: Path, console: Console, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        write_club(empty)
        before = published(console, empty)
        write_club(empty, mass=1370)
        rename = Path.rename

        def refuse(path: Path, target: Path) -> Path:
            if path.name.endswith("-new"):
                raise trouble
            return rename(path, target)

        monkeypatch.setattr(Path, "rename", refuse)
        done = console(empty, "publish", "oval-club", "site")
        assert (done.status, "no space left" in done.err) == (status, status == 2)
        assert files_of(empty / "site") == before
        assert [path.name for path in empty.iterdir() if path.name.startswith(".")] == []

    def test_what_a_killed_publish_left_is_cleared_by_the_next_one_and_nothing_else_is(
        self, empty: Path, console: Console
    ) -> None:
        write_club(empty)
        before = published(console, empty)
        backups = [empty / ".site.20260314.old", empty / ".site.two.20260314.speclint-old"]
        for folder in (*backups, empty / ".site.ab12cd34.speclint-old", empty / ".site.ab12cd34.speclint-new"):
            folder.mkdir()
            (folder / "index.html").write_text("half", encoding="utf-8")
        # It was killed between two steps: the earlier site is out of its place, and the new one not yet in it.
        (empty / "site").rename(empty / ".site.ab12cd34.speclint-old" / "site")
        assert console(empty, "publish", "no-club", "site").status == 2
        assert published(console, empty) == before
        assert sorted(path for path in empty.iterdir() if path.name.startswith(".")) == backups

    def test_what_a_killed_publish_took_out_is_kept_where_it_cannot_be_put_back(
        self, empty: Path, console: Console
    ) -> None:
        write_club(empty)
        published(console, empty)
        taken_out = empty / ".site.ab12cd34.speclint-old" / "site"
        taken_out.parent.mkdir()
        (empty / "site").rename(taken_out)
        before = files_of(taken_out)
        (empty / "site").symlink_to("nowhere")
        assert console(empty, "publish", "oval-club", "site").status == 2
        assert files_of(taken_out) == before


class TestWhatIsNotPublished:
    """A ruleset that does not hold by its own word."""

    def test_one_whose_example_fails(self, empty: Path, console: Console) -> None:
        write_club(empty, expected="legal")
        done = console(empty, "publish", "oval-club", "site")
        assert done.status == 1
        assert 'example "light": weight should be legal, and is illegal' in done.err
        assert not (empty / "site").exists()

    def test_one_with_a_problem(self, empty: Path, console: Console) -> None:
        file = write_club(empty)
        file.write_text(file.read_text(encoding="utf-8").replace("at_least: 1350", "at_lest: 1350"), encoding="utf-8")
        done = console(empty, "publish", "rulesets/oval-club-2026.1.yaml", "site")
        assert done.status != 0
        assert "at_lest" in done.err
        assert not (empty / "site").exists()

    def test_one_that_is_not_there(self, empty: Path, console: Console) -> None:
        write_club(empty)
        done = console(empty, "publish", "oval-clb", "site")
        assert (done.status, "did you mean oval-club" in done.err or "oval-club" in done.err) == (2, True)


def test_a_list_of_another_body_is_told_and_its_ruleset_is_in_the_archive(empty: Path, console: Console) -> None:
    folder = empty / "rulesets"
    folder.mkdir()
    (folder / "national.yaml").write_text(
        a_ruleset(id_="national", top="lists: {motors: {items: [{id: M-1}, {id: M-2}]}}"), "utf-8"
    )
    rule = "{id: motor, quantity: motor_part, listed_in: motors}"
    top = "lists: {motors: {based_on: national@1/motors, items: [{id: M-9}]}}"
    (folder / "club.yaml").write_text(a_ruleset(rule, top=top), "utf-8")
    site = published(console, empty, "club", "site")
    text = text_of(site["classes/stock.html"])
    assert "Takes over the list motors of national, version 1." in text
    assert all(part in text for part in ("M-1", "M-2", "M-9"))
    names = zipfile.ZipFile(io.BytesIO(site["club-1.zip"])).namelist()
    assert "rulesets/national-1.yaml" in names


def test_what_a_list_says_of_an_item_is_told_by_titles_and_units(empty: Path, console: Console) -> None:
    top = (
        "quantities: {extra.hub_mm: {title: hub over the flats, kind: measured}}\n"
        "lists: {motors: {items: [{id: M-1, lowest_mohm: 20.5, mass_g: 180, hub_mm: [12, 17], approved_by_the_league: 2026.1,"
        " motor_turns: 17.5}]}}"
    )
    rule = "{id: motor, quantity: motor_part, listed_in: motors}"
    (empty / "club.yaml").write_text(a_ruleset(rule, top=top), "utf-8")
    text = published(console, empty, "club.yaml", "site")["classes/stock.html"].decode()
    details = "lowest 20.5 mΩ; mass 180 g; hub over the flats 12, 17 mm; approved by the league 2026.1; turns 17.5"
    assert f"<td>{details}</td>" in text


def test_a_site_goes_into_no_folder_of_a_name_that_none_can_have(empty: Path, console: Console) -> None:
    write_club(empty)
    run = console(empty, "publish", "oval-club", "a" * 300)
    assert (run.status, "cannot be read: " in run.err) == (2, True)
