"""Documents on pages: attached with a file, listed on the page of what they are about, given out as files only."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from registry.files.store import path_of
from registry.models import Document
from registry.web.entry.upload import LimitedUpload
from tests.registry.pages.papers.test_permits import words
from tests.support.proof import everything
from tests.support.river import small_river

pytestmark = pytest.mark.django_db
PDF = b"%PDF-1.7\nhealth certificate\n%%EOF\n"
TYPED = {"title": "Health certificate", "dated": "2010-04-01", "kind": "fish", "number": "F1"}


@pytest.fixture
def desk(client_of):
    small_river()
    return client_of("manager")


def file(content: bytes = PDF, name: str = "certificate.pdf") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, content, content_type="text/html")


def attached(client, **changes) -> Document:
    page = client.post("/enter/document/", {"file": file()} | TYPED | changes)
    assert page.status_code == 302, words(page)
    return Document.objects.latest("pk")


def test_a_file_is_attached_and_stands_on_the_page_of_its_fish(desk):
    assert "No document is attached." in words(desk.get("/fish/F1/"))
    assert desk.get("/enter/document/?on=fish:f1").context["form"]["number"].value() == "F1"

    document = attached(desk)
    said = words(desk.get("/fish/F1/"))
    assert f"Health certificate 1 April 2010, PDF, document {document.number}" in said
    assert "Health certificate" not in words(desk.get("/fish/F2/"))
    assert document.sha256 in words(desk.get(f"/documents/{document.number}/"))


def test_a_file_is_given_out_as_it_came_and_only_to_be_saved(desk):
    document = attached(desk, file=file(name='we"ird name.pdf'))
    answer = desk.get(f"/documents/{document.number}/file/")
    assert b"".join(answer.streaming_content) == PDF
    assert answer["Content-Disposition"] == 'attachment; filename="we_ird name.pdf"'
    assert (answer["Content-Type"], answer["X-Content-Type-Options"]) == ("application/pdf", "nosniff")
    assert answer["Content-Security-Policy"] == "default-src 'none'; sandbox"


def test_nobody_who_is_not_signed_in_gets_a_file(desk, client):
    document = attached(desk)
    assert client.get(f"/documents/{document.number}/file/").url.startswith("/sign-in/")


def test_a_refused_form_keeps_the_file(desk):
    before = everything()
    page = desk.post("/enter/document/", {"file": file()} | TYPED | {"number": "F9"})
    assert page.status_code == 422
    assert "There is no fish F9 in the register. Correct it." in words(page)
    assert "“certificate.pdf” is here already (1 kB)." in words(page)
    assert everything() == before

    token = page.content.decode().split('name="file_kept" value="')[1].split('"')[0]
    assert desk.post("/enter/document/", TYPED | {"file_kept": token}).status_code == 302
    assert Document.objects.get().name == "certificate.pdf"


def test_a_forged_word_for_a_file_is_refused(desk):
    page = desk.post("/enter/document/", TYPED | {"file_kept": "0" * 64})
    assert "The file chosen earlier is no longer here. Choose it again." in words(page)


@pytest.mark.parametrize(
    ("sent", "sentence"),
    [
        ({}, "No file was chosen. Choose one."),
        ({"file": file(b"MZ\x90\x00\x03")}, "“certificate.pdf” is nothing that is kept, by its content."),
        ({"file": file(b"<script>go()</script>", "a.html")}, "Name it ….txt."),
    ],
)
def test_what_is_no_file_to_keep_is_refused(desk, sent, sentence):
    page = desk.post("/enter/document/", sent | TYPED)
    assert page.status_code == 422
    assert sentence in words(page)
    assert not Document.objects.exists()


def test_a_file_over_the_limit_is_dropped_while_it_comes_in(desk, monkeypatch):
    made = LimitedUpload.__init__
    monkeypatch.setattr(LimitedUpload, "__init__", lambda self, request, _largest: made(self, request, 20))
    page = desk.post("/enter/document/", {"file": file()} | TYPED)
    assert "The file is larger than 20 MB, the most that is kept of one." in words(page)
    assert "No file was chosen" not in words(page)


def test_a_document_is_attached_elsewhere_too_and_listed_there(desk):
    document = attached(desk)
    assert desk.post(f"/documents/{document.number}/also/", {"kind": "batch", "number": "b1"}).status_code == 302
    assert "Health certificate" in words(desk.get("/batches/B1/"))
    page = desk.get("/documents/?on=batch:b1")
    assert "About Batch B1 only." in words(page)
    assert [row.number for row in page.context["table"].data] == [document.number]
    assert "Fish F1, Batch B1" in words(page)
    assert len(desk.get("/documents/?on=batch:nowhere").context["table"].data) == 0
    assert b"Health certificate" in b"".join(desk.get("/documents/?export=csv").streaming_content)


def test_a_withdrawn_document_says_why_and_is_opened_only_by_readers_of_the_journal(desk, client_of):
    document = attached(desk)
    target = f"/documents/{document.number}/"
    assert desk.post(f"{target}withdraw/", {"reason": "Of another fish."}).url == "/documents/"
    assert "Of another fish." in words(desk.get(target))
    assert len(desk.get("/documents/").context["table"].data) == 0
    assert client_of("staff").get(f"{target}file/").status_code == 404
    assert "Save the file" not in words(client_of("staff").get(target))
    assert b"".join(client_of("auditor").get(f"{target}file/").streaming_content) == PDF


def test_a_file_that_is_gone_is_said_to_be_gone(desk):
    document = attached(desk, file=file(b"%PDF-1.7\nto be lost\n%%EOF\n"))
    path_of(document.sha256).unlink()
    page = desk.get(f"/documents/{document.number}/file/")
    assert page.status_code == 404


@pytest.mark.parametrize(("role", "status"), [("staff", 200), ("geneticist", 200), ("auditor", 403), ("viewer", 403)])
def test_those_who_enter_attach_and_all_read(client_of, desk, role, status):
    document = attached(desk)
    client = client_of(role)
    assert client.get("/enter/document/").status_code == status
    assert client.get("/documents/").status_code == client.get(f"/documents/{document.number}/").status_code == 200
    assert client.get(f"/documents/{document.number}/withdraw/").status_code == 403


def test_a_scan_of_a_documents_number_opens_it(desk):
    document = attached(desk)
    assert desk.get(f"/scan/?q={document.number.lower()}").url == f"/documents/{document.number}/"
