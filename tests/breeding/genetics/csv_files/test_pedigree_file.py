"""A pedigree file is read as a person means it, or refused with every row that is wrong."""

from pathlib import Path

import pytest

from breeding.genetics.csv_files.pedigree_file import PedigreeFile, read_pedigree
from breeding.genetics.csv_files.reading import FileRefused
from breeding.genetics.pedigree import ParentRow, inheritance


@pytest.fixture
def read(tmp_path: Path):
    def write_and_read(text: str | bytes) -> PedigreeFile:
        path = tmp_path / "stock.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return read_pedigree(path, inheritance())

    return write_and_read


@pytest.mark.parametrize("unknown", ["", "0", ".", "NA", "?", " "])
def test_an_unknown_parent_is_told_in_many_ways(read, unknown):
    assert read(f"id,dam,sire\nx,{unknown},s\n").rows == [ParentRow("x", None, "s")]


def test_columns_are_found_by_name_and_others_ignored(read):
    file = read("\ufeffName,Sire, ID ,dam,tank\r\nIda,s,x,d,4\r\n")
    assert file.rows == [ParentRow("x", "d", "s")]
    assert file.ignored == ["Name", "tank"]


def test_every_optional_column_is_read(read):
    heading = (
        "id,dam,sire,sex,year,origin,probability,draw,dam_copies,sire_copies,dam_double_reduction,sire_double_reduction"
    )
    file = read(f"{heading}\nx,d,s,f,2011,Wild,0.5,jar 2,2,1,0.1,0\nx,d,t,,,,0.5,jar 2,2,1,0.1,0\n")
    assert file.rows[0] == ParentRow("x", "d", "s", 0.5, "jar 2", (2, 1), (0.1, 0.0))
    facts = file.facts["x"]
    assert (facts.sex, facts.year, facts.origin) == ("F", 2011, "wild")
    assert file.places("x") == "rows 2, 3"


def test_blank_lines_are_passed_over_but_counted(read):
    with pytest.raises(FileRefused, match=r"stock.csv, row 5: probability is 2\. It must lie from 0 to 1"):
        read("id,dam,sire,probability\nx,d,s,1\n\n,,,\ny,d,s,2\n")


def test_an_unknown_sex_may_be_written_as_u(read):
    assert read("id,dam,sire,sex\nx,,,U\n").facts["x"].sex is None


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", r"stock.csv: is empty. It needs a heading: id,dam,sire"),
        ("id,dam,sire\n", r"stock.csv: has no rows below the heading"),
        ("id,dam\nx,d\n", r"row 1: lacks the column sire; found: id, dam"),
        ("id;dam;sire\nx;d;s\n", r"row 1: lacks the column id, dam, sire.*Separate the cells with commas"),
        ("id,dam,sire,dam\nx,d,s,e\n", r"row 1: has the column dam more than once"),
        ("id,dam,sire\nx,d\n", r"row 2: has 2 cells, the heading 3"),
        ("id,dam,sire\nx,d,s,\n", r"row 2: has 4 cells, the heading 3"),
        ("id,dam,sire\n,d,s\n", r"row 2: has no id"),
        ("id,dam,sire\nNA,d,s\n", r"row 2: has the id NA, which means unknown"),
        (b"id,dam,sire\nx,d,s\n\xe4,d,s\n", r"row 3: is not UTF-8 text. Save the sheet as"),
        (b"PK\x03\x04\0\0", r"row 1: holds binary data"),
        ('id,dam,sire\nx,"d,s\n', r"row 2: cannot be read .*Check its quotes"),
        ("id,dam,sire,sex\nx,d,s,male\n", r"row 2: sex is “MALE”. Use F, M or leave it empty"),
        ("id,dam,sire,origin\nx,d,s,river\n", r"row 2: origin is “river”. Use wild, hatchery, captive, unknown"),
        ("id,dam,sire,year\nx,d,s,spring\n", r"row 2: year is “spring”, which is not a number"),
        ("id,dam,sire,year\nx,d,s,2011.5\n", r"row 2: year is 2011.5. It must be a whole number"),
        ('id,dam,sire,probability\nx,d,s,"0,5"\n', r"row 2: probability is “0,5”, .* Use a decimal point"),
        ("id,dam,sire,probability\nx,d,s,0\n", r"row 2: has probability 0. Leave out parents that are impossible"),
        ("id,dam,sire,probability\nx,d,s,nan\n", r"row 2: probability is “nan”. Give a plain number"),
        ("id,dam,sire,dam_copies\nx,d,s,-1\n", r"row 2: dam_copies is -1. It must be a whole number, not negative"),
        ("id,dam,sire,sire_double_reduction\nx,d,s,1.1\n", r"row 2: sire_double_reduction is 1.1"),
        ("id,dam,sire,sex\nx,d,s,\nd,,,M\n", r"row 2: names d as dam of x, but row 3 records it as male"),
        ("id,dam,sire,sex\ns,,,F\nx,d,s,\n", r"row 3: names s as sire of x, but row 2 records it as female"),
        ("id,dam,sire,year\nx,d,s,2001\nd,,,2005\n", r"row 2: names d of 2005 as dam of x of 2001"),
        ("id,dam,sire,sex\nx,d,s,F\nx,d,t,M\n", r"row 3: says sex M of x, row 2 says F. Make them agree"),
    ],
)
def test_a_bad_file_is_refused_with_its_row(read, text, sentence):
    with pytest.raises(FileRefused, match=sentence):
        read(text)


def test_all_bad_rows_are_told_at_once(read):
    with pytest.raises(FileRefused, match="row 2") as refusal:
        read("id,dam,sire,year\nx,d,s,one\ny,d,s,2001\nz,d,s,three\n")
    assert [reason.row for reason in refusal.value.reasons] == [2, 4]
