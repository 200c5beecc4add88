"""The double-entry ledger of fish counts: every change moves a whole number of fish from one account to another."""

from django.db import models
from django.db.models.functions import Coalesce

from registry.models.record import Record


class Account(Record):
    """Where fish are counted. Only holding accounts (batches) may never fall below zero.

    `balance` is kept for speed: the sum of what came in less what went out, recomputed by `verify_journal`. It is the
    one column of the register that changes in place.
    """

    class Kind(models.TextChoices):
        BATCH = "batch", "Batch"
        FAMILY = "family", "Eggs of a family"
        RECEIVED = "received", "Received from elsewhere"
        LOSS = "loss", "Losses"
        SAMPLE = "sample", "Samples"
        CULL = "cull", "Culled"
        REGISTERED = "registered", "Individually registered"
        RELEASED = "released", "Released"
        TRANSFERRED = "transferred", "Transferred out"
        CORRECTION = "correction", "Count correction"

    kind = models.CharField(max_length=12, choices=Kind.choices)
    batch = models.OneToOneField("registry.Batch", on_delete=models.PROTECT, null=True, related_name="account")
    family = models.OneToOneField("registry.Family", on_delete=models.PROTECT, null=True, related_name="account")
    balance = models.BigIntegerField(default=0)

    class Meta(Record.Meta):
        constraints = [
            models.CheckConstraint(
                condition=~models.Q(kind="batch") | models.Q(balance__gte=0), name="no_batch_below_zero"
            ),
            models.UniqueConstraint("kind", Coalesce("batch", 0), Coalesce("family", 0), name="account_once"),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.batch or self.family or ''}".strip()


class Transfer(Record):
    """A whole number of fish moved from one account to another on a day."""

    class Event(models.TextChoices):
        OPEN = "open", "Opened"
        LOSS = "loss", "Loss"
        SAMPLE = "sample", "Sample"
        CULL = "cull", "Cull"
        CENSUS = "census", "Count"
        SPLIT = "split", "Split"
        MERGE = "merge", "Merge"
        REGISTER = "register", "Registered individually"
        RELEASE = "release", "Release"
        TRANSFER = "transfer", "Transferred out"

    event = models.CharField(max_length=10, choices=Event.choices)
    moved_on = models.DateField()
    from_account = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="out")
    to_account = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="into")
    count = models.PositiveIntegerField()
    stage = models.CharField(max_length=30, blank=True)
    method = models.CharField(max_length=60, blank=True, help_text="How the fish were counted.")
    uncertainty = models.PositiveIntegerField(null=True, help_text="Plus or minus, in fish.")
    counted = models.PositiveIntegerField(null=True, help_text="What a census found.")
    release = models.ForeignKey("registry.Release", on_delete=models.PROTECT, null=True, related_name="transfers")
    permit = models.CharField(max_length=60, blank=True, help_text="Of fish transferred out; a release has its own.")
    abroad = models.BooleanField(default=False, help_text="They went across a border.")
    notes = models.TextField(blank=True, max_length=4000)

    class Meta(Record.Meta):
        ordering = ["moved_on", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=~models.Q(from_account=models.F("to_account")), name="transfer_between_two_accounts"
            ),
            models.CheckConstraint(
                condition=models.Q(count__gt=0) | models.Q(event="census"), name="transfer_moves_fish"
            ),
        ]
        indexes = [
            models.Index(fields=["from_account", "moved_on"], name="transfers_out_of"),
            models.Index(fields=["to_account", "moved_on"], name="transfers_into"),
        ]

    def __str__(self) -> str:
        return f"{self.count} fish, {self.get_event_display().lower()}"
