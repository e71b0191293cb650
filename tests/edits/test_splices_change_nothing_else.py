"""Laws of edits: the change is exactly the one that was meant, and every byte outside of the splice is the same."""

import copy
from typing import Any

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from speclint.documents.parse import parse
from speclint.documents.tree import Document
from speclint.edits.append import append_item, with_item
from speclint.edits.proof import same, spliced
from speclint.edits.splice import Splice, apply
from speclint.edits.values import set_value, with_value
from speclint.errors import WriteRefusedError
from tests.edits.written_documents import SCALARS, Written, paths, written_documents

settings.register_profile("edits", max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))
settings.load_profile("edits")

TEXTS = st.one_of(
    st.sampled_from([value for value, _ in SCALARS if isinstance(value, str)]),
    st.sampled_from(["true", "null", "~", "-", "- a", "a: b", "a:", "#a", "a #b", "[", "&a", "*a", "!a", "|", ">", "%a",
                     "@a", "`a", "0x1F", "1e3", "-.5", ".inf", "on", "NO", "12:30", "1_000", "?", "? a", "'", '"', "\\",
                     " a", "a ", "a\nb", "\x00", "\x7f", "\u0085", "\u2028", "\ufeff", "\u202e", ",", "a,b", "{a", "---",
                     "...", "http://x", "<<", "=", "40/21", "2026-03-14 19:30"]),
    st.text(max_size=12),
)  # fmt: skip
FLOATS = st.floats(-1e9, 1e9, allow_subnormal=False).map(lambda value: float(f"{value:.12g}"))
VALUES = st.one_of(TEXTS, st.booleans(), st.none(), st.integers(-(10**12), 10**12), FLOATS)
INNER = st.one_of(
    VALUES, st.lists(VALUES, max_size=3), st.dictionaries(st.sampled_from(["a", "b c", "on", "1"]), VALUES)
)
RECORDS = st.dictionaries(st.sampled_from(["date", "did", "winding", "note", "x: y"]), INNER, min_size=1, max_size=4)


def _read(written: Written) -> Document:
    document, problems = parse("car.yaml", written.mark + written.text)
    assert not problems, problems
    assert document is not None
    assert same(document.data, written.data)
    return document


def _assert_only_that(document: Document, splice: Splice, meant: Any) -> Document:
    before = copy.deepcopy(document.data)
    after = spliced(document, [splice], meant)
    assert same(document.data, before)
    assert after.text.startswith(document.text[: splice.start])
    assert after.text.endswith(document.text[splice.end :])
    kept = len(document.text) - (splice.end - splice.start)
    assert len(after.text) == kept + len(splice.text)
    if "\r\n" in document.text:
        assert "\n" not in after.text.replace("\r\n", "")
    return after


def _assert_comments_stay(document: Document, splice: Splice) -> None:
    replaced = document.text[splice.start : splice.end]
    if "#" in replaced:
        assert replaced[replaced.index("#") :] in splice.text


@given(written_documents(), VALUES, st.data())
def test_a_value_takes_the_place_of_another_and_nothing_else_changes(
    written: Written, value: Any, data: st.DataObject
) -> None:
    document = _read(written)
    single = [path for path in paths(document.data) if not isinstance(document.get(path), dict | list)]
    assume(single)
    path = data.draw(st.sampled_from(single))
    splice = set_value(document, path, value)
    assert (splice.start, splice.end) == (document.span(path).start, document.span(path).end)
    _assert_only_that(document, splice, with_value(document.data, path, value))


@given(written_documents(), VALUES, st.sampled_from(["new", "on", "x y", "-", "<<", "true"]), st.data())
def test_a_missing_key_is_added_to_its_mapping_and_nothing_else_changes(
    written: Written, value: Any, name: str, data: st.DataObject
) -> None:
    document = _read(written)
    mappings = [path for path in paths(document.data) if isinstance(document.get(path), dict | None)]
    path = (*data.draw(st.sampled_from(mappings)), name)
    if data.draw(st.booleans()):
        path = (*path, "below", "it")
    splice = set_value(document, path, value)
    _assert_only_that(document, splice, with_value(document.data, path, value))
    _assert_comments_stay(document, splice)


@given(written_documents(), RECORDS, st.data())
def test_a_record_is_added_to_a_list_and_nothing_else_changes(
    written: Written, record: dict[str, Any], data: st.DataObject
) -> None:
    document = _read(written)
    found = [path for path in paths(document.data) if isinstance(document.get(path), list) and path]
    mappings = [path for path in paths(document.data) if isinstance(document.get(path), dict)]
    path = data.draw(st.sampled_from([*found, *((*mapping, "new_runs") for mapping in mappings)]))
    splice = append_item(document, path, record)
    _assert_only_that(document, splice, with_item(document, path, record))
    _assert_comments_stay(document, splice)


@given(written_documents(), st.lists(RECORDS, min_size=2, max_size=4))
def test_records_added_one_after_the_other_stand_in_that_order(written: Written, records: list[dict[str, Any]]) -> None:
    document = _read(written)
    assume("runs" not in written.data)
    for record in records:
        splice = append_item(document, ("runs",), record)
        document = _assert_only_that(document, splice, with_item(document, ("runs",), record))
    assert same(document.get(("runs",)), records)


@given(st.text("abc\r\n", max_size=20), st.lists(st.tuples(st.integers(0, 20), st.integers(0, 20)), max_size=4))
def test_splices_that_overlap_or_lie_outside_are_refused(text: str, stretches: list[tuple[int, int]]) -> None:
    document = Document("x", text, None, None)  # type: ignore[arg-type]
    splices = [Splice(start, end, "new") for start, end in stretches]
    is_sound = all(0 <= one.start <= one.end <= len(text) for one in splices) and all(
        one.end <= other.start for one, other in zip(sorted(splices), sorted(splices)[1:], strict=False)
    )
    try:
        after = apply(document, splices)
    except ValueError:
        assert not is_sound
    else:
        assert is_sound
        removed = sum(one.end - one.start for one in splices)
        assert len(after) == len(text) - removed + 3 * len(splices)


@given(written_documents(), st.sampled_from([float("nan"), float("inf"), 0.1 + 0.2, 2**60]))
def test_a_number_that_cannot_be_kept_is_refused(written: Written, value: float) -> None:
    document = _read(written)
    path = ("new",)
    try:
        spliced(document, [set_value(document, path, value)], with_value(document.data, path, value))
    except WriteRefusedError as refusal:
        assert "nothing was" in str(refusal)
    else:
        raise AssertionError(value)
