"""A shop for each run of the tests that feed parsers: made once, and written over by each."""

import pytest
from ground import Ground, make_ground


@pytest.fixture(scope="session")
def ground(tmp_path_factory: pytest.TempPathFactory) -> Ground:
    return make_ground(tmp_path_factory.mktemp("fuzz") / "shop")
