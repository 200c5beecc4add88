"""Files as a hatchery keeps them: title rows, totals, merged cells, other people's delimiters."""

import io
import zipfile
from datetime import datetime

import openpyxl
import pytest

from registry.errors import Refused
from registry.sheets import cells, read
from registry.sheets.cells import UnsavedFormula
from registry.sheets.columns import knows
from registry.sheets.read import read_sheet

FISH = knows("fish")
SEVENTEENTH_OF_MAY = datetime(2008, 5, 17)  # noqa: DTZ001 (a spreadsheet knows no time zone)
HEAD = "Fish,Species,Sex,Hatched\n"


def of_csv(text: str | bytes, kind=FISH):
    return read_sheet(text if isinstance(text, bytes) else text.encode(), "fish.csv", kind)


def workbook(rows, **sheets) -> openpyxl.Workbook:
    book = openpyxl.Workbook()
    book.active.title = "Fish"
    for name, content in {"Fish": rows, **sheets}.items():
        sheet = book[name] if name in book.sheetnames else book.create_sheet(name)
        for row in content:
            sheet.append(row)
    return book


def saved(book: openpyxl.Workbook) -> bytes:
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def of_xlsx(book: openpyxl.Workbook, sheet=None, kind=FISH):
    return read_sheet(saved(book), "fish.xlsx", kind, sheet)


def refusal(data: bytes, filename="fish.csv", sheet=None):
    with pytest.raises(Refused) as caught:
        read_sheet(data, filename, FISH, sheet)
    return caught.value.objections[0]


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
def test_any_usual_delimiter_and_encoding_gives_the_same_rows(delimiter, encoding):
    text = 'Fish;Species;Notes\nF1;Sterlet;"½ blind, left"\nF2;Sterlet;Tank Ø3\n'.replace(";", delimiter)
    sheet = of_csv(text.encode(encoding))
    assert sheet.headings == ("Fish", "Species", "Notes")
    assert [row.cells for row in sheet.rows] == [("F1", "Sterlet", "½ blind, left"), ("F2", "Sterlet", "Tank Ø3")]


def test_decimal_commas_do_not_pass_for_delimiters():
    sheet = of_csv("Tag;TL (cm);Weight\n7F7D3A1B2C;33,5;2,85\n7F7D3A1B2D;34,5;2,95\n", knows("measurements"))
    assert [row.cells[1:] for row in sheet.rows] == [("33,5", "2,85"), ("34,5", "2,95")]


def test_rows_have_the_number_that_the_person_sees():
    sheet = of_csv(
        'List of 2019\n\nFish,Species,Notes\nF1,Sterlet,"first\nsecond line"\n,,\nF2,Sterlet\nF3,Sterlet,a,b\n'
    )
    assert sheet.heading_row == 3
    assert [(row.number, row.cells) for row in sheet.rows] == [
        (4, ("F1", "Sterlet", "first\nsecond line")),
        (6, ("F2", "Sterlet")),
        (7, ("F3", "Sterlet", "a", "b")),
    ]
    assert [(row.number, row.why) for row in sheet.ignored] == [
        (1, "title"),
        (2, "title"),
        (3, "heading"),
        (5, "blank"),
    ]


def test_a_nul_survives_to_be_reported_at_its_cell():
    assert of_csv(HEAD + "F\x001,Sterlet\n").rows[0].cells[0] == "F\x001"
    assert of_csv(HEAD.encode("cp1252") + b"F\x811\xd8,Sterlet\n").rows[0].cells[0] == "F\x811Ø"


@pytest.mark.parametrize(
    "total", ["TOTAL,,,158", "Sum:,,12.5,", "Σ,,,1 234", "Mean,,71,2310", "Grand total,,,12", "total,,,"]
)
def test_a_totals_row_is_no_fish(total):
    sheet = of_csv(HEAD + "F1,Sterlet,F,2008\n" + total + "\n")
    assert len(sheet.rows) == 1
    assert [row.why for row in sheet.ignored] == ["heading", "totals"]


@pytest.mark.parametrize("fish", ["Max,Sterlet,M,3.5.2008", "Max,,,3.5.2008", "Summer,,,12"])
def test_a_fish_called_max_is_no_totals_row(fish):
    assert len(of_csv(HEAD + fish + "\n").rows) == 1


def test_a_heading_row_repeated_on_each_printed_page_is_no_fish():
    sheet = of_csv(HEAD + "F1,Sterlet\n" + HEAD + "F2,Sterlet\n")
    assert [row.number for row in sheet.rows] == [2, 4]


def test_headings_without_rows_are_said_to_hold_nothing():
    sheet = of_csv(HEAD)
    assert sheet.rows == ()
    assert [(o.code, o.warning) for o in sheet.objections] == [("no_rows", True)]
    assert "headings in row 1 but no rows below them" in sheet.objections[0].message


def test_the_sheet_of_a_workbook_is_found_by_its_headings_or_its_name():
    book = workbook(
        [["Fish", "Species"], ["F1", "Sterlet"]], Tags=[["Fish", "Code", "Put in"], ["F1", "7F7D3A1B2C", None]]
    )
    assert of_xlsx(book).name == "Fish"
    assert of_xlsx(book, kind=knows("tags")).name == "Tags"
    assert of_xlsx(book, sheet="tags ").name == "Tags"
    objection = refusal(saved(book), "fish.xlsx", "Pond")
    assert objection.code == "no_such_sheet"
    assert "its sheets are Fish, Tags" in objection.message


def test_title_rows_merged_cells_hidden_rows_and_days_of_a_workbook_are_understood():
    book = workbook(
        [
            ["Brackenholt Weir", None, None],
            [None],
            ["Fish", "Stock", "Hatched"],
            ["F1", "Upper", SEVENTEENTH_OF_MAY],
            ["F2", None, 39585],
            [None, None, None],
            ["F3", None, "17.5.08"],
        ]
    )
    sheet = book["Fish"]
    sheet.merge_cells("A1:C1")
    sheet.merge_cells("B4:B7")
    sheet.row_dimensions[5].hidden = True
    table = of_xlsx(book)
    assert [(row.number, row.cells, row.hidden) for row in table.rows] == [
        (4, ("F1", "Upper", SEVENTEENTH_OF_MAY), False),
        (5, ("F2", "Upper", 39585), True),
        (7, ("F3", "Upper", "17.5.08"), False),
    ]


def test_numbers_texts_and_errors_come_as_they_are_stored():
    book = workbook([["Fish", "PIT"], [12, 900215355705046], ["13", "900215355705046"], ["F1", "#REF!"]])
    assert [row.cells for row in of_xlsx(book).rows] == [
        (12, 900215355705046),
        ("13", "900215355705046"),
        ("F1", "#REF!"),
    ]


def test_a_formula_without_stored_result_is_told_from_an_empty_cell():
    book = workbook([["Fish", "Species", "Age"], ["F1", "Sterlet", "=2025-1994"], ["F2", "Sterlet", None]])
    assert [row.cells for row in of_xlsx(book).rows] == [
        ("F1", "Sterlet", UnsavedFormula("2025-1994")),
        ("F2", "Sterlet"),
    ]


def test_a_formula_with_stored_result_gives_the_result():
    data = saved(workbook([["Fish", "Age"], ["F1", "=2025-1994"]]))
    with zipfile.ZipFile(io.BytesIO(data)) as old:
        parts = {name: old.read(name) for name in old.namelist()}
    name = "xl/worksheets/sheet1.xml"
    assert b"<v></v>" in parts[name] or b"<v />" in parts[name]
    parts[name] = parts[name].replace(b"<v></v>", b"<v>31</v>").replace(b"<v />", b"<v>31</v>")
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as new:
        for part, content in parts.items():
            new.writestr(part, content)
    assert read_sheet(file.getvalue(), "fish.xlsx", FISH).rows[0].cells == ("F1", 31)


def test_no_heading_says_what_was_found_instead():
    objection = refusal(b"just,some,words\n1,2,3\n")
    assert objection.code == "no_heading"
    assert "Row 1 reads: just, some, words" in objection.message


@pytest.mark.parametrize("data", [b"", b"\xef\xbb\xbf", b"\n \r\n", b",,,\n,,,\n"])
def test_an_empty_file_is_refused_as_empty(data):
    objection = refusal(data)
    assert objection.code == "empty_file"
    assert "The file is empty" in objection.message


def test_an_empty_workbook_is_refused_as_empty():
    assert refusal(saved(openpyxl.Workbook()), "fish.xlsx").code == "empty_file"


@pytest.mark.parametrize(
    ("data", "code", "sentence"),
    [
        (b"%PDF-1.7 ...", "not_a_table", "is a PDF, not a table. Save the table as XLSX or CSV"),
        (b"\x89PNG\r\n", "not_a_table", "is a picture"),
        (b"<!DOCTYPE html><table>", "not_a_table", "is a web page"),
        (b"MZ" + bytes(5000), "not_a_table", "a program's own file"),
        (b"PK\x03\x04 broken", "not_a_table", "it is damaged"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), "not_a_table", "old XLS format"),
        (
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + "EncryptedPackage".encode("utf-16-le"),
            "encrypted",
            "locked with a password",
        ),
    ],
)
def test_what_is_no_table_is_refused_by_name(data, code, sentence):
    objection = refusal(data, "fish.xlsx")
    assert objection.code == code
    assert sentence in objection.message


def test_a_workbook_cut_off_in_the_middle_is_refused_as_damaged():
    data = saved(workbook([["Fish", "Species"], ["F1", "Sterlet"]]))
    assert "it is damaged" in refusal(data[: len(data) // 2], "fish.xlsx").message


def test_another_zip_is_not_taken_for_a_workbook():
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        archive.writestr("content.xml", "<a/>")
    assert "is not an XLSX workbook" in refusal(file.getvalue(), "fish.xlsx").message


def test_a_workbook_with_a_swelling_entity_is_refused():
    data = saved(workbook([["Fish"], ["F1"]]))
    bomb = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><worksheet>&b;</worksheet>'
    file = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(file, "w") as new:
        for name in old.namelist():
            new.writestr(name, bomb if name == "xl/worksheets/sheet1.xml" else old.read(name))
    assert refusal(file.getvalue(), "fish.xlsx").code == "not_a_table"


def test_an_unclosed_quotation_mark_is_said_to_be_the_trouble():
    objection = refusal((HEAD + 'F1,"Sterlet,F\n' + "F2,Sterlet,F,2008\n" * 20_000).encode())
    assert objection.code == "not_a_table"
    assert "a quotation mark is probably not closed" in objection.message


def test_files_over_a_limit_are_refused_with_the_limit_named(monkeypatch, tmp_path):
    path = tmp_path / "big.csv"
    with path.open("wb") as file:
        file.truncate(51 * 2**20)
    with pytest.raises(Refused, match=r"big.csv has 51 MB; the limit is 50 MB"):
        read_sheet(path, "big.csv", FISH)
    assert "the limit is 200 columns" in refusal((HEAD + ",".join("a" * 201)).encode()).message
    monkeypatch.setattr(read, "MAX_ROWS", 3)
    assert "more than 3 rows, the limit" in refusal((HEAD + "F1,Sterlet\n" * 4).encode()).message
    assert cells.MAX_ROWS == 200_000


def test_a_workbook_that_unpacks_to_too_much_is_refused(monkeypatch):
    monkeypatch.setattr("registry.sheets.xlsx_rows.MAX_UNZIPPED", 2**10)
    assert "unpacks to more than" in refusal(saved(workbook([["Fish"], ["F1"]])), "fish.xlsx").message
