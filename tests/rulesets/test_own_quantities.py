"""Quantities of a ruleset's own: what it declares of a key, and the sums and counts that it makes of others."""

import pickle
from collections import UserDict
from typing import Any

import pytest

from speclint.documents.parse import parse
from speclint.quantities.declared import QuantityName
from speclint.quantities.registry import quantity
from speclint.rules.wording import explanation, message
from speclint.rulesets.declarations import declaration_problems, declared_in
from tests.check.world import a_ruleset, a_setup, check_of, entry_of, find_in, problems_of, verdict_of, verdicts

SUM = "extra.crew_kg: {title: driver and ballast, kind: measured, sum_of: [extra.driver_kg, extra.ballast_kg]}"
HELMET = "extra.helmet_kg: {kind: measured, usual: [-2, 2]}"
ROLLERS = "extra.rollers: {kind: count, count_of: extra.roller_mm}"


def declared(*declarations: str, more: str = "") -> str:
    """The top of a ruleset that declares these."""
    return "".join(["quantities:\n", *(f"  {declaration}\n" for declaration in declarations), more])


def refusals(*declarations: str, rule: str = "quantity: mass_g, at_least: 1", more: str = "") -> list[str]:
    """What is said of a ruleset that declares these."""
    club = a_ruleset(f"{{id: it, {rule}}}", top=declared(*declarations, more=more))
    return problems_of(find_in({"club.yaml": club}))


# --- kinds


def test_a_measured_quantity_has_an_uncertainty_whatever_its_key_is_called() -> None:
    top = declared("extra.load: {kind: measured, unit: kg}", more="decision: must-show\n")
    scale = "instruments: {scale: {accuracy: 0.5, unit: kg}}\n"
    rule = "quantity: extra.load, at_most: 80"
    near = check_of(rule, f"{scale}extra: {{load: {{value: 79.8, instrument: scale}}}}", top=top)
    assert (near.verdict.value, near.close_call) == ("not-shown", True)
    assert "79.8 kg" in " ".join((message(near), *explanation(near))) or near.outcome is not None
    assert verdict_of(rule, f"{scale}extra: {{load: {{value: 79, instrument: scale}}}}", top=top) == "legal"
    # Without an instrument nothing is shown.
    assert verdict_of(rule, "extra: {load: 79}", top=top) == "not-shown"


@pytest.mark.parametrize("kind", ["setting", "count"])
def test_what_is_set_or_counted_is_exact_though_its_key_ends_in_a_unit(kind: str) -> None:
    rule = "quantity: extra.weights_g, at_most: 80, decision: must-show"
    assert verdict_of(rule, "extra: {weights_g: 80}") == "not-shown"
    assert verdict_of(rule, "extra: {weights_g: 80}", top=declared(f"extra.weights_g: {{kind: {kind}}}")) == "legal"


@pytest.mark.parametrize(
    ("declaration", "limit", "stated", "why"),
    [
        ("kind: count", "at_most: 4", "2.5", "extra.key is 2.5; it takes a whole number"),
        ("kind: count", "at_most: 4", '"2"', 'extra.key is "2"; it takes a whole number'),
        ("kind: count", "none_of: [4]", "true", "extra.key is true; it takes a whole number"),
        ("kind: setting", "at_most: 4", "{value: 2}", "extra.key is a reading; it takes a plain number"),
        ("kind: flag", "equals: true", '"yes"', 'extra.key is "yes"; it takes true or false'),
        ("kind: text", "none_of: [on]", "4", "extra.key is 4; it takes a text"),
        ("kind: measured, unit: g", "at_most: 4", "light", 'extra.key is "light"; it takes a number, or a reading'),
        ("kind: text, choices: [open, closed]", "none_of: [open]", "opne",
         'extra.key is "opne"; it takes open or closed: did you mean open?'),
        ("kind: text, choices: [soft, medium, hard]", "none_of: [hard]", "wet", "it takes soft, medium or hard"),
        ("kind: setting, choices: [1, 1.5]", "none_of: [1]", "2", "extra.key is 2; it takes 1 or 1.5"),
    ],
)  # fmt: skip
def test_a_value_of_another_kind_is_never_legal(declaration: str, limit: str, stated: str, why: str) -> None:
    check = check_of(
        f"quantity: extra.key, {limit}", f"extra: {{key: {stated}}}", top=declared(f"extra.key: {{{declaration}}}")
    )
    assert check.verdict.value == "not-shown"
    assert why in message(check)


@pytest.mark.parametrize("declaration", ["", "kind: measured", "kind: setting", "kind: measured, usual: [0, 5]"])
@pytest.mark.parametrize("key", ["load_kg", "pack_mah", "coil_mohm", "gear_teeth", "free_rpm"])
def test_what_cannot_be_below_zero_is_never_legal_so(key: str, declaration: str) -> None:
    top = declared(f"extra.{key}: {{{declaration}}}") if declaration else ""
    check = check_of(f"quantity: extra.{key}, at_most: 4", f"extra: {{{key}: -3}}", top=top)
    assert check.verdict.value == "not-shown"
    assert f"extra.{key} is -3" in message(check) and "is below zero" in message(check)


def test_none_of_several_or_of_repeats_may_be_below_zero_that_cannot_be() -> None:
    rule = "quantity: extra.load_kg, at_most: 4"
    for stated in ("[1, -3]", "{readings: [-1, -3]}", "{value: -0.1}"):
        assert verdict_of(rule, f"extra: {{load_kg: {stated}}}") == "not-shown"
    assert verdict_of(rule, "extra: {load_kg: 0}") == "legal"


@pytest.mark.parametrize("key", ["droop_mm", "bend_deg", "pack_c", "gain_percent", "boost"])
def test_what_may_lie_below_zero_is_judged_as_it_is(key: str) -> None:
    top = declared(f"extra.{key}: {{kind: measured}}")
    assert verdict_of(f"quantity: extra.{key}, at_most: 4", f"extra: {{{key}: -3}}", top=top) == "legal"


@pytest.mark.parametrize(
    ("declaration", "limit", "value", "advice"),
    [
        ("kind: measured", "at_most: 4", "-3", "-3 mm is unusual: gap is usually 0 mm or more; was 3 mm meant?"),
        ("kind: setting, title: stop", "at_most: 4", "-3", "-3 mm is unusual: stop is usually 0 mm or more"),
        ("kind: measured, usual: [0, 9]", "at_most: 4", "-3", "gap is usually 0 to 9 mm; was 3 mm meant?"),
        ("kind: measured", "at_most: 4", "3", ""),
        ("kind: measured", "between: [-4, 4]", "-3", ""),  # the rule itself has a sign
        ("kind: measured, usual: [-4, 4]", "at_most: 4", "-3", ""),
    ],
)
def test_a_length_below_zero_is_asked_about(declaration: str, limit: str, value: str, advice: str) -> None:
    top = declared(f"extra.gap_mm: {{{declaration}}}")
    club = a_ruleset(f"{{id: it, quantity: extra.gap_mm, {limit}}}", top=top)
    findings = find_in({"club.yaml": club, "car.yaml": a_setup(f"extra: {{gap_mm: {value}}}")})
    assert [entry.verdict.value for entry in findings.entries] == ["legal"]
    unusual = [said.message for said in findings.advice if said.id == "value-unusual"]
    assert len(unusual) == bool(advice) and advice in "".join(unusual)


@pytest.mark.parametrize("home", ["extra", "entry"])
def test_what_is_usual_is_held_to_a_key_of_either_home(home: str) -> None:
    top = declared(f"{home}.load_kg: {{title: load, kind: measured, usual: [0, 5]}}")
    club = a_ruleset(f"{{id: it, quantity: {home}.load_kg, at_least: 0}}", top=top)

    def told(value: str) -> list[str]:
        key = f"load_kg: {value}"
        car = a_setup(entry=key) if home == "entry" else a_setup(f"extra: {{{key}}}")
        findings = find_in({"club.yaml": club, "car.yaml": car})
        said = [(problem.message, problem.place.file) for problem in findings.problems]
        said += [(advice.message, advice.place.file) for advice in findings.advice]
        return [message for message, file in said if file == "car.yaml"]

    assert told("3") == []
    assert told("7") == ["7 kg is unusual: load is usually 0 to 5 kg; 7 pounds would be 3.175 kg"]
    assert told("3000") == ["3000 looks like grams; this key is in kilograms: 3 kg"]


def test_each_entry_is_held_to_what_its_own_ruleset_says_is_usual() -> None:
    clubs = {
        f"{id_}.yaml": a_ruleset(
            "{id: it, quantity: entry.load_kg, at_least: 0}", id_=id_,
            top=declared(f"entry.load_kg: {{title: load, kind: measured, usual: [{usual}]}}"),
        )
        for id_, usual in (("a", "0, 5"), ("b", "0, 50"))
    }  # fmt: skip
    entries = ", ".join(f"{{ruleset: {id_}, class: stock, on: 2026-03-14, load_kg: 40}}" for id_ in "ab")
    findings = find_in({**clubs, "car.yaml": f"format: setup/1\nentries: [{entries}]\n"})
    odd = [said for said in findings.problems if said.id == "implausible-value"]
    assert [said.place.pointer for said in odd] == ["/entries/0/load_kg"]
    assert "load is usually 0 to 5 kg, and 4 kg would be" in odd[0].message


@pytest.mark.parametrize("home", ["extra", "entry"])
def test_what_officials_write_down_is_held_to_what_is_usual(home: str) -> None:
    top = declared(f"{home}.load_kg: {{title: load, kind: measured, usual: [0, 5]}}")
    club = a_ruleset(f"{{id: it, quantity: {home}.load_kg, at_least: 0}}", top=top)
    stated = "entry: {load_kg: 3000}" if home == "entry" else "readings: {extra: {load_kg: 3000}}"
    sheet = f"format: inspection/1\non: 2026-03-14\nruleset: club@1\ncars:\n  - {{number: 7, class: stock, {stated}}}\n"
    findings = find_in({"club.yaml": club, "round.yaml": sheet}, named=["round.yaml"])
    (slip,) = [said for said in findings.problems if said.id == "implausible-value"]
    assert (slip.place.file, slip.place.line) == ("round.yaml", 5)
    assert slip.message == "3000 looks like grams; this key is in kilograms: 3 kg"


def test_an_entry_key_can_be_declared_too() -> None:
    top = declared("entry.tyre_set: {kind: text, choices: [soft, hard]}")
    rule = "quantity: entry.tyre_set, none_of: [soft]"
    assert verdict_of(rule, entry="tyre_set: hard", top=top) == "legal"
    assert verdict_of(rule, entry="tyre_set: sotf", top=top) == "not-shown"


def test_a_condition_holds_a_declared_value_to_its_kind() -> None:
    rule = "quantity: mass_g, at_least: 9999, when: {extra.hull: {none_of: [open]}}"
    top = declared("extra.hull: {kind: text, choices: [open, closed]}")
    assert verdict_of(rule, "car: {mass_g: 1300}\nextra: {hull: open}", top=top) == "not-applicable"
    assert verdict_of(rule, "car: {mass_g: 1300}\nextra: {hull: opne}", top=top) == "not-shown"


def test_an_undeclared_key_goes_on_as_it_was() -> None:
    top = declared("extra.other: {kind: text}")
    assert verdict_of("quantity: extra.body, equals: 7", "extra: {body: 7}", top=top) == "legal"
    assert verdict_of("quantity: extra.body, equals: list-7", "extra: {body: list-7}", top=top) == "legal"


def test_two_rulesets_may_declare_one_key_each_in_its_own_way() -> None:
    rule = "{id: it, quantity: extra.load, at_most: 80, decision: must-show}"
    files = {
        "a.yaml": a_ruleset(rule, id_="a", top=declared("extra.load: {kind: setting, unit: kg}")),
        "b.yaml": a_ruleset(rule, id_="b", top=declared("extra.load: {title: burden, kind: measured, unit: lb}")),
        "car-a.yaml": a_setup("extra: {load: 80}", ruleset="a"),
        "car-b.yaml": a_setup("extra: {load: 80}", ruleset="b"),
    }
    findings = find_in(files)
    assert [entry.verdict.value for entry in findings.entries] == ["legal", "not-shown"]
    assert [message(entry.checks[0]).partition(" is")[0] for entry in findings.entries] == ["load", "burden"]


def test_a_name_still_knows_what_it_is_in_another_process() -> None:
    check = check_of("quantity: extra.crew_kg, at_least: 1", "extra: {driver_kg: 2, ballast_kg: 3}", top=declared(SUM))
    assert check.fact is not None
    sent = pickle.loads(pickle.dumps(check.fact.quantity, pickle.HIGHEST_PROTOCOL))  # noqa: S301 - our own bytes
    assert (sent, quantity(sent.name)) == (check.fact.quantity, check.fact.quantity)
    assert [of.title for part in sent.inputs if (of := quantity(part)) is not None] == ["driver", "ballast"]


# --- sums


def test_a_sum_is_told_with_its_parts() -> None:
    check = check_of(
        "quantity: extra.crew_kg, at_least: 82",
        "instruments: {scale: {accuracy: 0.05}}\n"
        "extra: {driver_kg: {value: 78.2, instrument: scale}, ballast_kg: {value: 3.4, instrument: scale}}",
        top=declared(SUM),
    )
    assert message(check) == (
        "driver and ballast is 81.60 ± 0.12 kg (78.20 + 3.40); the rule asks at least 82 kg: 0.40 kg short"
    )


def test_a_part_below_zero_is_told_as_taken_away_where_its_ruleset_has_such_parts() -> None:
    stated, tare = "extra: {driver_kg: 78.25, ballast_kg: -3.5}", "extra.ballast_kg: {kind: measured, usual: [-5, 30]}"
    check = check_of("quantity: extra.crew_kg, at_least: 82", stated, top=declared(tare, SUM))
    assert "driver and ballast is 74.75 kg (78.25 − 3.50)" in message(check)
    assert verdict_of("quantity: extra.crew_kg, at_most: 82", stated, top=declared(SUM)) == "not-shown"


def test_what_one_scale_is_off_moves_all_parts_together() -> None:
    """JCGM 100 F.1.2.3: two readings of one instrument share its error; each of ± 0.05 is off by 0.1 in all.

    U = 2 × 0.1/√3 = 0.1155 kg on one scale, and 2 × 0.05 × √2/√3 = 0.0816 kg on two.
    """
    scales = "instruments: {s: {accuracy: 0.05}, t: {accuracy: 0.05}}\n"
    for other, expanded in (("s", 0.1155), ("t", 0.0816)):
        parts = f"extra: {{driver_kg: {{value: 78, instrument: s}}, ballast_kg: {{value: 4, instrument: {other}}}}}"
        outcome = check_of("quantity: extra.crew_kg, at_least: 80", scales + parts, top=declared(SUM)).outcome
        assert outcome is not None and outcome.expanded_uncertainty == pytest.approx(expanded, abs=1e-4)


def test_parts_in_other_units_are_converted_exactly() -> None:
    """NIST SP 811 appendix B: the pound is 0.45359237 kg, so 1400 g and 2 lb are 2.30718474 kg."""
    top = declared("extra.ready_kg: {kind: measured, sum_of: [mass_g, extra.pack_lb]}")
    stated = "car: {mass_g: 1400}\nextra: {pack_lb: 2}"
    assert verdict_of("quantity: extra.ready_kg, at_least: 2.30718474", stated, top=top) == "legal"
    assert verdict_of("quantity: extra.ready_kg, at_least: 2.30718475", stated, top=top) == "illegal"


def test_a_missing_part_is_named_and_the_sum_is_not_shown() -> None:
    check = check_of("quantity: extra.crew_kg, at_most: 100", "extra: {driver_kg: 78.2}", top=declared(SUM))
    assert (check.verdict.value, check.missing) == ("not-shown", ("extra.ballast_kg",))
    assert message(check) == "driver and ballast is not shown: add extra.ballast_kg"
    none = "extra: {driver_kg: 78.2, ballast_kg: 0}"
    assert verdict_of("quantity: extra.crew_kg, at_most: 100", none, top=declared(SUM)) == "legal"


@pytest.mark.parametrize("part", ["[1, 2]", "heavy"])
def test_a_part_that_is_no_single_number_shows_no_sum(part: str) -> None:
    check = check_of(
        "quantity: extra.crew_kg, at_most: 999", f"extra: {{driver_kg: 78, ballast_kg: {part}}}", top=declared(SUM)
    )
    assert check.verdict.value == "not-shown" and "extra.ballast_kg" in message(check)


def test_a_sum_can_be_what_another_quantity_is_compared_with() -> None:
    """At least half of the weights forward: 1.2 kg of 2.5 kg is 0.05 kg short of 1.25 kg."""
    top = declared("extra.weights_kg: {kind: measured, sum_of: [extra.front_kg, extra.rear_kg]}")
    rule = "quantity: extra.front_kg, at_least: {of: extra.weights_kg, times: 0.5}"
    assert verdict_of(rule, "extra: {front_kg: 1.25, rear_kg: 1.25}", top=top) == "legal"
    short = check_of(rule, "extra: {front_kg: 1.2, rear_kg: 1.3}", top=top)
    assert short.verdict.value == "illegal" and "0.05 kg short" in message(short)


def test_an_official_instrument_for_a_sum_reads_its_parts() -> None:
    top = declared(SUM, more="instruments: {tech-scale: {accuracy: 0.05}}\ndecision: must-show\n")
    rule = "quantity: extra.crew_kg, at_least: 80, instrument: tech-scale"
    assert verdict_of(rule, "extra: {driver_kg: 78, ballast_kg: 4}", top=top) == "legal"
    assert verdict_of(rule, "extra: {driver_kg: 78, ballast_kg: 2.05}", top=top) == "not-shown"


# --- counts


@pytest.mark.parametrize(
    ("stated", "count"), [("[]", 0), ("[13, 13, 19]", 3), ("13", 1), ("{readings: [13.1, 13.2]}", 1), ("[13]", 1)]
)
def test_a_count_is_how_many_a_key_holds(stated: str, count: int) -> None:
    result = entry_of(
        (f"{{id: least, quantity: extra.rollers, at_least: {count}}}", f"{{id: most, quantity: extra.rollers, at_most: {count}}}"),
        f"extra: {{roller_mm: {stated}}}", top=declared(ROLLERS),
    )  # fmt: skip
    assert verdicts(result) == {"least": "legal", "most": "legal"}


@pytest.mark.parametrize("stated", ["", "extra: {roller_mm: }"])
def test_nothing_that_could_be_counted_is_not_none(stated: str) -> None:
    check = check_of("quantity: extra.rollers, at_most: 4", stated, top=declared(ROLLERS))
    assert (check.verdict.value, check.missing) == ("not-shown", ("extra.roller_mm",))


@pytest.mark.parametrize("stated", ["false", "true", "0", '"13, 13, 19"', "[13, false]"])
def test_what_may_be_none_or_several_is_not_counted_as_one(stated: str) -> None:
    check = check_of("quantity: extra.rollers, at_most: 4", f"extra: {{roller_mm: {stated}}}", top=declared(ROLLERS))
    assert check.verdict.value == "not-shown"
    assert "which may be none or several: write a list of them, [] for none" in message(check)


# --- inheritance


NATIONAL = a_ruleset(id_="national", top=declared("extra.load: {title: burden, kind: measured, unit: kg}", SUM))


def test_a_club_uses_what_its_league_declares() -> None:
    rules = (
        "{id: load, quantity: extra.load, unit: lb, at_most: 10}",
        "{id: crew, quantity: extra.total_kg, at_most: 90}",
    )
    top = declared(
        "extra.total_kg: {kind: measured, sum_of: [extra.load, extra.driver_kg]}", more="based_on: national@1\n"
    )
    car = a_setup("extra: {load: 4.6, driver_kg: 80}")
    findings = find_in({"national.yaml": NATIONAL, "club.yaml": a_ruleset(*rules, top=top), "car.yaml": car})
    assert findings.problems == ()
    load, crew = findings.entries[0].checks
    # 10 lb are 4.5359237 kg.
    assert message(load) == "burden is 10.1 lb (4.6 kg); the rule asks at most 10 lb: 0.1 lb over"
    assert crew.verdict.value == "legal"


def test_what_is_inherited_is_not_declared_again() -> None:
    club = a_ruleset(top=declared("extra.load: {kind: setting, unit: kg}", more="based_on: national@1\n"))
    findings = find_in({"national.yaml": NATIONAL, "club.yaml": club})
    assert problems_of(findings) == [
        "club.yaml:5:3: national declares extra.load already, and this builds on it: leave it out here"
    ]


# --- what cannot be so


@pytest.mark.parametrize(
    ("declaration", "pointed_at", "why"),
    [
        ("extra.all_kg: {kind: measured, sum_of: [mas_g, extra.a_kg]}", "mas_g", "there is no quantity mas_g; did you mean mass_g?"),
        ("extra.all_kg: {kind: measured, sum_of: [extra.a_kg, extra.b_mm]}", "extra.b_mm]",
         "extra.b_mm (1 mm) cannot be added to extra.all_kg (1 kg): it measures something else"),
        ("extra.all_kg: {kind: measured, sum_of: [extra.a_kg, extra.body]}", "extra.body]",
         "extra.body is text: declare it with a `kind`"),
        ("extra.all_kg: {kind: measured, sum_of: [extra.a_kg, extra.a_kg]}", "extra.a_kg]", "extra.a_kg is a part of the sum already"),
        ("extra.all_kg: {kind: measured, sum_of: [extra.a_kg, extra.all_kg]}", "extra.all_kg]",
         "extra.all_kg is itself a sum or a count: name what is stated, or a quantity that is built in"),
        ("extra.all_kg: {kind: setting, sum_of: [extra.a_kg, extra.b_kg]}", "setting",
         "extra.a_kg is measured, and so the sum is: write `kind: measured`"),
        ("extra.all_mm: {kind: setting, sum_of: [gear_module_mm, width_mm]}", "setting",
         "width_mm is measured, and so the sum is: write `kind: measured`"),
        ("extra.all_c: {kind: measured, sum_of: [extra.a_c, extra.b_c]}", "[extra.a_c",
         "temperatures cannot be added: where their scale begins is by agreement"),
        ("extra.count: {kind: setting, count_of: extra.roller_mm}", "setting", "how many there are is a count: write `kind: count`"),
        ("extra.count: {kind: count, count_of: mass_g}", "mass_g}", "mass_g is no key that holds a list: name one as extra.KEY"),
        ("extra.count: {kind: count, count_of: extra.count}", "extra.count}", "extra.count is itself a sum or a count"),
        ("extra.load_kg: {kind: measured, unit: lb}", "lb", "extra.load_kg is in kg by its ending: leave `unit` out"),
        ("extra.mode: {kind: text, unit: kg}", "kg", "extra.mode is text, which has no unit"),
        ("extra.mode: {kind: text, usual: [1, 2]}", "[1, 2]", "extra.mode is no number"),
        ("extra.load_kg: {kind: measured, usual: [2, 1]}", "[2, 1]", "what is usual is the lowest and the highest number"),
        ("extra.load_kg: {kind: measured, choices: [2, 1]}", "[2, 1]", "extra.load_kg is a measured number, of which no choices"),
        ("extra.mode: {kind: text, choices: [soft, 3]}", "3]", "a value of extra.mode cannot be this: it takes a text"),
    ],
)  # fmt: skip
def test_a_declaration_that_cannot_be_so_is_refused_where_it_is_wrong(
    declaration: str, pointed_at: str, why: str
) -> None:
    (problem,) = refusals(declaration)
    place, _, told = problem.partition(": ")
    column = int(place.removeprefix("club.yaml:5:"))
    assert f"  {declaration}"[column - 1 :].startswith(pointed_at)
    assert told.startswith(why)


@pytest.mark.parametrize(
    ("declaration", "why"),
    [
        ("ballast_kg: {kind: measured}", "cannot be a key of `quantities`"),
        ("extra.ballast_kg: {}", "needs `kind`"),
        ("extra.ballast_kg: {kind: mesured}", "did you mean measured?"),
        ("extra.ballast_kg: {kind: measured, sum_of: [mass_g]}", "`sum_of` has 1 item; it takes at least 2"),
        (f"extra.all_kg: {{kind: measured, sum_of: [{', '.join(f'extra.p{i}_kg' for i in range(21))}]}}", "it takes at most 20"),
        ("extra.all_kg: {kind: count, sum_of: [mass_g, extra.a_kg], count_of: extra.b}", "keep one of the two"),
        ("extra.ballast_kg: {kind: measured, usul: [1, 2]}", "did you mean `usual`?"),
    ],
)  # fmt: skip
def test_a_declaration_of_another_shape_is_told(declaration: str, why: str) -> None:
    problems = refusals(declaration)
    assert any(why in problem for problem in problems), problems


def test_a_limit_has_to_suit_what_is_declared() -> None:
    text = "extra.hull: {kind: text, choices: [open, closed]}"
    (size,) = refusals(text, rule="quantity: extra.hull, at_most: 4")
    assert "extra.hull is text, which has no size" in size
    (word,) = refusals(text, rule="quantity: extra.hull, one_of: [opne]")
    assert "extra.hull is never opne: it takes open or closed: did you mean open?" in word
    (row,) = refusals(text, rule="quantity: mass_g, by: extra.hull, rows: {opne: {at_least: 1}}, otherwise: free")
    assert "opne" in row


def test_a_setup_does_not_state_what_is_added_up() -> None:
    plain = "extra.a_mm: {kind: measured}"  # what comes first hides nothing
    club = a_ruleset("{id: it, quantity: extra.crew_kg, at_least: 80}", top=declared(plain, SUM))
    car = a_setup("extra: {crew_kg: 99, driver_kg: 70, ballast_kg: 4}")
    findings = find_in({"club.yaml": club, "car.yaml": car})
    assert problems_of(findings) == [
        "car.yaml:3:9: club adds it up from extra.driver_kg and extra.ballast_kg: leave extra.crew_kg out, and state these"
    ]
    assert findings.entries[0].verdict.value == "illegal"  # by the parts, whatever the setup says


def test_what_officials_add_up_themselves_is_told_to_be_read_in_its_parts() -> None:
    club = a_ruleset("{id: it, quantity: extra.crew_kg, at_least: 80}", top=declared(SUM))
    sheet = "format: inspection/1\nevent: round 1\non: 2026-03-14\nruleset: club@1\ncars:\n  - number: 1\n    class: stock\n"
    readings = "    readings: {extra: {crew_kg: 90, driver_kg: 70, ballast_kg: 4}}\n"
    findings = find_in({"club.yaml": club, "day.yaml": sheet + readings}, named=["day.yaml"])
    (problem,) = problems_of(findings)
    assert problem.startswith("day.yaml:8:24: club adds it up from extra.driver_kg and extra.ballast_kg")
    assert findings.entries[0].verdict.value == "illegal"


def test_every_measured_part_of_a_sum_has_to_be_taken_as_the_rule_asks() -> None:
    rule = "quantity: extra.crew_kg, at_least: 80, taken: {at: after-run}"
    after = "{value: 40, taken: {at: after-run}}"
    for other, verdict in (
        (after, "legal"),
        ("40", "not-shown"),
        ("{value: 40, taken: {at: before-run}}", "not-shown"),
    ):
        assert verdict_of(rule, f"extra: {{driver_kg: {after}, ballast_kg: {other}}}", top=declared(SUM)) == verdict


def test_the_next_version_reads_a_key_as_it_declares_it_itself() -> None:
    rule = "{id: it, quantity: extra.crew_kg, at_least: 80}"
    wider = SUM.replace("extra.ballast_kg]", "extra.ballast_kg, extra.helmet_kg]")
    old = a_ruleset(rule, top=declared(SUM))
    new = a_ruleset(rule, version="2", top=declared(wider, HELMET, more="in_force: {from: 2026-06-01}\n"))
    car = a_setup("extra: {driver_kg: 76, ballast_kg: 4, helmet_kg: -1}")
    findings = find_in({"old.yaml": old, "new.yaml": new, "car.yaml": car})
    (check,) = findings.entries[0].checks
    assert check.verdict.value == "legal"
    assert [later.verdict.value for later in check.later] == ["illegal"]


@pytest.mark.parametrize(
    ("keys", "example"),
    [
        ({"kind": "measured", "usual": [2, 6]}, 4.0),
        ({"kind": "count", "usual": [1, 4]}, 2),
        ({"kind": "text", "choices": ["red", "blue"]}, "red"),
        ({"kind": "text"}, ""),
    ],
)
def test_the_example_of_a_declared_quantity_is_the_middle_of_what_is_usual_or_its_first_choice(
    keys: dict[str, Any], example: object
) -> None:
    names = declared_in({"id": "club", "quantities": {"extra.wing": keys}}, {})
    stated = names["extra.wing"].quantity.example
    assert (stated, type(stated)) == (example, type(example))


@pytest.mark.parametrize("usual", [(80, 125), None])
def test_a_sum_is_usually_what_its_parts_are_where_all_of_them_say_so(usual: object) -> None:
    data = {
        "id": "club",
        "quantities": {
            "extra.driver_kg": {"kind": "measured", "usual": [60, 100]},
            "extra.ballast_g": {"kind": "measured", **({"usual": [20000, 25000]} if usual else {})},
            "extra.all_kg": {"kind": "measured", "sum_of": ["extra.driver_kg", "extra.ballast_g"]},
        },
    }
    assert declared_in(data, {})["extra.all_kg"].quantity.typical == usual


# --- many of them


def test_a_declaration_is_held_against_the_inherited_ones_without_reading_them_all() -> None:
    class Inherited(UserDict[str, QuantityName]):
        reads = 0

        def __getitem__(self, name: str) -> QuantityName:
            Inherited.reads += 1
            return super().__getitem__(name)

    def reads(count: int) -> int:
        sums = (f"extra.sum_{i}_kg: {{kind: measured, sum_of: [extra.a_kg, extra.b_kg]}}" for i in range(count))
        document, problems = parse("club.yaml", a_ruleset(top=declared(*sums)))
        assert document is not None
        assert not problems
        width = quantity("width_mm")
        assert width is not None
        inherited = Inherited({f"extra.q{i}": QuantityName(width) for i in range(100)})
        Inherited.reads = 0
        assert not [*declaration_problems(document, declared_in(document.data, {}), inherited)]
        return Inherited.reads

    assert reads(20) == reads(10) == 100
