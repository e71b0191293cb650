"""Splices: other text put in the place of a stretch of a document's text."""

from collections.abc import Iterable
from dataclasses import dataclass

from speclint.documents.tree import Document


@dataclass(frozen=True, slots=True, order=True)
class Splice:
    """Text for the stretch from `start` to `end`, offsets in code points, end exclusive; equal ends insert."""

    start: int
    end: int
    text: str


def apply(document: Document, splices: Iterable[Splice]) -> str:
    """The document's text with the splices in it; whatever lies outside of them is as it was.

    Raises:
        ValueError: Two splices overlap, or one reaches past the text.
    """
    pieces = []
    done = 0
    for splice in sorted(splices):
        if not done <= splice.start <= splice.end <= len(document.text):
            raise ValueError(f"the splice at {splice.start} overlaps another one, or lies outside of the text")
        pieces += [document.text[done : splice.start], splice.text]
        done = splice.end
    return "".join([*pieces, document.text[done:]])
