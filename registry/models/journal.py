"""The chained, append-only record of everything that anyone did, and which sheet rows it has taken in."""

from django.conf import settings
from django.db import models

from registry.models.record import Record


class JournalEntry(models.Model):
    """One thing that one person did. Never changed, never deleted: the database's own triggers refuse it.

    `hash` is SHA-256 over the other columns (registry.journal.chain); `prev` is the hash of the entry before.
    """

    seq = models.BigIntegerField(primary_key=True, help_text="Place in the chain, from 1, without gaps.")
    happened_at = models.DateTimeField(db_index=True, help_text="When it happened, as the person says.")
    entered_at = models.DateTimeField(db_index=True, help_text="When it was entered, by this machine's clock.")
    who = models.CharField(
        max_length=150, db_index=True, help_text="Account name; kept as text, it outlives the account."
    )
    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    what = models.CharField(max_length=60, db_index=True, help_text="What was done, in the trade's words.")
    subject = models.CharField(max_length=80, db_index=True, help_text="What it was done to, such as 'fish F23'.")
    source = models.CharField(max_length=200, help_text="Through which face: form, import file and row, API, demo.")
    reason = models.TextField(blank=True, help_text="Why, where a reason was asked for.")
    corrects = models.ForeignKey("self", on_delete=models.PROTECT, null=True, related_name="corrected_by")
    body = models.TextField(
        help_text="Canonical JSON of every row written, before and after; the hash covers this text."
    )
    prev = models.CharField(max_length=64, help_text="Hash of the entry before; 64 zeros for the first.")
    hash = models.CharField(max_length=64, unique=True, help_text="SHA-256 over all other columns.")

    class Meta:
        ordering = ["-seq"]
        verbose_name_plural = "journal entries"

    def __str__(self) -> str:
        return f"entry {self.seq}: {self.what}, {self.subject}"


class ImportedRow(Record):
    """A sheet row that was taken in, known by the digest of its values as read: the same file twice changes nothing."""

    kind = models.CharField(max_length=20)
    digest = models.CharField(max_length=64)
    file_name = models.CharField(max_length=200)
    row = models.PositiveIntegerField()

    class Meta(Record.Meta):
        constraints = [models.UniqueConstraint(fields=["kind", "digest"], name="imported_row_once")]

    def __str__(self) -> str:
        return f"{self.file_name} row {self.row}"
