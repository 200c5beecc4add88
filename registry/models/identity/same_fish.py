"""Which fish is this: codes met on a second fish, two numbers that prove to be one fish, and fish held apart."""

from django.db import models

from registry.models.record import Record
from registry.models.tags import Evidence, Tag


class SetAside(Record):
    """A code read on one fish while it is on record on another: makers do give a code out twice.

    It is no tag of the fish until somebody has found out; the night's work goes on meanwhile.
    """

    class Resolution(models.TextChoices):
        RETAGGED = "retagged", "The fish was given another tag"
        HOLDER_ENDED = "holder ended", "The tag of the other fish had ended"
        MISREAD = "misread", "The code was misread"
        ONE_FISH = "one fish", "Both numbers are one fish"

    fish = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="codes_set_aside")
    holder = models.ForeignKey(
        "registry.Fish", on_delete=models.PROTECT, related_name="codes_met_again", help_text="The fish that bears it."
    )
    system = models.CharField(max_length=10, choices=Tag.System.choices)
    code = models.CharField(max_length=24, db_index=True)
    read_on = models.DateField()
    reason = models.CharField(max_length=200, help_text="What was seen, and why it is not the same fish.")
    resolved_on = models.DateField(null=True)
    resolution = models.CharField(max_length=12, choices=Resolution.choices, blank=True)

    OPEN_ENDS = ("resolved_on", "resolution")

    class Meta(Record.Meta):
        verbose_name = "code set aside"
        verbose_name_plural = "codes set aside"
        constraints = [
            models.UniqueConstraint(
                fields=["fish", "system", "code"],
                condition=models.Q(resolved_on__isnull=True, withdrawn__isnull=True),
                name="code_set_aside_once",
            ),
            models.CheckConstraint(
                condition=~models.Q(fish=models.F("holder")), name="code_set_aside_between_two_fish"
            ),
            models.CheckConstraint(
                condition=models.Q(resolved_on__isnull=True) | models.Q(resolved_on__gte=models.F("read_on")),
                name="set_aside_resolved_after_it_began",
            ),
        ]

    def __str__(self) -> str:
        return self.code


class SameFish(Record):
    """Two register numbers that prove to be one fish. `other` stays readable and points to `kept`.

    All rows that named the other fish are taken back and written again for the kept one, under the same entry; which
    row became which is kept in `Rewritten`. Withdrawn when it turns out that they were two fish after all.
    """

    kept = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="numbers_joined")
    other = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="proved_to_be")
    proved_on = models.DateField()
    evidence = models.CharField(max_length=12, choices=Evidence.choices)
    probability = models.DecimalField(max_digits=4, decimal_places=3, null=True, help_text="Where it is asserted.")

    class Meta(Record.Meta):
        verbose_name = "two numbers of one fish"
        constraints = [
            models.UniqueConstraint(
                fields=["other"], condition=models.Q(withdrawn__isnull=True), name="number_proved_one_fish_only"
            ),
            models.CheckConstraint(condition=~models.Q(kept=models.F("other")), name="two_numbers_to_be_one_fish"),
            models.CheckConstraint(
                condition=models.Q(probability__isnull=True) | models.Q(probability__gt=0, probability__lte=1),
                name="same_fish_probability_over_0_up_to_1",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.other} is {self.kept}"


class Rewritten(Record):
    """One row that was taken back and written again when two numbers were joined, or parted again.

    `later` is empty where nothing stands for the row: the pair fell out, or the other fish's own details.
    """

    kind = models.CharField(max_length=40)
    earlier = models.BigIntegerField()
    later = models.BigIntegerField(null=True)

    class Meta(Record.Meta):
        verbose_name = "row written again"
        verbose_name_plural = "rows written again"
        constraints = [models.UniqueConstraint(fields=["kind", "earlier"], name="row_written_again_once")]
        indexes = [models.Index(fields=["kind", "later"], name="what_a_row_was_before")]

    def __str__(self) -> str:
        return f"{self.kind} {self.earlier}"


class HeldApart(Record):
    """A fish of the register that was offered when a new one came, and was held to be another fish."""

    fish = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="held_apart_from")
    candidate = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="offered_for")
    evidence = models.CharField(max_length=400, help_text="What spoke for it, as it was shown.")

    class Meta(Record.Meta):
        verbose_name = "fish held apart"
        verbose_name_plural = "fish held apart"
        constraints = [
            models.CheckConstraint(condition=~models.Q(fish=models.F("candidate")), name="held_apart_from_another"),
        ]

    def __str__(self) -> str:
        return f"{self.fish} is not {self.candidate}"
