"""Families: the offspring of made crosses, and their parents as known."""

from django.db import models

from registry.models.parentage import Parentage
from registry.models.record import Record


class Family(Record):
    """The offspring of one made cross; a pooled family has several possible sires (or dams)."""

    number = models.CharField(max_length=40, unique=True)
    stock = models.ForeignKey("registry.Stock", on_delete=models.PROTECT, null=True, related_name="families")

    class Meta(Record.Meta):
        verbose_name_plural = "families"

    def __str__(self) -> str:
        return self.number


class FamilyParents(Record):
    """The parentage of a family as known; a correction writes a later one."""

    family = models.ForeignKey(Family, on_delete=models.PROTECT, related_name="parents")
    parentage = models.ForeignKey(Parentage, on_delete=models.PROTECT, related_name="families")

    class Meta(Record.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["family"], condition=models.Q(withdrawn__isnull=True), name="one_current_parentage_of_a_family"
            ),
        ]

    def __str__(self) -> str:
        return f"parents of {self.family}"
