"""What all tests share: how random cases are drawn. Any warning fails a test (pyproject.toml)."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

# The same cases on every run, so that a red test is red for everybody. The clock decides nothing.
settings.register_profile("steady", derandomize=True, deadline=None, max_examples=100)
settings.register_profile(
    "soak",
    deadline=None,
    max_examples=5000,
    print_blob=True,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("steady")
