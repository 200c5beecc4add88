"""What was seen on a fish to tell its species, how well each species fits it, and what was concluded."""

from django.db import models
from django.db.models import Q

from registry.models.fish import Confidence
from registry.models.record import Record


class Determination(Record):
    """One look at a fish's characters. It advises: the species on record changes only by a correction."""

    fish = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="determinations")
    determined_on = models.DateField()
    species = models.ForeignKey(
        "registry.Species", on_delete=models.PROTECT, null=True, related_name="+", help_text="Empty: left open."
    )
    hybrid = models.BooleanField(default=False)
    confidence = models.CharField(max_length=10, choices=Confidence.choices, default=Confidence.FIELD)
    river = models.CharField(max_length=80, blank=True)
    total_length_mm = models.DecimalField(max_digits=7, decimal_places=1, null=True)
    mass_g = models.DecimalField(max_digits=10, decimal_places=1, null=True)
    signs = models.CharField(max_length=120, blank=True, help_text="Signs of aquaculture seen, by their short names.")
    flags = models.TextField(blank=True, help_text="What the register was wary of, in its words of that day.")
    separable = models.BooleanField(default=False, help_text="Whether the characters told the best from the next.")
    evidence = models.CharField(max_length=120, blank=True, help_text="Laboratory report, photographs.")
    notes = models.TextField(blank=True, max_length=4000)

    class Meta(Record.Meta):
        ordering = ["-determined_on", "-pk"]

    def __str__(self) -> str:
        return f"determination of {self.fish} on {self.determined_on}"


class CharacterSeen(Record):
    """One character as it was seen: a number, on each side where both were counted, or a look."""

    class Side(models.TextChoices):
        LEFT = "left", "Left"
        RIGHT = "right", "Right"

    determination = models.ForeignKey(Determination, on_delete=models.PROTECT, related_name="characters")
    character = models.SlugField(max_length=40)
    side = models.CharField(max_length=5, choices=Side.choices, blank=True)
    value = models.DecimalField(max_digits=6, decimal_places=1, null=True)
    look = models.SlugField(max_length=40, blank=True)

    class Meta(Record.Meta):
        ordering = ["determination", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["determination", "character", "side"],
                condition=Q(withdrawn__isnull=True),
                name="character_once_on_a_side",
            ),
            models.CheckConstraint(
                condition=Q(value__isnull=False, look="") | (Q(value__isnull=True) & ~Q(look="")),
                name="character_is_a_number_or_a_look",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.character} {self.side}".strip()


class SpeciesFit(Record):
    """How well one species fitted, by the catalogue of that day."""

    determination = models.ForeignKey(Determination, on_delete=models.PROTECT, related_name="fits")
    species = models.ForeignKey("registry.Species", on_delete=models.PROTECT, related_name="+")
    log_score = models.DecimalField(max_digits=8, decimal_places=4, help_text="0 is the best there can be.")
    disagreeing = models.TextField(blank=True, help_text="Characters that spoke against it.")

    class Meta(Record.Meta):
        ordering = ["determination", "-log_score", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["determination", "species"],
                condition=Q(withdrawn__isnull=True),
                name="species_once_in_determination",
            ),
            models.CheckConstraint(condition=Q(log_score__lte=0), name="log_score_at_most_nought"),
        ]

    def __str__(self) -> str:
        return f"{self.species}: {self.log_score}"
