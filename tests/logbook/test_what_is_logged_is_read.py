"""What the command writes, reading the file gives back: for every key of every kind of record."""

import contextlib
import tempfile
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from speclint.edits.proof import same
from speclint.files import Folder
from speclint.logbook.entering import record_of
from speclint.logbook.fields import RecordField, Shape, fields_of
from speclint.logbook.kinds import KINDS, RecordKind
from speclint.structure.validate import schema_of
from speclint.workspace.loaded import load
from tests.logbook.log_command import run

FILES = {
    "motors/m.yaml": "# a motor\nformat: motor/1\nname: m  # mine\n",
    "cars/c.yaml": "\ufeffformat: setup/1\r\nmotor: ../motors/m.yaml\r\n# the end",
    "cars/own.yaml": "format: setup/1\nmotor: {turns: 17.5}\n",
}
DAYS = st.dates().map(str) | st.sampled_from(["2026-03-14 19:30", "2026-03-14T07:00"])
TEXTS = st.text(st.characters(codec="utf-8"), min_size=1, max_size=20) | st.sampled_from(
    [
        "null",
        "- a",
        "a: b",
        "#",
        "@a",
        "4.2",
        "no",
        " x ",
        "'",
        '"',
        "a\nb",
        "{a: 1}",
        "[1]",
        "2026-03-14",
        "\\",
        "\x00",
    ]
)
NAMES = st.sampled_from(["pit-scale", "milliohm meter", "m1", "été"])
Answer = tuple[str, Any]


def decimals(lowest: int, highest: int, places: int) -> st.SearchStrategy[Answer]:
    """Numbers as people write them, and as they are meant."""

    def written(value: int, drop: bool) -> Answer:
        text = f"{value / 10**places:.{places}f}" if places else str(value)
        short = text.rstrip("0").rstrip(".") if places and drop else text
        return short, float(short) if "." in short else int(short)

    return st.builds(written, st.integers(lowest * 10**places, highest * 10**places), st.booleans())


@st.composite
def answers(draw: st.DrawFn, kind: RecordKind, field: RecordField) -> Answer:
    """What is typed for a field, and what it says."""
    if field.key == "date":
        day = draw(DAYS.filter(lambda day: day >= "0001"))
        return day, day
    if field.shape is Shape.TEXT:
        text = draw(TEXTS)
        return text, text
    if field.shape is Shape.WORDS:
        words = schema_of(kind.schema)["$defs"][kind.definition]["properties"][field.key]["items"]["enum"]
        chosen = draw(st.lists(st.sampled_from(words), min_size=1, max_size=3, unique=True))
        return draw(st.sampled_from([",", ", "])).join(chosen), chosen
    if field.key.endswith("_teeth"):
        return draw(decimals(10, 120, 0))
    numbers = decimals(1, 40, draw(st.integers(0, 3)))
    text, value = draw(numbers)
    if field.shape in (Shape.NUMBER, Shape.RATIO):
        return text, value
    if draw(st.booleans()):
        more = [(text, value), *draw(st.lists(decimals(1, 40, 2), min_size=1, max_size=3))]
        listed = "[" + ", ".join(one for one, _ in more) + "]"
        values = [one for _, one in more]
        name = draw(st.none() | NAMES)
        if name is not None:
            return f"{listed}@{name}", {"readings": values, "instrument": name}
        return listed, values if field.shape is Shape.SEVERAL else {"readings": values}
    if draw(st.booleans()):
        name = draw(NAMES)
        return f"{text}@{name}", {"value": value, "instrument": name}
    return text, value


@given(
    st.sampled_from([kind for kind in KINDS if kind.is_dated]),
    st.sampled_from(["cars/c.yaml", "cars/own.yaml"]),
    st.data(),
)
@settings(max_examples=80, deadline=None, suppress_health_check=list(HealthCheck))
def test_what_is_logged_is_read(kind: RecordKind, file: str, data: st.DataObject) -> None:
    fields = fields_of(kind)
    needed = [field for field in fields if field.key in ("date", "did")]
    others = [field for field in fields if field not in needed]
    with tempfile.TemporaryDirectory() as name, contextlib.chdir(name):
        for path, text in FILES.items():
            Path(path).parent.mkdir(exist_ok=True)
            Path(path).write_bytes(text.encode())
        records: list[Any] = []
        written_to = "motors/m.yaml" if kind.of_motor and file == "cars/c.yaml" else file
        for _ in range(data.draw(st.integers(1, 3))):
            chosen = data.draw(st.lists(st.sampled_from(others), min_size=1, max_size=6, unique=True))
            given_answers = {field: data.draw(answers(kind, field)) for field in [*needed, *chosen]}
            record = record_of(kind, {field: value for field, (_, value) in given_answers.items()})
            if any(same(record, other) for other in records):
                continue
            records.append(record)
            told = run(file, kind.name, *(f"{field.option}={text}" for field, (text, _) in given_answers.items()))
            assert told.status == 0, told.all
            assert len(told.out) == 1
        loaded = load(Folder(name).read(written_to))
        assert loaded.problems == ()
        assert loaded.document is not None
        listed = (*(("motor",) if file == written_to and kind.of_motor else ()), kind.key)
        assert same(loaded.document.get(listed), records)
        for path, text in FILES.items():
            held = Path(path).read_bytes()
            assert held == text.encode() if path != written_to else held.startswith(text[:20].encode())
