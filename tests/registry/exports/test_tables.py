"""A table as a file: what a spreadsheet shows is what the register holds, and nothing in it runs."""

import csv
import io
from datetime import date
from decimal import Decimal

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.exports.tables import csv_lines, harmless, xlsx_file

HEADINGS = ["Number", "Mass (g)", "Hatched"]


def read_csv(headings, rows):
    text = b"".join(csv_lines(headings, rows)).decode("utf-8-sig")
    return list(csv.reader(io.StringIO(text, newline="")))


def read_xlsx(headings, rows, title="Fish"):
    with xlsx_file(title, headings, rows) as file:
        return openpyxl.load_workbook(io.BytesIO(file.read())).worksheets[0]


@pytest.mark.parametrize("text", ["=1+1", "+49", "-3", "@SUM(A1)", "\t=1", "\r=1"])
def test_a_text_that_a_spreadsheet_would_run_gets_an_apostrophe(text):
    assert harmless(text) == f"'{text}"
    assert read_csv(["x"], [[text]])[1] == [f"'{text}"]
    assert read_xlsx(["x"], [[text]])["A2"].data_type == "s"


def test_a_negative_number_stays_a_number():
    assert read_csv(["x"], [[Decimal("-0.5")]])[1] == ["-0.5"]
    assert read_xlsx(["x"], [[Decimal("-0.5")]])["A2"].value == -0.5


def test_days_are_iso_and_missing_values_are_empty():
    rows = [["2019-014", None, date(2026, 5, 3)], ["2019-015", Decimal("812.5"), "2008-05"]]

    assert read_csv(HEADINGS, rows) == [
        HEADINGS,
        ["2019-014", "", "2026-05-03"],
        ["2019-015", "812.5", "2008-05"],
    ]


def test_a_sheet_holds_numbers_as_numbers_and_days_as_days():
    sheet = read_xlsx(HEADINGS, [["2019-014", Decimal("812.5"), date(2026, 5, 3)]])

    assert [cell.value for cell in sheet[1]] == HEADINGS
    assert sheet["A2"].value == "2019-014"
    assert sheet["B2"].value == 812.5
    assert sheet["C2"].value.date() == date(2026, 5, 3)
    assert sheet["C2"].number_format == "yyyy-mm-dd"
    assert sheet.freeze_panes == "A2"


def test_a_tag_code_keeps_all_its_figures():
    sheet = read_xlsx(["Code"], [["900215000123456"]])

    assert sheet["A2"].value == "900215000123456"
    assert sheet["A2"].data_type == "s"


def test_a_control_character_does_not_break_the_sheet():
    assert read_xlsx(["x"], [["a\x0bb"]])["A2"].value == "ab"


def test_a_title_that_no_sheet_may_bear_is_cut():
    assert read_xlsx(["x"], [], title="Fish [all]: living/dead and everything else").title.startswith(
        "Fish all livingdead"
    )


def test_ten_thousand_rows_leave_in_pieces():
    pieces = list(csv_lines(["x"], ([f"fish {n}" * 5] for n in range(10_000))))

    assert len(pieces) > 3
    assert max(len(piece) for piece in pieces) < 100_000


@given(
    st.lists(
        st.lists(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\x00")), min_size=2, max_size=2)
    )
)
def test_any_text_comes_back_from_a_csv_as_it_was(rows):
    assert read_csv(["a", "b"], rows)[1:] == [[harmless(text) for text in row] for row in rows]
