"""A team pins what it works by, and can prove whose text it is."""

import io
import os
import shutil
import subprocess
import zipfile
from pathlib import Path

import pytest

from tests.console import Console, lay_out_rulesets, write
from tests.publish.site_command import files_of, published, write_club

OBLIGATORY = os.environ.get("SPECLINT_SIGNATURE_TESTS") == "1"
needs_ssh_keygen = pytest.mark.skipif(
    shutil.which("ssh-keygen") is None and not OBLIGATORY, reason="no ssh-keygen here, and none is obligatory"
)

GARAGE = "# Ours.\r\nformat: garage/1\r\nname: Oval garage   # kept\r\n"
CAR = """\
format: setup/1
garage: garage.yaml
entries:
  - {ruleset: oval-club, class: stock, on: 2026-03-14}
car: {mass_g: 1400}
"""


@pytest.fixture
def team(empty: Path) -> Path:
    """A team's repository with a car, a garage, and the club's ruleset."""
    (empty / ".git").mkdir()
    write_club(empty)
    (empty / "garage.yaml").write_text(GARAGE, encoding="utf-8", newline="")
    (empty / "car.yaml").write_text(CAR, encoding="utf-8")
    return empty


def test_a_pin_is_spliced_into_the_garage_and_check_holds_it(team: Path, console: Console) -> None:
    done = console(team, "pin", "oval-club")
    assert done.status == 0
    digest = done.err.split()[-1]
    text = (team / "garage.yaml").read_bytes().decode()
    assert text.startswith(GARAGE)
    assert text.removeprefix(GARAGE) == f'pins: {{oval-club: {{"2026.1": "{digest}"}}}}\r\n'
    assert "pin" not in console(team, "check").out
    write_club(team, mass=1300)
    broken = console(team, "check", "--report", "lines")
    assert broken.status == 1
    assert "oval-club@2026.1 is not what was pinned" in broken.out


def test_several_versions_of_one_ruleset_stand_side_by_side(team: Path, console: Console) -> None:
    console(team, "pin", "oval-club@2026.1")
    write_club(team, version="2026.2", mass=1370)
    done = console(team, "pin", "oval-club")
    assert "oval-club@2026.2 is pinned in garage.yaml" in done.err
    text = (team / "garage.yaml").read_text(encoding="utf-8")
    assert text.count("sha256:") == 2
    assert text.index('"2026.1"') < text.index('"2026.2"')
    assert console(team, "pin", "oval-club@2026.1").err.startswith(
        "speclint: oval-club@2026.1 is pinned in garage.yaml already"
    )
    assert (team / "garage.yaml").read_text(encoding="utf-8") == text


def test_a_pin_that_changes_tells_what_it_was(team: Path, console: Console) -> None:
    before = console(team, "pin", "oval-club").err.split()[-1]
    write_club(team, mass=1370)
    done = console(team, "pin", "oval-club")
    assert done.err.rstrip().endswith(f"; it was pinned as {before}")
    assert before not in (team / "garage.yaml").read_text(encoding="utf-8")


def test_without_one_garage_it_has_to_be_named(team: Path, console: Console) -> None:
    (team / "second.yaml").write_text("format: garage/1\n", encoding="utf-8")
    done = console(team, "pin", "oval-club")
    assert (
        done.status,
        "several garages here (garage.yaml, second.yaml): say which with --garage FILE" in done.err,
    ) == (2, True)
    assert console(team, "pin", "oval-club", "--garage", "second.yaml").status == 0
    assert "sha256" not in (team / "garage.yaml").read_text(encoding="utf-8")
    done = console(team, "pin", "oval-club", "--garage", "car.yaml")
    assert (done.status, "car.yaml is no garage" in done.err) == (2, True)
    (team / "garage.yaml").unlink()
    (team / "second.yaml").unlink()
    done = console(team, "pin", "oval-club")
    assert (done.status, "speclint start garage" in done.err) == (2, True)


def test_what_comes_with_speclint_cannot_be_pinned(team: Path, console: Console) -> None:
    done = console(team, "pin", "harbour-city@2026.2")
    assert done.status == 2
    assert (team / "garage.yaml").read_bytes().decode() == GARAGE


@needs_ssh_keygen
class TestSignatures:
    """OpenSSH's own ssh-keygen signs and verifies."""

    @pytest.fixture
    def key(self, tmp_path: Path) -> Path:
        return make_key(tmp_path / "club-key")

    @pytest.fixture
    def signers(self, tmp_path: Path, key: Path) -> Path:
        return write_signers(tmp_path / "signers", key)

    def unpacked(self, team: Path, console: Console, key: Path) -> dict[str, bytes]:
        """Publishes signed, and unpacks the archive over the team's rulesets."""
        site = published(console, team, "oval-club", "site", "--sign-with", str(key))
        with zipfile.ZipFile(io.BytesIO(site["oval-club-2026.1.zip"])) as archive:
            archive.extractall(team)
        return site

    def test_what_we_sign_ssh_keygen_verifies_without_us(
        self, team: Path, console: Console, key: Path, signers: Path
    ) -> None:
        site = self.unpacked(team, console, key)
        done = subprocess.run(
            ["ssh-keygen", "-Y", "verify", "-f", signers, "-I", "rules@oval", "-n", "speclint",
             "-s", team / "rulesets" / "oval-club-2026.1.digest.sig"],
            input=site["oval-club-2026.1.digest"], capture_output=True, check=False,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
        assert b"Good" in done.stdout

    def test_a_signed_ruleset_is_pinned_and_says_by_whom(
        self, team: Path, console: Console, key: Path, signers: Path
    ) -> None:
        self.unpacked(team, console, key)
        done = console(team, "pin", "oval-club", "--signed-by", str(signers))
        assert done.status == 0, done.err
        assert ", signed by rules@oval" in done.err

    def test_a_ruleset_that_was_changed_after_signing_is_not_pinned(
        self, team: Path, console: Console, key: Path, signers: Path
    ) -> None:
        self.unpacked(team, console, key)
        write_club(team, mass=1300)
        done = console(team, "pin", "oval-club", "--signed-by", str(signers))
        assert done.status == 1
        assert "nothing was pinned: " in done.err
        assert "does not hold for oval-club@2026.1 sha256:" in done.err
        assert (team / "garage.yaml").read_bytes().decode() == GARAGE

    def test_words_that_turn_no_verdict_may_change_after_signing(
        self, team: Path, console: Console, key: Path, signers: Path
    ) -> None:
        self.unpacked(team, console, key)
        file = team / "rulesets" / "oval-club-2026.1.yaml"
        file.write_text(file.read_text(encoding="utf-8").replace("tip over", "fall over"), encoding="utf-8")
        assert console(team, "pin", "oval-club", "--signed-by", str(signers)).status == 0

    def test_a_stranger_s_signature_is_not_enough(
        self, team: Path, console: Console, key: Path, tmp_path: Path
    ) -> None:
        self.unpacked(team, console, key)
        others = write_signers(tmp_path / "others", make_key(tmp_path / "other-key"))
        done = console(team, "pin", "oval-club", "--signed-by", str(others))
        assert (done.status, "was made by nobody in" in done.err) == (1, True)
        assert (team / "garage.yaml").read_bytes().decode() == GARAGE

    def test_a_signature_for_something_else_does_not_count(
        self, team: Path, console: Console, key: Path, signers: Path
    ) -> None:
        site = self.unpacked(team, console, key)
        statement = team / "statement"
        statement.write_bytes(site["oval-club-2026.1.digest"])
        subprocess.run(
            ["ssh-keygen", "-Y", "sign", "-f", key, "-n", "email", statement], check=True, capture_output=True
        )
        shutil.move(f"{statement}.sig", team / "rulesets" / "oval-club-2026.1.digest.sig")
        assert console(team, "pin", "oval-club", "--signed-by", str(signers)).status == 1

    def test_a_site_is_the_same_bytes_with_the_same_key(self, team: Path, console: Console, key: Path) -> None:
        # RFC 8032 5.1.6: an Ed25519 signature has no chance in it.
        first = published(console, team, "oval-club", "site", "--sign-with", str(key))
        assert published(console, team, "oval-club", "site", "--sign-with", str(key)) == first
        assert "oval-club-2026.1.digest.sig" in first

    def test_what_is_missing_is_named(self, team: Path, console: Console, signers: Path) -> None:
        done = console(team, "pin", "oval-club", "--signed-by", str(signers))
        assert (done.status, "oval-club-2026.1.digest.sig: there is no such signature" in done.err) == (2, True)
        done = console(team, "pin", "oval-club", "--signed-by", "nobody")
        assert (done.status, "nobody: there is no such file of allowed signers" in done.err) == (2, True)
        before = files_of(team)
        done = console(team, "publish", "oval-club", "site", "--sign-with", "no-key")
        assert (done.status, "nothing was signed with no-key: ssh-keygen says: " in done.err) == (2, True)
        assert files_of(team) == before


def test_without_ssh_keygen_it_says_what_to_install(
    team: Path, console: Console, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    (team / "rulesets" / "oval-club-2026.1.digest.sig").write_text("x", encoding="utf-8")
    (team / "signers").write_text("x", encoding="utf-8")
    monkeypatch.setenv("PATH", str(tmp_path))
    for words in (
        ("publish", "oval-club", "site", "--sign-with", "key"),
        ("pin", "oval-club", "--signed-by", "signers"),
    ):
        done = console(team, *words)
        assert (done.status, "ssh-keygen was not found: install OpenSSH" in done.err) == (2, True)
    assert (team / "garage.yaml").read_bytes().decode() == GARAGE
    assert not (team / "site").exists()


def make_key(path: Path) -> Path:
    subprocess.run(
        ["ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-C", "", "-f", path], check=True, capture_output=True
    )
    return path


def write_signers(path: Path, key: Path) -> Path:
    public = key.with_suffix(".pub").read_text(encoding="utf-8")
    path.write_text(f"rules@oval,president@oval {public}", encoding="utf-8")
    return path


def test_signers_in_a_file_of_a_name_that_no_file_can_have_are_none(empty: Path, console: Console) -> None:
    lay_out_rulesets(empty)
    write(empty / "garage.yaml", "format: garage/1\n")
    run = console(empty, "pin", "harbour-city", "--signed-by", "a" * 300)
    assert run.status == 2
    assert "there is no such file of allowed signers" in run.err
