"""The pictures under examples/pictures show what a check writes, word for word."""

import re
from html import unescape
from xml.etree import ElementTree

import pytest

from tests.readme.pictures import PICTURES, SUBJECTS, painted_text, pictures


def test_every_picture_is_current() -> None:
    for path, text in pictures():
        assert path.read_text(encoding="utf-8") == text, f"{path.name}: run `python -m tests.readme`, then look at it"
    assert {path.name for path in PICTURES.iterdir()} == set(SUBJECTS)


@pytest.mark.parametrize("name", SUBJECTS)
def test_a_picture_has_every_word_of_the_text_and_nothing_from_elsewhere(name: str) -> None:
    svg = (PICTURES / name).read_text(encoding="utf-8")
    words = re.sub("\x01[a-z]+\x02|\x03", "", painted_text(SUBJECTS[name])).split()
    drawn = " ".join(unescape(text) for text in re.findall(r"<tspan[^>]*>([^<]*)</tspan>", svg)).split()
    assert drawn == words
    ElementTree.fromstring(svg)  # noqa: S314 - our own file, to see that it is well-formed
    assert not re.search(r"<script|href|url\(|@import", svg)
