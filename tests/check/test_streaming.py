"""A car is told as soon as it is judged, and nothing but a few words of it stays."""

import gc
import weakref
from collections.abc import Iterator
from datetime import date

import pytest

from speclint.check.pipeline import check
from speclint.documents.parse import parse
from speclint.documents.tree import Document
from speclint.files import FileText, ListedFile
from speclint.findings import EntryResult
from speclint.pages.render import page_parts
from speclint.reports.check.page import content_of
from speclint.workspace import loaded
from speclint.workspace.overrides import Overrides
from speclint.workspace.source import NamedFiles
from tests.check.world import a_ruleset, a_setup, find_in

CARS = tuple(f"car-{number}.yaml" for number in range(5))


class _Told(NamedFiles):
    """Notes which files are read."""

    def __init__(self) -> None:
        rule = "{id: gears, quantity: final_drive_ratio, at_least: 4.4}"
        cars = dict.fromkeys(CARS, a_setup("car: {spur_teeth: 80, pinion_teeth: 40, internal_ratio: 2}"))
        super().__init__(
            {name: text.encode() for name, text in {**cars, "rulesets/club.yaml": a_ruleset(rule)}.items()}
        )
        self.read_files: list[str] = []

    def read(self, shown: str) -> FileText:
        self.read_files.append(shown)
        return super().read(shown)


def _results(source: NamedFiles) -> Iterator[EntryResult]:
    return check([ListedFile(name, "setup") for name in CARS], source, Overrides(today=date(2026, 3, 14)))


def test_a_car_is_told_before_the_next_one_is_read() -> None:
    source = _Told()
    results = _results(source)
    for number, name in enumerate(CARS, 1):
        assert next(results).file == name
        assert [file for file in source.read_files if file in CARS] == list(CARS[:number])


def test_nothing_keeps_the_document_of_a_car_that_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    documents: dict[str, weakref.ref[object]] = {}

    class Watched(Document):
        """A document that can be watched."""

        __slots__ = ("__weakref__",)

    def watched(file: str, text: str) -> object:
        document, problems = parse(file, text)
        assert document is not None
        document = Watched(document.file, document.text, document.data, document.positions)
        documents[file] = weakref.ref(document)
        return document, problems

    monkeypatch.setattr(loaded, "parse", watched)
    gc.disable()  # as the command does: there must be no cycles either
    try:
        results = _results(_Told())
        for name in CARS[:3]:
            assert next(results).file == name
        assert [documents[name]() is None for name in CARS[:3]] == [True, True, False]
    finally:
        gc.enable()


def test_a_page_of_a_field_is_drawn_in_parts_that_do_not_grow_with_it() -> None:
    def longest(count: int) -> int:
        rule = a_ruleset("{id: weight, quantity: mass_g, at_least: 1300}")
        cars = {f"{number:03}.yaml": a_setup("car: {mass_g: 1350}") for number in range(count)}
        content = content_of(find_in({"rulesets/club.yaml": rule, **cars}))
        return max(map(len, page_parts("check.html", **content)))

    assert longest(40) <= longest(20) + 10
