"""What the catalogue says of a species, each value in a row of its own with its source.

A later row takes the earlier back; the earlier stays readable, with who changed it and why.
"""

from typing import Any

from django.db import models
from django.db.models import F, Q

from registry.models.record import Record

NUMBER: dict[str, Any] = {"max_digits": 12, "decimal_places": 3, "null": True}


def _in_order(low: str, high: str) -> Q:
    return Q(**{f"{low}__isnull": True}) | Q(**{f"{high}__isnull": True}) | Q(**{f"{low}__lte": F(high)})


class SpeciesFigure(Record):
    """A number of a species: a count, a size, an age, a temperature, as a usual range within the widest printed."""

    species = models.ForeignKey("registry.Species", on_delete=models.PROTECT, related_name="figures")
    figure = models.SlugField(max_length=40, help_text="What is counted or measured.")
    low = models.DecimalField(**NUMBER, help_text="Lowest printed.")
    usual_low = models.DecimalField(**NUMBER)
    usual_high = models.DecimalField(**NUMBER)
    high = models.DecimalField(**NUMBER, help_text="Highest printed.")
    scored = models.BooleanField(default=True, help_text="No: shown only, because sources contradict each other.")
    source = models.TextField()
    note = models.TextField(blank=True)

    class Meta(Record.Meta):
        ordering = ["species", "figure"]
        constraints = [
            models.UniqueConstraint(
                fields=["species", "figure"],
                condition=Q(withdrawn__isnull=True),
                name="one_current_species_figure",
            ),
            models.CheckConstraint(
                condition=_in_order("low", "usual_low")
                & _in_order("usual_low", "usual_high")
                & _in_order("usual_high", "high")
                & _in_order("low", "high"),
                name="species_figure_in_order",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.figure} of {self.species}"


class SpeciesLook(Record):
    """One look of a character in a species, and in what share of its fish it is found."""

    species = models.ForeignKey("registry.Species", on_delete=models.PROTECT, related_name="looks")
    character = models.SlugField(max_length=40)
    look = models.SlugField(max_length=40)
    share = models.DecimalField(max_digits=4, decimal_places=3, help_text="Over 0, at most 1.")
    scored = models.BooleanField(default=True, help_text="No: shown only, because sources contradict each other.")
    source = models.TextField()
    note = models.TextField(blank=True)

    class Meta(Record.Meta):
        ordering = ["species", "character", "-share", "look"]
        constraints = [
            models.UniqueConstraint(
                fields=["species", "character", "look"],
                condition=Q(withdrawn__isnull=True),
                name="one_current_look_of_a_species",
            ),
            models.CheckConstraint(condition=Q(share__gt=0, share__lte=1), name="look_share_over_0_up_to_1"),
        ]

    def __str__(self) -> str:
        return f"{self.character} of {self.species}: {self.look}"


class AcceptedName(Record):
    """The name that an authority accepts for a species, and since when."""

    species = models.ForeignKey("registry.Species", on_delete=models.PROTECT, related_name="accepted_names")
    authority = models.CharField(max_length=80)
    name = models.CharField(max_length=80)
    year = models.PositiveSmallIntegerField(null=True, help_text="Of the list or work; empty when it is kept current.")
    source = models.TextField()

    class Meta(Record.Meta):
        ordering = ["species", "authority"]
        constraints = [
            models.UniqueConstraint(
                fields=["species", "authority"],
                condition=Q(withdrawn__isnull=True),
                name="one_accepted_name_of_an_authority",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class RiverStanding(Record):
    """Whether a species belongs to a river."""

    class Standing(models.TextChoices):
        NATIVE = "native", "Native"
        RETURNED = "returned", "Native, brought back"
        INTRODUCED = "introduced", "Introduced, not native"
        ABSENT = "absent", "Not native, never seen"

    species = models.ForeignKey("registry.Species", on_delete=models.PROTECT, related_name="rivers")
    river = models.CharField(max_length=80)
    standing = models.CharField(max_length=12, choices=Standing.choices)
    source = models.TextField()

    class Meta(Record.Meta):
        ordering = ["river", "species"]
        constraints = [
            models.UniqueConstraint(
                fields=["species", "river"], condition=Q(withdrawn__isnull=True), name="one_standing_in_a_river"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.species} in the {self.river}"
