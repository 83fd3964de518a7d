"""A plugin of pytest for runs on mutants: property tests try the same examples every time, without a time limit."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, settings


@pytest.hookimpl(trylast=True)
def pytest_configure() -> None:
    """After the suite has chosen its own profile, and before it is collected."""
    settings.register_profile(
        "mutants", deadline=None, derandomize=True, database=None, suppress_health_check=list(HealthCheck)
    )
    settings.load_profile("mutants")
