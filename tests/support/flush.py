"""Lets tests that commit (live server, several threads) empty the database although the journal refuses it."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.db import connection
from django.test import TransactionTestCase

ASK_TRIGGERS = "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"


def step_round_the_guards() -> None:
    """Wrap Django's own clean-up after each committing test."""
    original = TransactionTestCase._fixture_teardown

    def emptied(self: Any) -> None:
        with guards_off():
            original(self)

    TransactionTestCase._fixture_teardown = emptied


@contextmanager
def guards_off() -> Iterator[None]:
    """Take the journal's guards out of force for a moment, and put the very same ones back."""
    off, on = _switches()
    with connection.cursor() as cursor:
        for sql in off:
            cursor.execute(sql)
        try:
            yield
        finally:
            for sql in on:
                cursor.execute(sql)


def _switches() -> tuple[list[str], list[str]]:
    if connection.vendor == "postgresql":
        # Not ALTER TABLE: it is refused while rows just written still wait for their foreign keys to be checked.
        return ["SET session_replication_role = replica"], ["SET session_replication_role = origin"]
    with connection.cursor() as cursor:
        cursor.execute(ASK_TRIGGERS)
        triggers = cursor.fetchall()
    return [f"DROP TRIGGER {name}" for name, _ in triggers], [sql for _, sql in triggers]
