"""What a plan is asked for: terms, limits set off from their defaults, and what the geneticist knows better."""

from django.db import models

from registry.models.crossing.plans import CrossPlan
from registry.models.record import Record


def one_current(*fields: str, name: str) -> models.UniqueConstraint:
    """Return the constraint that a later row withdraws the earlier one."""
    return models.UniqueConstraint(fields=list(fields), condition=models.Q(withdrawn__isnull=True), name=name)


class PlanTerms(Record):
    """How many crosses, by which scheme, weighed how."""

    plan = models.ForeignKey(CrossPlan, on_delete=models.PROTECT, related_name="terms")
    crosses = models.PositiveSmallIntegerField(help_text="Crosses wanted.")
    scheme = models.CharField(max_length=20, help_text="A key of the table of schemes in registry.rules.crossing.")
    mates = models.PositiveSmallIntegerField(null=True, help_text="Mates a fish, where the scheme asks for it.")
    price = models.DecimalField(
        max_digits=9, decimal_places=6, help_text="Price on the mean kinship of the pairs, beside group coancestry."
    )
    count_living = models.BooleanField(help_text="The young are judged together with the living stock.")
    weight_of_young = models.DecimalField(
        max_digits=7, decimal_places=6, null=True, help_text="Share of the young; empty: by the young expected."
    )
    count_made = models.BooleanField(help_text="Families already made this season count.")

    class Meta(Record.Meta):
        verbose_name_plural = "plan terms"
        constraints = [
            one_current("plan", name="one_current_set_of_terms"),
            models.CheckConstraint(condition=models.Q(crosses__gt=0), name="crosses_wanted_above_zero"),
            models.CheckConstraint(
                condition=models.Q(mates__isnull=True) | models.Q(mates__gt=0), name="mates_above_zero"
            ),
            models.CheckConstraint(condition=models.Q(price__gte=0), name="price_not_below_zero"),
            models.CheckConstraint(
                condition=models.Q(weight_of_young__isnull=True)
                | models.Q(weight_of_young__gt=0, weight_of_young__lte=1),
                name="weight_of_young_over_0_up_to_1",
            ),
        ]

    def __str__(self) -> str:
        return f"terms of {self.plan}"


class PlanLimit(Record):
    """A limit of one plan set off from its default, with the reason; no value: lifted."""

    plan = models.ForeignKey(CrossPlan, on_delete=models.PROTECT, related_name="limits")
    key = models.SlugField(max_length=40)
    value = models.DecimalField(max_digits=12, decimal_places=6, null=True)
    reason = models.CharField(max_length=400)

    class Meta(Record.Meta):
        constraints = [
            one_current("plan", "key", name="limit_once_in_plan"),
            models.CheckConstraint(
                condition=models.Q(value__isnull=True) | models.Q(value__gte=0), name="limit_not_below_zero"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.key} in {self.plan}"


class PlanFish(Record):
    """The geneticist's word on a fish: out, in though not ripe yet, used a limited number of times, or chosen."""

    class Stand(models.TextChoices):
        IN = "in", "In, though not ripe yet"
        OUT = "out", "Out"
        LIMITED = "limited", "Limited"
        CHOSEN = "chosen", "Chosen"

    plan = models.ForeignKey(CrossPlan, on_delete=models.PROTECT, related_name="fish")
    fish = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="stands_in_plans")
    stand = models.CharField(max_length=10, choices=Stand.choices)
    most = models.PositiveSmallIntegerField(null=True, help_text="Crosses at most, for a limited fish.")
    reason = models.CharField(max_length=400)

    class Meta(Record.Meta):
        verbose_name_plural = "plan fish"
        constraints = [
            one_current("plan", "fish", name="fish_once_in_plan"),
            models.CheckConstraint(
                condition=models.Q(stand="limited", most__isnull=False, most__gt=0)
                | (~models.Q(stand="limited") & models.Q(most=None)),
                name="limited_fish_has_its_number",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.fish} in {self.plan}"


class PlanPair(Record):
    """A pair that must be in the plan, or must not."""

    class Stand(models.TextChoices):
        LOCKED = "locked", "Locked"
        FORBIDDEN = "forbidden", "Forbidden"

    plan = models.ForeignKey(CrossPlan, on_delete=models.PROTECT, related_name="pair_wishes")
    dam = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="+")
    sire = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="+")
    stand = models.CharField(max_length=10, choices=Stand.choices)
    reason = models.CharField(max_length=400, blank=True)

    class Meta(Record.Meta):
        constraints = [one_current("plan", "dam", "sire", name="wish_once_of_a_pair")]

    def __str__(self) -> str:
        return f"{self.dam} × {self.sire} in {self.plan}"
