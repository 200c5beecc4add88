"""A code on a fish from when to when."""

from django.db import models

from registry.models.record import Record


class Evidence(models.TextChoices):
    """How it is known that a fish is the one it is taken for, the strongest first."""

    SECOND_TAG = "second tag", "Second tag"
    GENOTYPE = "genotype", "Genotype match"
    EXTERNAL_TAG = "external tag", "External tag"
    PHOTOGRAPH = "photograph", "Photograph of the scute pattern"
    ONLY_FISH = "only fish", "Only fish in its unit"
    ASSERTED = "asserted", "None: asserted"


class Tag(Record):
    """A PIT tag or other individual mark on one fish.

    A code is on one fish at a time, back-dated periods included: an open tag by the constraint below, closed ones by
    a trigger (SQLite) or an exclusion constraint (PostgreSQL), see the migration.
    """

    class System(models.TextChoices):
        ISO = "iso", "ISO 11784"
        HEX10 = "hex10", "Older reader, 10 hex characters"
        DECIMAL = "decimal", "Older reader, 9 or 10 figures"
        EXTERNAL = "external", "External tag"

    class EndReason(models.TextChoices):
        LOST = "lost", "Lost"
        DEAD = "dead", "No longer reads"
        REMOVED = "removed", "Taken out"
        REPLACED = "replaced", "Replaced"
        FISH_LEFT = "fish left", "Fish died or left"

    fish = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="tags")
    system = models.CharField(max_length=10, choices=System.choices)
    code = models.CharField(max_length=24, db_index=True)
    site = models.CharField(max_length=60, blank=True, help_text="Where on the body, and which side.")
    attached_on = models.DateField()
    attached_known = models.BooleanField(default=True, help_text="False: on the fish at some time after this day.")
    ended_on = models.DateField(null=True, help_text="First day on which it was no longer on the fish.")
    end_reason = models.CharField(max_length=10, choices=EndReason.choices, blank=True)
    retag = models.PositiveSmallIntegerField(
        null=True, help_text="Retag counter as read: how often the animal was tagged before. No part of the identity."
    )
    known_by = models.CharField(
        max_length=12, choices=Evidence.choices, blank=True, help_text="How it is known that this is the same fish."
    )
    probability = models.DecimalField(
        max_digits=4, decimal_places=3, null=True, help_text="That it is the same fish, where this is only asserted."
    )
    evidence = models.CharField(max_length=200, blank=True, help_text="What was seen, in words.")

    OPEN_ENDS = ("ended_on", "end_reason")

    class Meta(Record.Meta):
        ordering = ["attached_on", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["system", "code"],
                condition=models.Q(ended_on__isnull=True, withdrawn__isnull=True),
                name="tag_active_on_one_fish",
            ),
            models.CheckConstraint(
                condition=models.Q(ended_on__isnull=True) | models.Q(ended_on__gte=models.F("attached_on")),
                name="tag_ends_after_it_began",
            ),
            models.CheckConstraint(
                condition=models.Q(probability__isnull=True)
                | models.Q(probability__gt=0, probability__lte=1, known_by="asserted"),
                name="tag_probability_where_asserted",
            ),
        ]

    def __str__(self) -> str:
        return self.code
