"""Questions of the page that checks a car, with files and words in them that nobody meant."""

import json
import random
from functools import cache
from typing import Any, Final

from speclint.browser.answers import SiteChecks
from tests.check.world import RACE_DAY
from tests.check_page.questions import site_checks
from tests.fuzzing.mutations import WORDS, mutated
from tests.fuzzing.worlds import demonstration, meeting

_FIELDS: Final = (
    "/name", "/car/type", "/car/mass_g", "/car/spur_teeth", "/car/internal_ratio", "/battery/hard_case", "/motor/turns",
    "/motor/part", "/motor/rotor/kind", "/motor/bench_runs/0/date", "/motor/bench_runs/0/winding/ab_mohm", "/entries/0/venue",
    "/readings/car/mass_g", "/readings/motor/bench_runs/0/winding/ab_mohm", "/looked_at/rotor", "/ruling", "/note", "/nothing",
)  # fmt: skip
_TYPED: Final = (
    "1352,5",
    "40:21",
    "17.5T",
    "yes",
    "passed",
    "failed",
    "2026-03-10",
    "LiPo",
    "-",
    "1/0",
    "0x10",
    "NaN",
    "٣",
    *WORDS,
)


@cache
def _checks() -> SiteChecks:
    return site_checks()


def page_fault(chance: random.Random) -> str:
    """Asks a question; the answer is JSON, be it that the question is refused."""
    question: dict[str, Any] = {
        "ask": chance.choice(("form", "check", "readings", "slip", "report", "inspect", "gearing")),
        "today": RACE_DAY,
        "on": chance.choice((RACE_DAY, RACE_DAY, "9999-12-31", "0001-01-01", "", "yesterday")),
        "class": chance.choice(("stock-17", "stock-17", "pan-12", "stock", "")),
    }
    values = {field: chance.choice(_TYPED) for field in chance.sample(_FIELDS, chance.randint(0, 8))}
    files = {**demonstration(), **meeting()}
    names = chance.sample([*files], chance.randint(1, 3))
    if question["ask"] == "inspect":
        cars = [
            {"number": word, "class": "stock-17", "values": values}
            for word in chance.sample(_TYPED, chance.randint(1, 3))
        ]
        question |= {
            "cars": cars,
            "selected": chance.randrange(len(cars)),
            "event": chance.choice(_TYPED),
            "officials": "",
        }
    elif chance.random() < 0.5 and question["ask"] != "gearing":
        question["values"] = values
    else:
        question["files"] = {name: mutated(files[name], chance).encode("utf-8", "surrogatepass") for name in names}
        question["setup"] = names[0]
    json.loads(_checks().answer(question))
    return ""
