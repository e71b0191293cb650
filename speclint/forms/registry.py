"""The one list of forms, and how a rule's keys find theirs in it."""

from collections.abc import Mapping
from typing import Any, Final

from speclint.forms.between import BETWEEN
from speclint.forms.bodies import LOOK_KEY, OPTIONS_KEY, TABLE_KEYS
from speclint.forms.bounds import BOUNDS
from speclint.forms.equals import EQUALS
from speclint.forms.limit import Form
from speclint.forms.listed_in import LISTED_IN
from speclint.forms.nominal import NOMINAL
from speclint.forms.none_of import NONE_OF
from speclint.forms.one_of import ONE_OF
from speclint.forms.stated import STATED

FORMS: Final[tuple[Form, ...]] = (
    BOUNDS, BETWEEN, NOMINAL, EQUALS, ONE_OF, NONE_OF, STATED, LISTED_IN,
)  # fmt: skip
"""Every form of limit, in the order in which they are told; one of them may stand in a rule."""

LIMIT_KEYS: Final = tuple(key for form in FORMS for key in (*form.keys, *form.beside))
"""Every key that says a limit."""

ASKING_KEYS: Final = (*LIMIT_KEYS, OPTIONS_KEY, *TABLE_KEYS, LOOK_KEY)
"""Every key that says what a rule asks."""


def form_of(keys: Mapping[str, Any]) -> Form | None:
    """The form that a rule's keys are in; None where there is no limit among them."""
    return next((_FORM_BY_KEY[key] for key in keys if key in _FORM_BY_KEY), None)


_FORM_BY_KEY: Final = {key: form for form in FORMS for key in form.keys}
