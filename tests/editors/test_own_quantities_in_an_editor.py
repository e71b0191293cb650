"""What a ruleset declares itself is offered where a rule names a quantity, and told where a setup states it."""

from datetime import date
from pathlib import Path

from speclint.editor.session import Session
from speclint.editor.unsaved import UnsavedFiles
from tests.check.world import a_ruleset, a_setup
from tests.console import write

CLUB = a_ruleset(
    "{id: load, quantity: extra.load_kg, at_most: 4}",
    top="quantities:\n  extra.load_kg: {title: load, kind: measured, usual: [0, 5], measure: On the club scale.}\n",
)


def session(folder: Path, **texts: str) -> Session:
    write(folder / ".git" / "HEAD", "ref: refs/heads/main\n")
    write(folder / "rulesets" / "club.yaml", CLUB)
    files = UnsavedFiles(str(folder))
    for name, text in texts.items():
        write(folder / f"{name}.yaml", text)
        files.put(f"{name}.yaml", text)
    return Session(files, date(2026, 3, 14))


def test_it_is_completed_where_a_rule_names_a_quantity(empty: Path) -> None:
    text = CLUB.replace("id: club", "id: other") + "      - {id: next, quantity: extra"
    offered = session(empty, other=text).completions(
        "other.yaml", text.count("\n") + 1, len(text.rpartition("\n")[2]) + 1
    )
    assert "extra.load_kg" in offered and "mass_g" in offered


def test_hovering_over_its_key_says_what_it_is(empty: Path) -> None:
    editor = session(empty, car=a_setup("extra:\n  load_kg: 3.5"))
    editor.check()
    told = editor.hover("car.yaml", 4, 4)
    assert "load, legal: load is 3.5 kg; the rule asks at most 4 kg: 0.5 kg to spare" in told
    assert "Load is measured, in kg. On the club scale. Usually 0 to 5 kg. [the ruleset club]" in told


def test_hovering_over_a_key_of_an_entry_says_what_it_is_and_over_its_neighbour_nothing(empty: Path) -> None:
    club = CLUB.replace("extra.load_kg", "entry.load_kg")
    car = a_setup(entry="load_kg: 3.5, heat: 2")
    write(empty / ".git" / "HEAD", "ref: refs/heads/main\n")
    write(empty / "rulesets" / "club.yaml", club)
    files = UnsavedFiles(str(empty))
    files.put("car.yaml", car)
    editor = Session(files, date(2026, 3, 14))
    editor.check()
    line = car.splitlines()[1]
    for word in ("load_kg", "3.5"):
        told = editor.hover("car.yaml", 2, line.index(word) + 1)
        assert "Load is measured, in kg. On the club scale. Usually 0 to 5 kg. [the ruleset club]" in told
    assert "load, legal: load is 3.5 kg" in editor.hover("car.yaml", 2, line.index("3.5") + 1)
    assert editor.hover("car.yaml", 2, line.index("heat") + 1) == ""
