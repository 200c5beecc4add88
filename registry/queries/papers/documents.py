"""Documents, and the records that they are about."""

from dataclasses import dataclass

from django.db.models import F, Q, QuerySet

from registry.models import (
    Batch,
    CrossPlan,
    Document,
    DocumentSubject,
    Facility,
    Family,
    Fish,
    HoldingUnit,
    MiltLot,
    Permit,
    Recapture,
    Record,
    Release,
    Spawning,
    Stock,
)

# Kinds of record that a document can be about: the word for each, its model, and the column that names one.
KINDS: dict[str, tuple[str, type[Record], str]] = {
    "fish": ("Fish", Fish, "number"),
    "batch": ("Batch", Batch, "number"),
    "family": ("Family", Family, "number"),
    "spawning": ("Spawning", Spawning, "number"),
    "milt_lot": ("Milt lot", MiltLot, "number"),
    "release": ("Release", Release, "number"),
    "recapture": ("Recapture", Recapture, "number"),
    "permit": ("Permit", Permit, "number"),
    "plan": ("Cross plan", CrossPlan, "number"),
    "facility": ("Facility", Facility, "name"),
    "unit": ("Holding unit", HoldingUnit, "name"),
    "stock": ("Stock", Stock, "name"),
}
_STANDING_FIRST = F("withdrawn").asc(nulls_first=True)


@dataclass(frozen=True, slots=True)
class Subject:
    """One record that a document is about."""

    kind: str
    number: str

    @property
    def words(self) -> str:
        """Return what it is: "Milt lot K07-01"."""
        return f"{KINDS[self.kind][0]} {self.number}"

    @property
    def text(self) -> str:
        """Return it as an address names it: "milt_lot:K07-01"."""
        return f"{self.kind}:{self.number}"


def record_of(kind: str, number: str) -> Record | None:
    """Return the record of that kind and number, whatever the case it was typed in."""
    if kind not in KINDS or not number:
        return None
    _, model, column = KINDS[kind]
    return model.objects.filter(**{f"{column}__iexact": number}).order_by(_STANDING_FIRST).first()


def subject_meant(text: str) -> Subject | None:
    """Return the record that an address names ("fish:F1"); None where there is none."""
    kind, _, number = text.partition(":")
    record = record_of(kind, number.strip())
    return Subject(kind, getattr(record, KINDS[kind][2])) if record else None


def documents_on(kind: str, number: str) -> QuerySet[Document]:
    """Return the documents about one record, the latest first."""
    _, _, column = KINDS[kind]
    about = DocumentSubject.objects.current().filter(**{f"{kind}__{column}": number})
    return Document.objects.current().filter(pk__in=about.values("document")).order_by("-dated", "-pk")


def subjects_of(documents: list[int]) -> dict[int, list[Subject]]:
    """Return what each document is about, by the document's key, as it stood when it was taken back, if it was."""
    columns = [(kind, f"{kind}__{column}") for kind, (_, _, column) in KINDS.items()]
    standing = Q(withdrawn__isnull=True) | Q(withdrawn=F("document__withdrawn"))
    rows = DocumentSubject.objects.filter(standing, document__in=documents).order_by("pk")
    found: dict[int, list[Subject]] = {key: [] for key in documents}
    for key, *numbers in rows.values_list("document", *(path for _, path in columns)):
        found[key] += [Subject(kind, str(n)) for (kind, _), n in zip(columns, numbers, strict=True) if n is not None]
    return found
