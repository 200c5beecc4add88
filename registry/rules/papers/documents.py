"""What may be entered of a document."""

from dataclasses import dataclass
from datetime import date

from registry.errors import Objection
from registry.rules.days import spoken
from registry.rules.texts import objections_to_texts


@dataclass(frozen=True, slots=True, kw_only=True)
class DocumentAttached:
    """A file that was laid aside (by its hash) becomes a document about one record of a `kind` and `number`."""

    kind: str
    number: str
    title: str
    sha256: str
    name: str
    dated: date | None = None
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DocumentAlso:
    """A document that is there already is about another record too."""

    document: str
    kind: str
    number: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DocumentWithdrawn:
    """A document that does not belong here, and why; its file stays."""

    document: str
    reason: str


def objections_to_document(entry: DocumentAttached, today: date) -> list[Objection]:
    """Return what is wrong with what is said of a document."""
    found = objections_to_texts(entry, {"number": 80, "name": 1000})
    if not entry.title:
        found.append(Objection("missing_title", "title", "Say what it is: health certificate, letter, report."))
    if entry.dated and entry.dated > today:
        text = f"{spoken(entry.dated)} lies in the future. Take the day that stands on the paper."
        found.append(Objection("future_date", "dated", text))
    return found


def objections_to_withdrawal(entry: DocumentWithdrawn) -> list[Objection]:
    """Return what is wrong with taking a document back."""
    found = objections_to_texts(entry)
    if not entry.reason.strip():
        found.append(Objection("no_reason", "reason", "Say why: the reason stands in the journal beside the document."))
    return found
