"""System checks: what must be true of the machine and the database before anyone writes."""

from typing import Any

from django.core.checks import CheckMessage, Error, Tags, Warning, register
from django.db import connections
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.migrations.recorder import MigrationRecorder

from registry.journal.guard import missing_guards

FIXED_IN = ((3, 44, 6), (3, 50, 7), (3, 51, 3))


def has_wal_reset_fault(version: tuple[int, ...]) -> bool:
    """Return whether this SQLite can corrupt a WAL database (3.7.0 to 3.51.2, fixed in 3.44.6, 3.50.7 and 3.51.3)."""
    if version >= FIXED_IN[2] or version < (3, 7, 0):
        return False
    return not any(version[:2] == fixed[:2] and version >= fixed for fixed in FIXED_IN)


def _guards_were_made(connection: BaseDatabaseWrapper) -> bool:
    # Before that migration nothing is missing: `migrate` runs this check first and must not be stopped by it.
    return ("registry", "0002_journal_and_tag_guards") in MigrationRecorder(connection).applied_migrations()


@register(Tags.database)
def journal_guards(databases: list[str] | None = None, **_: Any) -> list[CheckMessage]:
    """Refuse to run when a trigger that keeps the journal append-only is missing."""
    found: list[CheckMessage] = []
    for alias in databases or []:
        connection = connections[alias]
        found += [
            Error(
                f"The journal's guard '{name}' is missing from the database.",
                hint="Run `manage.py migrate --skip-checks registry 0001` and `manage.py migrate` to put the guards "
                "back, then `manage.py verify_journal` to see whether anything was altered.",
                id="registry.E001",
            )
            for name in (missing_guards(connection) if _guards_were_made(connection) else [])
        ]
        if connection.vendor == "sqlite":
            version = connection.Database.sqlite_version_info
            if has_wal_reset_fault(version):
                found.append(
                    Warning(
                        f"SQLite {connection.Database.sqlite_version} can, very rarely, corrupt a register in use.",
                        hint="Install the pysqlite3 package, or SQLite 3.51.3 or later.",
                        id="registry.W001",
                    )
                )
    return found
