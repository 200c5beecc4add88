"""A spawning night: inductions, the crosses that were made, and their males."""

from django.db import models

from registry.models.record import Record


def percent(name: str) -> models.Q:
    """Return the condition that a percentage column is empty or within 0 to 100."""
    return models.Q(**{f"{name}__isnull": True}) | models.Q(**{f"{name}__gte": 0, f"{name}__lte": 100})


class Spawning(Record):
    """One night's spawning of a stock."""

    number = models.CharField(max_length=40, unique=True)
    stock = models.ForeignKey("registry.Stock", on_delete=models.PROTECT, null=True, related_name="spawnings")
    spawned_on = models.DateField(db_index=True, help_text="The day on which the night began.")
    water_c = models.DecimalField(max_digits=4, decimal_places=1, null=True)
    notes = models.TextField(blank=True, max_length=4000)

    def __str__(self) -> str:
        return self.number


class Induction(Record):
    """A hormone given, as it was given. The register records a dose and never proposes one."""

    spawning = models.ForeignKey(Spawning, on_delete=models.PROTECT, related_name="inductions")
    fish = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="inductions")
    given_at = models.DateTimeField()
    agent = models.CharField(max_length=80)
    product_batch = models.CharField(max_length=40, blank=True)
    dose = models.CharField(max_length=80, help_text="As written on the prescription, with its unit.")
    prescriber = models.CharField(
        max_length=80, help_text="The veterinarian who prescribed it, by role or licence number."
    )

    def __str__(self) -> str:
        return f"{self.agent} to {self.fish}"


class Cross(Record):
    """A made cross: one female's eggs, or a portion of them, with one or several males' milt."""

    spawning = models.ForeignKey(Spawning, on_delete=models.PROTECT, related_name="crosses")
    family = models.ForeignKey("registry.Family", on_delete=models.PROTECT, related_name="crosses")
    dam = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="crosses_as_dam")
    made_at = models.DateTimeField(null=True, help_text="When eggs and milt met, if the clock time is known.")
    portion = models.CharField(max_length=10, blank=True)
    egg_mass_g = models.DecimalField(max_digits=9, decimal_places=1, null=True)
    eggs_per_g = models.DecimalField(max_digits=6, decimal_places=1, null=True)
    fertilisation_percent = models.DecimalField(max_digits=5, decimal_places=2, null=True)
    planned = models.ForeignKey("registry.PlannedCross", on_delete=models.PROTECT, null=True, related_name="made")
    off_plan_reason = models.CharField(max_length=200, blank=True)
    notes = models.TextField(blank=True, max_length=4000)

    class Meta(Record.Meta):
        verbose_name_plural = "crosses"
        constraints = [
            models.CheckConstraint(condition=percent("fertilisation_percent"), name="fertilisation_0_to_100"),
            models.CheckConstraint(
                condition=models.Q(egg_mass_g__isnull=True) | models.Q(egg_mass_g__gte=0),
                name="egg_mass_not_below_zero",
            ),
        ]

    def __str__(self) -> str:
        return f"cross of {self.dam}, family {self.family}"


class CrossSire(Record):
    """One male of a cross, his share if milt was pooled, and the milt used."""

    cross = models.ForeignKey(Cross, on_delete=models.PROTECT, related_name="sires")
    sire = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="crosses_as_sire")
    share = models.DecimalField(max_digits=13, decimal_places=12)
    motility_percent = models.DecimalField(max_digits=5, decimal_places=2, null=True)
    milt_lot = models.ForeignKey("registry.MiltLot", on_delete=models.PROTECT, null=True, related_name="used_in")
    frozen_milt = models.BooleanField(default=False, help_text="Frozen milt, with or without a lot in this register.")

    class Meta(Record.Meta):
        constraints = [
            models.CheckConstraint(condition=models.Q(share__gt=0, share__lte=1), name="sire_share_over_0_up_to_1"),
            models.CheckConstraint(condition=percent("motility_percent"), name="motility_0_to_100"),
            models.UniqueConstraint(
                fields=["cross", "sire"], condition=models.Q(withdrawn__isnull=True), name="sire_once_in_cross"
            ),
        ]

    def __str__(self) -> str:
        return str(self.sire)
