"""Documents: certificates, letters, reports, pictures, kept as files and attached to what they are about."""

from functools import reduce
from operator import or_

from django.db import models
from django.db.models.functions import Coalesce

from registry.models.record import Record
from registry.rules.papers.files import KINDS

# What a document can be attached to; each is a column of DocumentSubject.
ABOUT = (
    "fish", "batch", "family", "spawning", "milt_lot", "release", "recapture", "permit", "plan", "facility", "unit",
    "stock",
)  # fmt: skip


class Document(Record):
    """A file of the register: its content is kept under its hash, and the journal entry holds the hash."""

    number = models.CharField(max_length=40, unique=True)
    title = models.CharField(max_length=120, help_text="What it is, in a few words.")
    dated = models.DateField(null=True, help_text="The day that stands on it.")
    name = models.CharField(max_length=100, help_text="Name of the file, as it is given out.")
    kind = models.CharField(max_length=10, choices=[(kind.key, kind.words) for kind in KINDS.values()])
    size_bytes = models.PositiveBigIntegerField()
    sha256 = models.CharField(max_length=64, db_index=True, help_text="SHA-256 of the content.")
    notes = models.TextField(blank=True, max_length=4000)

    KEPT_FILES = ("sha256",)

    def __str__(self) -> str:
        return self.number


class DocumentSubject(Record):
    """A document is about one record; a certificate for a batch and its release has two of these."""

    document = models.ForeignKey(Document, on_delete=models.PROTECT, related_name="subjects")
    fish = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, null=True, related_name="+")
    batch = models.ForeignKey("registry.Batch", on_delete=models.PROTECT, null=True, related_name="+")
    family = models.ForeignKey("registry.Family", on_delete=models.PROTECT, null=True, related_name="+")
    spawning = models.ForeignKey("registry.Spawning", on_delete=models.PROTECT, null=True, related_name="+")
    milt_lot = models.ForeignKey("registry.MiltLot", on_delete=models.PROTECT, null=True, related_name="+")
    release = models.ForeignKey("registry.Release", on_delete=models.PROTECT, null=True, related_name="+")
    recapture = models.ForeignKey("registry.Recapture", on_delete=models.PROTECT, null=True, related_name="+")
    permit = models.ForeignKey("registry.Permit", on_delete=models.PROTECT, null=True, related_name="+")
    plan = models.ForeignKey("registry.CrossPlan", on_delete=models.PROTECT, null=True, related_name="+")
    facility = models.ForeignKey("registry.Facility", on_delete=models.PROTECT, null=True, related_name="+")
    unit = models.ForeignKey("registry.HoldingUnit", on_delete=models.PROTECT, null=True, related_name="+")
    stock = models.ForeignKey("registry.Stock", on_delete=models.PROTECT, null=True, related_name="+")

    class Meta(Record.Meta):
        constraints = [
            models.CheckConstraint(
                condition=reduce(
                    or_, (models.Q(**{f"{name}__isnull": name != one for name in ABOUT}) for one in ABOUT)
                ),
                name="document_about_one_record",
            ),
            models.UniqueConstraint(
                "document",
                *(Coalesce(name, 0) for name in ABOUT),
                condition=models.Q(withdrawn__isnull=True),
                name="document_once_on_a_record",
            ),
        ]

    def __str__(self) -> str:
        return f"document {self.document}"
