"""Statistics that a database has lost are made anew, and only then."""

import pytest
from django.core.management import call_command
from django.db import connection

from registry.journal.upkeep import refresh_stale_statistics, refresh_statistics
from tests.support.river import small_river

pytestmark = pytest.mark.django_db


def known_tables() -> set[str]:
    with connection.cursor() as cursor:
        cursor.execute("SELECT DISTINCT tbl FROM sqlite_stat1")
        return {table for (table,) in cursor.fetchall()}


def test_a_table_once_found_empty_is_looked_at_again_as_it_fills() -> None:
    refresh_statistics()
    small_river()
    assert refresh_stale_statistics()
    assert not refresh_stale_statistics()


@pytest.mark.skipif(connection.vendor != "sqlite", reason="PostgreSQL keeps what it knows when it alters a table")
def test_a_table_whose_statistics_a_migration_threw_away_is_looked_at_again() -> None:
    small_river()
    assert refresh_stale_statistics()
    with connection.cursor() as cursor:
        cursor.execute("DELETE FROM sqlite_stat1 WHERE tbl = 'registry_fishdetails'")
    call_command("prepare", verbosity=0)
    assert "registry_fishdetails" in known_tables()
