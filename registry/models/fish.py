"""Fish: one identity for life, and what is known of it."""

from django.db import models

from registry.models.parentage import Parentage
from registry.models.record import Record


class Sex(models.TextChoices):
    """Sex on record."""

    FEMALE = "F", "Female"
    MALE = "M", "Male"
    UNKNOWN = "U", "Not known"
    INTERSEX = "I", "Intersex"


class Origin(models.TextChoices):
    """Where the fish comes from."""

    WILD = "wild", "Wild-caught"
    HATCHERY = "hatchery", "Hatchery-born"
    CAPTIVE = "captive", "Captive, parents unknown"
    UNKNOWN = "unknown", "Unknown"


class Precision(models.TextChoices):
    """How exactly a date is known; the date column holds the first day of the time named."""

    DAY = "day", "Day"
    MONTH = "month", "Month"
    YEAR = "year", "Year"


class Left(models.TextChoices):
    """How a fish left the tanks."""

    DIED = "died", "Died"
    RELEASED = "released", "Released"
    TRANSFERRED = "transferred", "Transferred out"
    MISSING = "missing", "Missing"


class Confidence(models.TextChoices):
    """How sure the species is."""

    FIELD = "field", "Field"
    EXPERT = "expert", "Expert"
    GENETIC = "genetic", "Genetic"
    DOUBTFUL = "doubtful", "In doubt"


class Fish(Record):
    """One individually known animal. The register number never changes and is never used again."""

    number = models.CharField(max_length=40, unique=True, help_text="Register number, for life, whatever tag it bears.")

    class Meta(Record.Meta):
        verbose_name_plural = "fish"

    def __str__(self) -> str:
        return self.number


class FishDetails(Record):
    """What is known of a fish. A correction, a death or a release writes a later row and withdraws this one."""

    fish = models.ForeignKey(Fish, on_delete=models.PROTECT, related_name="details")
    species = models.ForeignKey("registry.Species", on_delete=models.PROTECT, null=True, related_name="+")
    confidence = models.CharField(max_length=10, choices=Confidence.choices, default=Confidence.FIELD)
    hybrid = models.BooleanField(default=False)
    stock = models.ForeignKey("registry.Stock", on_delete=models.PROTECT, null=True, related_name="+")
    sex = models.CharField(max_length=1, choices=Sex.choices, default=Sex.UNKNOWN)
    origin = models.CharField(max_length=10, choices=Origin.choices, default=Origin.UNKNOWN)
    caught_on = models.DateField(null=True)
    caught_precision = models.CharField(max_length=5, choices=Precision.choices, blank=True)
    caught_at = models.CharField(max_length=120, blank=True, help_text="Place of capture.")
    hatched_on = models.DateField(null=True)
    hatched_precision = models.CharField(max_length=5, choices=Precision.choices, blank=True)
    family = models.ForeignKey("registry.Family", on_delete=models.PROTECT, null=True, related_name="fish")
    from_batch = models.ForeignKey(
        "registry.Batch", on_delete=models.PROTECT, null=True, related_name="registered_fish"
    )
    parentage = models.ForeignKey(
        Parentage, on_delete=models.PROTECT, null=True, related_name="fish", help_text="Empty for a founder."
    )
    left = models.CharField(max_length=12, choices=Left.choices, blank=True)
    left_on = models.DateField(null=True)
    left_precision = models.CharField(max_length=5, choices=Precision.choices, blank=True)
    left_note = models.CharField(max_length=200, blank=True)
    left_permit = models.CharField(max_length=60, blank=True, help_text="Of a transfer out; a release has its own.")
    left_abroad = models.BooleanField(default=False, help_text="It went across a border.")
    release = models.ForeignKey("registry.Release", on_delete=models.PROTECT, null=True, related_name="fish")
    tissue_sample = models.CharField(
        max_length=40, blank=True, help_text="Number of a fin clip written before samples had records of their own."
    )
    notes = models.TextField(blank=True, max_length=4000)

    class Meta(Record.Meta):
        verbose_name_plural = "fish details"
        constraints = [
            models.UniqueConstraint(
                fields=["fish"], condition=models.Q(withdrawn__isnull=True), name="one_current_set_of_details"
            ),
            models.CheckConstraint(
                condition=models.Q(left="", left_on__isnull=True) | ~models.Q(left=""), name="leaving_day_needs_a_kind"
            ),
        ]
        indexes = [
            models.Index(
                fields=["stock", "left", "parentage"],
                condition=models.Q(withdrawn__isnull=True),
                name="living_by_parentage",
            ),
            # Every column that the years of a stock are counted by, so that no row is read for it.
            models.Index(
                fields=["stock", "parentage", "hatched_on", "caught_on", "left", "left_on", "withdrawn"],
                condition=models.Q(withdrawn__isnull=True),
                name="lives_by_parentage",
            ),
            models.Index(fields=["hatched_on"], condition=models.Q(withdrawn__isnull=True), name="fish_by_hatch_day"),
            models.Index(fields=["sex"], condition=models.Q(withdrawn__isnull=True), name="fish_by_sex"),
        ]

    def __str__(self) -> str:
        return f"details of {self.fish}"
