"""How a fish came into hand: where, when, by whom, under which permit, what was looked for on it, how it was."""

from django.db import models

from registry.models.position import LATITUDE, LONGITUDE, position_on_earth
from registry.models.record import Record


class Capture(Record):
    """A fish caught, and its way to the hatchery. Times are kept with the zone in which the clock was read."""

    fish = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="captures")
    caught_at = models.DateTimeField()
    zone = models.CharField(max_length=40, help_text="Time zone of the clock, such as UTC or Europe/Lisbon.")
    place = models.CharField(max_length=120)
    latitude = models.DecimalField(**LATITUDE, null=True, help_text="Decimal degrees, WGS 84.")
    longitude = models.DecimalField(**LONGITUDE, null=True, help_text="Decimal degrees, WGS 84.")
    uncertainty_m = models.PositiveIntegerField(null=True, help_text="How far the true place may lie from it.")
    river_km = models.DecimalField(max_digits=6, decimal_places=1, null=True, help_text="From the mouth upwards.")
    gear = models.CharField(max_length=80, blank=True)
    crew = models.CharField(max_length=200, blank=True, help_text="Who caught and handled it, by role; no names.")
    permit = models.CharField(max_length=60, blank=True)
    transport = models.CharField(max_length=120, blank=True, help_text="Container, and how many fish were in it.")
    transport_minutes = models.PositiveIntegerField(null=True)
    density_kg_m3 = models.DecimalField(max_digits=6, decimal_places=1, null=True)
    oxygen_mg_l = models.DecimalField(max_digits=4, decimal_places=1, null=True, help_text="The lowest on the way.")
    notes = models.TextField(blank=True, max_length=4000)

    class Meta(Record.Meta):
        ordering = ["caught_at", "pk"]
        constraints = [
            position_on_earth("capture_position_on_earth"),
        ]

    def __str__(self) -> str:
        return f"capture of {self.fish} at {self.place}"


class MarkSearch(Record):
    """One way in which a fish was, or was not, looked over for marks when it came, and what was found."""

    class Way(models.TextChoices):
        PIT = "pit", "PIT scan, FDX-B, whole body"
        PIT_OLDER = "pit older", "PIT scan, older 125 and 400 kHz tags"
        WIRE = "wire", "Coded wire, wand"
        ELASTOMER = "elastomer", "Elastomer, under UV light"
        EXTERNAL = "external", "External tag"
        CLIP = "clip", "Clipped fin or barbel"
        SCAR = "scar", "Scar of a tag or of surgery"

    capture = models.ForeignKey(Capture, on_delete=models.PROTECT, related_name="mark_searches")
    way = models.CharField(max_length=10, choices=Way.choices)
    looked = models.BooleanField()
    found = models.CharField(max_length=120, blank=True, help_text="Code, colour and place; empty: nothing.")

    class Meta(Record.Meta):
        verbose_name_plural = "mark searches"
        constraints = [
            models.UniqueConstraint(
                fields=["capture", "way"], condition=models.Q(withdrawn__isnull=True), name="mark_looked_for_once"
            ),
            models.CheckConstraint(
                condition=models.Q(looked=True) | models.Q(found=""), name="mark_found_only_where_looked"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_way_display()}: {self.found or ('nothing' if self.looked else 'not looked')}"


class HealthLook(Record):
    """How a fish looked on a day: a score, injuries, a hook."""

    class Score(models.IntegerChoices):
        DYING = 1, "1: dying"
        POOR = 2, "2: poor, wounds or no response"
        FAIR = 3, "3: fair, wounds that will heal"
        GOOD = 4, "4: good, scratches only"
        SOUND = 5, "5: sound"

    fish = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="health_looks")
    looked_on = models.DateField()
    score = models.PositiveSmallIntegerField(choices=Score.choices, null=True)
    injuries = models.CharField(max_length=200, blank=True)
    hook = models.BooleanField(default=False, help_text="A hook, or the wound of one.")
    notes = models.TextField(blank=True, max_length=4000)

    class Meta(Record.Meta):
        ordering = ["-looked_on", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(score__isnull=True) | models.Q(score__gte=1, score__lte=5),
                name="health_score_1_to_5",
            ),
        ]

    def __str__(self) -> str:
        return f"health of {self.fish} on {self.looked_on}"
