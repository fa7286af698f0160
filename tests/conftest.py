"""What all tests share: how long properties may search, and where the tests keep their files.

The gate for landing must say the same of the same code, so properties search from a fixed seed
there, and shortly. `--hypothesis-profile=wide` searches elsewhere each time, and 40 times as long.
"""

import gc
import os
import shutil
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, settings

_SLOW_IS_FINE = [HealthCheck.too_slow, HealthCheck.function_scoped_fixture]

settings.register_profile(
    "baycompanion",
    deadline=None,
    max_examples=25,
    derandomize=True,
    suppress_health_check=_SLOW_IS_FINE,
)
settings.register_profile(
    "wide",
    deadline=None,
    max_examples=1000,
    suppress_health_check=_SLOW_IS_FINE,
    # A job of a hundred events is shrunk for minutes and is as easily read unshrunk.
    phases=[phase for phase in Phase if phase is not Phase.shrink],
)
settings.load_profile("baycompanion")

# Widgets and events are many and soon gone: looking for cycles less often saves a fifth of a run.
gc.set_threshold(100_000, 20, 100)

# Every event is flushed, and a disk makes a test wait for it for longer than the test works. In
# memory the same calls are made and return at once; what a flush does to a disk, no test can see.
_MEMORY, _ENOUGH = Path("/dev/shm"), 2 * 2**30
if _MEMORY.is_dir() and os.access(_MEMORY, os.W_OK) and shutil.disk_usage(_MEMORY).free > _ENOUGH:
    os.environ.setdefault("PYTEST_DEBUG_TEMPROOT", str(_MEMORY))


@pytest.fixture(autouse=True, scope="session")
def own_data(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Keep what a user's own data would be, here and in every process begun, among the tests'."""
    os.environ["XDG_STATE_HOME"] = str(tmp_path_factory.mktemp("state"))
