"""Whether the database still has what keeps the journal append-only (made by the second migration)."""

from django.db.backends.base.base import BaseDatabaseWrapper

TABLE = "registry_journalentry"
EXPECTED = {
    "sqlite": (
        "journal_no_update",
        "journal_no_delete",
        "journal_in_order",
        "tag_periods_apart_insert",
        "tag_periods_apart_update",
    ),
    "postgresql": ("journal_no_change", "journal_no_truncate", "journal_in_order", "tag_periods_apart"),
}
PRESENT = {
    "sqlite": "SELECT name FROM sqlite_master WHERE type = 'trigger'",
    "postgresql": """
        SELECT tgname FROM pg_trigger WHERE NOT tgisinternal AND tgenabled <> 'D'
        UNION SELECT conname FROM pg_constraint WHERE contype = 'x'""",
}


def missing_guards(connection: BaseDatabaseWrapper) -> list[str]:
    """Return the names of guards that should be in the database and are not; nothing before the first migration."""
    with connection.cursor() as cursor:
        if TABLE not in connection.introspection.table_names(cursor):
            return []
        cursor.execute(PRESENT[connection.vendor])
        present = {row[0] for row in cursor.fetchall()}
    return [name for name in EXPECTED[connection.vendor] if name not in present]
