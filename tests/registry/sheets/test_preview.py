"""What would become of a row: order, repeats, what is new, and that nothing is written."""

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from registry.errors import Refused
from registry.models import JournalEntry
from registry.operations.fish import admit_fish
from registry.sheets.columns import knows
from registry.sheets.kinds.shared import Options
from registry.sheets.preview import Preview, preview
from registry.sheets.read import read_sheet
from tests.support.river import founder, small_river

pytestmark = pytest.mark.django_db


def seen(kind: str, text: str, **more: object) -> Preview:
    options = Options(**{"as_of": date(2025, 11, 30), "open_new": True} | more)  # type: ignore[arg-type]
    return preview(read_sheet(text.encode(), f"{kind}.csv", knows(kind)), kind, options)


def fish(*lines: str) -> str:
    return "\n".join(("Fish,Species,Stock,Tag,Sex,Caught,Hatched,Dam,Sire,Family,Notes", *lines))


def said(found: Preview, row: int) -> str:
    return " ".join(o.message for verdict in found.rows if verdict.number == row for o in verdict.objections)


def statuses(found: Preview) -> list[str]:
    return [verdict.status for verdict in found.rows]


def codes(found: Preview, row: int) -> set[str]:
    return {o.code for verdict in found.rows if verdict.number == row for o in verdict.objections}


def test_parents_may_stand_below_their_young() -> None:
    small_river()
    rows = ("C1,sterlet,,,F,,2015-05-01,B1,M1,,", "B1,sterlet,,,F,,2005-05-01,F1,M1,,", "D1,sterlet,,,F,,2020,C1,,,")
    found = seen("fish", fish(*rows))
    assert statuses(found) == ["added"] * 3
    assert [verdict.entry.number for verdict in found.order] == ["B1", "C1", "D1"]


def test_young_of_a_refused_fish_are_refused_with_the_row_of_that_fish() -> None:
    small_river()
    found = seen("fish", fish("C1,sterlet,,,F,,2015-05-01,B1,,,", "B1,sterlet,,,F,,2015-02-31,,,,"))
    assert statuses(found) == ["refused", "refused"]
    assert codes(found, 2) == {"parent_refused"}
    assert "B1 is in row 3, which is refused" in said(found, 2)


def test_of_two_rows_with_one_number_the_first_is_taken() -> None:
    small_river()
    found = seen("fish", fish("C1,sterlet,,,F,2015-05-01,,,,,", "c1,sterlet,,,M,2015-05-01,,,,,"))
    assert statuses(found) == ["added", "refused"]
    assert "Row 2 has fish C1 too" in said(found, 3)


def test_an_exact_repeat_in_another_notation_changes_nothing() -> None:
    small_river()
    found = seen("fish", fish("C1,sterlet,,,F,2015-05-01,,,,,", "C1, Acipenser  ruthenus,,,female,1.5.2015,,,,,"))
    assert statuses(found) == ["added", "unchanged"]
    assert codes(found, 3) == {"duplicate_row"}


def test_a_loop_of_three_is_refused_and_the_rest_is_taken() -> None:
    small_river()
    rows = ("A,sterlet,,,F,,,C,,,", "B,sterlet,,,F,,,A,,,", "C,sterlet,,,F,,,B,,,", "D,sterlet,,,F,,,F1,,,")
    found = seen("fish", fish(*rows))
    assert statuses(found) == ["refused"] * 3 + ["added"]
    assert all("A, B, C" in said(found, row) for row in (2, 3, 4))


def test_a_loop_that_only_a_family_closes_is_refused_too() -> None:
    small_river()
    found = seen("fish", fish("A,sterlet,,,F,,,B,M1,20-1,", "B,sterlet,,,F,,,A,M1,,", "C,sterlet,,,F,,,,,20-1,"))
    assert statuses(found)[:2] == ["refused"] * 2
    own = seen("fish", fish("A,sterlet,,,F,,,,,20-1,", "B,sterlet,,,F,,,A,M1,20-1,"))
    assert statuses(own) == ["refused"] * 2
    assert codes(own, 2) == {"own_parent"}


def test_a_row_that_names_only_a_known_family_gets_its_parents() -> None:
    small_river()
    found = seen("fish", fish("C1,sterlet,,,F,,2010-05-20,,,10-1,"))
    assert [(pair.dam, pair.sire) for pair in found.order[0].entry.pairs] == [("F1", "M1")]


def test_other_parents_than_the_familys_are_refused_at_the_family() -> None:
    small_river()
    found = seen("fish", fish("C1,sterlet,,,F,,2010-05-20,F2,M1,10-1,"))
    assert codes(found, 2) == {"duplicate_id"}
    assert "other parents" in said(found, 2)


def test_numbers_are_found_whatever_their_case_and_spaces() -> None:
    small_river()
    found = seen("fish", fish("C1,sterlet,,,F,,2010-05-20, f1,m 1,,"))
    assert [(pair.dam, pair.sire) for pair in found.order[0].entry.pairs] == [("F1", "M1")]


def test_a_new_stock_is_opened_with_its_first_good_row_only() -> None:
    small_river()
    rows = (f"C{n},sterlet,Quern,,F,{day},,,,," for n, day in enumerate(("2031-01-01", "2015-01-01", "2016")))
    found = seen("fish", fish(*rows))
    assert [(one.name, one.species) for one in found.openings.stocks] == [("Quern", "ruthenus")]
    assert "new_stock" in codes(found, 3)
    assert "new_stock" not in codes(found, 4)


def test_who_may_not_open_stocks_is_told_which_there_are() -> None:
    small_river()
    found = seen("fish", fish("C1,sterlet,Quern,,F,2015-01-01,,,,,"), open_new=False)
    assert codes(found, 2) == {"bad_stock"}
    assert "Lower Isendre" in said(found, 2)


def test_a_stock_in_other_letters_is_the_one_of_the_register() -> None:
    small_river()
    found = seen("fish", fish("C1,sterlet,lower isendre,,F,2015-01-01,,,,,"))
    assert found.order[0].entry.stock == "Lower Isendre"
    assert found.openings.stocks == []


def test_two_new_codes_that_differ_by_one_digit_are_both_pointed_at() -> None:
    small_river()
    rows = ("C1,sterlet,,900215255068496,F,2015-01-01,,,,,", "C2,sterlet,,900215255068436,F,2015-01-01,,,,,")
    found = seen("fish", fish(*rows))
    assert "near_code" in codes(found, 2) & codes(found, 3)


def test_batch_events_are_judged_in_order_of_day_and_told_by_row() -> None:
    small_river()
    text = (
        "Batch,Date,What,From,Unit,Stage,Count\n"
        "B1,2010-06-01,loss,,,fry,900\n"
        "B1,2010-05-20,loss,,,fry,200\n"
        "B9,2010-07-01,loss,,,fry,10\n"
        "B9,2010-07-01,split from,B1,Jar 7,fry,100\n"
    )
    found = seen("batches", text)
    assert statuses(found) == ["refused", "added", "added", "added"]
    assert "holds 800 fish on 1 June 2010, not 900" in said(found, 2)
    assert [(unit.name, unit.kind) for unit in found.openings.units] == [("Jar 7", "jar")]


def test_a_loss_before_the_batch_was_opened_says_so() -> None:
    small_river()
    text = "Batch,Date,What,From,Count\nB9,2010-05-20,loss,,5\nB9,2010-06-20,split from,B1,100\n"
    assert codes(seen("batches", text), 2) == {"before_start"}


def test_single_fish_are_released_by_their_codes_and_counted() -> None:
    river = small_river()
    codes_of = "756000000000011; 756000000000033"
    rows = (f"2020-05-0{count},Alder Ford,{codes_of},{count},P1" for count in (2, 3))
    found = seen("releases", "\n".join(("Date,Place,Batch / tags,Number,Permit", *rows)))
    assert found.order[0].entry.fish == ("F1", "M1")
    assert "The row counts 3 fish but names 2 codes" in said(found, 3)
    assert river.batch.number == "B1"


def test_sex_and_stage_may_stand_in_two_columns() -> None:
    small_river()
    text = "Tag,Date,TL (cm),Sex,Stage\n756000000000011,2012-05-01,74,M,4\n756000000000011,2012-05-02,74,x7,IV\n"
    found = seen("measurements", text)
    assert (found.order[0].entry.sex_found, found.order[0].entry.stage) == ("M", "IV")
    conflict = next(o for o in found.rows[0].objections if o.code == "sex_conflict")
    assert found.heading(conflict.field) == "Sex"
    assert found.heading(found.rows[1].objections[0].field) == "Sex"


def test_a_tag_that_is_lost_without_a_day_is_refused() -> None:
    small_river()
    found = seen("tags", "Fish,Code,Put in,Taken out,Why\nF1,900215255068496,2012-05-01,,lost\nF1,900215255068497,,,\n")
    assert "not on which day" in said(found, 2)
    assert "put in is missing" in said(found, 3)


def test_a_preview_writes_nothing_and_asks_as_often_for_one_row_as_for_many() -> None:
    small_river()
    rows = [f"N{n},sterlet,Quern,9002152550{n:05d},F,2015-01-01,,,,," for n in range(60)]
    before = JournalEntry.objects.count()
    with CaptureQueriesContext(
        connection,
    ) as one:
        seen("fish", fish(rows[0]))
    with CaptureQueriesContext(connection) as many:
        seen("fish", fish(*rows))
    assert len(many) <= len(one) + 2
    assert not [q for q in many if q["sql"].startswith(("INSERT", "UPDATE", "DELETE"))]
    assert JournalEntry.objects.count() == before


def test_headings_that_do_not_fit_are_refused_with_what_is_missing() -> None:
    small_river()
    with pytest.raises(Refused, match="needs a column for species"):
        seen("fish", "Fish,Tag\nF9,900215255068496\n")


def test_a_fish_entered_by_hand_meanwhile_is_no_second_fish() -> None:
    river = small_river()
    admit_fish(river.by, founder("F9"))
    assert codes(seen("fish", fish("F9,sterlet,,,F,2015-01-01,,,,,")), 2) == {"duplicate_id"}
