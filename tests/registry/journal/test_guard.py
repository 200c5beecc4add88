"""A missing guard is noticed before anyone writes."""

import re

import pytest
from django.core.management import call_command
from django.core.management.base import SystemCheckError
from django.db import connection

from registry.checks import has_wal_reset_fault, journal_guards
from registry.journal.guard import EXPECTED, TABLE, missing_guards

GUARDS = EXPECTED[connection.vendor]


def take_away(guard: str) -> None:
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute(f"DROP TRIGGER {guard}")
        elif guard == "tag_periods_apart":
            cursor.execute(f"ALTER TABLE registry_tag DROP CONSTRAINT {guard}")
        else:
            cursor.execute(f"DROP TRIGGER {guard} ON {TABLE}")


@pytest.mark.django_db
def test_all_guards_stand_after_all_migrations() -> None:
    assert missing_guards(connection) == []
    assert [message.id for message in journal_guards(["default"])] in ([], ["registry.W001"])


@pytest.mark.django_db
@pytest.mark.parametrize("guard", GUARDS)
def test_a_missing_guard_is_reported_by_name_with_the_way_out(guard: str) -> None:
    take_away(guard)
    report = next(message for message in journal_guards(["default"]) if message.id == "registry.E001")
    assert report.msg == f"The journal's guard '{guard}' is missing from the database."
    assert "manage.py verify_journal" in (report.hint or "")


@pytest.mark.django_db
@pytest.mark.parametrize("guard", GUARDS)
def test_the_site_does_not_start_without_a_guard(guard: str) -> None:
    take_away(guard)
    with pytest.raises(SystemCheckError, match=re.escape(f"guard '{guard}' is missing")):
        call_command("check", databases=["default"])


@pytest.mark.django_db
@pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite's triggers cannot be switched off, only dropped")
def test_a_guard_that_was_switched_off_is_a_missing_one() -> None:
    with connection.cursor() as cursor:
        cursor.execute(f"ALTER TABLE {TABLE} DISABLE TRIGGER USER")
    assert missing_guards(connection) == [name for name in GUARDS if name.startswith("journal")]


@pytest.mark.django_db
def test_nothing_is_missing_where_no_table_was_made_yet(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(connection.introspection, "table_names", lambda cursor: ["auth_user"])
    assert missing_guards(connection) == []


@pytest.mark.parametrize(
    ("version", "faulty"),
    [
        # The fault came with WAL in 3.7.0; fixed in 3.51.3, 3.50.7 and 3.44.6 (SQLite's release notes).
        ((3, 6, 23), False),
        ((3, 7, 0), True),
        ((3, 40, 1), True),
        ((3, 44, 5), True),
        ((3, 44, 6), False),
        ((3, 45, 0), True),
        ((3, 50, 6), True),
        ((3, 50, 7), False),
        ((3, 51, 2), True),
        ((3, 51, 3), False),
        ((3, 53, 4), False),
    ],
)
def test_a_sqlite_that_may_corrupt_a_register_in_use_is_known(version: tuple[int, ...], faulty: bool) -> None:
    assert has_wal_reset_fault(version) is faulty
