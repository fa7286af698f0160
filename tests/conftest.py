"""What all tests share: how long properties may search, and the path to the fixture modules.

The gate for landing must say the same of the same code, so properties search from a fixed seed
there. `--hypothesis-profile=wide` searches elsewhere each time, and longer.
"""

import gc

from hypothesis import HealthCheck, Phase, settings

_SLOW_IS_FINE = [HealthCheck.too_slow, HealthCheck.function_scoped_fixture]

settings.register_profile(
    "baycompanion",
    deadline=None,
    max_examples=60,
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
