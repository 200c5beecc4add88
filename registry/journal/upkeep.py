"""What a database wants after much was written: fresh statistics, so that lists keep using their indexes."""

from django.db import connection
from django.db.backends.utils import CursorWrapper

from registry.journal.states import record_models
from registry.models import JournalEntry

GROWN = 4  # times as many rows as when the statistics were made
COUNTED = {
    "sqlite": "SELECT tbl, MAX(CAST(stat AS integer)) FROM sqlite_stat1 GROUP BY tbl",
    "postgresql": "SELECT relname, reltuples FROM pg_class WHERE relkind = 'r' AND reltuples >= 0",
}


def refresh_statistics() -> None:
    """Let the database look at its tables anew; called after a demo or a long sheet, outside any transaction."""
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")


def refresh_stale_statistics() -> bool:
    """Let the database look anew at each table of which it knows nothing, or that has grown; return whether one was.

    SQLite never looks by itself, and a migration that rebuilds a table throws away what was known of it. PostgreSQL
    looks by itself, but from outside: rows of a transaction still going on do not count for it, and a long one may be
    left with statistics that tell of empty tables. Not knowing better, either reads a whole table to find ten fish.
    """
    stale = _stale()
    with connection.cursor() as cursor:
        for table in stale:
            cursor.execute(f'ANALYZE "{table}"')
    return bool(stale)


def _stale() -> list[str]:
    stale = []
    with connection.cursor() as cursor:
        counted = _counted(cursor)
        for model in (JournalEntry, *record_models().values()):
            table, key = model._meta.db_table, model._meta.pk.column
            # Rows are never deleted, so the span of their keys tells how many there are.
            cursor.execute(f'SELECT COALESCE(MAX("{key}") - MIN("{key}") + 1, 0) FROM "{table}"')  # noqa: S608  (ours)
            (rows,) = cursor.fetchone()
            if rows > GROWN * counted.get(table, 0):
                stale.append(table)
    return stale


def _counted(cursor: CursorWrapper) -> dict[str, int]:
    """Return how many rows each table had when it was last looked at; those never looked at are left out."""
    if connection.vendor == "sqlite":
        cursor.execute("SELECT 1 FROM sqlite_master WHERE name = 'sqlite_stat1'")
        if not cursor.fetchone():
            return {}
    cursor.execute(COUNTED[connection.vendor])
    return dict(cursor.fetchall())
