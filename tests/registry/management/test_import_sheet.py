"""The command import_sheet: what it writes, what it says, and with which exit code it ends."""

import json
from io import StringIO
from pathlib import Path

import openpyxl
import pytest
from django.conf import settings
from django.core.management import CommandError, call_command

from registry.models import Fish, FishDetails, JournalEntry, Species
from tests.support.samples import FOLDER, truth, truth_of

pytestmark = pytest.mark.django_db
KEYS = ["row", "column", "field", "value", "code", "message"]


def run(*words: object) -> tuple[int, str]:
    """Run the command, return exit code and what it printed."""
    said = StringIO()
    try:
        call_command("import_sheet", *map(str, words), stdout=said)
    except SystemExit as ended:
        return int(ended.code or 0), said.getvalue()
    return 0, said.getvalue()


def written(folder: Path, text: str, name: str = "book.csv") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


GOOD = "Fish,Species,Sex,Caught\nF1,sterlet,F,2015-05-01\n"


def test_a_good_sheet_is_taken_in_and_its_journal_entries_are_named(tmp_path: Path) -> None:
    code, said = run("fish", written(tmp_path, GOOD))
    assert code == 0
    assert "Taken in: 1 rows, journal entries 2 to 2." in said
    assert Fish.objects.get().number == "F1"


def test_all_or_nothing_is_the_default_and_every_reason_is_said(tmp_path: Path) -> None:
    code, said = run("fish", written(tmp_path, GOOD + "F2,sterlet,x,2015-05-32\n"))
    assert code == 1
    assert "row 3, Sex: x is not a sex" in said
    assert "row 3, Caught: 2015-05-32 is no day" in said
    assert "Nothing was written." in said
    assert not Fish.objects.exists()


def test_the_samples_give_the_report_of_the_contract(tmp_path: Path) -> None:
    report = tmp_path / "deep" / "report.json"
    file = FOLDER / "broodstock.xlsx"
    options = ("--sheet", "Broodstock", "--as-of", truth()["as_of"], "--accept-valid", "--report", report)
    code, said = run("fish", file, *options)
    made = json.loads(report.read_text(encoding="utf-8"))
    assert code == 0
    assert list(made) == ["rows", "accepted", "refused", "warnings"]
    assert (made["rows"], made["accepted"]) == (159, 159 - len(truth_of("fish")["refuse"]))
    assert all(list(line) == KEYS for line in [*made["refused"], *made["warnings"]])
    assert {line["row"] for line in made["refused"]} == {line["row"] for line in truth_of("fish")["refuse"]}
    assert {line["code"] for line in made["refused"]} <= set(truth()["reasons"])
    assert "The refused rows, with the reasons:" in said


def test_refused_rows_come_back_under_their_own_headings_with_harmless_texts(tmp_path: Path) -> None:
    text = 'Fish;Species;Caught;Notes\nF1;sterlet;2015-05-01;\nF2;sterlet;2015-05-32;"=HYPERLINK(""http://x"")"\n'
    _, said = run("fish", written(tmp_path, text, "formulas.csv"), "--accept-valid")
    path = Path(said.strip().rpartition(": ")[2])
    assert path.parent == settings.DATA / "exports"
    headings, row = openpyxl.load_workbook(path).active.iter_rows(values_only=True)
    assert headings == ("Fish", "Species", "Caught", "Notes", "Why refused")
    assert row[3] == '\'=HYPERLINK("http://x")'
    assert row[4].startswith("Row 3: 2015-05-32 is no day of the calendar.")


def test_a_mended_file_goes_in_like_any_other_with_its_texts_as_they_were(tmp_path: Path) -> None:
    text = 'Fish;Species;Caught;Notes\nF1;sterlet;2015-05-01;\nF2;sterlet;2015-05-32;"=1+1"\n'
    _, said = run("fish", written(tmp_path, text), "--accept-valid")
    book = openpyxl.load_workbook(said.strip().rpartition(": ")[2])
    book.active["C2"] = "2015-05-31"
    book.save(tmp_path / "mended.xlsx")
    code, said = run("fish", tmp_path / "mended.xlsx")
    assert code == 0, said
    assert FishDetails.objects.get(fish__number="F2").notes == "=1+1"


def test_nothing_good_in_a_sheet_is_no_success(tmp_path: Path) -> None:
    code, _ = run("fish", written(tmp_path, "Fish,Species,Caught\nF1,sterlet,2015-05-32\n"), "--accept-valid")
    assert code == 1


def test_a_dry_run_writes_nothing_not_even_the_catalogue(tmp_path: Path) -> None:
    code, said = run("fish", written(tmp_path, GOOD), "--dry-run", "--json")
    assert code == 0
    assert json.loads(said)["accepted"] == 1
    assert not JournalEntry.objects.exists()
    assert not Species.objects.exists()


def test_an_empty_file_is_refused_as_a_whole() -> None:
    code, said = run("batches", FOLDER / "empty.csv", "--json")
    made = json.loads(said)
    assert code == 1
    assert (made["rows"], made["accepted"]) == (0, 0)
    assert [(line["row"], line["code"]) for line in made["refused"]] == [(None, "empty_file")]
    assert "The file is empty" in made["refused"][0]["message"]


def test_headings_without_rows_are_no_fault_but_are_said() -> None:
    code, said = run("batches", FOLDER / "header_only.csv")
    assert code == 0
    assert "0 rows of batches" in said
    assert "no rows below them" in said


@pytest.mark.parametrize(
    ("content", "name", "sentence"),
    [
        (bytes(range(256)) * 40, "rubbish.csv", "a program's own file, not a table"),
        (b"%PDF-1.7 ...", "list.xlsx", "is a PDF, not a table"),
        (b"PK\x03\x04 broken", "list.csv", "cannot be opened as a spreadsheet"),
        (b"one,two\n1,2\n", "list.csv", "No heading row was found"),
    ],
)
def test_rubbish_is_refused_in_words(tmp_path: Path, content: bytes, name: str, sentence: str) -> None:
    path = tmp_path / name
    path.write_bytes(content)
    code, said = run("fish", path)
    assert code == 1
    assert sentence in said


def test_a_file_over_the_limit_is_refused_before_it_is_read(tmp_path: Path) -> None:
    path = tmp_path / "big.csv"
    with path.open("wb") as file:
        file.truncate(50 * 2**20 + 1)
    code, said = run("fish", path)
    assert code == 1
    assert "the limit is 50 MB" in said


@pytest.mark.parametrize("text", ["Nr,\nAnimal,id\nSort,species\n", '{"Animal": "id", "Sort": "species", "Nr": ""}'])
def test_a_persons_own_headings_are_led_to_ours(tmp_path: Path, text: str) -> None:
    columns = written(tmp_path, text, "columns")
    code, said = run("fish", written(tmp_path, "Nr,Animal,Sort\n1,F1,sterlet\n"), "--columns", columns)
    assert code == 0, said
    assert Fish.objects.get().number == "F1"


def test_the_same_file_twice_changes_nothing_and_is_no_fault(tmp_path: Path) -> None:
    path = written(tmp_path, GOOD)
    run("fish", path)
    entries = JournalEntry.objects.count()
    code, said = run("fish", path)
    assert code == 0
    assert "Nothing new" in said
    assert JournalEntry.objects.count() == entries


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("fishes", "x.csv"), "invalid choice: 'fishes'"),
        (("fish", "nowhere.csv"), "there is no file nowhere.csv"),
        (("fish", FOLDER / "header_only.csv", "--as-of", "yesterday"), "'yesterday' is not a day"),
        (("fish", FOLDER / "header_only.csv", "--report", "/proc/none/r.json"), "cannot be written"),
    ],
)
def test_wrong_use_is_said_before_anything_is_done(words: tuple[object, ...], sentence: str) -> None:
    with pytest.raises(CommandError, match=sentence):
        run(*words)
