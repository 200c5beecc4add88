"""What a file is is told by its content, never by its name alone.

Signatures: PDF by ISO 32000-1, 7.5.2; PNG by W3C PNG (third edition), 5.2; JPEG by ITU-T T.81, annex B; TIFF 6.0,
section 2; WebP by RFC 9649; XLSX by ECMA-376 part 2 (a zip that holds [Content_Types].xml).
"""

import zipfile
from io import BytesIO

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.rules.papers.files import (
    CSV,
    JPEG,
    LARGEST_FILE,
    LONGEST_NAME,
    PDF,
    PICTURES,
    PNG,
    TEXT,
    TIFF,
    WEBP,
    XLSX,
    ending_of,
    kind_of,
    read_file,
    safe_name,
)

A_PDF = b"%PDF-1.7\n1 0 obj\nendobj\nstartxref\n9\n%%EOF\n"
A_PNG = b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR"


def packed(*names: str) -> bytes:
    held = BytesIO()
    with zipfile.ZipFile(held, "w") as file:
        for name in names:
            file.writestr(name, "x")
    return held.getvalue()


WORKBOOK = packed("[Content_Types].xml", "xl/workbook.xml")


@pytest.mark.parametrize(
    ("content", "kind"),
    [
        (A_PDF, PDF),
        (A_PNG, PNG),
        (b"\xff\xd8\xff\xe0\x00\x10JFIF", JPEG),
        (b"II*\x00\x08\x00\x00\x00", TIFF),
        (b"MM\x00*\x00\x00\x00\x08", TIFF),
        (b"RIFF\x24\x00\x00\x00WEBPVP8 ", WEBP),
        (WORKBOOK, XLSX),
        ("Permit of 3 May, 12 °C, ♀".encode(), TEXT),
        ("Wärme 12 °C\r\n".encode("cp1252"), TEXT),
    ],
)
def test_a_file_is_what_its_content_says(content: bytes, kind: object) -> None:
    assert kind_of(content, "named-otherwise.exe") is kind


def test_a_name_tells_a_table_from_other_text_and_nothing_else() -> None:
    assert kind_of(b"a,b\n1,2\n", "counts.CSV") is CSV
    assert kind_of(b"a,b\n1,2\n", "counts") is TEXT
    assert kind_of(A_PDF, "counts.csv") is PDF


@pytest.mark.parametrize(
    "content",
    [b"MZ\x90\x00\x03", b"\x7fELF\x02\x01", packed("a.txt"), packed("[Content_Types].xml", "word/document.xml"),
     packed("[Content_Types].xml", "xl/workbook.xml", "xl/vbaProject.bin"), b"PK\x03\x04 broken", b"text\x00with NUL"],
)  # fmt: skip
def test_programs_archives_and_workbooks_with_macros_are_not_kept(content: bytes) -> None:
    reading = read_file(content, "certificate.pdf")
    assert reading.refused
    assert reading.objections[0].message.startswith(
        "“certificate.pdf” is nothing that is kept, by its content. Kept are: PDF,"
    )


@pytest.mark.parametrize(
    ("content", "name", "sentence"),
    [
        (b"", "a.pdf", "“a.pdf” is empty. Choose the file again; it may not have been saved."),
        (A_PDF[:-6], "a.pdf", "“a.pdf” breaks off: the end of the PDF is missing. Fetch it again."),
        (A_PDF, "a.html", "“a.html” is PDF by its content, which its ending does not say. Name it ….pdf."),
        (b"<script>go()</script>", "a.html",
         "“a.html” is plain text by its content, which its ending does not say. Name it ….txt."),
        (b"#!/bin/sh\n", "a.sh", "“a.sh” is plain text by its content, which its ending does not say. Name it ….txt."),
        (A_PNG + bytes(LARGEST_FILE), "a.png",
         "The file is larger than 20 MB, the most that is kept of one. "
         "Scan it again in grey or with fewer dots, or split it."),
    ],
)  # fmt: skip
def test_a_file_that_is_not_taken_is_refused_with_the_way_out(content: bytes, name: str, sentence: str) -> None:
    assert [one.message for one in read_file(content, name).objections] == [sentence]


def test_where_a_picture_is_wanted_only_pictures_are_taken() -> None:
    assert read_file(A_PNG, "side", PICTURES).value is PNG
    (said,) = read_file(A_PDF, "side.pdf", PICTURES).objections
    assert said.message == (
        "“side.pdf” is PDF, by its content. Kept are: JPEG picture, PNG picture, TIFF picture, WebP picture. "
        "Save it as one."
    )


@pytest.mark.parametrize(
    ("name", "kept"),
    [
        ("../../etc/passwd", "passwd.pdf"),
        ("C:\\papers\\permit 12.pdf", "permit 12.pdf"),
        ("CERT.PDF", "CERT.pdf"),
        (".hidden", "hidden.pdf"),
        ("a\u202egnp.exe", "agnp.exe.pdf"),
        ('what?"is"<this>.pdf', "what__is__this_.pdf"),
        ("", "document.pdf"),
        ("x" * 300 + ".pdf", "x" * (LONGEST_NAME - 4) + ".pdf"),
    ],
)
def test_a_name_is_made_safe_before_it_is_kept(name: str, kept: str) -> None:
    assert safe_name(name, PDF) == kept


@given(st.text(max_size=150), st.sampled_from([PDF, JPEG, CSV, TEXT]))
def test_whatever_a_name_was_the_kept_one_is_short_and_plain_and_stays_as_it_is(name: str, kind: object) -> None:
    kept = safe_name(name, kind)
    assert len(kept) <= LONGEST_NAME
    assert ending_of(kept) in kind.endings
    assert kept.isprintable()
    assert not set(kept) & set('/\\<>:"|?*')
    assert not kept.startswith((".", " "))
    assert safe_name(kept, kind) == kept
