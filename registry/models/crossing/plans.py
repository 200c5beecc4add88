"""Cross plans: the crosses proposed for a stock and season, and the figures and proof of a set of crosses."""

from django.db import models

from registry.models.record import Record


class CrossPlan(Record):
    """The crosses proposed for one stock and season. A signed one is changed by an amendment: a plan of its own."""

    number = models.CharField(max_length=40, unique=True)
    stock = models.ForeignKey("registry.Stock", on_delete=models.PROTECT, related_name="plans")
    season = models.PositiveSmallIntegerField()
    notes = models.TextField(blank=True, max_length=4000)
    amends = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, related_name="amendments", help_text="The first issue of the plan."
    )
    amendment = models.PositiveSmallIntegerField(null=True, help_text="1, 2, 3 …; empty for the first issue.")

    class Meta(Record.Meta):
        constraints = [
            models.UniqueConstraint(fields=["amends", "amendment"], name="amendment_number_once"),
            models.CheckConstraint(
                condition=models.Q(amends__isnull=True, amendment__isnull=True)
                | models.Q(amends__isnull=False, amendment__isnull=False, amendment__gt=0),
                name="amendment_of_a_plan_is_numbered",
            ),
        ]

    def __str__(self) -> str:
        return self.number


class PlannedCross(Record):
    """One dam × one sire in a plan; taken out of a draft by withdrawing it."""

    plan = models.ForeignKey(CrossPlan, on_delete=models.PROTECT, related_name="planned")
    dam = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="planned_as_dam")
    sire = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="planned_as_sire")
    kinship = models.DecimalField(
        max_digits=9, decimal_places=8, help_text="Kinship of the pair at the stock's ploidy, when it was put in."
    )
    young = models.PositiveIntegerField(null=True, help_text="Young wanted of this family; empty: as of the others.")
    comment = models.CharField(max_length=200, blank=True)

    class Meta(Record.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["plan", "dam", "sire"], condition=models.Q(withdrawn__isnull=True), name="pair_once_in_plan"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.dam} × {self.sire}"


class PlanAnswer(Record):
    """The figures and proof of a plan's crosses, from the optimiser or computed again after a change by hand.

    Figures are of the crosses as they stood at this row's entry; `asked` says of which question, as JSON.
    """

    plan = models.ForeignKey(CrossPlan, on_delete=models.PROTECT, related_name="answers")
    objective = models.DecimalField(max_digits=18, decimal_places=12, help_text="J, what the plan makes least.")
    lower_bound = models.DecimalField(
        max_digits=18, decimal_places=12, null=True, help_text="No plan within the limits has a lower J, if known."
    )
    group_coancestry = models.DecimalField(max_digits=13, decimal_places=12, help_text="Of the young: cᵀKc.")
    mean_inbreeding = models.DecimalField(max_digits=13, decimal_places=12, help_text="Expected F of the young.")
    proven = models.BooleanField(help_text="No plan within the limits is better.")
    seconds = models.DecimalField(max_digits=9, decimal_places=3)
    asked = models.TextField(blank=True, max_length=100_000, help_text="Terms, limits and pedigree revision, as JSON.")

    class Meta(Record.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["plan"], condition=models.Q(withdrawn__isnull=True), name="one_current_answer_of_a_plan"
            ),
        ]

    def __str__(self) -> str:
        return f"figures of {self.plan}"
