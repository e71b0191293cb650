"""The limit that decided, as a report holds it: in the ruleset's own words, with the terms that can turn a verdict."""

from collections.abc import Mapping
from typing import Any, Final

from speclint.forms.bodies import LOOK_KEY, PER_KEY, TERM_KEYS, LimitTest, Table, look_shape, per_shape
from speclint.forms.registry import LIMIT_KEYS
from speclint.rules.checks import Check
from speclint.rulesets.model import Rule
from speclint.structure.shapes.limit import limit_keys
from speclint.structure.shapes.rule import terms_shapes


def stated_limit(check: Check) -> dict[str, Any]:
    """The limit that decided, or else the rule's only one, in the ruleset's own words."""
    stated = check.rule.data if check.test is None else {**_terms_of(check.rule), **check.test.keys}
    return _in_order(stated, _TOLD_KEYS)


def _terms_of(rule: Rule) -> dict[str, Any]:
    """How a table reads the values of all of its rows."""
    return rule.data if isinstance(rule.body, Table) else {}


_TEST_KEYS: Final = {key: place for place, key in enumerate(dict.fromkeys((*LIMIT_KEYS, *TERM_KEYS)))}
_TOLD_KEYS: Final = {key: place for place, key in enumerate((*_TEST_KEYS, LOOK_KEY, PER_KEY))}
TEST_SHAPE: Final = {**limit_keys(), **{key: shape for key, shape in terms_shapes().items() if key in TERM_KEYS}}
LIMIT_SHAPE: Final = {**TEST_SHAPE, LOOK_KEY: look_shape(), PER_KEY: per_shape()}


def stated_test(test: LimitTest) -> dict[str, Any]:
    """The limit of one of several tests, in the ruleset's own words."""
    return _in_order(test.keys, _TEST_KEYS)


def _in_order(stated: Mapping[str, Any], places: Mapping[str, int]) -> dict[str, Any]:
    """Of what is stated the keys that are told, in their order: a rule has few of the many that there are."""
    return {key: stated[key] for key in sorted(filter(places.__contains__, stated), key=places.__getitem__)}
