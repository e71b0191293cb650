"""Texts as a slip, a merge or a stranger leaves them."""

import random
from typing import Any, Final

WORDS: Final = (
    "", "-1", "0", "1e999", ".nan", "1e-400", "9999-12-31", "0001-01-01", "null", "[]", "{}", "&a", "*a", "!!str x", "\x85",
    "\u202e", "\U000e0041", "\ufeff", "\x00", "'", '"', "|", ">", "? x", "<<: {}", "- - - -", "true", "no", "3/0", "40/21",
    "motor/1", "ruleset/1", "a" * 300, "1" * 40, "harbour-city@2026.2", "../../x.yaml", "\r", "\t", "  ", "---\n", "%YAML 1.2\n",
)  # fmt: skip
"""What stands for a value, or in the middle of one."""


def mutated(text: str, chance: random.Random) -> str:
    """The text with some of its lines, signs or values changed, doubled, moved or gone."""
    lines = text.split("\n")
    for _ in range(chance.randint(1, 4)):
        at = chance.randrange(len(lines))
        match chance.randrange(7):
            case 0:
                del lines[at : at + chance.randint(1, 3)]
            case 1:
                lines.insert(chance.randrange(len(lines) + 1), lines[at])
            case 2:
                lines[at] = f"{' ' * chance.randint(0, 6)}{lines[at].strip()}"
            case 3:
                key, colon, _ = lines[at].partition(":")
                lines[at] = f"{key}{colon} {chance.choice(WORDS)}"
            case 4:
                place = chance.randint(0, len(lines[at]))
                lines[at] = f"{lines[at][:place]}{chance.choice(WORDS)}{lines[at][place + chance.randint(0, 3) :]}"
            case 5:
                lines[at] = lines[at].replace(
                    *chance.choice((("{", "["), ("}", ""), (": ", ":"), ("0", "00"), ("-", ".")))
                )
            case _:
                source = chance.randrange(len(lines))
                lines[at] = lines[at].partition(":")[0] + ":" + lines[source].partition(":")[2]
        lines = lines or [""]
    return "\n".join(lines)


def mixed(text: str, source: str, chance: random.Random) -> str:
    """The text with some lines of another one in it."""
    lines, source_lines = text.split("\n"), source.split("\n")
    at, start = chance.randrange(len(lines)), chance.randrange(len(source_lines))
    return "\n".join([*lines[:at], *source_lines[start : start + chance.randint(1, 8)], *lines[at:]])


def damaged(data: bytes, chance: random.Random) -> bytes:
    """The bytes with some of them changed, gone, or there for the first time."""
    changed = bytearray(data)
    for _ in range(chance.randint(1, 4)):
        at = chance.randint(0, len(changed))
        changed[at : at + chance.randint(0, 2)] = chance.randbytes(chance.randint(0, 3))
    return bytes(changed)


ODD: Final[tuple[Any, ...]] = (
    None, True, -1, 0, 10**20, 1.5, "", "x", "untitled:Untitled-1", "file:car.yaml", "%zz", "cars/../x.yaml", [], {}, [[]], {"a": 1}, "\u202e", "\ud800", "a" * 5000,
)  # fmt: skip
"""What stands in a message where something else is meant."""


def spoilt(value: Any, chance: random.Random) -> Any:
    """A message with some of its parts gone, or of another type."""
    if chance.random() < 0.06:
        return chance.choice(ODD)
    if isinstance(value, dict):
        return {key: spoilt(part, chance) for key, part in value.items() if chance.random() > 0.03}
    return [spoilt(part, chance) for part in value] if isinstance(value, list) else value
