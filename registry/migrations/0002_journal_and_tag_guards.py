"""The database itself keeps the journal append-only and a tag code on one fish at a time, whoever writes."""

from typing import Any

from django.db import migrations

ZEROS = "0" * 64

SQLITE = {
    "journal_no_update": """
        CREATE TRIGGER journal_no_update BEFORE UPDATE ON registry_journalentry
        BEGIN SELECT RAISE(ABORT, 'the journal is append-only: no entry is changed'); END""",
    "journal_no_delete": """
        CREATE TRIGGER journal_no_delete BEFORE DELETE ON registry_journalentry
        BEGIN SELECT RAISE(ABORT, 'the journal is append-only: no entry is deleted'); END""",
    "journal_in_order": """
        CREATE TRIGGER journal_in_order BEFORE INSERT ON registry_journalentry
        WHEN NEW.seq != COALESCE((SELECT MAX(seq) FROM registry_journalentry), 0) + 1
          OR NEW.prev != COALESCE((SELECT hash FROM registry_journalentry ORDER BY seq DESC LIMIT 1), '{zeros}')
          OR EXISTS (SELECT 1 FROM registry_journalentry WHERE hash = NEW.hash)
        BEGIN SELECT RAISE(ABORT, 'the journal is a chain: an entry follows the last one'); END""",
    "tag_periods_apart_insert": """
        CREATE TRIGGER tag_periods_apart_insert BEFORE INSERT ON registry_tag WHEN {overlap}
        BEGIN SELECT RAISE(ABORT, 'tag_periods_apart'); END""",
    "tag_periods_apart_update": """
        CREATE TRIGGER tag_periods_apart_update BEFORE UPDATE ON registry_tag WHEN {overlap}
        BEGIN SELECT RAISE(ABORT, 'tag_periods_apart'); END""",
}
# Half-open periods; a tag that ended on the day it began was on no fish, as in PostgreSQL's empty range.
SQLITE_OVERLAP = """NEW.withdrawn_id IS NULL AND NEW.attached_on < COALESCE(NEW.ended_on, '9999-12-31') AND EXISTS (
    SELECT 1 FROM registry_tag o
    WHERE o.code = NEW.code AND o.system = NEW.system AND o.id IS NOT NEW.id AND o.withdrawn_id IS NULL
      AND o.attached_on < COALESCE(o.ended_on, '9999-12-31')
      AND o.attached_on < COALESCE(NEW.ended_on, '9999-12-31')
      AND NEW.attached_on < COALESCE(o.ended_on, '9999-12-31'))"""

POSTGRES_FUNCTIONS = """
CREATE OR REPLACE FUNCTION journal_refuse() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN RAISE EXCEPTION 'the journal is append-only: no entry is changed or deleted' USING ERRCODE = '23000'; END $$;
CREATE OR REPLACE FUNCTION journal_follow() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE last registry_journalentry%ROWTYPE;
BEGIN
  SELECT * INTO last FROM registry_journalentry ORDER BY seq DESC LIMIT 1;
  IF NEW.seq <> COALESCE(last.seq, 0) + 1 OR NEW.prev <> COALESCE(last.hash, '{zeros}') THEN
    RAISE EXCEPTION 'the journal is a chain: an entry follows the last one' USING ERRCODE = '23000';
  END IF;
  RETURN NEW;
END $$;
"""
POSTGRES = {
    "journal_no_change": """
        CREATE TRIGGER journal_no_change BEFORE UPDATE OR DELETE ON registry_journalentry
        FOR EACH ROW EXECUTE FUNCTION journal_refuse()""",
    "journal_no_truncate": """
        CREATE TRIGGER journal_no_truncate BEFORE TRUNCATE ON registry_journalentry
        FOR EACH STATEMENT EXECUTE FUNCTION journal_refuse()""",
    "journal_in_order": """
        CREATE TRIGGER journal_in_order BEFORE INSERT ON registry_journalentry
        FOR EACH ROW EXECUTE FUNCTION journal_follow()""",
}
POSTGRES_TAGS = """
CREATE EXTENSION IF NOT EXISTS btree_gist;
ALTER TABLE registry_tag ADD CONSTRAINT tag_periods_apart EXCLUDE USING gist (
  system WITH =, code WITH =, daterange(attached_on, ended_on) WITH &&) WHERE (withdrawn_id IS NULL);
"""


def install(apps: Any, schema_editor: Any) -> None:
    """Create the triggers (SQLite) or triggers and exclusion constraint (PostgreSQL)."""
    if schema_editor.connection.vendor == "sqlite":
        for sql in SQLITE.values():
            schema_editor.execute(sql.replace("{zeros}", ZEROS).replace("{overlap}", SQLITE_OVERLAP), params=None)
        return
    schema_editor.execute(POSTGRES_FUNCTIONS.replace("{zeros}", ZEROS), params=None)
    for sql in POSTGRES.values():
        schema_editor.execute(sql, params=None)
    schema_editor.execute(POSTGRES_TAGS, params=None)


def remove(apps: Any, schema_editor: Any) -> None:
    """Drop what `install` created."""
    if schema_editor.connection.vendor == "sqlite":
        for name in SQLITE:
            schema_editor.execute(f"DROP TRIGGER IF EXISTS {name}", params=None)
        return
    for name in POSTGRES:
        schema_editor.execute(f"DROP TRIGGER IF EXISTS {name} ON registry_journalentry", params=None)
    schema_editor.execute("ALTER TABLE registry_tag DROP CONSTRAINT IF EXISTS tag_periods_apart", params=None)


class Migration(migrations.Migration):
    dependencies = [("registry", "0001_the_records")]
    operations = [migrations.RunPython(install, remove)]
