"""Names that lead nowhere, circles and limits that cannot be met: each is a problem at its place, with the way out."""

import pytest

from tests.check.world import a_ruleset, a_setup, find_in, problems_of

WEIGHT = "{id: weight, quantity: mass_g, at_least: 1350}"
TOP = """
instruments: {tech-scale: {accuracy: 1}}
lists: {motors: {items: [{id: M-17A}]}}
"""


def _problem(rule: str, *others: str, top: str = TOP) -> str:
    (problem,) = find_in({"club.yaml": a_ruleset(rule, *others, top=top)}).problems
    return problem.message


@pytest.mark.parametrize(
    ("rule", "said"),
    [
        ("{id: a, quantity: mas_g, at_least: 1}", "there is no quantity mas_g: did you mean mass_g?"),
        ("{id: a, quantity: zzz, at_least: 1}",
         "there is no quantity zzz: for anything else, name a key of the setup as extra.KEY"),
        ("{id: a, quantity: mass_g, at_least: 1, when: {motor_turn: 17.5}}",
         "there is no quantity motor_turn: did you mean motor_turns?"),
        ("{id: a, quantity: rotor_part, one_of: {list: motors, item: motorpart, under: rotors}}",
         "there is no quantity motorpart: did you mean motor_part?"),
        ("{id: a, quantity: motor_part, listed_in: motor}", "there is no list motor; did you mean motors? Known: motors"),
        ("{id: a, quantity: rotor_part, one_of: {list: rotors, item: motor_part, under: rotors}}",
         "there is no list rotors; did you mean motors? Known: motors"),
        ("{id: a, quantity: mass_g, at_least: 1, instrument: scale}",
         "there is no instrument scale; did you mean tech-scale? Known: tech-scale"),
        ("{id: a, quantity: mass_g, at_least: 1, replaces: weihgt}",
         "there is no rule weihgt; did you mean weight? Known: a, weight"),
        ("{id: a, quantity: mass_g, at_least: 1, replaces: a}", "a rule cannot replace itself"),
        ("{id: weigth, withdrawn: true}", "there is no inherited rule weigth to withdraw; none is known"),
        ("{id: weight, quantity: width_mm, at_most: 1}",
         "the class stock has a rule weight already, on line 12; give this one an id of its own, and `replaces` with a"
         " `from` date if it amends the first"),
        ("{id: a, quantity: mass_g, at_least: 1400, at_most: 1350}",
         "no value can meet this limit: it would have to be at least 1400 and at most 1350"),
        ("{id: a, quantity: mass_g, above: 1350, below: 1350}",
         "no value can meet this limit: it would have to be above 1350 and below 1350"),
        ("{id: a, quantity: mass_g, between: [1350.0625, 1350.0624]}",
         "no value can meet this limit: it would have to be at least 1350.0625 and at most 1350.0624"),
        ("{id: a, quantity: car_type, at_least: 1}",
         "car_type is text, which has no size: use one_of, none_of, equals or listed_in where this rule says at_least"),
        ("{id: a, quantity: car_type, equals: 4}",
         "car_type is text, which has no size: use one_of, none_of, equals or listed_in where this rule says equals"),
        ("{id: a, quantity: battery_hard_case, equals: none}",
         'battery_hard_case is true or false; "none" is not, so nothing can be equal to it'),
        ("{id: a, quantity: mass_g, one_of: [light, 1350]}",
         'mass_g is a measured number; "light" is not, so nothing can be equal to it'),
        ("{id: a, quantity: motor_turns, listed_in: motors}",
         "motor_turns is a number that is set or printed, and the items of a list are texts, so it is never one of them"),
        ("{id: a, quantity: mass_g, at_least: 1, from: 2026-06-01, until: 2026-05-31}",
         "this ends on 2026-05-31, before it begins on 2026-06-01"),
    ],
)  # fmt: skip
def test_a_rule_that_leads_nowhere_is_told_with_the_way_out(rule: str, said: str) -> None:
    assert _problem(WEIGHT, rule) == said


@pytest.mark.parametrize(
    "rule",
    [
        "{id: a, quantity: widht_mm, at_most: 190}",
        "{id: a, quantity: widht_mm, withdrawn: true}",
        "{id: a, quantity: widht_mm, inspect: the body}",
    ],
)
def test_a_quantity_that_does_not_exist_is_told_once_wherever_it_stands_and_hides_nothing(rule: str) -> None:
    beside = "{id: b, quantity: mass_g, at_least: 1, from: 2026-06-01, until: 2026-05-31}"
    messages = [problem.message for problem in find_in({"club.yaml": a_ruleset(rule, beside)}).problems]
    assert messages.count("there is no quantity widht_mm: did you mean width_mm?") == 1
    (line,) = (line for line in problems_of(find_in({"club.yaml": a_ruleset(rule)})) if "no quantity" in line)
    assert line.startswith("club.yaml:9:27: "), "it points at the name"
    assert "this ends on 2026-05-31, before it begins on 2026-06-01" in messages


def test_a_withdrawal_names_the_rules_that_are_inherited() -> None:
    files = {
        "league.yaml": a_ruleset(WEIGHT, id_="league"),
        "club.yaml": a_ruleset("{id: wieght, withdrawn: true}", top="based_on: league@1"),
    }
    assert problems_of(find_in(files)) == [
        "club.yaml:9:14: there is no inherited rule wieght to withdraw; did you mean weight? Known: weight"
    ]


def test_a_withdrawal_of_what_the_class_has_from_another_class_is_sound() -> None:
    club = a_ruleset(WEIGHT) + "  junior:\n    based_on: stock\n    rules: [{id: weight, withdrawn: true}]\n"
    assert find_in({"club.yaml": club}).problems == ()


def test_rules_that_replace_each_other_in_a_circle_are_told() -> None:
    first = "{id: a, quantity: mass_g, at_least: 1, replaces: b, from: 2026-02-01}"
    second = "{id: b, quantity: mass_g, at_least: 2, replaces: a, from: 2026-03-01}"
    assert [problem.message for problem in find_in({"club.yaml": a_ruleset(first, second)}).problems] == [
        "rules replace each other in a circle: a → b → a",
        "rules replace each other in a circle: b → a → b",
    ]


def test_inherited_rules_that_replace_each_other_are_told_where_they_stand_and_nothing_hangs() -> None:
    first = "{id: a, quantity: mass_g, at_least: 1, replaces: b, from: 2026-02-01}"
    second = "{id: b, quantity: mass_g, at_least: 2, replaces: a, from: 2026-03-01}"
    files = {
        "league.yaml": a_ruleset(first, second, id_="league"),
        "club.yaml": a_ruleset("{id: a, quantity: mass_g, at_least: 3}", top="based_on: league@1"),
    }
    assert {problem.place.file for problem in find_in(files).problems} == {"league.yaml"}


def test_a_misspelt_class_base_is_told_with_the_nearest() -> None:
    club = a_ruleset(WEIGHT) + "  junior:\n    based_on: stok\n"
    assert problems_of(find_in({"club.yaml": club})) == [
        "club.yaml:11:15: club@1 has no class stok; did you mean stock? Known: junior, stock"
    ]


def test_classes_based_on_each_other_in_a_circle_are_told() -> None:
    club = a_ruleset(WEIGHT) + "  a:\n    based_on: b\n  b:\n    based_on: a\n"
    assert [problem.message for problem in find_in({"club.yaml": club}).problems] == [
        "classes are based on each other in a circle: a → b → a",
        "classes are based on each other in a circle: b → a → b",
    ]


@pytest.mark.parametrize(
    ("bases", "said"),
    [
        ({"a": "a@1"}, "rulesets are based on each other in a circle: a@1 → a@1"),
        ({"a": "b@1", "b": "a@1"}, "rulesets are based on each other in a circle: a@1 → b@1 → a@1"),
        ({"a": "b@1", "b": "c@1", "c": "a@1"}, "rulesets are based on each other in a circle: a@1 → b@1 → c@1 → a@1"),
    ],
)
def test_rulesets_based_on_each_other_in_a_circle_are_told(bases: dict[str, str], said: str) -> None:
    files = {f"{name}.yaml": a_ruleset(WEIGHT, top=f"based_on: {base}", id_=name) for name, base in bases.items()}
    problems = find_in(files).problems
    assert problems[0].message == said
    assert {problem.id for problem in problems} == {"circular-basis"}
    assert len(problems) == len(bases)


def test_a_base_that_is_not_there_is_told_with_the_nearest() -> None:
    files = {"league.yaml": a_ruleset(WEIGHT, id_="league"), "club.yaml": a_ruleset(top="based_on: leage@1")}
    assert problems_of(find_in(files)) == [
        "club.yaml:4:11: club@1 is based on leage@1, which was not found; did you mean league@1? Known: club@1, league@1"
    ]


def test_two_rulesets_with_one_id_and_version_are_a_problem() -> None:
    files = {"a.yaml": a_ruleset(WEIGHT), "b.yaml": a_ruleset()}
    assert problems_of(find_in(files)) == [
        "b.yaml:2:5: club@1 stands in a.yaml too: give one of them a version of its own"
    ]


def test_an_unknown_class_of_an_entry_is_told_with_the_nearest() -> None:
    findings = find_in({"club.yaml": a_ruleset(WEIGHT), "car.yaml": a_setup(class_id="stoc")})
    assert problems_of(findings) == ["car.yaml:2:34: club@1 has no class stoc; did you mean stock? Known: stock"]
    assert [one.file for one in findings.not_judged] == ["car.yaml"]


def test_waivers_and_examples_that_name_no_rule_are_told() -> None:
    top = (
        'waivers: [{rule: wieght, when: {motor_serial: "1"}}, {rule: weight, class: stok, when: {motor_serial: "1"}}]\n'
        "examples: [{class: stock, on: 2026-03-14, setup: {}, expect: {wight: legal}}]\n"
    )
    assert [problem.message for problem in find_in({"club.yaml": a_ruleset(WEIGHT, top=top)}).problems] == [
        "there is no rule wieght to waive; did you mean weight? Known: weight",
        "club@1 has no class stok; did you mean stock? Known: stock",
        "the class stock has no rule wight; did you mean weight? Known: weight",
    ]


def test_a_name_that_leads_nowhere_hides_none_that_comes_after_it() -> None:
    example = "{{class: {}, on: 2026-03-14, setup: {{}}, expect: {{{}: legal}}}}"
    top = f"examples: [{example.format('stok', 'weight')}, {example.format('stock', 'wight')}]"
    assert [problem.message for problem in find_in({"club.yaml": a_ruleset(WEIGHT, top=top)}).problems] == [
        "club@1 has no class stok; did you mean stock? Known: stock",
        "the class stock has no rule wight; did you mean weight? Known: weight",
    ]


def test_a_reading_that_is_asked_for_amiss_is_told_at_the_key_that_asks() -> None:
    rules = (
        "{id: a, quantity: timing_mean_deg, at_most: 40, taken: {supply_v: 3.7, at: after-run}}",
        "{id: b, quantity: spur_teeth, at_most: 100, taken: {supply_v: 3.7}}",
    )
    problems = find_in({"club.yaml": a_ruleset(*rules)}).problems
    assert [(problem.place.pointer, problem.message.partition(",")[0]) for problem in problems] == [
        ("/classes/stock/rules/0/taken/at", "timing_mean_deg is read in a bench run"),
        ("/classes/stock/rules/1/taken", "`taken` goes with a reading"),
    ]


def test_an_example_that_comes_out_otherwise_is_a_problem_that_says_why() -> None:
    top = "examples: [{about: light, class: stock, on: 2026-03-14, setup: {car: {mass_g: 1351}}, expect: {weight: illegal}}]"
    assert problems_of(find_in({"club.yaml": a_ruleset(WEIGHT, top=top)})) == [
        'club.yaml:4:104: example "light": weight should be illegal, and is legal: mass is 1351 g; the rule asks at least'
        " 1350 g: 1 g to spare"
    ]


def test_an_example_may_state_a_motor() -> None:
    rule = "{id: turns, quantity: motor_turns, equals: 17.5}"
    top = "examples: [{class: stock, on: 2026-03-14, setup: {motor: {turns: 17.5}}, expect: {turns: legal}}]"
    assert problems_of(find_in({"club.yaml": a_ruleset(rule, top=top)})) == []


def test_an_example_may_name_an_instrument_that_its_ruleset_inherits() -> None:
    example = (
        "examples:\n  - {class: stock, on: 2026-03-14, setup: {car: {mass_g: {value: 1351, instrument: tech-scale}}},"
        " expect: {weight: not-shown}}"
    )
    files = {
        "league.yaml": a_ruleset(WEIGHT, top=f"{TOP}decision: must-show", id_="league"),
        "club.yaml": a_ruleset(top=f"based_on: league@1\n{example}", class_id="other"),
    }
    assert problems_of(find_in(files)) == []
    clear = example.replace("1351", "1352").replace("not-shown", "legal")
    assert (
        problems_of(find_in({**files, "club.yaml": a_ruleset(top=f"based_on: league@1\n{clear}", class_id="other")}))
        == []
    )


LEADS_NOWHERE = {
    "a rule that is replaced": "{{id: a{i}, replaces: none-{i}, quantity: mass_g, at_least: {i}}}",
    "a quantity": "{{id: a{i}, quantity: none_{i}, at_least: {i}}}",
    "a condition": "{{id: a{i}, quantity: mass_g, at_least: {i}, when: {{none_{i}: 1}}}}",
}


@pytest.mark.parametrize(("count", "more"), [(19, 0), (20, 0), (21, 1), (60, 1)])
@pytest.mark.parametrize("rule", LEADS_NOWHERE.values(), ids=LEADS_NOWHERE)
def test_of_many_names_that_lead_nowhere_twenty_are_told_and_that_there_are_more(
    rule: str, count: int, more: int
) -> None:
    rules = (rule.format(i=i) for i in range(1, count + 1))
    messages = [problem.message for problem in find_in({"club.yaml": a_ruleset(*rules)}).problems]
    assert len(messages) == min(count, 20) + more
    assert sum(message.startswith("and at least 1 more problem") for message in messages) == more


@pytest.mark.parametrize(("count", "more"), [(20, 0), (21, 1), (60, 1)])
def test_the_conditions_of_one_rule_are_told_in_the_same_way(count: int, more: int) -> None:
    when = ", ".join(f"none_{i}: 1" for i in range(count))
    rule = f"{{id: a, quantity: mass_g, at_least: 1, when: {{{when}}}}}"
    messages = [problem.message for problem in find_in({"club.yaml": a_ruleset(rule)}).problems]
    assert len(messages) == min(count, 20) + more
    assert sum(message.startswith("and at least 1 more problem") for message in messages) == more


@pytest.mark.parametrize(
    ("in_first", "in_second", "more"), [(20, 0, 0), (19, 1, 0), (20, 1, 1), (21, 0, 1), (10, 60, 1)]
)
def test_the_classes_of_a_ruleset_are_told_together(in_first: int, in_second: int, more: int) -> None:
    rule = "{{id: {}{}, replaces: none-{}, quantity: mass_g, at_least: 1}}"
    rules = [[rule.format(name, i, i) for i in range(count)] for name, count in (("a", in_first), ("b", in_second))]
    second = "".join(f"      - {text}\n" for text in rules[1])
    club = f"{a_ruleset(*rules[0])}  second:\n    rules:{'' if second else ' []'}\n{second}"
    messages = [problem.message for problem in find_in({"club.yaml": club}).problems]
    assert len(messages) == min(in_first + in_second, 20) + more
    assert sum(message.startswith("and at least 1 more problem") for message in messages) == more


@pytest.mark.parametrize(("count", "more"), [(19, 0), (20, 0), (21, 1), (60, 1)])
def test_waivers_of_rules_that_are_not_there_are_told_in_the_same_way(count: int, more: int) -> None:
    waivers = ", ".join(f"{{rule: none-{i}, class: stock, when: {{motor_serial: a}}}}" for i in range(count))
    top = f"waivers: [{waivers}]"
    messages = [problem.message for problem in find_in({"club.yaml": a_ruleset(WEIGHT, top=top)}).problems]
    assert len(messages) == min(count, 20) + more
    assert sum(message.startswith("and at least 1 more problem") for message in messages) == more
