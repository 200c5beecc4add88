"""Taking in what a preview has shown: all or nothing, once, in one transaction, each row with its journal entry."""

from dataclasses import replace
from datetime import date

import pytest

from registry.errors import NotAllowed, Refused
from registry.models import Fish, FishDetails, HoldingUnit, ImportedRow, JournalEntry, Stock
from registry.operations.fish import admit_fish
from registry.operations.people import installer
from registry.permissions import Actor
from registry.sheets.columns import knows
from registry.sheets.commit import take_in
from registry.sheets.kinds.shared import Options
from registry.sheets.preview import Preview, preview
from registry.sheets.read import read_sheet
from tests.support.river import founder, small_river

pytestmark = pytest.mark.django_db
GOOD = "Fish,Species,Stock,Sex,Caught\nC1,sterlet,Quern,F,2015-05-01\nC2,sterlet,Quern,M,2015-05-01\n"
MIXED = GOOD + "C3,sterlet,Quern,F,2015-05-32\n"


def seen(text: str, kind: str = "fish", *, open_new: bool = True) -> Preview:
    sheet = read_sheet(text.encode(), "book.csv", knows(kind))
    return preview(sheet, kind, Options(date(2025, 11, 30), open_new=open_new))


def test_good_rows_are_in_the_register_with_file_and_row_in_the_journal() -> None:
    small_river()
    taken = take_in(installer("import: book.csv"), seen(GOOD), "book.csv")
    assert taken.rows == 2
    sources = JournalEntry.objects.filter(seq__range=(taken.first, taken.last)).order_by("seq")
    assert [entry.source.removeprefix("import: book.csv") for entry in sources] == ["", " row 2", " row 3"]
    assert FishDetails.objects.get(fish__number="C2").stock.name == "Quern"
    assert ImportedRow.objects.filter(kind="fish", file_name="book.csv").count() == 2


def test_one_refused_row_stops_all_by_default() -> None:
    small_river()
    before = JournalEntry.objects.count()
    with pytest.raises(Refused, match="1 rows are refused, so nothing was taken in"):
        take_in(installer("import"), seen(MIXED), "book.csv")
    assert JournalEntry.objects.count() == before
    assert not Stock.objects.filter(name="Quern").exists()


def test_the_good_rows_alone_when_asked() -> None:
    small_river()
    assert take_in(installer("import"), seen(MIXED), "book.csv", accept_valid=True).rows == 2
    assert not Fish.objects.filter(number="C3").exists()


def test_a_mended_file_adds_only_what_was_refused_before() -> None:
    small_river()
    take_in(installer("import"), seen(MIXED), "book.csv", accept_valid=True)
    mended = seen(MIXED.replace("2015-05-32", "2015-05-31"))
    assert [verdict.entry.number for verdict in mended.order] == ["C3"]
    assert take_in(installer("import"), mended, "book.csv").rows == 1


def test_a_register_changed_since_the_preview_is_looked_at_again() -> None:
    river = small_river()
    found = seen(GOOD)
    admit_fish(river.by, founder("F9"))
    with pytest.raises(Refused, match="has changed since this preview") as caught:
        take_in(installer("import"), found, "book.csv")
    assert caught.value.objections[0].code == "changed"
    assert not Fish.objects.filter(number="C1").exists()


def test_a_row_that_cannot_be_written_takes_all_others_with_it() -> None:
    small_river()
    found = seen(GOOD)
    found.order[1].entry = replace(found.order[1].entry, number="F1")
    with pytest.raises(Refused, match="F1 is already another fish"):
        take_in(installer("import"), found, "book.csv")
    assert not Fish.objects.filter(number="C1").exists()
    assert not Stock.objects.filter(name="Quern").exists()


def test_a_geneticist_may_not_take_in_sheets(geneticist: Actor) -> None:
    small_river()
    with pytest.raises(NotAllowed, match="may not take in spreadsheets"):
        take_in(geneticist, seen(GOOD.replace("Quern", ""), open_new=False), "book.csv")


def test_staff_may_not_release_by_a_sheet_what_they_may_not_release_by_hand(staff: Actor) -> None:
    small_river()
    text = "Date,Place,Batch,Number,Permit\n2012-05-01,Alder Ford,B1,10,P1\n"
    with pytest.raises(NotAllowed, match="may not release fish"):
        take_in(staff, seen(text, "releases"), "book.csv")


def test_a_unit_that_a_sheet_names_first_stands_in_the_first_facility() -> None:
    small_river()
    text = "Batch,Date,What,From,Unit,Count\nB9,2010-06-01,split,B1,Trough 9,100\n"
    take_in(installer("import"), seen(text, "batches"), "book.csv")
    unit = HoldingUnit.objects.get(name="Trough 9")
    assert (unit.kind, unit.facility.name) == ("trough", "Brackenholt Weir Hatchery")
