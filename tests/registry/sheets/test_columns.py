"""Headings as hatcheries write them. The synonyms are common practice, no source."""

import pytest

from registry.errors import Refused
from registry.sheets.cells import Row
from registry.sheets.columns import KINDS, field_of, fields_of, headings_of, knows, surplus, unused


@pytest.mark.parametrize(
    ("kind", "heading", "field", "unit"),
    [
        ("measurements", "TL (cm)", "tl_mm", "cm"),
        ("measurements", "Length mm", "tl_mm", "mm"),
        ("measurements", "Total length [cm]", "tl_mm", "cm"),
        ("measurements", "TL_cm", "tl_mm", "cm"),
        ("measurements", "Weight in kg", "weight_g", "kg"),
        ("measurements", "Weight, g", "weight_g", "g"),
        ("measurements", "weight", "weight_g", None),
        ("spawnings", "Milt motility %", "motility", "%"),
        ("spawnings", "Eggs per g", "eggs_per_g", "g"),
        ("spawnings", "EGG WEIGHT (grams)", "egg_weight_g", "g"),
        ("batches", "From (families or batch)", "from", None),
        ("releases", "Batch / tags", "source", None),
        ("releases", "Permit\xa0no. ", "permit", None),
    ],
)
def test_a_heading_gives_our_field_and_its_unit(kind, heading, field, unit):
    assert field_of(kind, heading) == field
    required = {"measurements": ["PIT", "Date"], "spawnings": ["Date", "Female", "Male", "Family"]}
    others = required.get(kind, ["Batch", "Date", "What", "Count"] if kind == "batches" else ["Date", "Fish", "Number"])
    (column,) = [
        c for c in headings_of(kind, [heading, *(o for o in others if field_of(kind, o) != field)]) if not c.index
    ]
    assert (column.field, column.unit) == (field, unit)


def test_every_field_is_known_by_its_own_first_word():
    for kind in KINDS:
        assert len(fields_of(kind)) == len(set(fields_of(kind)))
        assert not knows(kind)("Brackenholt Weir Hatchery - broodstock list")
    assert not knows("fish")("")


def test_own_headings_go_first_and_may_leave_a_column_out():
    columns = headings_of("fish", ["Kennung", "Species", "Note", "Remarks"], {"kennung ": "id", "Note": ""})
    assert [column.field for column in columns] == ["id", "species", None, "notes"]


def test_unused_columns_are_reported_and_empty_ones_are_not():
    (objection,) = unused(headings_of("fish", ["Fish", "Species", "", "Shoe size"]))
    assert objection.warning
    assert "The column Shoe size is not used" in objection.message


@pytest.mark.parametrize(
    ("headings", "own", "sentence"),
    [
        (["Fish", "Sex"], {}, r"needs a column for species .* The columns found are Fish, Sex"),
        (["Fish", "ID", "Species"], {}, r"The columns Fish and ID both stand for id"),
        (["Fish", "Species"], {"Art": "species"}, r"The sheet has no column 'Art'. Its columns are Fish, Species"),
        (["Fish", "Species"], {"Species": "colour"}, r"'colour' is not a field of fish. The fields are id, species"),
    ],
)
def test_headings_that_cannot_be_used_are_refused_with_what_was_found(headings, own, sentence):
    with pytest.raises(Refused, match=sentence):
        headings_of("fish", headings, own)


def test_a_row_with_cells_beyond_the_headings_is_refused_lest_its_cells_slipped():
    columns = headings_of("fish", ["Fish", "Species", "", "Remarks"])
    assert surplus(Row(5, ("F1", "Sterlet", None, "thin", "", None)), columns) is None
    assert surplus(Row(5, ("F1",)), columns) is None
    for cells in (("F1", "Sterlet", None, "thin", "see book 4"), ("F1", "Sterlet", "see book 4")):
        objection = surplus(Row(5, cells), columns)
        assert (objection.code, objection.field, objection.value) == ("too_many_cells", "notes", "see book 4")
