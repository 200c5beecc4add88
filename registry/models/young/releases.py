"""Fish put into open water, and fish met again."""

from django.db import models

from registry.models.position import LATITUDE, LONGITUDE, position_on_earth
from registry.models.record import Record


class Release(Record):
    """Fish put into open water at a place on a day; the fish are its ledger transfers and registered fish."""

    number = models.CharField(max_length=40, unique=True)
    released_on = models.DateField(db_index=True)

    def __str__(self) -> str:
        return self.number


class ReleaseDetails(Record):
    """Where and how a release was made; a correction writes a later row."""

    release = models.ForeignKey(Release, on_delete=models.PROTECT, related_name="details")
    place = models.CharField(max_length=120)
    latitude = models.DecimalField(**LATITUDE, null=True, help_text="Decimal degrees, WGS 84.")
    longitude = models.DecimalField(**LONGITUDE, null=True, help_text="Decimal degrees, WGS 84.")
    permit = models.CharField(max_length=60, blank=True)
    mark = models.CharField(max_length=120, blank=True)
    mean_mass_g = models.DecimalField(max_digits=9, decimal_places=1, null=True)
    notes = models.TextField(blank=True, max_length=4000)

    class Meta(Record.Meta):
        verbose_name_plural = "release details"
        constraints = [
            models.UniqueConstraint(
                fields=["release"],
                condition=models.Q(withdrawn__isnull=True),
                name="one_current_set_of_release_details",
            ),
            position_on_earth("release_position_on_earth"),
        ]

    def __str__(self) -> str:
        return f"{self.release} at {self.place}"


class Recapture(Record):
    """A fish met again, marked or not. "No mark" is never evidence of wild origin."""

    class Link(models.TextChoices):
        CERTAIN = "certain", "Certain, by its code"
        PROBABLE = "probable", "Probable, by batch mark"
        NONE = "none", "Not linked"

    number = models.CharField(max_length=40, db_index=True)
    recaptured_on = models.DateField(db_index=True)
    place = models.CharField(max_length=120)
    latitude = models.DecimalField(**LATITUDE, null=True)
    longitude = models.DecimalField(**LONGITUDE, null=True)
    fish = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, null=True, related_name="recaptures")
    release = models.ForeignKey(Release, on_delete=models.PROTECT, null=True, related_name="recaptures")
    link = models.CharField(max_length=10, choices=Link.choices)
    code_read = models.CharField(max_length=24, blank=True)
    marks = models.CharField(max_length=200, blank=True, help_text="Marks found, and marks missing though expected.")
    total_length_mm = models.DecimalField(max_digits=7, decimal_places=1, null=True)
    mass_g = models.DecimalField(max_digits=10, decimal_places=1, null=True)
    alive = models.BooleanField(default=True)
    released_again = models.BooleanField(default=True)
    reported_by = models.CharField(max_length=80, blank=True, help_text="Role of the reporter, not a name.")
    notes = models.TextField(blank=True, max_length=4000)

    class Meta(Record.Meta):
        constraints = [
            # It is written again, under its number, when its fish's two numbers prove to be one fish.
            models.UniqueConstraint(
                fields=["number"], condition=models.Q(withdrawn__isnull=True), name="recapture_number_once"
            ),
        ]

    def __str__(self) -> str:
        return self.number
