"""What was written, changed or removed past an operation is found, and said by entry, table and row."""

import json
from datetime import date
from decimal import Decimal

import pytest
from django.core.management import CommandError, call_command
from django.db import connection, models

from registry import models as kept
from registry.journal import chain, verify, write
from registry.journal.findings import KEPT_OF_A_KIND, Finding, Report
from registry.journal.states import record_models
from registry.operations.corrections import Correction, correct
from registry.operations.shared.entries import Census, Taking
from registry.operations.young.batches import record_census, record_loss
from registry.permissions import ENTER
from tests.support.flush import guards_off
from tests.support.river import small_river

pytestmark = pytest.mark.django_db


def found(kind, anchor=None):
    """Return the findings of one kind; no finding of another kind may be there."""
    report = verify.verify(anchor)
    assert set(report.counts) <= {kind}, report.findings
    return report.findings


def head():
    return kept.JournalEntry.objects.order_by("seq").last()


def sql(text, *values):
    with connection.cursor() as cursor:
        cursor.execute(text, values)


@pytest.fixture
def river(db):
    return small_river()


def test_a_register_written_through_operations_is_sound(river):
    loss = record_loss(river.by, Taking(batch="B1", moved_on=date(2010, 6, 1), count=50))
    record_census(river.by, Census(batch="B1", moved_on=date(2010, 7, 1), counted=900))
    row = kept.Transfer.objects.get(event="loss", to_account__kind="loss")
    correct(river.by, Correction(record=row, changes={"count": 40}, reason="counted twice"))

    report = verify.verify()

    assert report.sound, report.findings
    assert (report.entries, report.anchor) == (head().seq, f"{head().seq}:{head().hash}")
    assert report.rows > 50
    assert loss.number == "B1"


def test_an_empty_register_is_sound(db):
    assert verify.verify().sound
    assert verify.verify().anchor == ""


def test_a_row_put_in_with_a_plain_query_set_is_caught(river):
    models.QuerySet(kept.Fish).bulk_create([kept.Fish(number="GHOST", entry_id=1)])
    ghost = kept.Fish.objects.get(number="GHOST")

    (finding,) = found("unknown row")

    assert (finding.table, finding.record) == ("registry_fish", ghost.pk)
    assert "in no journal entry" in finding.message


def test_a_row_changed_by_raw_sql_is_caught(river):
    pk = kept.FishDetails.objects.get(fish__number="F1").pk
    sql("UPDATE registry_fishdetails SET sex = 'M' WHERE id = %s", pk)

    (finding,) = found("changed row")

    assert (finding.table, finding.record) == ("registry_fishdetails", pk)


def test_a_row_taken_back_without_a_correction_is_caught(river):
    pk = kept.Tag.objects.get(fish__number="F1").pk
    sql("UPDATE registry_tag SET withdrawn_id = 1 WHERE id = %s", pk)

    assert [f.record for f in found("changed row")] == [pk]


def test_a_row_deleted_by_raw_sql_is_caught(river):
    pk = kept.Tag.objects.get(fish__number="F2").pk
    sql("DELETE FROM registry_tag WHERE id = %s", pk)

    (finding,) = found("missing row")

    assert (finding.table, finding.record) == ("registry_tag", pk)


def test_an_altered_body_is_caught_at_its_entry(river):
    entry = kept.JournalEntry.objects.get(what="fish admitted", subject="fish F2")
    with guards_off():
        forged = entry.body.replace('"sex":"F"', '"sex":"M"')
        assert forged != entry.body
        sql("UPDATE registry_journalentry SET body = %s WHERE seq = %s", forged, entry.seq)

    report = verify.verify()

    assert report.first_broken == entry.seq
    assert report.counts == {"hash": 1, "changed row": 1}


def test_an_altered_body_with_a_hash_to_match_breaks_the_next_link(river):
    entry = kept.JournalEntry.objects.get(what="fish admitted", subject="fish F2")
    entry.body = entry.body.replace("756000000000022", "756000000000099")
    forged = chain.entry_hash([getattr(entry, name) for name in chain.HASHED])
    with guards_off():
        sql("UPDATE registry_journalentry SET body = %s, hash = %s WHERE seq = %s", entry.body, forged, entry.seq)

    report = verify.verify()

    assert report.first_broken == entry.seq + 1
    assert report.counts == {"link": 1, "changed row": 1}


@pytest.mark.parametrize("column", ["who", "what", "subject", "reason", "source"])
def test_an_altered_word_of_an_entry_is_caught(river, column):
    with guards_off():
        sql(f"UPDATE registry_journalentry SET {column} = 'somebody else' WHERE seq = 3")

    assert [f.seq for f in found("hash")] == [3]


def test_a_whole_chain_forged_anew_is_caught_by_an_anchor_written_down_before(river):
    anchor = verify.Anchor(head().seq, head().hash)
    with guards_off():
        forge_the_chain_anew(who="someone else")

    assert verify.verify().sound
    assert [f.seq for f in found("anchor", anchor)] == [anchor.seq]


def forge_the_chain_anew(who):
    before = chain.ZEROS
    for entry in kept.JournalEntry.objects.order_by("seq"):
        entry.who, entry.prev = who, before
        before = chain.entry_hash([getattr(entry, name) for name in chain.HASHED])
        values = [entry.who, entry.prev, before, entry.seq]
        sql("UPDATE registry_journalentry SET who = %s, prev = %s, hash = %s WHERE seq = %s", *values)


def test_an_anchor_that_fits_is_no_finding(river):
    middle = kept.JournalEntry.objects.get(seq=4)
    assert verify.verify(verify.Anchor(4, middle.hash)).sound


def test_a_journal_cut_off_at_its_end_is_caught_by_the_anchor(river):
    with write.entry(river.by, "looked", permission=ENTER, subject="the hall"):
        pass
    last = head()
    with guards_off():
        sql("DELETE FROM registry_journalentry WHERE seq = %s", last.seq)

    assert verify.verify().sound
    (finding,) = found("anchor", verify.Anchor(last.seq, last.hash))
    assert f"ends at entry {last.seq - 1}, before the anchor's entry {last.seq}" in finding.message


def test_a_missing_entry_is_named(river):
    with write.entry(river.by, "looked", permission=ENTER, subject="the hall") as gone:
        pass
    with write.entry(river.by, "looked again", permission=ENTER, subject="the hall"):
        pass
    with guards_off():
        sql("DELETE FROM registry_journalentry WHERE seq = %s", gone.seq)

    (finding,) = found("gap")

    assert (finding.seq, finding.message) == (gone.seq, f"Entry {gone.seq} is missing from the journal.")


@pytest.mark.parametrize("body", ["", "[]", '{"rows": [{"kind": "fish"}]}', '{"rows": [{"kind": "fish", "id": "x"}]}'])
def test_a_body_that_cannot_be_read_is_reported_and_the_rest_still_checked(river, body):
    with guards_off():
        sql("UPDATE registry_journalentry SET body = %s WHERE seq = %s", body, head().seq)

    report = verify.verify()

    assert report.counts["body"] == report.counts["hash"] == 1
    assert report.first_broken == head().seq
    assert report.counts["unknown row"]


def test_parentage_that_does_not_sum_to_one_is_caught(river):
    with write.entry(river.by, "forged", permission=ENTER, subject="fish F1") as made:
        parentage = made.add(kept.Parentage(basis="recorded"))
        made.add(kept.ParentPair(parentage=parentage, dam=river.fish["F1"], probability=Decimal("0.999999999999")))
        bare = made.add(kept.Parentage(basis="recorded"))

    first, second = found("parentage")

    assert (first.record, second.record) == (parentage.pk, bare.pk)
    assert "sum to 0.999999999999, not to 1" in first.message
    assert "names no pair of parents" in second.message


def test_a_kept_balance_that_is_not_its_ledger_is_caught(river):
    pk = river.batch.account.pk
    sql("UPDATE registry_account SET balance = 1001 WHERE id = %s", pk)

    (finding,) = found("balance")

    assert finding.record == pk
    assert finding.message == "The kept balance of Batch B1 is 1001; its transfers come to 1000."


def test_a_batch_below_zero_on_a_day_long_past_is_caught_though_it_holds_fish_now(river):
    """B1 opens with 1,000 on 10 May 2010; 5 fish lost on 1 May are fish from nowhere until then."""
    account = river.batch.account
    with write.entry(river.by, "forged", permission=ENTER, subject="batch B1") as made:
        losses = made.add(kept.Account(kind="loss"))
        made.door.write_rows()
        loss = {"event": "loss", "count": 5, "moved_on": date(2010, 5, 1)}
        made.add(kept.Transfer(from_account=account, to_account=losses, **loss))
        made.move(account, -5)
        made.move(losses, 5)

    (finding,) = found("below zero")

    assert finding.message == "Batch B1 held -5 fish at the end of 1 May 2010."


def test_a_missing_guard_is_a_finding(river):
    if connection.vendor == "postgresql":
        sql("SET CONSTRAINTS ALL IMMEDIATE")  # a trigger is not dropped while rows wait for their foreign keys
        sql("DROP TRIGGER journal_no_change ON registry_journalentry")
    else:
        sql("DROP TRIGGER journal_no_update")
    report = verify.verify()

    assert set(report.counts) == {"guard"}
    assert "The database's guard journal_" in report.findings[0].message


def test_of_many_findings_the_first_are_kept_and_all_are_counted():
    report = Report()
    for number in range(KEPT_OF_A_KIND + 5):
        report.add(Finding("changed row", f"row {number}"))
    report.add(Finding("balance", "differs"))

    assert report.counts == {"changed row": KEPT_OF_A_KIND + 5, "balance": 1}
    assert len(report.findings) == KEPT_OF_A_KIND + 1
    assert report.left_out == 5


def test_a_hundred_findings_cost_no_more_queries_than_one(river, django_assert_num_queries):
    with django_assert_num_queries(queries_of_a_verification()):
        verify.verify()
    sql("UPDATE registry_fishdetails SET notes = 'forged'")
    with django_assert_num_queries(queries_of_a_verification()):
        verify.verify()


def queries_of_a_verification():
    """One for the journal and for each kind of record; two for parentage, three and two for books, guards; files."""
    files = sum(len(model.KEPT_FILES) for model in record_models().values())
    return 1 + len(record_models()) + 2 + 3 + 2 + 2 + files


# The command


def test_the_command_says_in_words_that_all_fits(river, capsys):
    call_command("verify_journal")

    said = capsys.readouterr().out
    assert "Everything fits: chain, records, parentage, balances, files, guards." in said
    assert f"{head().seq}:{head().hash}" in said


def test_the_command_exits_with_one_and_names_the_first_broken_entry(river, capsys):
    with guards_off():
        sql("UPDATE registry_journalentry SET who = 'x' WHERE seq = 2")

    with pytest.raises(SystemExit) as left:
        call_command("verify_journal", json=True)

    said = json.loads(capsys.readouterr().out)
    assert left.value.code == 1
    assert (said["sound"], said["first_broken"], said["counts"]) == (False, 2, {"hash": 1})
    assert said["findings"][0]["seq"] == 2


def test_the_command_compares_with_an_anchor(river, capsys):
    call_command("verify_journal", f"--anchor={head().seq}:{head().hash}")
    assert "Everything fits" in capsys.readouterr().out

    with pytest.raises(SystemExit):
        call_command("verify_journal", f"--anchor={head().seq}:{'0' * 64}")
    assert "not that of the anchor" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("text", "why"),
    [("12", "64 figures and letters"), ("x:" + "0" * 64, "begins with an entry's number"), ("0:" + "0" * 64, "begins")],
)
def test_an_anchor_that_is_none_is_wrong_use(text, why):
    with pytest.raises(ValueError, match=why):
        verify.read_anchor(text)
    with pytest.raises(CommandError, match="is no anchor"):
        call_command("verify_journal", f"--anchor={text}")
