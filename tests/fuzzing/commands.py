"""Command lines and messages of an editor that nobody meant, in the current folder, on files that nobody meant."""

import contextlib
import io
import json
import random
import re
import sys
from collections.abc import Iterator
from functools import cache
from importlib import import_module
from pathlib import Path
from tempfile import TemporaryFile
from typing import Any, Final, NamedTuple
from unittest.mock import patch

from click import Option

from speclint.cli import main as command
from tests.fuzzing.mutations import ODD, WORDS, damaged, mutated, spoilt
from tests.fuzzing.worlds import CAR, MOTOR, demonstration, meeting

_MEETING: Final = "meeting/inspected.yaml"
_BEGINNINGS: Final = {
    "check": (CAR, "cars", ".", "rulesets", f"{CAR} {MOTOR}", _MEETING),
    "explain": ("final_drive_ratio", "rotor", "not-shown", "harbour-city", "mass_g", "close call"),
    "gearing": (CAR,),
    "compare": (MOTOR, CAR, f"{CAR} {MOTOR}", "harbour-city@2026.1 harbour-city@2026.2", f"{CAR} cars/two.yaml"),
    "pin": ("harbour-city", "pine-hall", "coastal-league"),
    "publish": ("harbour-city site", "pine-hall site", "rulesets/harbour-city-2026.1.yaml site"),
    "log": (f"{MOTOR} bench", f"{CAR} track", f"{MOTOR} rebuild", f"{CAR} car", f"{CAR} bench", f"{_MEETING} car 12"),
    "schema": ("setup", "motor", "ruleset", ""),
    "start": (
        "setup new.yaml",
        "motor new.yaml",
        "ruleset new.yaml",
        "garage new.yaml",
        "inspection",
        "setup",
        "ruleset",
    ),
}
"""How a command line of each command may well begin; `editor` waits for an editor."""
_VALUES: Final = (
    "lines", "json", "text", "x.json", "x.html", "x.csv", "today", "tomorrow", "2026-03-14", "30", "HEAD", "index", "1", "2", "-", "yes",
    "stock-17", "harbour-city", "harbour-city@2026.1", "illegal", "new", "mass_g=1350", "can_c=60", "80", "21.4", CAR, MOTOR, "cars",
    "21.4,21.5,21.3", "61@infrared-thermometer", "rotor-swap,clean", "body=passed", "2", "3.7",
)  # fmt: skip
"""What an option may be given, whether or not it is meant for it."""


class _Ended(NamedTuple):
    status: object
    output: str
    errors: str


def _run(words: list[str], typed: bytes = b"", output: io.TextIOWrapper | None = None) -> _Ended:
    """A command line in the current folder."""
    errors = io.StringIO()
    output = output or io.TextIOWrapper(io.BytesIO(), "utf-8", "surrogateescape")
    ended: object = 0
    try:
        with (
            patch.object(sys, "argv", ["speclint", *words]),
            patch.object(sys, "stdin", io.TextIOWrapper(io.BytesIO(typed), "utf-8")),
            contextlib.redirect_stdout(output),
            contextlib.redirect_stderr(errors),
        ):
            command()
    except SystemExit as end:
        ended = end.code
    output.flush()
    output.seek(0)
    return _Ended(ended, output.read(), errors.getvalue())


_ENVIRONMENT: Final = ("NO_COLOR", "FORCE_COLOR", "TERM", "COLUMNS", "LINES", "SOURCE_DATE_EPOCH", "TZ", "LANG", "HOME")
_SPOILT: Final = ("garage.yaml", "rulesets/harbour-city-2026.2.yaml", _MEETING, "site/site.json")
"""What lies beside cars and motors, and is as it was again afterwards."""


@contextlib.contextmanager
def _spoilt_surroundings(chance: random.Random) -> Iterator[None]:
    """A garage, an inspection, a ruleset, a site or the environment that is not as it was."""
    path = Path(chance.choice(_SPOILT))
    before = path.read_text(encoding="utf-8") if path.is_file() else None
    source = before or {"garage.yaml": GARAGE, _MEETING: meeting()["inspected.yaml"]}.get(path.as_posix(), "{}")
    path.parent.mkdir(exist_ok=True)
    path.write_text(mutated(source, chance), encoding="utf-8", errors="surrogatepass", newline="")
    names = chance.sample(_ENVIRONMENT, chance.randint(0, 3))
    values = [
        word.replace("\x00", "").encode("utf-8", "replace").decode() for word in chance.choices(WORDS, k=len(names))
    ]
    try:
        with patch.dict("os.environ", dict(zip(names, values, strict=True))):
            yield
    finally:
        if before is None:
            path.unlink(missing_ok=True)
        else:
            path.write_text(before, encoding="utf-8", newline="")


GARAGE: Final = (
    "format: garage/1\nname: team\ninstruments: {scale: {accuracy: 1}}\ntracks: {hall: {lap_m: 110, straight_m: 24}}\n"
)


def _lay_out(file: str, chance: random.Random) -> None:
    """Puts a car or a motor of the demonstration into the current folder, half of the time not as it was."""
    sources = [name for name in demonstration() if name.startswith(f"examples/{file.partition('/')[0]}/")]
    text = demonstration()[chance.choice(sources)]
    text = mutated(text, chance) if chance.random() < 0.5 else text
    path = Path(file)
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding="utf-8", errors="surrogatepass", newline="")


@cache
def _options(command_name: str) -> tuple[tuple[str, int], ...]:
    """The options of a command and of what stands under it, each with how many values it takes."""
    loaded = getattr(import_module(f"speclint.commands.{command_name}"), command_name)
    commands = [loaded, *getattr(loaded, "commands", {}).values()]
    options = [option for part in commands for option in part.params if isinstance(option, Option)]
    counts = [(name, 0 if option.is_flag else option.nargs) for option in options for name in option.opts]
    return (("--help", 0), ("--", 0), *counts)


def command_line_fault(chance: random.Random) -> str:
    """Runs a command with options of its own, seldom with another's, and values that were drawn, on files that were."""
    _lay_out(CAR if chance.random() < 0.5 else MOTOR, chance)
    name = chance.choice([*_BEGINNINGS])
    words = [name, *(chance.choice(_BEGINNINGS[name]).split() if chance.random() < 0.9 else ())]
    for _ in range(chance.choice((0, 1, 1, 2, 2, 3))):
        option, count = chance.choice(_options(name if chance.random() < 0.95 else chance.choice([*_BEGINNINGS])))
        values = _VALUES if chance.random() < 0.8 else WORDS
        words += [option, *(chance.choice(values) for _ in range(count))]
    words += [chance.choice(WORDS)] if chance.random() < 0.05 else []
    words = [word.replace("\x00", "") for word in words]
    with _spoilt_surroundings(chance) if chance.random() < 0.3 else contextlib.nullcontext():
        ended = _run(words)
    if ended.status not in (0, 1, 2, None) or "Traceback" in ended.errors:
        return f"{words} ended with {ended.status}\n{ended.errors}"
    return ""


def order_fault(chance: random.Random) -> str:
    """Hands a check its files in another order."""
    files = [CAR, MOTOR, "cars/two.yaml"]
    for file in files:
        _lay_out(file, chance)
    options = ["check", "--report", chance.choice(("lines", "json", "text"))]
    ended = {_run([*options, *chance.sample(files, 3)]) for _ in range(2)}
    if len(ended) > 1:
        return f"the order of the files changes what the check says\n{ended}"
    return ""


_ASKED: Final = ("hover", "codeAction", "definition", "completion", "didOpen", "didOpen", "didChange", "didClose")
_HANDSHAKE: Final[tuple[dict[str, Any], ...]] = (
    {"id": 0, "method": "initialize", "params": {"processId": None, "rootUri": None, "capabilities": {}}},
    {"method": "initialized", "params": {}},
)
_GOODBYE: Final[tuple[dict[str, Any], ...]] = ({"id": 99, "method": "shutdown"}, {"method": "exit"})
_IN_OUR_CODE: Final = re.compile(r"speclint[/\\](commands|editor|check|documents)[/\\]")


def editor_fault(chance: random.Random) -> str:
    """Sends the language server what no editor does: texts, places and addresses that are none, and messages in pieces."""
    _lay_out(CAR, chance)
    messages = [json.dumps({"jsonrpc": "2.0", **message}).encode() for message in _HANDSHAKE]
    for number in range(1, 9):
        method = chance.choice(_ASKED)
        text = mutated(Path(CAR).read_text(encoding="utf-8", errors="replace"), chance)
        parameters: dict[str, Any] = {
            "textDocument": {
                "uri": Path(CAR).absolute().as_uri(),
                "version": number,
                "languageId": "yaml",
                "text": text,
            },
            "position": {"line": chance.randrange(60), "character": chance.randrange(40)},
            "range": {"start": {"line": 0, "character": 0}, "end": {"line": chance.randrange(80), "character": 9}},
            "context": {"diagnostics": []},
            "contentChanges": [{"text": text}],
        }
        if chance.random() < 0.3:
            parameters["textDocument"]["uri"] = chance.choice([value for value in ODD if isinstance(value, str)])
        message: dict[str, Any] = {"jsonrpc": "2.0", "method": f"textDocument/{method}", "params": parameters}
        if not method.startswith("did"):
            message["id"] = number
        data = json.dumps(spoilt(message, chance) if chance.random() < 0.3 else message).encode()
        messages.append(damaged(data, chance) if chance.random() < 0.1 else data)
    messages += [json.dumps({"jsonrpc": "2.0", **message}).encode() for message in _GOODBYE]
    typed = b"".join(b"Content-Length: %d\r\n\r\n%s" % (len(message), message) for message in messages)
    with TemporaryFile() as answers:  # a language server asks for a real file
        ended = _run(["editor"], typed, io.TextIOWrapper(answers, "utf-8", "replace"))
    if ended.status not in (0, None) or _IN_OUR_CODE.search(ended.errors):
        return f"the editor's server ended with {ended.status}\n{ended.errors}"
    return ""
