"""One door: permission, one transaction, rows and chained entries together or not at all."""

import json
from datetime import date, datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from registry.errors import NotAllowed, Objection, Refused
from registry.journal import write
from registry.journal.chain import HASHED, ZEROS, entry_hash
from registry.models import Account, Batch, Check, Fish, JournalEntry, Tag, WrittenPastTheJournal
from registry.permissions import CORRECT, ENTER, READ_JOURNAL, Actor

DAY = date(2021, 5, 3)
pytestmark = pytest.mark.django_db


def admit(by: Actor, *numbers: str) -> list[Fish]:
    with write.entry(by, "fish admitted", permission=ENTER, subject="fish", happened_at=DAY) as entry:
        return [entry.add(Fish(number=number)) for number in numbers]


def last() -> JournalEntry:
    return JournalEntry.objects.order_by("seq").last()


def test_an_entry_says_who_did_what_to_what_when_and_through_which_face(staff: Actor) -> None:
    (fish,) = admit(staff.through("sheet broodstock.xlsx row 4"), "F1")
    entry = last()
    assert (entry.who, entry.user_id, entry.what, entry.subject) == ("staff", staff.user_id, "fish admitted", "fish")
    assert (entry.source, entry.happened_at.date(), fish.entry_id) == ("sheet broodstock.xlsx row 4", DAY, entry.seq)
    assert entry.entered_at > entry.happened_at


def test_an_entry_holds_the_rows_as_they_were_written(staff: Actor) -> None:
    with write.entry(staff, "fish measured", permission=ENTER, subject="fish F1") as entry:
        fish = entry.add(Fish(number="F1"))
        entry.add(Check(fish=fish, checked_on=DAY, total_length_mm=Decimal("812.5")))
    rows = {row["kind"]: row for row in json.loads(last().body)["rows"]}
    assert rows["fish"]["after"] == {"id": fish.pk, "number": "F1", "entry_id": last().seq}
    assert rows["check"]["after"]["fish_id"] == fish.pk
    assert rows["check"]["after"]["total_length_mm"] == "812.5"


def test_entries_form_a_chain_from_the_first_on(staff: Actor) -> None:
    for number in ("F1", "F2", "F3"):
        admit(staff, number)
    before = ZEROS
    for place, entry in enumerate(JournalEntry.objects.order_by("seq"), start=1):
        assert (entry.seq, entry.prev) == (place, before)
        assert entry.hash == entry_hash([getattr(entry, name) for name in HASHED])
        before = entry.hash
    assert JournalEntry.objects.count() == 3


def test_what_a_role_does_not_cover_is_refused_and_leaves_no_trace(auditor: Actor) -> None:
    sentence = r"auditor \(auditor\) may not enter what was done in the hatchery\. Ask someone with the role: .*staff"
    with pytest.raises(NotAllowed, match=sentence):
        admit(auditor, "F1")
    assert not Fish.objects.exists()
    assert not JournalEntry.objects.exists()


def test_a_refusal_half_way_takes_back_rows_and_entry(staff: Actor) -> None:
    def change_of_mind() -> None:
        with write.entry(staff, "fish admitted", permission=ENTER, subject="x") as entry:
            entry.add(Fish(number="F1"))
            entry.door.write_rows()
            raise Refused(Objection("no_room", "unit", "There is no room."))

    with pytest.raises(Refused, match="There is no room"):
        change_of_mind()
    assert not Fish.objects.exists()
    assert not JournalEntry.objects.exists()


@pytest.mark.parametrize(
    ("make", "sentence"),
    [
        (lambda fish: Fish(number="F1"), r"This number is already used in the register\. .* take another\."),
        (lambda fish: Tag(fish=fish, system="iso", code="1", attached_on=DAY), r"This code .* another fish"),
        (
            lambda fish: Check(fish=fish, checked_on=DAY, mass_g=-1),
            r"(?s)contradicts this \(mass_above_zero\)\. Reload",
        ),
    ],
    ids=["number", "tag", "mass"],
)
def test_what_only_the_database_noticed_is_said_in_words(make: object, sentence: str, staff: Actor) -> None:
    (fish,) = admit(staff, "F1")
    with write.entry(staff, "tag attached", permission=ENTER, subject="x") as entry:
        entry.add(Tag(fish=fish, system="iso", code="1", attached_on=DAY))
    with pytest.raises(Refused, match=sentence), write.entry(staff, "x", permission=ENTER, subject="x") as entry:
        entry.add(make(fish))
    assert JournalEntry.objects.count() == 2


def test_an_open_end_is_filled_once_and_the_entry_says_before_and_after(staff: Actor) -> None:
    (fish,) = admit(staff, "F1")
    with write.entry(staff, "tag attached", permission=ENTER, subject="x") as entry:
        tag = entry.add(Tag(fish=fish, system="iso", code="1", attached_on=DAY))
    with write.entry(staff, "tag ended", permission=ENTER, subject="x") as entry:
        entry.end(tag, ended_on=date(2021, 6, 1), end_reason="lost")
    (change,) = json.loads(last().body)["rows"]
    assert change["before"] == {"ended_on": None, "end_reason": ""}
    assert (change["after"]["ended_on"], change["after"]["end_reason"]) == ("2021-06-01", "lost")
    with (
        pytest.raises(WrittenPastTheJournal, match="has already ended"),
        write.entry(staff, "tag ended", permission=ENTER, subject="x") as entry,
    ):
        entry.end(tag, ended_on=date(2021, 7, 1))
    tag.refresh_from_db()
    assert tag.ended_on == date(2021, 6, 1)


def test_nothing_but_an_open_end_is_filled_in(staff: Actor) -> None:
    (fish,) = admit(staff, "F1")
    with (
        pytest.raises(WrittenPastTheJournal, match=r"Fish\.number is not an open end"),
        write.entry(staff, "renamed", permission=ENTER, subject="x") as entry,
    ):
        entry.end(fish, number="F2")
    assert Fish.objects.get().number == "F1"


def test_a_stale_copy_cannot_end_what_another_person_ended(staff: Actor) -> None:
    (fish,) = admit(staff, "F1")
    with write.entry(staff, "tag attached", permission=ENTER, subject="x") as entry:
        tag = entry.add(Tag(fish=fish, system="iso", code="1", attached_on=DAY))
    stale = Tag.objects.get()
    with write.entry(staff, "tag ended", permission=ENTER, subject="x") as entry:
        entry.end(tag, ended_on=date(2021, 6, 1), end_reason="lost")
    with (
        pytest.raises(WrittenPastTheJournal, match="was changed meanwhile"),
        write.entry(staff, "tag ended", permission=ENTER, subject="x") as entry,
    ):
        entry.end(stale, ended_on=date(2021, 7, 1), end_reason="removed")
    assert Tag.objects.get().ended_on == date(2021, 6, 1)


def test_a_row_taken_back_stays_readable_and_names_the_entry_that_took_it_back(staff: Actor, manager: Actor) -> None:
    (fish,) = admit(staff, "F1")
    first = last()
    correction = write.entry(
        manager, "corrected", permission=CORRECT, subject="fish F1", reason="read twice", corrects=first
    )
    with correction as entry:
        entry.withdraw(fish)
    assert Fish.objects.get().withdrawn_id == last().seq == first.seq + 1
    assert not Fish.objects.current().exists()
    assert (last().corrects, last().reason) == (first, "read twice")


def test_a_day_without_a_time_stays_that_day_in_the_hatchery(staff: Actor, settings: object) -> None:
    settings.TIME_ZONE = "Etc/GMT-12"
    admit(staff, "F1")
    assert last().happened_at.astimezone(ZoneInfo("Etc/GMT-12")).date() == DAY


def test_a_time_without_a_zone_is_the_hatcherys_own(staff: Actor, settings: object) -> None:
    settings.TIME_ZONE = "Etc/GMT-12"
    night = datetime(2021, 5, 3, 23, 30)  # noqa: DTZ001
    with write.entry(staff, "spawned", permission=ENTER, subject="x", happened_at=night):
        pass
    assert last().happened_at == night.replace(tzinfo=ZoneInfo("Etc/GMT-12"))


def test_a_balance_moves_with_the_rows_that_say_why(staff: Actor) -> None:
    with write.entry(staff, "batch opened", permission=ENTER, subject="x") as entry:
        account = entry.add(Account(kind="batch", batch=entry.add(Batch(number="B1", opened_on=DAY))))
        entry.door.write_rows()
        entry.move(account, 120)
        entry.move(account, -20)
    assert Account.objects.get().balance == 100
    with (
        pytest.raises(Refused, match=r"does not hold that many fish\. Count it, or check the number\."),
        write.entry(staff, "loss", permission=ENTER, subject="x") as entry,
    ):
        entry.move(account, -101)
    assert Account.objects.get().balance == 100


def test_a_thousand_fish_in_one_entry_cost_a_handful_of_statements(staff: Actor) -> None:
    admit(staff, "F0")
    with CaptureQueriesContext(connection) as many:
        admit(staff, *[f"G{number}" for number in range(1000)])
    assert len(many) < 12
    assert Fish.objects.count() == 1001


def test_reading_the_journal_is_no_way_to_write_it(auditor: Actor) -> None:
    with pytest.raises(WrittenPastTheJournal), write.entry(auditor, "x", permission=READ_JOURNAL, subject="x"):
        Fish.objects.create(number="F1")
    assert not JournalEntry.objects.exists()
