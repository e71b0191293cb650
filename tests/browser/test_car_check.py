"""The page that checks a car, in a real browser: the same program as at the desk, by thumb, offline, and closed to the world."""

import json
import random
import shutil
import zipfile
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

import pytest

from speclint.documents.parse import parse
from tests.browser.car_check import RACE_DAY, CarCheck, needs_runtime, publish
from tests.browser.chromium import Chromium, Tab
from tests.browser.serving import Served, served
from tests.browser.views import AXE, axe_violations, html_errors, needs_axe, needs_html_validate
from tests.check_page.questions import files_under
from tests.check_page.test_forms import LEGAL_CAR
from tests.console import ROOT, process

pytestmark = [pytest.mark.browser, needs_runtime]

CAR = "cars/car-14-one-tooth-too-tall.yaml"
BESIDE = ("motors", "garage.yaml")

LEAST_TARGET = 44
"""CSS pixels either way of what is touched (WCAG 2.2, 2.5.5)."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("published") / "site"
    publish(folder)
    return folder


@pytest.fixture(scope="module")
def site(folder: Path) -> Iterator[Served]:
    with served(folder) as server:
        yield server


@pytest.fixture(scope="module")
def phone(browser: Chromium, site: Served) -> CarCheck:
    """The page on a telephone, opened once for the tests that leave it as it is."""
    page = CarCheck(browser, site)
    page.open()
    return page


def car_files(*more: str) -> dict[str, bytes]:
    return files_under(ROOT / "examples", CAR, *BESIDE, *more)


def test_a_dropped_car_with_its_motor_and_garage_gets_its_slip(phone: CarCheck) -> None:
    phone.drop(car_files())
    assert phone.verdict.startswith("illegal final drive ratio 4.145, at least 4.2: 0.055 short")
    assert phone.tab.ask("document.querySelector('#answer h2').innerText") == "Car 14, one tooth too tall"
    assert phone.tab.ask("document.querySelectorAll('#answer svg.gauge').length") > 3
    assert "pinion 43" in phone.tab.ask("document.getElementById('answer').innerText")
    assert phone.tab.complaints() == []
    assert {address.split("/")[2] for address in phone.tab.requests() if address.startswith("http")} == {
        f"localhost:{phone.site.port}"
    }


def test_while_it_checks_it_asks_nobody_for_anything(phone: CarCheck) -> None:
    before = len(phone.tab.requests())
    phone.drop(car_files())
    phone.tab.ask("document.querySelector('input[value=form]').click()")
    phone.choose("stock-17")
    phone.set({"/car/mass_g": "1351"})
    phone.wait()
    assert [address for address in phone.tab.requests()[before:] if address.startswith("http")] == []


def test_a_typed_car_has_its_verdict_at_once_without_scrolling(phone: CarCheck) -> None:
    phone.tab.ask("document.querySelector('input[value=form]').click()")
    phone.choose("stock-17")
    phone.set(LEGAL_CAR)
    phone.wait()
    assert phone.verdict.startswith("legal")
    height = phone.tab.ask("innerHeight")
    for scrolled in (0, 2000):
        phone.tab.ask(f"scrollTo(0, {scrolled})")
        (bar,) = phone.boxes("#verdict")
        assert 0 <= bar["top"] < bar["bottom"] <= height
    phone.set({"/car/pinion_teeth": "44"})
    phone.wait()
    assert phone.verdict.startswith("illegal final drive ratio 4.145")
    phone.set({"/car/pinion_teeth": ""})
    phone.wait()
    assert phone.verdict.startswith("not shown")


def test_a_mistyped_number_is_told_at_its_field(phone: CarCheck) -> None:
    phone.tab.ask("document.querySelector('input[value=form]').click()")
    phone.choose("stock-17")
    phone.set({**LEGAL_CAR, "/car/mass_g": "1,352"})
    phone.wait()
    told = "document.querySelector('[name=\"/car/mass_g\"]').closest('.field').querySelector('.wrong').innerText"
    assert phone.tab.ask(told) == "1,352 can be read in two ways: write 1352, or 1.352"
    assert phone.tab.ask("document.querySelector('[name=\"/car/mass_g\"]').getAttribute('aria-invalid')") == "true"
    phone.set({"/car/mass_g": "1352"})
    phone.wait()
    assert phone.tab.ask(told) == ""


def test_a_saved_setup_is_judged_at_the_desk_as_it_was_on_the_page(phone: CarCheck, tmp_path: Path) -> None:
    phone.tab.ask("document.querySelector('input[value=form]').click()")
    phone.choose("stock-17")
    phone.set({**LEGAL_CAR, "/car/mass_g": "1349,5"})
    phone.wait()
    name, text = phone.saved("save-setup")
    (tmp_path / name).write_text(text, encoding="utf-8")
    shutil.copytree(ROOT / "rulesets", tmp_path / "rulesets")
    done = process(tmp_path, "check", name, "--report", "json")
    (entry,) = json.loads(done.stdout)["entries"]
    assert phone.verdict.startswith("illegal mass 1349.5 ± 1.7 g")
    assert [check["rule"] for check in entry["checks"] if check["verdict"] == "illegal"] == ["weight"]


def test_a_saved_slip_is_a_page_of_its_own_and_prints_on_two_sheets(phone: CarCheck, tmp_path: Path) -> None:
    phone.drop(car_files())
    name, text = phone.saved("save-slip")
    assert name == "slip.html"
    (tmp_path / name).write_text(text, encoding="utf-8")
    tab = Tab(phone.tab._browser, width=794, scheme="light", media="print")
    tab.go(tmp_path / name)
    assert tab.paper_pages() == 2
    assert tab.ask("document.scripts.length") == 0


def test_the_gearing_of_a_dropped_car_is_shown(phone: CarCheck) -> None:
    phone.drop(files_under(ROOT / "examples", "cars/car-12-carpet.yaml", *BESIDE))
    phone.tab.ask("document.getElementById('ask-gearing').click()")
    phone.tab.until("document.querySelector('#gearing h2') !== null")
    assert "Gearing of Car 12" in phone.tab.ask("document.getElementById('gearing').innerText")


def generated_cars() -> dict[str, bytes]:
    """Two hundred cars, the same ones every time, legal and not, each with something left out now and then."""
    draw = random.Random(14)  # noqa: S311 - these are no secrets
    files = {}
    for number in range(200):
        class_id = draw.choice(["stock-17", "stock-21", "junior-21", "pan-12", "buggy-2wd"])
        car = {
            "mass_g": draw.choice([draw.randint(1300, 1400), round(draw.uniform(700, 1600), 1)]),
            "width_mm": round(draw.uniform(165, 195), 1),
            "ride_height_mm": round(draw.uniform(2.5, 6), 1),
            "internal_ratio": draw.choice([1, 1.9, '"40/21"', 2.6]),
            "spur_teeth": draw.randint(80, 100),
            "pinion_teeth": draw.randint(18, 50),
            "tyre_diameter_mm": round(draw.uniform(40, 66), 1),
            "type": draw.choice(["touring-4wd", "pan-12", "buggy-2wd"]),
        }
        battery = {
            "chemistry": draw.choice(["LiPo", "NiMH"]),
            "cells": draw.choice([1, 2]),
            "voltage_v": round(draw.uniform(8.2, 8.5), 2),
            "hard_case": draw.choice(["true", "false"]),
        }
        winding = ", ".join(f"{pair}_mohm: {draw.uniform(20, 58):.2f}" for pair in ("ab", "bc", "ca"))
        motor = (
            f"{{turns: {draw.choice([13.5, 17.5, 21.5])}, part: {draw.choice(['M-17A', 'M-21A', 'X-1'])},"
            f" timing_deg: {draw.randint(28, 44)}, rotor: {{kind: {draw.choice(['standard', 'torque', 'other'])}, part: R-12}},"
            f" bench_runs: [{{date: 2026-03-10, winding: {{{winding}, winding_c: {draw.randint(15, 35)}}}}}]}}"
        )
        left_out = draw.choice([*car, "", "", ""])
        lines = [f"  {key}: {value}" for key, value in car.items() if key != left_out]
        files[f"cars/car-{number:03}.yaml"] = "\n".join([
            "format: setup/1", f"name: Car {number}",
            f"entries: [{{ruleset: harbour-city, class: {class_id}, on: 2026-0{draw.randint(2, 9)}-14, venue: {draw.choice(['indoor', 'outdoor'])}}}]",
            "car:", *lines, f"battery: {json.dumps(battery).replace(chr(34), '')}", "speed_control: {timing: none}",
            f"motor: {motor}", "",
        ]).encode()  # fmt: skip
    return files


def published_cars() -> dict[str, bytes]:
    """The cars of the examples in rulebooks that were published, as setups of their own."""
    files = {}
    for path in sorted((ROOT / "tests" / "data" / "published").glob("*.yaml")):
        document, problems = parse(path.name, path.read_text(encoding="utf-8"))
        assert document is not None
        assert problems == ()
        for number, example in enumerate(document.data.get("examples", [])):
            entry = {
                "ruleset": document.data["id"],
                "class": example["class"],
                "on": example["on"],
                **example.get("entry", {}),
            }
            setup = {"format": "setup/1", "name": f"{path.stem} {number}", "entries": [entry], **example["setup"]}
            files[f"cars/{path.stem}-{number:02}.yaml"] = json.dumps(setup).encode()
    return files


def assert_same(page: object, desk: object) -> None:
    """The same keys in the same order, the same words, numbers to the last bits of what two C libraries make of a logarithm."""
    if isinstance(page, dict) and isinstance(desk, dict):
        assert list(page) == list(desk)
        for key in page:
            assert_same(page[key], desk[key])
    elif isinstance(page, list) and isinstance(desk, list):
        assert len(page) == len(desk)
        for inner, other in zip(page, desk, strict=True):
            assert_same(inner, other)
    elif isinstance(page, float) and isinstance(desk, float):
        assert page == pytest.approx(desk, rel=1e-12, abs=1e-15)
    else:
        assert page == desk


def test_page_and_command_give_the_same_json(browser: Chromium, folder: Path, tmp_path: Path) -> None:
    rulesets = [*(ROOT / "rulesets").glob("*.yaml"), *(ROOT / "tests" / "data" / "published").glob("*.yaml")]
    # A site whose archive has the rulebooks of all of these cars, in place of those of one club.
    wide = shutil.copytree(folder, tmp_path / "site")
    archive = wide / "harbour-city-2026.2.zip"
    with zipfile.ZipFile(archive, "w") as files:
        for path in rulesets:
            files.write(path, f"rulesets/{path.name}")
    parts = json.loads((wide / "check/parts.json").read_bytes())
    parts["files"]["../harbour-city-2026.2.zip"] = {
        "bytes": archive.stat().st_size,
        "sha256": sha256(archive.read_bytes()).hexdigest(),
    }
    (wide / "check/parts.json").write_text(json.dumps(parts), encoding="utf-8")
    fields = {
        "examples": files_under(ROOT / "examples", "cars", "setups", *BESIDE),
        "published": published_cars(),
        "generated": generated_cars(),
    }
    with served(wide) as server:
        page = CarCheck(browser, server)
        page.open()
        for name, cars in fields.items():
            desk = tmp_path / name
            for file, data in cars.items():
                (desk / file).parent.mkdir(parents=True, exist_ok=True)
                (desk / file).write_bytes(data)
            with zipfile.ZipFile(archive) as files:
                files.extractall(desk)
            done = process(desk, "check", *cars, "--report", "json")
            page.drop(cars)
            assert len(json.loads(done.stdout)["entries"]) >= 0.9 * len(files_under(desk, "cars"))
            assert_same(json.loads(page.saved("save-report")[1]), json.loads(done.stdout))


def test_it_works_without_a_network_after_the_first_visit(browser: Chromium, folder: Path) -> None:
    with served(folder) as server:
        page = CarCheck(browser, server)
        page.open()
        server.end()
        page.tab.go("about:blank")
        for address in ("check/index.html", "check/"):
            page.open(address)
            page.drop(car_files())
            assert page.verdict.startswith("illegal final drive ratio 4.145")
            assert page.tab.ask("document.getElementById('outdated').hidden")


def test_an_outdated_copy_says_so_and_takes_the_new_one(browser: Chromium, folder: Path, tmp_path: Path) -> None:
    copy = shutil.copytree(folder, tmp_path / "site")
    with served(copy) as server:
        page = CarCheck(browser, server)
        page.open()
        old = json.loads((copy / "check/parts.json").read_bytes())["digest"]
        publish(copy, "harbour-city@2026.1")
        new = json.loads((copy / "check/parts.json").read_bytes())["digest"]
        page.open()
        told = page.tab.ask("document.getElementById('outdated').innerText")
        assert told.startswith(f"Outdated: harbour-city@2026.1 ({new[:19]}…) is published, and this copy judges by")
        assert f"harbour-city@2026.2 ({old[:19]}…)" in told
        page.tab.ask("document.querySelector('#outdated button').click()")
        page.tab.until("document.body?.dataset.ready === 'yes' && document.getElementById('outdated').hidden")
        assert "version 2026.1" in page.tab.ask("document.querySelector('header').innerText")


def test_a_file_that_is_not_as_published_is_not_run(browser: Chromium, folder: Path, tmp_path: Path) -> None:
    copy = shutil.copytree(folder, tmp_path / "site")
    (copy / "check/worker.js").write_text("postMessage({ready: true});", encoding="utf-8")
    with served(copy) as server:
        page = CarCheck(browser, server)
        page.tab.go(server.address + "check/index.html")
        page.tab.until("document.getElementById('stage').textContent.includes('worker.js is not what the club')")
        assert page.tab.ask("document.getElementById('asked').hidden")


def test_the_worker_reaches_no_other_place_whatever_it_tries(browser: Chromium, site: Served, tmp_path: Path) -> None:
    page = CarCheck(browser, site)
    page.tab.send("Target.setAutoAttach", autoAttach=True, waitForDebuggerOnStart=False, flatten=True)
    page.open()
    attached = [event["params"] for event in browser.events if event.get("method") == "Target.attachedToTarget"]
    (worker,) = [event["sessionId"] for event in attached if event["targetInfo"]["type"] == "worker"]
    (tmp_path / "secret.txt").write_text("secret", encoding="utf-8")
    with served(tmp_path) as elsewhere:
        tries = f"""fetch('{elsewhere.address}secret.txt', {{mode: 'no-cors'}}).then(() => 'sent', error => 'refused: ' + error.name)"""
        answer = browser.send("Runtime.evaluate", worker, expression=tries, awaitPromise=True, returnByValue=True)
    assert answer["result"]["value"] == "refused: TypeError"
    own = "fetch('%scheck/parts.json').then(answer => answer.status)" % site.address  # noqa: UP031 - braces of JavaScript
    answer = browser.send("Runtime.evaluate", worker, expression=own, awaitPromise=True, returnByValue=True)
    assert answer["result"]["value"] == 200


@pytest.mark.parametrize("how", ["without scripts", "from a file"])
def test_where_it_cannot_run_it_says_so_in_a_sentence(browser: Chromium, folder: Path, site: Served, how: str) -> None:
    tab = Tab(browser, width=390, scheme="light")
    if how == "without scripts":
        tab.send("Emulation.setScriptExecutionDisabled", value=True)
        tab.go(site.address + "check/index.html")
        tab.send("Emulation.setScriptExecutionDisabled", value=False)
    else:
        tab.go(folder / "check" / "index.html")
    assert "This page needs a browser of 2023 or newer" in tab.ask("document.body.innerText")
    assert tab.ask("document.getElementById('stage').checkVisibility()")


def test_an_inspector_reads_a_field_in_the_official_order_and_saves_it(
    browser: Chromium, site: Served, tmp_path: Path
) -> None:
    page = CarCheck(browser, site)
    page.open()
    page.tab.ask("document.querySelector('input[value=field]').click()")
    page.set({"class": "stock-17", "on": RACE_DAY, "event": "Round 3", "officials": "A. Official"})
    for number in ("12", "14"):
        page.set({"number": number})
        page.tab.ask("document.getElementById('add-car').click()")
        page.wait()
        page.set({"@/readings/car/mass_g": "1349" if number == "12" else "1351,5", "@/looked_at/rotor": "passed"})
        # Without a pause: what was read of a car is kept when the next one is chosen.
    page.tab.ask("document.querySelector('#cars button').click()")
    page.wait()
    cars = page.tab.ask("[...document.querySelectorAll('#cars button')].map(button => button.textContent)")
    assert cars[0].startswith("12 17.5 touring, stock: illegal mass 1349.0 ± 1.7 g, at least 1350 g")
    assert cars[1].startswith("14 17.5 touring, stock: not shown")
    assert page.verdict.startswith("illegal mass 1349.0")
    page.open()
    page.tab.ask("document.querySelector('input[value=field]').click()")
    page.wait()
    assert page.tab.ask("document.querySelector('[name=\"@/readings/car/mass_g\"]').value") == "1349"
    name, text = page.saved("save-setup")
    assert name == "inspection.yaml"
    (tmp_path / name).write_text(text, encoding="utf-8")
    shutil.copytree(ROOT / "rulesets", tmp_path / "rulesets")
    done = process(tmp_path, "check", name, "--report", "json")
    entries = json.loads(done.stdout)["entries"]
    assert [entry["verdict"] for entry in entries] == ["illegal", "not-shown"]
    if AXE:
        assert axe_violations(page.tab) == []
    assert page.tab.ask("document.documentElement.scrollWidth") <= 390


def test_everything_that_is_touched_is_large(phone: CarCheck) -> None:
    phone.tab.ask("document.querySelector('input[value=form]').click()")
    phone.choose("stock-17")
    targets = phone.boxes(
        "#asked input:not([type=radio], [type=checkbox]), #asked select, #asked label:has(input), .bar button"
    )
    assert len(targets) > 30
    assert [box["name"] for box in targets if min(box["height"], box["width"]) < LEAST_TARGET] == []
    assert [box["name"] for box in phone.boxes("#asked *") if box["right"] > 390 or box["left"] < 0] == []


def test_numbers_bring_up_the_keys_for_numbers(phone: CarCheck) -> None:
    phone.choose("stock-17")
    modes = dict(
        phone.tab.ask("[...document.querySelectorAll('#form [name]')].map(field => [field.name, field.inputMode])")
    )
    assert modes["/car/mass_g"] == "decimal"
    assert modes["/car/spur_teeth"] == "numeric"
    assert modes["/motor/part"] == ""


def test_it_is_used_by_keyboard_alone(phone: CarCheck) -> None:
    phone.tab.ask("document.querySelector('input[value=form]').click()")
    phone.choose("stock-17")
    phone.tab.ask("document.getElementById('class').focus()")
    reached = []
    for _ in range(60):
        for kind in ("rawKeyDown", "keyUp"):
            phone.tab.send("Input.dispatchKeyEvent", type=kind, key="Tab", code="Tab", windowsVirtualKeyCode=9)
        reached.append(phone.tab.ask("document.activeElement.name || document.activeElement.id"))
    assert {"on", "way", "/car/mass_g", "/motor/bench_runs/0/winding/ab_mohm"} <= set(reached)
    assert {"to-slip", "save-setup", "print"} <= set(reached)
    # Nothing that has the focus is hidden under the bar (WCAG 2.2, 2.4.11).
    phone.tab.ask("document.querySelector('[name=\"/car/width_mm\"]').focus()")
    field, bar = phone.boxes('[name="/car/width_mm"]')[0], phone.boxes(".bar")[0]
    assert field["bottom"] <= bar["top"]


LOOKS = [(390, "light"), (390, "dark"), (320, "light"), (1280, "dark")]


@pytest.mark.parametrize(("width", "scheme"), LOOKS)
@needs_axe
def test_axe_finds_nothing(browser: Chromium, site: Served, width: int, scheme: str) -> None:
    page = CarCheck(browser, site, width=width, scheme=scheme)
    page.open()
    page.choose("stock-17")
    page.set({**LEGAL_CAR, "/car/pinion_teeth": "44", "/car/width_mm": "wide"})
    page.wait()
    assert axe_violations(page.tab) == []
    assert page.tab.ask("document.documentElement.scrollWidth") <= width
    page.drop(files_under(ROOT / "examples", "cars", *BESIDE))
    page.tab.ask("document.querySelectorAll('details').forEach(details => { details.open = true })")
    assert axe_violations(page.tab) == []
    assert page.tab.ask("document.documentElement.scrollWidth") <= width


@needs_html_validate
def test_the_page_and_what_python_puts_into_it_are_html(phone: CarCheck, folder: Path, tmp_path: Path) -> None:
    phone.tab.ask("document.querySelector('input[value=form]').click()")
    phone.choose("stock-17")
    head = (folder / "check/index.html").read_text(encoding="utf-8")
    (tmp_path / "index.html").write_text(head, encoding="utf-8")
    inner = phone.tab.ask("document.getElementById('form').innerHTML + document.getElementById('answer').innerHTML")
    frame = '<!DOCTYPE html>\n<html lang="en">\n<head><title>part</title></head>\n<body><h1>part</h1>{}</body></html>\n'
    (tmp_path / "part.html").write_text(frame.format(inner), encoding="utf-8")
    assert html_errors([tmp_path / "index.html", tmp_path / "part.html"], tmp_path) == ""
    assert RACE_DAY in phone.tab.ask("document.getElementById('on').value")
