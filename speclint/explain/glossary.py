"""The words that reports use and that are no quantity, verdict, problem or advice: what each means, and where it stands."""

from dataclasses import dataclass
from typing import Final

_JCGM_100: Final = "JCGM 100:2008, Guide to the expression of uncertainty in measurement"
_JCGM_106: Final = "JCGM 106:2012, The role of measurement uncertainty in conformity assessment"
_PRACTICE: Final = "common practice"
_FORMATS: Final = "speclint's own formats"


@dataclass(frozen=True, slots=True)
class Term:
    """One word of a report.

    Attributes:
        name: the word.
        also: what else it is called, and its other forms.
        meaning: what it means, a paragraph each.
        in_a_file: how it is written in a file, line by line; nothing where it is in none.
        see: names that `explain` has a page of as well.
        source: who says so.
    """

    name: str
    also: tuple[str, ...]
    meaning: tuple[str, ...]
    in_a_file: tuple[str, ...] = ()
    see: tuple[str, ...] = ()
    source: str = _FORMATS


TERMS: Final = (
    Term("setup", ("setups", "car file"), ("One car as it will be raced, with its records: `format: setup/1`.",),
         ("format: setup/1", "name: Car 12"), ("entry", "motor", "garage")),
    Term("motor", ("motors", "motor file"), ("One motor with its bench runs and rebuilds: `format: motor/1`. It has a file of"
         " its own because it moves between cars; a setup names it, or holds its keys.",),
         ("motor: ../motors/00417.yaml",), ("bench run", "rebuild")),
    Term("garage", ("garages",), ("What a team shares between its setups: instruments, parts box, tracks and pins:"
         " `format: garage/1`.",), ("garage: ../garage.yaml",), ("instrument", "parts box", "track", "pin")),
    Term("ruleset", ("rulesets", "class rules", "rulebook"), ("One publisher's class rules, by id and version:"
         " `format: ruleset/1`. `--ruleset` takes an id, `id@version` or a file.",), (), ("class", "rule", "digest")),
    Term("class", ("classes", "classes of a ruleset"), ("What cars race together, with the rules that bind them.",),
         (), ("ruleset", "entry")),
    Term("entry", ("entries", "entered"), ("A setup entered in one class of one ruleset for one day. Each entry has a verdict"
         " of its own.",), ("entries:", "  - {ruleset: harbour-city, class: stock-17, on: 2026-03-14}"), ("verdict",)),
    Term("field", ("the field",), ("All the cars of one check, each with its verdict.",), (), ("entry", "tally")),
    Term("tally", ("summary",), ("The last line of a report: how many entries came out how, close calls and things to inspect"
         " among them.",), (), ("verdict", "close call")),
    Term("rule", ("rules",), ("One limit on one quantity, with a clause to cite and a reason.",), (), ("limit", "clause", "penalty")),
    Term("limit", ("limits", "the rule asks", "asks"), ("What a rule asks of a quantity: at least, at most, between, nominal with a"
         " tolerance, one of a few, on a list.",), (), ("margin", "tolerance")),
    Term("clause", ("cite",), ("The place in the club's own text that a rule comes from, to be looked up there.",),
         ('cite: "4.3"',), ("rule",)),
    Term("penalty", ("penalties", "else", "then"), ("What the rulebook says happens to an illegal car. It is told beside the rule, and"
         " changes no verdict.",), ("penalty: The run's times are deleted.",), ("illegal",)),
    Term("why", ("because", "reason"), ("The reason that the rulebook gives for a rule.",),
         ("because: Nobody should have to buy lightness.",), ("rule",)),
    Term("how", ("working",), ("How a computed value came about: the formula, with this car's numbers put in.",), (), ("reading",)),
    Term("where", ("place", "line", "pointer"), ("The file and the line of what a person would edit, and the key there.",), (), ()),
    Term("assumed", ("assumption", "assumptions", "notes", "how it was compared", "how they were compared"), ("What was taken for what nobody stated, so that a number is no surer than"
         " it looks. State the key that is named, and it is assumed no longer.",), (), ("scatter", "band")),
    Term("what it means", ("meaning", "meanings", "look into this", "what differs", "which one", "what keeps them from being compared"),
         ("What the trade makes of a change between bench runs, or of motors side by side.",), (), ("scatter",), _PRACTICE),
    Term("measure", ("measured", "how it is measured"), ("How the officials measure what a rule limits, in the ruleset's words.",),
         ("measure: Ready to race, with transponder.",), ("instrument",)),
    Term("verdict", ("verdicts",), ("What comes out for a rule or an entry: legal, illegal, not shown, to inspect or not"
         " applicable. An entry is illegal if any rule is, else not shown if any is, else legal.",), (),
         ("legal", "illegal", "not-shown", "to-inspect", "not-applicable")),
    Term("close call", ("close", "close calls"), ("The limit lies inside the ± of the reading, so that the inspector's"
         " instrument may say otherwise. Move away from the limit, or weigh it on theirs.",), (), ("±", "margin"), _JCGM_106),
    Term("margin", ("to spare", "short", "over", "nearest"), ("How far a value is from the limit, in the rule's own unit: to spare"
         " where it keeps to it, short or over where it does not.",), (), ("limit", "close call"), _PRACTICE),
    Term("±", ("+/-", "uncertainty", "u", "expanded uncertainty"), (
         "How far a reading may be off, from the instrument it was taken with: 19 of 20 times the true value is no further away."
         " It is two standard uncertainties (k = 2), and more after few repeated readings.",
         "In `compare` it is what the scatter of the bench makes by itself, wider where many quantities are looked at together.",
         ), ("mass_g: {value: 1352, instrument: pit-scale}",), ("instrument", "scatter", "close call"), _JCGM_100),
    Term("chance", ("probability", "probability legal"), ("How likely the true value keeps to the limit, given the reading and"
         " its ±.",), (), ("±",), _JCGM_106),
    Term("scatter", ("repeatability", "repeats", "beyond the bench's scatter?"), (
         "How far readings of one motor differ that is clamped and contacted anew, with nothing done to it between. Clamp it ten"
         " times, and take the standard deviation: that is the instrument's `repeatability`, or `repeatability_percent`.",
         "Where none is stated, `compare` assumes what is usual and says so: speed 0.3 %, no-load current 2 %, winding 0.2 %,"
         " timing 0.3°.",
         ), ("instruments:", "  motor-bench: {repeatability_percent: 0.3}"), ("±", "instrument"), "estimate; measure your own"),
    Term("reading", ("readings", "as read", "the car has", "value", "values"), ("A measured value, with its instrument. `readings: [...]` is one thing read often:"
         " the mean counts.",), ("width_mm: {readings: [189.5, 189.6, 189.5], instrument: calliper}",), ("±", "instrument")),
    Term("instrument", ("instruments", "scale", "meter"), ("What a value was read from, described once by name: how far it can be"
         " off (accuracy), the smallest step it shows (resolution), what it is known to show too much (offset). One that reads"
         " several units describes each under `per_unit`.",),
         ("instruments:", "  pit-scale: {accuracy_percent: 0.1, resolution: 1, unit: g}"), ("±", "scatter")),
    Term("accuracy", (), ("How far an instrument can be off, as its sheet or its calibration says: a half-width.",), (),
         ("instrument", "±"), _JCGM_100),
    Term("resolution", ("step",), ("The smallest step that an instrument shows.",), (), ("instrument",), _JCGM_100),
    Term("tolerance", ("nominal",), ("How far a value may be from the nominal one, to both sides or by `plus` and `minus`.",),
         ("nominal: 36.6", "tolerance: {percent: 4}"), ("limit",)),
    Term("decision", ("decision rule", "decided"), ("Who gets the benefit where a reading is near its limit: as-read takes it as"
         " it is, must-show asks the car to show it, benefit-of-doubt asks the inspector to.",), ("decision: must-show",),
         ("as-read", "must-show", "benefit-of-doubt"), _JCGM_106),
    Term("read to", ("read_to", "rounded"), ("The step that the rulebook reads a value to before it compares it.",),
         ("read_to: 0.01",), ("limit",)),
    Term("remedy", ("remedies", "fix", "fix one of", "to mend it", "mend", "or", "change"), ("A smallest change after which the next check is legal and no"
         " close call. `--apply 1` puts the first one into the files; what is done on the car is told, and measured afterwards.",),
         (), ("close call", "bare least")),
    Term("bare least", ("least", "at least legal"), ("The smallest change that just meets the limit; the next reading may say"
         " otherwise.",), (), ("remedy", "close call")),
    Term("advice", ("advises", "advised"), ("What the trade would say that no rule does. It changes no verdict; advice"
         " on a ruleset is status 1 under `--strict`.",), (), (), _PRACTICE),
    Term("notice", ("notices", "later", "coming", "changes"), ("What will change the verdict of a legal entry later: an"
         " amendment, the end of a rule, the next version of the ruleset.",), (), ("amendment",)),
    Term("what comes", ("what changes", "coming changes"), ("What `check --coming DAYS` lists of the days after the first, for each car as it"
         " is now: rules, list items and waivers that begin or end, readings and calibrations that go stale; and the entries of"
         " all these days. The verdict is what the rule turns to, of an entry its own.",), (), ("notice", "amendment")),
    Term("amendment", ("amended", "replaces"), ("A rule that takes the place of another from a day on, as a club decides it in"
         " mid-season.",), ("replaces: final-drive", "from: 2026-06-01"), ("notice",)),
    Term("problem", ("problems",), ("Something wrong with a file itself; `speclint explain` has each by its id. The verdicts on"
         " files that do not rest on it stand.",), (), ()),
    Term("waiver", ("waivers", "waived", "by leave of"), ("Leave for one car or motor not to meet a rule for a while. The check"
         " is not applicable, and says by whose leave; it is never legal.",),
         ("waivers:", "  - {rule: weight, class: stock-17, until: 2026-04-30, granted: minutes of 3 March}"), ("not-applicable",)),
    Term("stale", ("ended", "no longer counts"), ("A reading from before a rebuild that can change it: it no longer counts, and is"
         " to be taken again.",), (), ("rebuild", "not-shown")),
    Term("not stated", ("missing", "add", "add under car", "what", "what cannot be told"), ("A key that a rule rests on is not there, or has no value. A missing"
         " value never passes: the rule is not shown.",), ("mass_g:",), ("not-shown",)),
    Term("not judged", ("unjudged",), ("A car on which no verdict was given, and the reason.",), (), ("entry", "problem")),
    Term("inspection", ("inspections", "inspected", "event", "inspected by"), (
         "What officials measured and looked at on a race day, car by car: `format: inspection/1`. It is judged only where its"
         " own path is named, so that yesterday's illegal car stops nobody's work today.",
         "What they read goes before what the setup declares, which stands beside it: verdict and exit status follow the"
         " official readings.",
         ), ("format: inspection/1", "cars:", "  - {number: 12, class: stock-17, readings: {car: {mass_g: 1351}}}"),
         ("declared", "officials", "ruling", "looked at")),
    Term("officials", ("official", "official reading", "official instrument", "read on", "read"), ("Who inspects the cars for the"
         " club. Their readings are taken with the club's instruments, which the ruleset describes, or the inspection itself.",),
         ("officials: [chief inspector]",), ("inspection", "instrument")),
    Term("declared", ("declaration", "declared otherwise"), ("What the racer's setup states, beside what officials read.",), (),
         ("inspection", "differs")),
    Term("differs", ("difference", "disagrees", "disagree"), ("Officials read something else than the setup declares: of what"
         " is counted or named anything else, of what is measured more than both readings can be off together.",), (), ("±", "declared"),
         "ISO 13528:2022, 9.7 (E_n scores)"),
    Term("looked at", ("looked_at", "seen"), ("What officials judged by eye, by the id of the rule: passed or failed. A rule on a"
         " number takes a reading.",), ("looked_at: {body: passed}",), ("to-inspect", "inspection")),
    Term("ruling", ("rulings", "passed", "failed"), ("What the officials decided about a car. Where the readings say otherwise, the"
         " report tells both.",), ("ruling: passed",), ("inspection", "verdict")),
    Term("bench run", ("bench runs", "run of the bench", "before", "after"), ("One measurement of the motor alone, on the bench.",),
         ("bench_runs:", "  - {date: 2026-03-10, supply_v: 3.7, current_a: 3.9, kv_rpm_per_v: 2450}"), ("rebuild", "scatter")),
    Term("track run", ("track runs", "run", "runs"), ("One run of the car on a track, with the can's temperature after it: what"
         " gearing learns from.",),
         ("track_runs:", "  - {date: 2026-03-14, spur_teeth: 96, pinion_teeth: 42, minutes: 5, ambient_c: 19, can_c: 61}"), ()),
    Term("rebuild", ("rebuilds",), ("One time that the motor was opened, or a part of it changed. It ends the readings that it"
         " can change.",), ("rebuilds:", "  - {date: 2026-03-11, did: [rotor-swap, clean]}"), ("stale", "rotor-swap")),
    Term("factory sheet", ("sheet", "the sheet"), ("What came with the motor: its winding, its serial number, the ratios that the"
         " maker suggests. A reading like any other, older than all.",), (), ("motor",)),
    Term("pin", ("pins", "pinned"), ("Version and digest of a ruleset in the garage, so that it cannot change unseen.",),
         ("pins:", '  harbour-city: {version: "2026.2", digest: "sha256:..."}'), ("digest", "garage")),
    Term("digest", ("sha256", "ruleset digest"), ("A number made of all that can turn a verdict in a ruleset: two files with one"
         " digest judge alike.",), (), ("pin",), "SHA-256 over RFC 8785 canonical JSON"),
    Term("parts box", ("parts_box", "box"), ("The pinions, spurs, rotors and shims at hand: what a remedy or a gearing can be made"
         " of.",), ("parts_box: {pinions_teeth: [40, 41, 42], spurs_teeth: [93, 96]}",), ("remedy",)),
    Term("track", ("tracks", "infield", "grip", "straight"), ("A track as the garage describes it: length of a lap and of the"
         " straight, mean speed off the straight (infield), grip, temperature.",),
         ("tracks:", "  harbour-hall: {lap_m: 162, straight_m: 24, infield_speed_kmh: 19, grip: 1.6, ambient_c: 19}"), ()),
    Term("list", ("lists", "approved list", "listed"), ("Parts that a ruleset approves, each with the days that it counts.",), (),
         ("rule",)),
    Term("start", ("safe start", "start here", "first gearing"), ("The pair to begin with: legal, with a tooth to spare where there is"
         " one, and the tallest with which 4 of 5 cars like this stay below the limit, or about the coolest where there is"
         " none. The look makes it safe.",), (), ("the look", "band", "gearing-model")),
    Term("the look", ("look", "stop and look"), ("Stop after so many minutes and read the can: below the temperature told go on,"
         " above it go back.",), (), ("start", "can"), _PRACTICE),
    Term("band", ("likely", "from", "to", "range"), ("Between which temperatures 9 of 10 cars would end, and the likeliest. From"
         " assumed ranges until track runs of this car narrow it.",), (), ("start",), "estimate"),
    Term("can", ("can temperature", "the can"), ("The motor's housing, where a thermometer reaches; the winding and the magnet inside"
         " are hotter. It burns from about 60 °C on.",), (), ("track run",), _PRACTICE),
    Term("gearing-model", ("gearing model", "how sure", "prediction", "predicted"), ("The motor's formulas, a lap of one"
         " straight and corners with links between them, and two stores of heat, for many cars at once, each with other"
         " constants where nobody has measured: the band is where 9 of 10 of them end. Track runs narrow the constants to"
         " this car's.", "It was held against simulated cars of an independent model: 87 to 93 of 100 cans ended inside the"
         " band, and with the look 1 or 2 starts in 100 took a can or a winding over its limit. Both sides are from assumed ranges, not from"
         " measured cars: until runs of your own are on record, the thermometer counts and not the number here."), (),
         ("band", "start", "the look", "track run"), "speclint's own model; DEVELOPERS.md has the comparison"),
    Term("next step", ("next steps", "step up"), ("The pinions to go to after the look, in their order.",), (), ("start",)),
    Term("equivalent gearing", ("equivalent", "keeps the top speed", "would match exactly"), ("The final drive ratio at which a"
         " motor of another speed per volt gives the car the same top speed: old ratio × new speed ÷ old speed.",), (),
         ("kv_rpm_per_v", "final_drive_ratio"), _PRACTICE),
    Term("trend", ("trends", "over time", "rising", "falling", "drift", "drifts towards a limit"), ("A line through a motor's bench"
         " runs; it is shown where the slope is larger than the scatter.",), (), ("scatter",), _JCGM_100),
    Term("torque per ampere", ("torque_mnm_per_a", "torque constant", "km"), ("How hard a motor pulls for each ampere. It follows"
         " from the speed per volt: both multiplied are 60/2π.",), (), ("kv_rpm_per_v",), "the direct-current motor model"),
    Term("care", ("caution", "cautions", "take care"), ("What can hurt: the maker's manual comes first.",), (), (), _PRACTICE),
)  # fmt: skip
"""Every word, in the order in which they are listed."""
