"""A drawn page is a PDF by its structure (ISO 32000-1, 7.5): every entry of the table leads to its object."""

import re

from registry.demo.sheets_of_paper import page_of_lines
from registry.rules.papers.files import PDF, read_file

DRAWN = page_of_lines("Permit (copy)", ["Fisheries authority", "12 °C \\ 4 kg"])


def test_a_drawn_page_is_a_pdf_that_the_register_keeps() -> None:
    assert read_file(DRAWN, "permit.pdf").value is PDF
    assert page_of_lines("Permit (copy)", ["Fisheries authority", "12 °C \\ 4 kg"]) == DRAWN


def test_every_entry_of_the_table_leads_to_its_object() -> None:
    start = int(re.search(rb"startxref\n(\d+)\n", DRAWN)[1])
    assert DRAWN[start:].startswith(b"xref\n0 6\n")
    places = [int(place) for place in re.findall(rb"(\d{10}) 00000 n", DRAWN)]
    for number, place in enumerate(places, start=1):
        assert DRAWN[place:].startswith(b"%d 0 obj\n" % number)
    length = int(re.search(rb"/Length (\d+)", DRAWN)[1])
    assert DRAWN.split(b"stream\n", 1)[1][length:].startswith(b"\nendstream")


def test_brackets_and_strokes_of_a_text_are_written_so_that_they_are_read_as_text() -> None:
    assert b"(Permit \\(copy\\)) Tj" in DRAWN
    assert "(12 °C \\\\ 4 kg) Tj".encode("cp1252") in DRAWN
