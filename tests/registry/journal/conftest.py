"""A short journal: three entries, so that there is a first, a middle and a last one."""

import pytest

from registry.models import JournalEntry
from tests.support.world import entry


@pytest.fixture
def chain(db: None) -> list[JournalEntry]:
    """Return three entries in the order in which they were written."""
    for what in ("looked", "looked again", "looked once more"):
        entry(what)
    return list(JournalEntry.objects.order_by("seq"))
