"""Samples taken off a fish: what a laboratory may later tell its parents and its species by."""

from django.db import models

from registry.models.record import Record


class TissueSample(Record):
    """One numbered sample of one fish, and where its tubes are kept."""

    class Kind(models.TextChoices):
        FIN_CLIP = "fin clip", "Fin clip"
        RAY = "ray", "Fin ray, for age"
        BLOOD = "blood", "Blood"
        SWAB = "swab", "Swab"
        MILT = "milt", "Milt"

    # Samples out of which a genotype can be read as common practice goes (no source).
    GENETIC = (Kind.FIN_CLIP, Kind.RAY, Kind.BLOOD, Kind.MILT)

    fish = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="samples")
    label = models.CharField(max_length=40, help_text="Number as on the tube; no other sample has it.")
    kind = models.CharField(max_length=10, choices=Kind.choices)
    taken_on = models.DateField(null=True, help_text="Empty where the day is not known.")
    stored_at = models.CharField(max_length=80, blank=True, help_text="Freezer, box and place of the tube.")
    second_tube = models.CharField(max_length=80, blank=True, help_text="Where a second tube is kept, elsewhere.")
    notes = models.TextField(blank=True, max_length=4000)

    class Meta(Record.Meta):
        ordering = ["taken_on", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["label"], condition=models.Q(withdrawn__isnull=True), name="sample_label_once"
            ),
        ]

    def __str__(self) -> str:
        return self.label


class SampleSent(Record):
    """A tube of a sample that was sent elsewhere, as to a laboratory."""

    fish = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="+")
    sample = models.ForeignKey(TissueSample, on_delete=models.PROTECT, related_name="sendings")
    sent_on = models.DateField()
    sent_to = models.CharField(max_length=80, help_text="Where it went: a laboratory or office; no person's name.")
    permit = models.CharField(max_length=60, blank=True)
    abroad = models.BooleanField(default=False, help_text="It went across a border.")
    notes = models.CharField(max_length=200, blank=True)

    class Meta(Record.Meta):
        verbose_name_plural = "samples sent"
        ordering = ["sent_on", "pk"]

    def __str__(self) -> str:
        return f"sample {self.sample} to {self.sent_to}"
