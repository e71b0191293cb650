"""Documents written by many hands: block and flow style, comments, blank lines, any line ends, a mark at the start."""

from dataclasses import dataclass
from typing import Any

from hypothesis import strategies as st

from speclint.places import Path

SCALARS: tuple[tuple[Any, str], ...] = (
    (5, "5"), (17, "017"), (5.5, "5.50"), (1000.0, "1e3"), (True, "True"), (None, "~"), ("R-12", "R-12"),
    ("00417", '"00417"'), ("4.2", "'4.2'"), ("it's", "'it''s'"), ("2026-03-14", "2026-03-14"), ("no", "no"),
    ("été 𝄞", "été 𝄞"), ("a\tb", '"a\\tb"'), ("a # b", '"a # b"'), ("{", "'{'"), ("", "''"),
)  # fmt: skip
COMMENTS = ("# plain", "#", "# with: a colon", "#\ttab [ { ' \"", "# ünïcode 𝄞")
NAMES = ("name", "mass_g", "car", "did", "runs", "été", "x-y", "winding")


@dataclass(frozen=True)
class Written:
    """A document's text, with the mark it may begin with, and the data that it holds."""

    text: str
    data: dict[str, Any]
    mark: str


@st.composite
def written_documents(draw: st.DrawFn) -> Written:
    """A mapping, written in a random mixture of styles."""
    data, lines = draw(_block_mappings(3))
    head = draw(st.sampled_from([[], ["# yaml-language-server: $schema=x"], ["# top", "---"], ["", "# a", ""]]))
    tail = draw(st.sampled_from([[], ["# the end"], ["", "", "# the end", ""], ["..."]]))
    ending = draw(st.sampled_from(["\n", "\r\n"]))
    text = ending.join([*head, *lines, *tail]) + draw(st.sampled_from(["", ending]))
    if ("|" in text or ">" in text) and not text.endswith(ending):
        text += ending  # A text in lines of its own would lose its last line break without it.
    return Written(text, data, draw(st.sampled_from(["", "\ufeff"])))


@st.composite
def _block_mappings(draw: st.DrawFn, depth: int) -> tuple[dict[str, Any], list[str]]:
    data: dict[str, Any] = {}
    lines: list[str] = []
    for name in draw(st.lists(st.sampled_from(NAMES), min_size=1, max_size=4, unique=True)):
        data[name], value = draw(_block_values(depth - 1))
        key = draw(st.sampled_from([name, f'"{name}"']))
        lines += [*draw(_between()), *_put_behind(f"{key}:", value)]
    return data, lines


@st.composite
def _block_lists(draw: st.DrawFn, depth: int) -> tuple[list[Any], list[str]]:
    data: list[Any] = []
    lines: list[str] = []
    gap = " " * draw(st.integers(1, 3))
    for _ in range(draw(st.integers(1, 3))):
        kind = draw(st.sampled_from(["mapping", "flow", "scalar"]))
        if kind == "mapping" and depth > 0:
            held, inner = draw(_block_mappings(depth - 1))
            while inner[0].lstrip()[:1] in ("#", ""):
                inner = inner[1:]
            shift = " " * (1 + len(gap))
            item = [f"-{gap}{inner[0]}", *(shift + line if line else line for line in inner[1:])]
        elif kind == "flow":
            held, text = draw(flow_values(1))
            item = [f"-{gap}{text}{draw(_comment())}"]
        else:
            held, text = draw(st.sampled_from(SCALARS))
            item = [f"-{gap}{text}{draw(_comment())}"]
        data.append(held)
        lines += [*draw(_between()), *item] if lines else item
    return data, lines


@st.composite
def _block_values(draw: st.DrawFn, depth: int) -> tuple[Any, list[str]]:
    """A value, and its lines: the first is for the line of its key, the others for below it."""
    kind = draw(st.sampled_from(["scalar", "scalar", "flow", "empty", "text", "mapping", "list"]))
    if kind == "flow":
        held, text = draw(flow_values(2))
        lines = text.split("\n")
        return held, [f" {lines[0]}", *lines[1:-1], lines[-1] + draw(_comment())] if len(lines) > 1 else [f" {text}"]
    if kind == "empty":
        return None, [draw(_comment())]
    if kind == "text":
        return draw(st.sampled_from([
            ("one\ntwo\n", [" |", "  one", "  two"]), ("one\n\ntwo", [" |-  # kept", "  one", "", "  two", ""]),
            ("one two\n", [" >", "    one", "    two"]), ("one two", [" one", "  two"]),
        ]))  # fmt: skip
    if kind in ("mapping", "list") and depth > 0:
        held, lines = draw(_block_mappings(depth) if kind == "mapping" else _block_lists(depth))
        indent = " " * draw(st.integers(1 if kind == "mapping" else 0, 4))
        return held, [draw(_comment()), *(indent + line if line else line for line in lines)]
    held, text = draw(st.sampled_from(SCALARS))
    return held, [f"{draw(st.sampled_from([' ', '   ']))}{text}{draw(_comment())}"]


@st.composite
def flow_values(draw: st.DrawFn, depth: int) -> tuple[Any, str]:
    """A list or a mapping in brackets or braces, on one line or on several."""
    is_mapping = draw(st.booleans())
    names = draw(st.lists(st.sampled_from(NAMES), max_size=3, unique=True))
    data: list[tuple[str, Any]] = []
    texts = []
    for name in names:
        if depth > 1 and draw(st.booleans()):
            held, text = draw(flow_values(depth - 1))
        else:
            held, text = draw(st.sampled_from(SCALARS))
        data.append((name, held))
        texts.append(f"{name}: {text}" if is_mapping else text)
    opening, closing = "{}" if is_mapping else "[]"
    comma = draw(st.sampled_from(["", ","])) if texts else ""
    if depth > 1 and draw(st.booleans()) and texts:
        last = texts[-1] + comma + draw(_comment())
        inner = "\n".join([*(f"    {text}," for text in texts[:-1]), f"    {last}"])
        text = f"{opening}\n{inner}\n  {closing}"
    else:
        space = draw(st.sampled_from(["", " "]))
        text = f"{opening}{space}{', '.join(texts)}{comma}{space}{closing}"
    return (dict(data) if is_mapping else [held for _, held in data]), text


@st.composite
def _between(draw: st.DrawFn) -> list[str]:
    return draw(st.sampled_from([[], [], [], [""], [draw(st.sampled_from(COMMENTS))], ["", "", "# apart"]]))


@st.composite
def _comment(draw: st.DrawFn) -> str:
    return draw(st.sampled_from(["", "", f"  {draw(st.sampled_from(COMMENTS))}", " "]))


def _put_behind(key: str, value: list[str]) -> list[str]:
    return [key + value[0], *value[1:]]


def paths(data: Any, path: Path = ()) -> list[Path]:
    """Every path of plain data, its top included."""
    below: Any = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    return [path, *(inner for step, value in below for inner in paths(value, (*path, step)))]
