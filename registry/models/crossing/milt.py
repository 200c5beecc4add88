"""Milt lots and the doses taken from them."""

from django.db import models

from registry.models.record import Record


class MiltLot(Record):
    """One male's milt of one collection, fresh or frozen, counted in doses."""

    class State(models.TextChoices):
        FRESH = "fresh", "Fresh"
        FROZEN = "frozen", "Frozen"

    number = models.CharField(max_length=40, db_index=True)
    male = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="milt_lots")
    collected_on = models.DateField()
    state = models.CharField(max_length=6, choices=State.choices)
    doses = models.PositiveIntegerField(help_text="Straws, or portions of fresh milt, laid in.")
    motility_percent = models.DecimalField(max_digits=5, decimal_places=2, null=True)
    position = models.CharField(max_length=60, blank=True, help_text="Dewar, canister and cane.")
    notes = models.TextField(blank=True, max_length=4000)

    class Meta(Record.Meta):
        constraints = [
            # A lot is written again, under its number, when its male's two numbers prove to be one fish.
            models.UniqueConstraint(
                fields=["number"], condition=models.Q(withdrawn__isnull=True), name="milt_lot_number_once"
            ),
        ]

    def __str__(self) -> str:
        return self.number


class MiltUse(Record):
    """Doses taken out of a lot: used in a spawning, tested or discarded."""

    lot = models.ForeignKey(MiltLot, on_delete=models.PROTECT, related_name="uses")
    used_on = models.DateField()
    doses = models.PositiveIntegerField()
    spawning = models.ForeignKey("registry.Spawning", on_delete=models.PROTECT, null=True, related_name="milt_used")
    purpose = models.CharField(max_length=40)
    sent_to = models.CharField(max_length=80, blank=True, help_text="Of doses given away: where they went.")
    permit = models.CharField(max_length=60, blank=True, help_text="Under which doses were given away.")
    abroad = models.BooleanField(default=False, help_text="They went across a border.")

    GIVEN_AWAY = "given away"

    class Meta(Record.Meta):
        constraints = [models.CheckConstraint(condition=models.Q(doses__gt=0), name="doses_used_above_zero")]

    def __str__(self) -> str:
        return f"{self.doses} doses of {self.lot}"
