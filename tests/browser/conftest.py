from collections.abc import Iterator

import pytest

from tests.browser.chromium import Chromium, browsing, found
from tests.browser.views import OBLIGATORY


@pytest.fixture(scope="session")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Chromium]:
    """One browser for all pages; without one its tests stand aside, unless it is obligatory."""
    if found() is None and not OBLIGATORY:
        pytest.skip("no Chromium here, and none is obligatory")
    with browsing(tmp_path_factory.mktemp("profile")) as opened:
        yield opened
