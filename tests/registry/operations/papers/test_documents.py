"""Documents: kept by their hash, attached to what they are about, withdrawn with a reason; the file stays."""

import hashlib
import os
from datetime import date, timedelta
from types import SimpleNamespace

import pytest
from django.utils import timezone

from registry.files.store import lay_aside, path_of
from registry.journal.verify import verify
from registry.models import Document, DocumentSubject
from registry.operations.identity.joining import join_numbers
from registry.operations.identity.parting import part_numbers
from registry.operations.papers.documents import attach_also, attach_document, withdraw_document
from registry.permissions import Actor
from registry.queries.papers.documents import KINDS, Subject, documents_on, subject_meant, subjects_of
from registry.rules.identity.joining import Joining, Parting
from registry.rules.papers.documents import DocumentAlso, DocumentAttached, DocumentWithdrawn
from tests.support.proof import CORRECTING, ENTERING, last, only_those_who_may, refused, told

PDF = b"%PDF-1.7\nhealth certificate\n%%EOF\n"
# SHA-256 by FIPS 180-4, computed with Python's hashlib.
HASH = hashlib.sha256(PDF).hexdigest()


def paper(content: bytes = PDF, name: str = "certificate.pdf", **changes: object) -> DocumentAttached:
    laid = lay_aside([content], name)
    about = {"kind": "fish", "number": "F1", "title": "Health certificate", "dated": date(2010, 4, 1)}
    return DocumentAttached(**about | {"sha256": laid.sha256, "name": name} | changes)


def test_a_document_is_kept_by_its_hash_and_the_journal_holds_it(river: SimpleNamespace) -> None:
    document = attach_document(river.by, paper(name="../My certificate.PDF"))
    row = Document.objects.get()
    assert (row.sha256, row.size_bytes, row.name, row.kind) == (HASH, len(PDF), "My certificate.pdf", "pdf")
    assert path_of(HASH).read_bytes() == PDF
    assert told()[1:3] == ("document attached", f"document {document.number}")
    assert HASH in last().body
    assert list(documents_on("fish", "F1")) == [document]
    assert verify().sound


def test_a_document_is_attached_to_anything(river: SimpleNamespace) -> None:
    held = {
        "fish": "f2", "batch": "B1", "family": "10-1", "spawning": river.spawning.number,
        "facility": "brackenholt weir hatchery", "unit": "Tank 1", "stock": "Lower Isendre",
    }  # fmt: skip
    document = attach_document(river.by, paper())
    for kind, number in held.items():
        attach_also(river.by, DocumentAlso(document=document.number, kind=kind, number=number))
        assert subject_meant(f"{kind}:{number}").text.casefold() == f"{kind}:{number}".casefold()
        assert list(documents_on(kind, subject_meant(f"{kind}:{number}").number)) == [document]
    assert len(subjects_of([document.pk])[document.pk]) == 8
    assert subjects_of([document.pk])[document.pk][0] == Subject("fish", "F1")
    assert set(held) | {"milt_lot", "release", "recapture", "permit", "plan"} == set(KINDS)


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"kind": "ship"}, "A document cannot be attached to “ship”. Choose one of fish, batch, family,"),
        ({"number": "F9"}, "There is no fish F9 in the register. Correct it."),
        ({"kind": "milt_lot", "number": ""}, "There is no milt lot  in the register."),
        ({"title": ""}, "Say what it is: health certificate, letter, report."),
        ({"sha256": ""}, "The file is not here. Choose it, or choose it again."),
        ({"sha256": "0" * 64}, "The file is not here. Choose it, or choose it again."),
        ({"dated": timezone.localdate() + timedelta(days=1)}, "lies in the future. Take the day that stands on"),
    ],
)
def test_a_document_that_cannot_be_is_refused(
    river: SimpleNamespace, changes: dict[str, object], sentence: str
) -> None:
    with refused(sentence):
        attach_document(river.by, paper(**changes))


def test_a_program_is_refused_whatever_it_is_called_and_nothing_of_it_is_kept(river: SimpleNamespace) -> None:
    entry = paper(content=b"MZ\x90\x00\x03")
    with refused("“certificate.pdf” is nothing that is kept, by its content."):
        attach_document(river.by, entry)
    assert not path_of(entry.sha256).exists()


def test_the_same_file_is_attached_once_to_a_record_and_may_serve_another(river: SimpleNamespace) -> None:
    first = attach_document(river.by, paper())
    with refused(f"This very file is attached here already, as document {first.number}."):
        attach_document(river.by, paper())
    with refused(f"Document {first.number} is attached there already."):
        attach_also(river.by, DocumentAlso(document=first.number, kind="fish", number="f1"))
    attach_document(river.by, paper(number="F2"))
    assert Document.objects.count() == 2
    assert verify().sound


def test_a_withdrawn_document_leaves_the_pages_and_its_file_stays(river: SimpleNamespace) -> None:
    document = attach_document(river.by, paper())
    with refused("Say why: the reason stands in the journal beside the document."):
        withdraw_document(river.by, DocumentWithdrawn(document=document.number, reason=" "))
    withdraw_document(river.by, DocumentWithdrawn(document=document.number, reason="Of another fish."))
    assert (last().reason, last().corrects_id) == ("Of another fish.", document.entry_id)
    assert list(documents_on("fish", "F1")) == []
    assert not DocumentSubject.objects.current().exists()
    assert path_of(HASH).read_bytes() == PDF
    assert verify().sound
    with refused("or it was withdrawn already."):
        withdraw_document(river.by, DocumentWithdrawn(document=document.number, reason="again"))
    with refused("or it was withdrawn already."):
        attach_also(river.by, DocumentAlso(document=document.number, kind="fish", number="F2"))


def test_a_missing_and_an_altered_file_are_found_by_verification_withdrawn_ones_too(river: SimpleNamespace) -> None:
    letter, report = b"letter of the authority", b"report for the archive"
    gone = attach_document(river.by, paper(letter, "a.txt"))
    changed = attach_document(river.by, paper(report, "b.txt"))
    withdraw_document(river.by, DocumentWithdrawn(document=gone.number, reason="mistake"))
    paths = [path_of(hashlib.sha256(content).hexdigest()) for content in (letter, report)]
    paths[0].unlink()
    os.chmod(paths[1], 0o640)
    paths[1].write_bytes(report.replace(b"archive", b"press!!"))
    try:
        report_of = verify()
        assert dict(report_of.counts) == {"missing file": 1, "altered file": 1}
        assert {finding.record for finding in report_of.findings} == {gone.pk, changed.pk}
        assert "is no longer in the data folder. Put it back from a backup." in report_of.findings[0].message
    finally:  # the folder outlives this test; a kept file is never written over, so nothing else would mend it
        paths[1].unlink()


def test_who_may(river: SimpleNamespace) -> None:
    only_those_who_may(ENTERING, lambda by: attach_document(by, paper()))
    document = attach_document(river.by, paper())
    only_those_who_may(
        CORRECTING, lambda by: withdraw_document(by, DocumentWithdrawn(document=document.number, reason="why"))
    )


def test_documents_follow_a_fish_whose_two_numbers_are_joined_and_part_again(
    river: SimpleNamespace, manager: Actor
) -> None:
    of_both = attach_document(river.by, paper(number="M1"))
    attach_also(river.by, DocumentAlso(document=of_both.number, kind="fish", number="M2"))
    of_other = attach_document(river.by, paper(b"letter of the warden", "b.txt", number="M2"))
    before = {number: {one.number for one in documents_on("fish", number)} for number in ("M1", "M2")}

    choices = {"caught": "kept", "stays": "kept", "sex": "kept"}
    proof = {"proved_on": date(2021, 3, 1), "evidence": "photograph", "reason": "the same scutes", "choices": choices}
    join_numbers(manager, Joining(kept="M1", other="M2", **proof))
    assert {one.number for one in documents_on("fish", "M1")} == {of_both.number, of_other.number}
    assert subjects_of([of_both.pk])[of_both.pk] == [Subject("fish", "M1")]
    part_numbers(manager, Parting(other="M2", reason="two fish after all"))
    assert {number: {one.number for one in documents_on("fish", number)} for number in before} == before
    assert verify().sound
