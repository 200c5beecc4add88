"""Migrations: named, in one line, complete, and without a word of today's code."""

import re
from io import StringIO

import pytest
from django.core.management import call_command

from tests.support.sources import ROOT, imports, short

MIGRATIONS = sorted((ROOT / "registry" / "migrations").glob("[0-9]*.py"))


def test_migrations_import_nothing_of_ours() -> None:
    ours = re.compile(r"\.|(registry|breeding)(\.|$)")
    assert MIGRATIONS
    assert [f"{short(path)}: {name}" for path in MIGRATIONS for name in imports(path) if ours.match(name)] == []


def test_every_migration_has_a_number_of_its_own_and_a_name_that_says_what_it_does() -> None:
    named = re.compile(r"\d{4}_(?!auto_|initial$|alter_|.*_more$)[a-z][a-z0-9_]+$")
    assert [path.stem for path in MIGRATIONS if not named.match(path.stem)] == []
    assert [int(path.stem[:4]) for path in MIGRATIONS] == list(range(1, len(MIGRATIONS) + 1))


@pytest.mark.django_db
def test_no_migration_is_missing() -> None:
    said = StringIO()
    call_command("makemigrations", "--check", "--dry-run", stdout=said)
    assert "No changes detected" in said.getvalue()
