"""Words of a hatchery's sheets: sex, stage, origin, species. The spellings are common practice, no source."""

import pytest

from registry.sheets.species import SpeciesName, names_with_short_forms, read_species
from registry.sheets.words import (
    SexAndStage,
    read_batch_event,
    read_origin,
    read_sex,
    read_sex_and_stage,
    read_stage,
    read_tag_end,
)

NAMES = names_with_short_forms(
    {
        "Acipenser ruthenus": "ruthenus",
        "Sterlet": "ruthenus",
        "Acipenser oxyrinchus": "oxyrinchus",
        "Atlantic sturgeon": "oxyrinchus",
        "Acipenser baerii": "baerii",
        "Siberian sturgeon": "baerii",
    }
)


def taken(reading):
    assert not reading.refused, reading.objections
    return reading.value, [o.code for o in reading.objections]


def codes(reading) -> list[str]:
    assert reading.refused
    assert reading.value is None
    return [o.code for o in reading.objections]


@pytest.mark.parametrize(
    ("cells", "sex"),
    [
        (["F", "f", "female", "Female ", "♀", "hembra"], "F"),
        (["M", "m", "male", "♂", "macho"], "M"),
        (["U", "?", "", None, "unknown", "-"], "U"),
    ],
)
def test_sex_is_read_in_the_usual_spellings(cells, sex):
    assert [taken(read_sex(cell)) for cell in cells] == [(sex, [])] * len(cells)


def test_w_is_read_as_female_with_a_warning():
    assert taken(read_sex("w")) == ("F", ["sex_w"])


@pytest.mark.parametrize("cell", ["x7", "F?", "FM", 3])
def test_a_sex_that_cannot_be_read_is_refused(cell):
    assert codes(read_sex(cell)) == ["bad_sex"]


@pytest.mark.parametrize(
    ("cell", "sex", "stage", "warned"),
    [
        ("F IV", "F", "IV", []),
        ("male v", "M", "V", []),
        ("f", "F", None, []),
        ("?", "U", None, []),
        (None, "U", None, []),
        ("F/II", "F", "II", []),
        ("F stage III", "F", "III", []),
        ("F5", "F", "V", ["stage_arabic"]),
        ("F 3", "F", "III", ["stage_arabic"]),
        ("w IV", "F", "IV", ["sex_w"]),
        ("IV", "U", "IV", []),
    ],
)
def test_sex_and_stage_in_one_cell_are_parted(cell, sex, stage, warned):
    assert taken(read_sex_and_stage(cell)) == (SexAndStage(sex, stage), warned)


@pytest.mark.parametrize(
    ("cell", "expected"), [("x7", ["bad_sex", "bad_code"]), ("F IX", ["bad_code"]), ("F 7", ["bad_code"])]
)
def test_a_stage_that_the_scale_has_not_is_refused(cell, expected):
    assert codes(read_sex_and_stage(cell)) == expected


def test_a_stage_alone_is_read():
    assert taken(read_stage("iv")) == ("IV", [])
    assert taken(read_stage(4)) == ("IV", ["stage_arabic"])
    assert taken(read_stage("")) == (None, [])


def test_origins_are_read_in_the_usual_spellings():
    assert [read_origin(c).value for c in ("wild", "wild caught", "own", "Hatchery", "captive", "?", None)] == [
        "wild", "wild", "hatchery", "hatchery", "captive", "unknown", None,
    ]  # fmt: skip
    assert codes(read_origin("from the moon")) == ["bad_code"]
    assert "Write one of: wild, hatchery, captive, unknown" in read_origin("from the moon").objections[0].message


def test_the_end_of_a_tag_is_read_in_the_usual_spellings():
    assert [read_tag_end(c).value for c in ("lost", "Shed", "dead tag", "not reading", "retagged", "")] == [
        "lost", "lost", "dead tag", "dead tag", "replaced", None,
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("cell", "event"),
    [
        ("start", "open"),
        ("Loss", "loss"),
        ("count", "census"),
        ("split from", "split"),
        ("merged in", "merge"),
        ("moved", "move"),
        ("mortality", "loss"),
    ],
)
def test_what_happened_to_a_batch_is_read_in_the_usual_words(cell, event):
    assert taken(read_batch_event(cell)) == (event, [])


def test_an_unknown_happening_is_refused_with_the_words_known():
    assert codes(read_batch_event("sang")) == ["bad_code"]


@pytest.mark.parametrize("cell", ["Acipenser ruthenus ", "A. ruthenus", "A ruthenus", "sterlet", "Sterlet", "ruthenus"])
def test_a_species_is_known_by_each_of_its_names(cell):
    assert taken(read_species(cell, NAMES)) == (SpeciesName("ruthenus"), [])


@pytest.mark.parametrize(
    ("cell", "key"),
    [
        ("A. oxyrhynchus", "oxyrinchus"),
        ("Acipencer ruthenus", "ruthenus"),
        ("Sterlett", "ruthenus"),
        ("baeri", "baerii"),
    ],
)
def test_a_misspelt_species_is_read_with_a_warning(cell, key):
    assert taken(read_species(cell, NAMES)) == (SpeciesName(key), ["species_spelling"])


@pytest.mark.parametrize(
    "cell", ["Siberian sturgeon?", "A. baerii ?", "baerii?", "A. cf. baerii", "probably Siberian sturgeon"]
)
def test_a_species_in_doubt_is_kept_in_doubt(cell):
    assert taken(read_species(cell, NAMES)) == (SpeciesName("baerii", doubtful=True), ["doubtful_species"])


def test_a_hybrid_is_of_no_species_and_names_its_parents_where_known():
    assert taken(read_species("hybrid", NAMES)) == (SpeciesName(None, doubtful=True), ["hybrid"])
    crossed = SpeciesName(None, doubtful=True, parents=("ruthenus", "baerii"))
    for cell in ("A. ruthenus x A. baerii", "sterlet × Siberian sturgeon", "Sterlet X baerii"):
        assert taken(read_species(cell, NAMES)) == (crossed, ["hybrid"])


@pytest.mark.parametrize("cell", [None, "?", "Acipenser sp.", "sturgeon"])
def test_a_fish_of_no_named_species_is_in_doubt(cell):
    assert taken(read_species(cell, NAMES)) == (SpeciesName(None, doubtful=True), ["doubtful_species"])


@pytest.mark.parametrize("cell", ["carp", "Oncorhynchus mykiss", "<script>"])
def test_a_species_that_the_catalogue_has_not_is_refused(cell):
    reading = read_species(cell, NAMES)
    assert codes(reading) == ["doubtful_species"]
    assert "is not in the species catalogue" in reading.objections[0].message


def test_a_short_form_that_two_species_share_is_no_name():
    names = names_with_short_forms({"Acipenser sturio": "a", "Huso sturio": "b"})
    assert "sturio" not in names
    assert names["a sturio"] == "a"
