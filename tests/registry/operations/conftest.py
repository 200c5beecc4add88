"""Every operation is proved on the small river."""

from types import SimpleNamespace

import pytest

from tests.support.river import small_river


@pytest.fixture
def river(db: None) -> SimpleNamespace:
    """Return the small river: F1 F2 ♀, M1 M2 ♂, family 10-1 of F1 × M1, batch B1 of 1,000 young."""
    return small_river()
