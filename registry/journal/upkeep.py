"""What a database wants after much was written: fresh statistics, so that lists keep using their indexes."""

from django.db import connection

from registry.journal.states import record_models

GROWN = 4  # times as many rows as when the statistics were made


def refresh_statistics() -> None:
    """Let the database look at its tables anew; called after a demo or a long sheet, outside any transaction."""
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")


def refresh_stale_statistics() -> bool:
    """Let SQLite look at its tables anew where it knows nothing of one, or one has grown; return whether it did.

    A migration that rebuilds a table throws its statistics away, and without any SQLite reads a whole table to find ten
    fish of it. PostgreSQL keeps its own up to date.
    """
    if connection.vendor != "sqlite":
        return False
    stale = _stale()
    if stale:
        refresh_statistics()
    return stale


def _stale() -> bool:
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1 FROM sqlite_master WHERE name = 'sqlite_stat1'")
        counted: dict[str, int] = {}
        if cursor.fetchone():
            cursor.execute("SELECT tbl, MAX(CAST(stat AS integer)) FROM sqlite_stat1 GROUP BY tbl")
            counted = dict(cursor.fetchall())
        for model in record_models().values():
            table = model._meta.db_table
            # Rows are never deleted, so the greatest key tells how many there are.
            cursor.execute(f'SELECT COALESCE(MAX(rowid), 0) FROM "{table}"')  # noqa: S608  (names of ours)
            (rows,) = cursor.fetchone()
            if rows > GROWN * counted.get(table, 0):
                return True
    return False
