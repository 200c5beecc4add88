"""Quarantine: the units that serve for it, and which fish or batch is held in it until a veterinarian ends it."""

from django.db import models

from registry.models.record import Record


class QuarantineUse(Record):
    """A holding unit serves for quarantine from a day until a day."""

    unit = models.ForeignKey("registry.HoldingUnit", on_delete=models.PROTECT, related_name="quarantine_uses")
    since = models.DateField()
    until = models.DateField(null=True, help_text="First day on which it no longer served for quarantine.")

    OPEN_ENDS = ("until",)

    class Meta(Record.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["unit"],
                condition=models.Q(until__isnull=True, withdrawn__isnull=True),
                name="unit_in_quarantine_use_once",
            ),
            models.CheckConstraint(
                condition=models.Q(until__isnull=True) | models.Q(until__gte=models.F("since")),
                name="quarantine_use_ends_after_start",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.unit} for quarantine"


class Quarantine(Record):
    """A fish or a batch held apart from a day on, until the veterinarian's release ends it."""

    fish = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, null=True, related_name="quarantines")
    batch = models.ForeignKey("registry.Batch", on_delete=models.PROTECT, null=True, related_name="quarantines")
    unit = models.ForeignKey(
        "registry.HoldingUnit", on_delete=models.PROTECT, related_name="+", help_text="The unit in which it began."
    )
    since = models.DateField()
    reason = models.CharField(max_length=200, blank=True)
    until = models.DateField(null=True, help_text="Day of the veterinarian's release; open while in quarantine.")
    released_by = models.CharField(
        max_length=80, blank=True, help_text="The veterinarian who ended it, by role or licence number."
    )
    findings = models.CharField(max_length=500, blank=True, help_text="What was examined and found at the release.")

    OPEN_ENDS = ("until", "released_by", "findings")

    class Meta(Record.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["fish"],
                condition=models.Q(until__isnull=True, withdrawn__isnull=True),
                name="fish_in_one_quarantine",
            ),
            models.UniqueConstraint(
                fields=["batch"],
                condition=models.Q(until__isnull=True, withdrawn__isnull=True),
                name="batch_in_one_quarantine",
            ),
            models.CheckConstraint(
                condition=models.Q(fish__isnull=True) ^ models.Q(batch__isnull=True),
                name="quarantine_of_a_fish_or_a_batch",
            ),
            models.CheckConstraint(
                condition=models.Q(until__isnull=True) | models.Q(until__gte=models.F("since")),
                name="quarantine_ends_after_start",
            ),
            models.CheckConstraint(
                condition=models.Q(until__isnull=True, released_by="")
                | (models.Q(until__isnull=False) & ~models.Q(released_by="")),
                name="quarantine_ends_by_a_veterinarian",
            ),
        ]

    def __str__(self) -> str:
        return f"quarantine of {self.fish or f'batch {self.batch}'}"
