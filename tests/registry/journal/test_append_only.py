"""The journal grows and nothing else: the database refuses the rest, whoever asks, once all migrations have run."""

import pytest
from django.db import DatabaseError, IntegrityError, connection, transaction
from django.db.models import ProtectedError, QuerySet
from django.db.models.fields import Field

from registry.journal.guard import TABLE
from registry.models import Fish, JournalEntry
from tests.support.world import Hand

SQLITE, POSTGRES = (connection.vendor == vendor for vendor in ("sqlite", "postgresql"))
only_sqlite = pytest.mark.skipif(not SQLITE, reason="SQLite's own statement")
only_postgres = pytest.mark.skipif(not POSTGRES, reason="PostgreSQL's own statement")
COLUMNS = [field.column for field in JournalEntry._meta.concrete_fields]
APPEND_ONLY, IN_ORDER = r"the journal is append-only", r"the journal is a chain: an entry follows the last one"


def sql(statement: str, *values: object) -> None:
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(statement, values)


def row(like: JournalEntry, **other: object) -> tuple[str, list[object]]:
    """Return the columns and values of a row like this one, with some of them different."""
    fields: list[Field] = list(JournalEntry._meta.concrete_fields)
    values = [other.get(f.attname, f.get_db_prep_save(getattr(like, f.attname), connection)) for f in fields]
    return f"{TABLE} ({', '.join(COLUMNS)}) VALUES ({', '.join(['%s'] * len(COLUMNS))})", values


def unchanged(chain: list[JournalEntry]) -> bool:
    as_text = [list(JournalEntry.objects.filter(pk=entry.pk).values_list(*COLUMNS)) for entry in chain]
    before = [[tuple(getattr(entry, name) for name in COLUMNS)] for entry in chain]
    return as_text == before and JournalEntry.objects.count() == len(chain)


@pytest.mark.parametrize("column", COLUMNS)
def test_no_column_of_an_entry_is_changed(column: str, chain: list[JournalEntry]) -> None:
    with pytest.raises(IntegrityError, match=APPEND_ONLY):
        sql(f"UPDATE {TABLE} SET {column} = {column} WHERE seq = 2")
    assert unchanged(chain)


@pytest.mark.parametrize("seq", [1, 2, 3])
def test_no_entry_is_deleted(seq: int, chain: list[JournalEntry]) -> None:
    with pytest.raises(IntegrityError, match=APPEND_ONLY):
        sql(f"DELETE FROM {TABLE} WHERE seq = %s", seq)
    assert unchanged(chain)


def test_the_ways_of_the_framework_are_refused_alike(chain: list[JournalEntry]) -> None:
    entries: QuerySet[JournalEntry] = JournalEntry.objects.filter(seq=2)
    changed = JournalEntry.objects.get(seq=2)
    changed.who = "somebody else"
    for way in (
        lambda: entries.update(who="somebody else"),
        entries.delete,
        changed.save,
        changed.delete,
        lambda: JournalEntry.objects.bulk_update([changed], ["who"]),
        lambda: JournalEntry.objects.bulk_create(
            [changed], update_conflicts=True, update_fields=["who"], unique_fields=["seq"]
        ),
    ):
        with pytest.raises((IntegrityError, ProtectedError)), transaction.atomic():
            way()
        assert unchanged(chain)


def test_an_entry_that_rows_hang_on_is_kept_like_any_other(chain: list[JournalEntry]) -> None:
    Hand(2).put(Fish(number="F1"))
    with pytest.raises(IntegrityError, match=APPEND_ONLY):
        sql(f"DELETE FROM {TABLE}")
    assert unchanged(chain)


@pytest.mark.parametrize(
    ("seq", "prev"),
    [(5, -1), (3, -1), (2, 0), (0, -1), (-1, -1), (4, 0), (4, None)],
    ids=["gap", "same place", "fork", "before the first", "below zero", "after another entry", "after nothing"],
)
def test_an_entry_follows_the_last_one(seq: int, prev: int | None, chain: list[JournalEntry]) -> None:
    before = chain[prev].hash if prev is not None else "0" * 64
    into, values = row(chain[2], seq=seq, prev=before, hash="f" * 64)
    with pytest.raises(IntegrityError, match=IN_ORDER):
        sql(f"INSERT INTO {into}", *values)
    assert unchanged(chain)


def test_the_next_entry_in_order_is_taken(chain: list[JournalEntry]) -> None:
    into, values = row(chain[2], seq=4, prev=chain[2].hash, hash="f" * 64)
    sql(f"INSERT INTO {into}", *values)
    assert JournalEntry.objects.count() == 4


@pytest.mark.django_db
@pytest.mark.parametrize(("seq", "prev"), [(2, "0" * 64), (1, "1" * 64)], ids=["second place", "after something"])
def test_the_first_entry_has_place_one_and_nothing_before_it(seq: int, prev: str) -> None:
    like = JournalEntry(happened_at="2021-05-03T00:00Z", entered_at="2021-05-03T00:00Z", who="w", what="w", subject="s")
    into, values = row(like, seq=seq, prev=prev, hash="f" * 64)
    with pytest.raises(IntegrityError, match=IN_ORDER):
        sql(f"INSERT INTO {into}", *values)


@pytest.mark.parametrize("conflict", ["DO NOTHING", "(seq) DO UPDATE SET who = 'somebody else'"])
def test_an_entry_is_not_replaced_where_it_conflicts(conflict: str, chain: list[JournalEntry]) -> None:
    into, values = row(chain[1])
    with pytest.raises(IntegrityError, match=IN_ORDER):
        sql(f"INSERT INTO {into} ON CONFLICT {conflict}", *values)
    assert unchanged(chain)


@only_sqlite
@pytest.mark.parametrize("recursive", ["ON", "OFF"])
@pytest.mark.parametrize("verb", ["REPLACE", "INSERT OR REPLACE"])
def test_sqlite_replaces_no_entry_whatever_the_client_set(verb: str, recursive: str, chain: list[JournalEntry]) -> None:
    """REPLACE deletes what stands in the way, and fires no delete trigger unless the client asked for it."""
    with connection.cursor() as cursor:
        cursor.execute(f"PRAGMA recursive_triggers = {recursive}")
    same_place = row(chain[1], who="somebody else")
    same_hash = row(chain[1], seq=4, prev=chain[2].hash)
    try:
        for into, values in (same_place, same_hash):
            with pytest.raises(IntegrityError, match=r"the journal is"):
                sql(f"{verb} INTO {into}", *values)
            assert unchanged(chain)
    finally:
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA recursive_triggers = ON")


@only_postgres
@pytest.mark.parametrize("statement", [f"TRUNCATE {TABLE} CASCADE", "TRUNCATE auth_user CASCADE"])
def test_postgresql_does_not_truncate_the_journal(statement: str, chain: list[JournalEntry]) -> None:
    connection.check_constraints()  # else PostgreSQL refuses for another reason: checks are still to come
    with pytest.raises(DatabaseError, match=APPEND_ONLY):
        sql(statement)
    assert unchanged(chain)


@pytest.mark.parametrize("column", [column for column in COLUMNS if column not in {"user_id", "corrects_id"}])
def test_no_entry_leaves_out_what_an_auditor_asks(column: str, chain: list[JournalEntry]) -> None:
    into, values = row(chain[2], **{"seq": 4, "prev": chain[2].hash, "hash": "f" * 64} | {column: None})
    with pytest.raises(IntegrityError):
        sql(f"INSERT INTO {into}", *values)
    assert unchanged(chain)
