"""Batches: a lot of young handled together, and the marks they share. Counts are kept in the ledger."""

from django.db import models

from registry.models.record import Record


class Batch(Record):
    """Young handled together in one holding unit, of one or several families."""

    number = models.CharField(max_length=40, unique=True)
    stock = models.ForeignKey("registry.Stock", on_delete=models.PROTECT, null=True, related_name="batches")
    opened_on = models.DateField(db_index=True)
    notes = models.TextField(blank=True, max_length=4000)

    class Meta(Record.Meta):
        verbose_name_plural = "batches"

    def __str__(self) -> str:
        return self.number


class BatchMark(Record):
    """A mark that the fish of a batch share: coded wire, elastomer colour and place, fin clip, genetic parentage."""

    batch = models.ForeignKey(Batch, on_delete=models.PROTECT, related_name="marks")
    kind = models.CharField(max_length=60)
    detail = models.CharField(max_length=120, blank=True, help_text="Code, or colour and place.")
    marked_on = models.DateField()
    count = models.PositiveIntegerField(null=True)

    def __str__(self) -> str:
        return f"{self.kind} {self.detail}".strip()
