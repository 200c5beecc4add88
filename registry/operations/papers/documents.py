"""Documents: attached to records, withdrawn with a reason. The file itself stays."""

from typing import Any

from registry.errors import Objection
from registry.files.store import keep, laid_content
from registry.models import Document, DocumentSubject
from registry.operations.shared.desk import Deed, Desk, next_number
from registry.permissions import CORRECT, ENTER, Actor
from registry.queries.known import Named
from registry.queries.papers.documents import KINDS, record_of
from registry.rules.known import Known
from registry.rules.papers.documents import (
    DocumentAlso,
    DocumentAttached,
    DocumentWithdrawn,
    objections_to_document,
    objections_to_withdrawal,
)
from registry.rules.papers.files import kind_of, read_file, safe_name
from registry.rules.reading import shown


def attach_document(by: Actor, entry: DocumentAttached) -> Document:
    """Keep a file and attach it to a record. Refused: no such record, a file of no kept kind or no longer here."""
    return ATTACHING.do(by, entry)


def attach_also(by: Actor, entry: DocumentAlso) -> Document:
    """Attach a document to another record too. Refused: no such document or record, attached there already."""
    return ATTACHING_ALSO.do(by, entry)


def withdraw_document(by: Actor, entry: DocumentWithdrawn) -> Document:
    """Take a document back with a reason; its file stays. Refused: no reason, taken back already."""
    return WITHDRAWAL.do(by, entry)


def _judge(entry: DocumentAttached, known: Known) -> list[Objection]:
    found = objections_to_document(entry, known.today) + _objections_to_subject(entry.kind, entry.number)
    content = laid_content(entry.sha256) if entry.sha256 else None
    if content is None:
        text = "The file is not here. Choose it, or choose it again."
        return [*found, Objection("missing_file", "file", text)]
    found += read_file(content, entry.name).on("file").objections
    if not found:
        found += _objections_to_repeating(entry)
    return found


def _objections_to_subject(kind: str, number: str) -> list[Objection]:
    if kind not in KINDS:
        text = f"A document cannot be attached to “{shown(kind)}”. Choose one of {', '.join(KINDS)}."
        return [Objection("bad_kind", "kind", text, kind)]
    if record_of(kind, number) is None:
        text = f"There is no {KINDS[kind][0].lower()} {shown(number)} in the register. Correct it."
        return [Objection("unknown_record", "number", text, number)]
    return []


def _objections_to_repeating(entry: DocumentAttached) -> list[Objection]:
    record = record_of(entry.kind, entry.number)
    held = DocumentSubject.objects.current().filter(**{entry.kind: record}, document__sha256=entry.sha256)
    number = held.values_list("document__number", flat=True).first()
    if number is None:
        return []
    text = f"This very file is attached here already, as document {number}."
    return [Objection("duplicate_id", "file", text, number)]


def _write(desk: Desk, entry: DocumentAttached) -> Document:
    content = laid_content(entry.sha256) or b""
    kind = kind_of(content, entry.name)
    assert kind is not None
    keep(entry.sha256)
    number = next_number(Document, f"D{desk.known.today:%y-%m-%d}", desk.new)
    made = desk.entry("document attached", f"document {number}")
    document = desk.remember(
        made.add(
            Document(
                number=number, title=entry.title, dated=entry.dated, name=safe_name(entry.name, kind), kind=kind.key,
                size_bytes=len(content), sha256=entry.sha256, notes=entry.notes,
            )
        )
    )  # fmt: skip
    made.add(_about(document, entry.kind, entry.number))
    return document


def _about(document: Document, kind: str, number: str) -> DocumentSubject:
    about: dict[str, Any] = {kind: record_of(kind, number)}
    return DocumentSubject(document=document, **about)


def _judge_also(entry: DocumentAlso, _known: Known) -> list[Objection]:
    found = _objections_to_naming(entry.document) + _objections_to_subject(entry.kind, entry.number)
    if not found:
        about = {entry.kind: record_of(entry.kind, entry.number)}
        if DocumentSubject.objects.current().filter(document__number__iexact=entry.document, **about).exists():
            text = f"Document {entry.document} is attached there already."
            found.append(Objection("duplicate_id", "number", text, entry.number))
    return found


def _write_also(desk: Desk, entry: DocumentAlso) -> Document:
    document = _standing(entry.document)
    assert document is not None
    made = desk.entry("document attached", f"document {document.number}")
    made.add(_about(document, entry.kind, entry.number))
    return document


def _judge_withdrawal(entry: DocumentWithdrawn, _known: Known) -> list[Objection]:
    return objections_to_withdrawal(entry) + _objections_to_naming(entry.document)


def _write_withdrawal(desk: Desk, entry: DocumentWithdrawn) -> Document:
    document = _standing(entry.document)
    assert document is not None
    made = desk.door.open(
        "document withdrawn", f"document {document.number}", reason=entry.reason, corrects=document.entry
    )
    made.withdraw(document)
    for row in document.subjects.current():
        made.withdraw(row)
    return document


def _standing(number: str) -> Document | None:
    return Document.objects.current().filter(number__iexact=number).select_related("entry").first()


def _objections_to_naming(number: str) -> list[Objection]:
    if _standing(number):
        return []
    text = f"There is no document {shown(number)} in the register, or it was withdrawn already."
    return [Objection("unknown_document", "document", text, number)]


def _note(_entry: object, _known: Known) -> None:
    """Leave it to the register: nothing else of a desk depends on a document."""


ATTACHING = Deed(ENTER, lambda _: Named(), _judge, _note, _write)
ATTACHING_ALSO = Deed(ENTER, lambda _: Named(), _judge_also, _note, _write_also)
WITHDRAWAL = Deed(CORRECT, lambda _: Named(), _judge_withdrawal, _note, _write_withdrawal)
