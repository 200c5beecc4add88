"""Parentage as a distribution over pairs of parents."""

from django.db import models
from django.db.models.functions import Coalesce

from registry.models.record import Record


class Parentage(Record):
    """A set of (dam, sire, probability) rows that sum to 1, shared by all fish it holds for.

    A fish without a parentage is a founder. What the evidence is, and in which of two meanings a doubt is to be
    read, is kept with it: each fish its own draw (pooled milt), or one pair for the whole batch that we do not know.
    """

    class Basis(models.TextChoices):
        RECORDED = "recorded", "Recorded cross"
        POOLED = "pooled", "Pooled milt"
        MIXED = "mixed", "Mixed batch"
        SHEET = "sheet", "Hatchery's own sheet"
        GENOTYPE = "genotype", "Genotyping"

    class Draw(models.TextChoices):
        EACH = "each", "Each fish its own draw"
        SHARED = "shared", "One unknown pair for all"

    basis = models.CharField(max_length=10, choices=Basis.choices)
    draw = models.CharField(max_length=6, choices=Draw.choices, default=Draw.EACH)
    note = models.CharField(max_length=200, blank=True)

    def __str__(self) -> str:
        return f"parentage {self.pk} ({self.get_basis_display().lower()})"


class ParentPair(Record):
    """One possible pair of parents; an empty parent is an unknown one, taken as an unrelated founder."""

    parentage = models.ForeignKey(Parentage, on_delete=models.PROTECT, related_name="pairs")
    dam = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, null=True, related_name="pairs_as_dam")
    sire = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, null=True, related_name="pairs_as_sire")
    probability = models.DecimalField(max_digits=13, decimal_places=12)

    class Meta(Record.Meta):
        ordering = ["-probability", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(probability__gt=0, probability__lte=1), name="parent_probability_over_0_up_to_1"
            ),
            models.UniqueConstraint(
                "parentage",
                Coalesce("dam", 0),
                Coalesce("sire", 0),
                condition=models.Q(withdrawn__isnull=True),
                name="parent_pair_once",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.dam or 'unknown'} × {self.sire or 'unknown'}"
