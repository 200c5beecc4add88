"""How many chromosome sets a fish was found to have, by which method, and by whom."""

from django.db import models

from registry.models.record import Record


class PloidyFound(Record):
    """One measurement of one fish. The latest that stands is what limits and pages go by."""

    class Method(models.TextChoices):
        FLOW = "flow cytometry", "Flow cytometry of blood or fin"
        NUCLEUS = "nucleus size", "Size of the nuclei of red blood cells"
        COULTER = "coulter counting", "Whole-blood Coulter counting"
        KARYOTYPE = "karyotype", "Karyotype"
        DOSAGE = "marker dosage", "Dosage of microsatellite alleles"

    fish = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="ploidies")
    measured_on = models.DateField()
    sets = models.PositiveSmallIntegerField(help_text="Chromosome sets in function: sterlet 2, its triploid 3.")
    method = models.CharField(max_length=20, choices=Method.choices)
    dna_pg = models.DecimalField(max_digits=6, decimal_places=3, null=True, help_text="Relative DNA content, pg.")
    by = models.CharField(max_length=120, help_text="Laboratory or role, and the number of its report.")
    notes = models.TextField(blank=True, max_length=4000)

    class Meta(Record.Meta):
        ordering = ["measured_on", "pk"]
        verbose_name = "ploidy"
        verbose_name_plural = "ploidies"
        constraints = [
            models.CheckConstraint(condition=models.Q(sets__gt=0), name="chromosome_sets_above_zero"),
            models.CheckConstraint(
                condition=models.Q(dna_pg__isnull=True) | models.Q(dna_pg__gt=0), name="dna_content_above_zero"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.sets} chromosome sets of {self.fish}"
