"""Cross plans, planned crosses, signatures, and families: the offspring of made crosses."""

from django.conf import settings
from django.db import models

from registry.models.parentage import Parentage
from registry.models.record import Record


class CrossPlan(Record):
    """The crosses proposed for one stock and season."""

    number = models.CharField(max_length=40, unique=True)
    stock = models.ForeignKey("registry.Stock", on_delete=models.PROTECT, related_name="plans")
    season = models.PositiveSmallIntegerField()
    notes = models.TextField(blank=True, max_length=4000)

    def __str__(self) -> str:
        return self.number


class PlannedCross(Record):
    """One dam × one sire in a plan; taken out of a draft by withdrawing it."""

    plan = models.ForeignKey(CrossPlan, on_delete=models.PROTECT, related_name="planned")
    dam = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="planned_as_dam")
    sire = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="planned_as_sire")
    kinship = models.DecimalField(max_digits=9, decimal_places=8, help_text="Kinship of the pair when it was put in.")
    comment = models.CharField(max_length=200, blank=True)

    class Meta(Record.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["plan", "dam", "sire"], condition=models.Q(withdrawn__isnull=True), name="pair_once_in_plan"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.dam} × {self.sire}"


class PlanSignature(Record):
    """The geneticist's word on a plan; a signed plan is never changed."""

    plan = models.OneToOneField(CrossPlan, on_delete=models.PROTECT, related_name="signature")
    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    signed_on = models.DateField()
    statement = models.TextField(max_length=1000)

    def __str__(self) -> str:
        return f"{self.plan} signed by {self.user}"


class Family(Record):
    """The offspring of one made cross; a pooled family has several possible sires (or dams)."""

    number = models.CharField(max_length=40, unique=True)
    stock = models.ForeignKey("registry.Stock", on_delete=models.PROTECT, null=True, related_name="families")

    class Meta(Record.Meta):
        verbose_name_plural = "families"

    def __str__(self) -> str:
        return self.number


class FamilyParents(Record):
    """The parentage of a family as known; a correction writes a later one."""

    family = models.ForeignKey(Family, on_delete=models.PROTECT, related_name="parents")
    parentage = models.ForeignKey(Parentage, on_delete=models.PROTECT, related_name="families")

    class Meta(Record.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["family"], condition=models.Q(withdrawn__isnull=True), name="one_current_parentage_of_a_family"
            ),
        ]

    def __str__(self) -> str:
        return f"parents of {self.family}"
