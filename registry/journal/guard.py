"""Whether the database still has what keeps the journal append-only (made by the second migration)."""

from django.db.backends.base.base import BaseDatabaseWrapper

TABLE = "registry_journalentry"
NO_REGISTER = "This data folder holds no register yet. Run `manage.py demo` or `manage.py prepare` first."
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


def has_register(connection: BaseDatabaseWrapper) -> bool:
    """Return whether the database holds a register at all: its journal's table is there."""
    with connection.cursor() as cursor:
        return TABLE in connection.introspection.table_names(cursor)


def missing_guards(connection: BaseDatabaseWrapper) -> list[str]:
    """Return the names of guards that should be in the database and are not; nothing before the first migration."""
    if not has_register(connection):
        return []
    with connection.cursor() as cursor:
        cursor.execute(PRESENT[connection.vendor])
        present = {row[0] for row in cursor.fetchall()}
    return [name for name in EXPECTED[connection.vendor] if name not in present]
