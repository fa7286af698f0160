"""What all tests share: how long properties may search, and the path to the fixture modules."""

from hypothesis import HealthCheck, settings

settings.register_profile(
    "baycompanion",
    deadline=None,
    max_examples=60,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)
settings.load_profile("baycompanion")
