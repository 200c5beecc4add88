"""Facilities, water systems, holding units, and who stays in which unit from when to when."""

from django.db import models

from registry.models.record import Record


class Facility(Record):
    """A hatchery or back-up station."""

    name = models.CharField(max_length=80, unique=True)

    class Meta(Record.Meta):
        ordering = ["name"]
        verbose_name_plural = "facilities"

    def __str__(self) -> str:
        return self.name


class WaterSystem(Record):
    """Water shared by units: one temperature record."""

    facility = models.ForeignKey(Facility, on_delete=models.PROTECT, related_name="water_systems")
    name = models.CharField(max_length=80)

    class Meta(Record.Meta):
        constraints = [models.UniqueConstraint(fields=["facility", "name"], name="water_system_once_in_facility")]

    def __str__(self) -> str:
        return self.name


class Temperature(Record):
    """A reading of a water system's temperature."""

    water_system = models.ForeignKey(WaterSystem, on_delete=models.PROTECT, related_name="temperatures")
    read_at = models.DateTimeField()
    water_c = models.DecimalField(max_digits=4, decimal_places=1)

    class Meta(Record.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["water_system", "read_at"],
                condition=models.Q(withdrawn__isnull=True),
                name="one_temperature_a_moment",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.water_c} °C"


class UnitKind(models.TextChoices):
    """What kind of holding unit it is."""

    TANK = "tank", "Tank"
    POND = "pond", "Pond"
    CAGE = "cage", "Cage"
    TROUGH = "trough", "Trough"
    JAR = "jar", "Incubator jar"


class HoldingUnit(Record):
    """Tank, pond, cage, trough or incubator jar."""

    facility = models.ForeignKey(Facility, on_delete=models.PROTECT, related_name="units")
    water_system = models.ForeignKey(WaterSystem, on_delete=models.PROTECT, null=True, related_name="units")
    name = models.CharField(max_length=60, unique=True)
    kind = models.CharField(max_length=10, choices=UnitKind.choices)

    class Meta(Record.Meta):
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Stay(Record):
    """A fish or a batch in a holding unit, from a day until a day."""

    unit = models.ForeignKey(HoldingUnit, on_delete=models.PROTECT, related_name="stays")
    fish = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, null=True, related_name="stays")
    batch = models.ForeignKey("registry.Batch", on_delete=models.PROTECT, null=True, related_name="stays")
    since = models.DateField()
    until = models.DateField(null=True, help_text="First day on which it is no longer there.")

    OPEN_ENDS = ("until",)

    class Meta(Record.Meta):
        constraints = [
            models.CheckConstraint(
                condition=models.Q(fish__isnull=True) ^ models.Q(batch__isnull=True), name="stay_of_a_fish_or_a_batch"
            ),
            models.CheckConstraint(
                condition=models.Q(until__isnull=True) | models.Q(until__gte=models.F("since")),
                name="stay_ends_after_start",
            ),
            models.UniqueConstraint(
                fields=["fish"],
                condition=models.Q(until__isnull=True, withdrawn__isnull=True, fish__isnull=False),
                name="fish_in_one_unit",
            ),
            models.UniqueConstraint(
                fields=["batch"],
                condition=models.Q(until__isnull=True, withdrawn__isnull=True, batch__isnull=False),
                name="batch_in_one_unit",
            ),
        ]
        indexes = [
            models.Index(
                fields=["unit", "fish", "batch"],
                condition=models.Q(until__isnull=True, withdrawn__isnull=True),
                name="stays_now",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.fish or self.batch} in {self.unit}"
