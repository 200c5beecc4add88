"""The review of a plan: its steps, its signature, remarks on it, and words on what was not made or made beside it."""

from django.conf import settings
from django.db import models

from registry.models.crossing.plans import CrossPlan, PlannedCross
from registry.models.crossing.wishes import one_current
from registry.models.record import Record


class PlanSignature(Record):
    """The geneticist's word on a plan; a signed plan is never changed."""

    plan = models.OneToOneField(CrossPlan, on_delete=models.PROTECT, related_name="signature")
    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    signed_on = models.DateField()
    statement = models.TextField(max_length=1000)

    def __str__(self) -> str:
        return f"{self.plan} signed by {self.user}"


class PlanReview(Record):
    """A step of a plan's way: handed in for review, returned with reasons, closed after the season."""

    class Step(models.TextChoices):
        SUBMITTED = "submitted", "Handed in for review"
        RETURNED = "returned", "Returned"
        CLOSED = "closed", "Closed"

    plan = models.ForeignKey(CrossPlan, on_delete=models.PROTECT, related_name="reviews")
    step = models.CharField(max_length=10, choices=Step.choices)
    words = models.TextField(blank=True, max_length=1000)

    class Meta(Record.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["plan"], condition=models.Q(step="closed", withdrawn__isnull=True), name="plan_closed_once"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.plan} {self.get_step_display().lower()}"


class PlanRemark(Record):
    """A comment on a plan or on one of its crosses."""

    plan = models.ForeignKey(CrossPlan, on_delete=models.PROTECT, related_name="remarks")
    dam = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, null=True, related_name="+")
    sire = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, null=True, related_name="+")
    words = models.TextField(max_length=1000)

    class Meta(Record.Meta):
        constraints = [
            models.CheckConstraint(
                condition=models.Q(dam__isnull=True, sire__isnull=True)
                | models.Q(dam__isnull=False, sire__isnull=False),
                name="remark_on_a_plan_or_a_pair",
            ),
        ]

    def __str__(self) -> str:
        return f"remark on {self.plan}"


class CrossNotMade(Record):
    """Why a planned cross was not made."""

    planned = models.ForeignKey(PlannedCross, on_delete=models.PROTECT, related_name="not_made")
    reason = models.CharField(max_length=400)

    class Meta(Record.Meta):
        verbose_name_plural = "crosses not made"
        constraints = [one_current("planned", name="one_reason_of_a_cross_not_made")]

    def __str__(self) -> str:
        return f"{self.planned} not made"


class OffPlanSeen(Record):
    """The geneticist's or the manager's word on a cross made outside the signed plan."""

    cross = models.ForeignKey("registry.Cross", on_delete=models.PROTECT, related_name="seen_off_plan")
    words = models.CharField(max_length=400)

    class Meta(Record.Meta):
        verbose_name_plural = "crosses seen off plan"
        constraints = [one_current("cross", name="off_plan_cross_seen_once")]

    def __str__(self) -> str:
        return f"{self.cross}, seen"
