"""Texts, numbers of fish and tag codes as they stand in cells."""

# ruff: noqa: DTZ001 (a spreadsheet knows no time zone)
from datetime import datetime

import pytest

from registry.rules.tags import TagCode
from registry.sheets.cells import UnsavedFormula
from registry.sheets.values import (
    id_key,
    read_id,
    read_ids,
    read_key,
    read_note,
    read_parents,
    read_tag,
    read_tags,
    read_text,
)


def codes(reading) -> list[str]:
    return [o.code for o in reading.objections]


def test_a_text_loses_stray_and_non_breaking_spaces_and_nothing_else():
    assert read_text(" Quern\xa0Mill  bridge ").value == "Quern Mill bridge"
    assert read_text("Tank Ø3").value == "Tank Ø3"
    assert read_text("\u200b ").value is None
    assert [read_text(cell).value for cell in (12, 12.0, 12.5, datetime(2019, 5, 3))] == [
        "12",
        "12",
        "12.5",
        "2019-05-03",
    ]


@pytest.mark.parametrize(
    "text",
    ['=HYPERLINK("http://example.invalid/x","click")', "'; DROP TABLE fish;--", "<script>alert(1)</script>", "=1+1"],
)
def test_what_looks_like_a_formula_or_a_script_stays_text(text):
    assert read_text(text).value == text
    assert read_note(text).value == text


def test_the_apostrophe_before_a_formula_in_a_file_to_mend_is_no_part_of_the_text():
    assert [read_text("'=1+1").value, read_note("'@home").value] == ["=1+1", "@home"]


def test_control_characters_are_refused_in_a_number_and_become_spaces_in_a_remark():
    assert codes(read_key("B01\x00-01")) == ["control_character"]
    assert read_key("B01\x00-01").refused
    note = read_note("filter\x07cleaned")
    assert (note.value, codes(note), note.refused) == ("filter cleaned", ["control_character"], False)
    assert read_note("tray 1\r\ntray 2 ").value == "tray 1\ntray 2"


def test_a_cell_longer_than_the_register_keeps_is_refused_with_both_lengths():
    reading = read_note("y" * 40_000)
    assert codes(reading) == ["too_long"]
    assert "has 40,000 characters; the register keeps at most 4,000" in reading.objections[0].message
    assert codes(read_text("y" * 201)) == ["too_long"]


def test_errors_and_formulas_of_the_spreadsheet_are_named():
    assert codes(read_text("#REF!")) == ["error_value"]
    reading = read_text(UnsavedFormula("A1+B1"))
    assert codes(reading) == ["formula_without_value"]
    assert "The formula =A1+B1 has no stored result" in reading.objections[0].message


def test_a_number_of_a_fish_is_matched_in_any_case_and_keeps_the_register_spelling():
    register = {id_key(name): name for name in ("M18", "Bella", "b 7")}
    assert [read_id(cell, register).value for cell in ("m18 ", "M 18", "BELLA", "B7")] == ["M18", "M18", "Bella", "b 7"]


def test_a_new_number_gets_capitals_and_loses_spaces_beside_its_hyphen():
    assert [read_key(cell).value for cell in ("b02-02", " F20", "F17  ", "B01 -01", "Bella", 12)] == [
        "B02-02", "F20", "F17", "B01-01", "Bella", "12",
    ]  # fmt: skip


def test_a_row_without_number_is_refused_and_an_optional_number_may_be_blank():
    assert codes(read_key(" ")) == ["missing_id"]
    assert (read_id(None).value, read_id(None).refused) == (None, False)


def test_a_family_number_that_the_spreadsheet_made_a_day_is_refused():
    reading = read_id(datetime(2002, 1, 1))
    assert reading.refused
    assert "has turned this number into the day 2002-01-01" in reading.objections[0].message


def test_several_families_in_a_cell_are_parted():
    assert read_ids("06-01+06-02").value == ("06-01", "06-02")
    assert read_ids("06-01; 06-02, 06-01").value == ("06-01", "06-02")
    assert read_ids("").value == ()
    assert read_ids("99/1", {"99/1": "99/1"}).value == ("99/1",)


@pytest.mark.parametrize("cell", [None, "", "?", "wild", "unk", "Unknown", "n/a", 0, "wild caught"])
def test_unknown_parents_are_none(cell):
    assert (read_parents(cell).value, codes(read_parents(cell))) == ((), [])


@pytest.mark.parametrize("cell", ["M64+M29", "M64/M29", "M64 or M29", "m64 + m29", "M64, M29", "M64 and M29"])
def test_pooled_milt_gives_each_possible_sire_with_a_warning(cell):
    assert (read_parents(cell).value, codes(read_parents(cell))) == (("M64", "M29"), ["pooled_parent"])


def test_one_parent_is_one_and_an_unknown_among_several_stays_unknown():
    assert (read_parents(" M8").value, codes(read_parents(" M8"))) == (("M8",), [])
    assert read_parents("M8 or ?").value == ("M8", None)


@pytest.mark.parametrize(
    "cell", [900215355705046, 900215355705046.0, "900\xa0215355705046 ", "'900215355705046", "900 215 355 705 046"]
)
def test_a_tag_code_is_read_from_number_or_text(cell):
    assert read_tag(cell).value == TagCode("iso", "900215355705046")


@pytest.mark.parametrize(
    ("cell", "code"),
    [
        (9002150001234560, "bad_code"),
        (1.5, "bad_code"),
        (datetime(2002, 1, 1), "bad_code"),
        ("9.00215E+14", "rounded_code"),
        (None, "missing_code"),
        ("#N/A", "error_value"),
    ],
)
def test_a_cell_that_holds_no_code_is_refused(cell, code):
    assert codes(read_tag(cell)) == [code]


def test_several_tags_in_a_cell_are_parted_and_one_bad_one_refuses_the_cell():
    assert [tag.code for tag in read_tags("900 215189953260; 900215227366137").value] == [
        "900215189953260",
        "900215227366137",
    ]
    assert codes(read_tags("900215189953260; 90021522736613")) == ["bad_code"]
    assert read_tags(900215189953260).value == (TagCode("iso", "900215189953260"),)
