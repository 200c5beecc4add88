"""What a test needs from the machine: missing, the test is skipped with the reason; in CI it fails."""

import os
import shutil

import pytest


def needed(*names: str) -> str:
    """Return the path of the first of these programs that is installed."""
    for name in names:
        if path := shutil.which(name):
            return path
    reason = f"{' or '.join(names)} is not installed"
    if os.environ.get("CI"):
        pytest.fail(f"{reason}; in CI nothing may be left out.")
    pytest.skip(f"{reason}; install it to run this test.")


@pytest.fixture(scope="session")
def chromium() -> str:
    """Return the path of the machine's own Chromium."""
    return needed("chromium", "chromium-browser")
