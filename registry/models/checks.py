"""What was found when a fish was in hand."""

from django.db import models

from registry.models.fish import Sex
from registry.models.record import Record


class Check(Record):
    """A fish in hand: lengths, mass, sex and stage found. Sex found never overwrites sex on record."""

    fish = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="checks")
    checked_on = models.DateField()
    total_length_mm = models.DecimalField(max_digits=7, decimal_places=1, null=True)
    fork_length_mm = models.DecimalField(max_digits=7, decimal_places=1, null=True)
    girth_mm = models.DecimalField(max_digits=7, decimal_places=1, null=True, help_text="At its widest.")
    mass_g = models.DecimalField(max_digits=10, decimal_places=1, null=True)
    sex_found = models.CharField(max_length=1, choices=Sex.choices, blank=True)
    stage = models.CharField(max_length=10, blank=True, help_text="Maturity stage found, as the scale names it.")
    method = models.CharField(max_length=40, blank=True, help_text="Ultrasound, biopsy, milt, by hand.")
    polarisation_index = models.DecimalField(max_digits=4, decimal_places=3, null=True)
    oocytes_measured = models.PositiveSmallIntegerField(null=True)
    water_c = models.DecimalField(max_digits=4, decimal_places=1, null=True)
    tag = models.ForeignKey("registry.Tag", on_delete=models.PROTECT, null=True, related_name="+")
    notes = models.TextField(blank=True, max_length=4000)

    class Meta(Record.Meta):
        ordering = ["-checked_on", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(total_length_mm__isnull=True) | models.Q(total_length_mm__gt=0),
                name="length_above_zero",
            ),
            models.CheckConstraint(
                condition=models.Q(mass_g__isnull=True) | models.Q(mass_g__gt=0), name="mass_above_zero"
            ),
        ]
        indexes = [
            models.Index(fields=["fish", "-checked_on"], name="checks_of_a_fish"),
            models.Index(
                fields=["stage", "checked_on"], condition=models.Q(withdrawn__isnull=True), name="checks_by_stage"
            ),
        ]

    def __str__(self) -> str:
        return f"check of {self.fish} on {self.checked_on}"
