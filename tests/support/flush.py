"""Lets tests that commit (live server, several threads) empty the database although the journal refuses it."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.db import connection
from django.test import TransactionTestCase

from registry.journal.guard import TABLE

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
    """Take the journal's triggers out of force for a moment, and put the very same ones back."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute(f"ALTER TABLE {TABLE} DISABLE TRIGGER USER")
            yield
            cursor.execute(f"ALTER TABLE {TABLE} ENABLE TRIGGER USER")
            return
        cursor.execute(ASK_TRIGGERS)
        triggers = cursor.fetchall()
        for name, _ in triggers:
            cursor.execute(f"DROP TRIGGER {name}")
        yield
        for _, sql in triggers:
            cursor.execute(sql)
