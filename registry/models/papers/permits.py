"""Permits: what an authority allows, to how many fish, where and until when."""

from django.db import models
from django.db.models.functions import Coalesce, Lower

from registry.models.record import Record


class PermitAct(models.TextChoices):
    """What is done under a permit. `rules.papers.acts` counts by these words."""

    CAPTURE = "capture", "Capture"
    HOLDING = "holding", "Holding"
    TRANSFER = "transfer", "Transfer out"
    RELEASE = "release", "Release"
    TRADE = "trade", "Across a border"


class Specimen(models.TextChoices):
    """What is counted under a permit. `rules.papers.acts` counts by these words."""

    FISH = "", "Fish: young and eggs too"
    MILT = "milt", "Milt: doses"
    SAMPLE = "sample", "Samples: tubes"


class Permit(Record):
    """A permit by the number that the authority gave it; records name it by that number.

    One that was entered in error has no details that stand; entered again, its number is the same permit.
    """

    number = models.CharField(max_length=60)

    class Meta(Record.Meta):
        constraints = [
            models.UniqueConstraint(Lower("number"), name="permit_number_once"),
        ]

    def __str__(self) -> str:
        return self.number


class PermitDetails(Record):
    """What a permit says. A correction writes a later row, with what it allows, and withdraws this one."""

    permit = models.ForeignKey(Permit, on_delete=models.PROTECT, related_name="details")
    issuer = models.CharField(max_length=120, help_text="The authority or office, by its role; no person's name.")
    valid_from = models.DateField()
    valid_until = models.DateField(null=True, help_text="Last day on which it holds; empty: no end is stated.")
    places = models.TextField(blank=True, max_length=1000, help_text="One a line, as the permit names them.")
    purpose = models.CharField(max_length=1, blank=True, help_text="CITES purpose-of-transaction code, as given.")
    source = models.CharField(max_length=1, blank=True, help_text="CITES source code, as given.")
    notes = models.TextField(blank=True, max_length=4000)

    class Meta(Record.Meta):
        verbose_name_plural = "permit details"
        constraints = [
            models.UniqueConstraint(
                fields=["permit"], condition=models.Q(withdrawn__isnull=True), name="one_current_set_of_permit_details"
            ),
            models.CheckConstraint(
                condition=models.Q(valid_until__isnull=True) | models.Q(valid_until__gte=models.F("valid_from")),
                name="permit_ends_after_start",
            ),
        ]

    def __str__(self) -> str:
        return f"details of permit {self.permit}"


class PermitAllowance(Record):
    """One line of what a permit allows: an act, of which species and stock, with how many fish at most.

    An act counts against every line that covers it, so that a line for all and a line for one stock both hold.
    """

    details = models.ForeignKey(PermitDetails, on_delete=models.PROTECT, related_name="allowances")
    act = models.CharField(max_length=10, choices=PermitAct.choices)
    specimen = models.CharField(max_length=6, choices=Specimen.choices, blank=True, default=Specimen.FISH)
    species = models.ForeignKey("registry.Species", on_delete=models.PROTECT, null=True, related_name="+")
    stock = models.ForeignKey("registry.Stock", on_delete=models.PROTECT, null=True, related_name="+")
    most = models.PositiveIntegerField(null=True, help_text="In all, young included; empty: no number is stated.")

    class Meta(Record.Meta):
        constraints = [
            models.UniqueConstraint(
                "details", "act", "specimen", Coalesce("species", 0), Coalesce("stock", 0), name="permit_line_once"
            ),
            models.CheckConstraint(
                condition=models.Q(most__isnull=True) | models.Q(most__gte=1), name="permit_allows_at_least_one"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_act_display()} under {self.details.permit}"
