"""Treatments as they were given. The register records one and never proposes one."""

from django.db import models

from registry.models.record import Record


class Treatment(Record):
    """A product given to a fish or a batch under a prescription, and how long the fish are held back after it."""

    fish = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, null=True, related_name="treatments")
    batch = models.ForeignKey("registry.Batch", on_delete=models.PROTECT, null=True, related_name="treatments")
    given_on = models.DateField()
    product = models.CharField(max_length=80)
    product_batch = models.CharField(max_length=40, blank=True)
    amount = models.CharField(max_length=80, help_text="As written on the prescription, with its unit.")
    prescriber = models.CharField(
        max_length=80, help_text="The veterinarian who prescribed it, by role or licence number."
    )
    prescription = models.CharField(max_length=60, blank=True, help_text="Number of the prescription.")
    withdrawal_until = models.DateField(null=True, help_text="First day on which the waiting time is over.")
    bars_crossing = models.BooleanField(default=True, help_text="The waiting time counts for eggs and milt too.")
    notes = models.TextField(blank=True, max_length=4000)

    class Meta(Record.Meta):
        ordering = ["-given_on", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(fish__isnull=True) ^ models.Q(batch__isnull=True),
                name="treatment_of_a_fish_or_a_batch",
            ),
            models.CheckConstraint(
                condition=models.Q(withdrawal_until__isnull=True)
                | models.Q(withdrawal_until__gte=models.F("given_on")),
                name="withdrawal_ends_after_treatment",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.product} to {self.fish or f'batch {self.batch}'}"
