"""The journal for the auditor: narrowed down, read entry by entry, verified, with an anchor to print."""

import re
from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from registry.journal import read, write
from registry.models import JournalEntry, Transfer
from registry.operations.corrections import Correction, correct
from registry.operations.shared.entries import Taking
from registry.operations.young.batches import record_loss
from registry.pages.journal import tables
from registry.permissions import ENTER
from tests.support.flush import guards_off
from tests.support.river import small_river

pytestmark = pytest.mark.django_db


@pytest.fixture
def river(db):
    """B1 lost 50 on 1 June 2010; corrected to 40."""
    found = small_river()
    record_loss(found.by, Taking(batch="B1", moved_on=date(2010, 6, 1), count=50, notes="<i>siphoned</i>"))
    row = Transfer.objects.get(event="loss")
    correct(found.by, Correction(record=row, changes={"count": 40}, reason="counted twice"))
    return found


@pytest.fixture
def auditor(client_of, river):
    return client_of("auditor")


def entry(what):
    return JournalEntry.objects.filter(what=what).latest("seq")


def listed(client, query=""):
    text = client.get(f"/journal/{query}").content.decode()
    seqs = JournalEntry.objects.values_list("seq", flat=True)
    return {seq for seq in seqs if re.search(rf'<tr><td[^>]*><a href="/journal/{seq}/"', text)}


def test_the_latest_entry_stands_first(auditor):
    text = auditor.get("/journal/").content.decode()
    last = JournalEntry.objects.latest("seq").seq
    assert text.index(f'href="/journal/{last}/"') < text.index(f'href="/journal/{last - 1}/"')


@pytest.mark.parametrize("role", ["viewer", "staff"])
def test_those_whose_role_does_not_cover_it_do_not_read_the_journal(client_of, river, role):
    for address in ("/journal/", "/journal/1/", "/journal/verify/"):
        assert client_of(role).get(address).status_code == 403


@pytest.mark.parametrize(
    ("query", "what"),
    [
        ("?what=transfer+corrected", {"transfer corrected"}),
        ("?subject=f2", {"fish admitted"}),
        ("?subject=fish+F2", {"fish admitted"}),
        ("?subject=B1", {"batch opened", "loss recorded", "transfer corrected"}),
        ("?corrections=yes", {"transfer corrected"}),
        ("?who=hall&happened_at_before=2000-12-31", {"fish admitted"}),
        ("?who=nobody", set()),
        ("?source=nothing", set()),
        ("?entered_at_before=2001-01-01", set()),
    ],
)
def test_the_journal_is_narrowed_down(auditor, query, what):
    found = JournalEntry.objects.filter(seq__in=listed(auditor, query)).values_list("what", flat=True)
    assert set(found) == what


def test_each_value_of_a_column_is_offered_once(auditor):
    plain = sorted(set(JournalEntry.objects.values_list("what", flat=True)))
    assert read.values_of("what") == plain


def test_a_long_journal_is_paged_no_further_than_said_and_filters_reach_the_rest(auditor, monkeypatch):
    monkeypatch.setattr(tables, "MOST_PAGED", 3)
    text = auditor.get("/journal/").content.decode()
    assert "The first 3</strong> rows; narrow them down to reach the others" in text
    assert listed(auditor, "?seq=2") == {1, 2}


def test_the_list_never_reads_the_bodies_and_asks_as_often_for_many_entries(auditor, river):
    def asked():
        with CaptureQueriesContext(connection) as queries:
            auditor.get("/journal/")
        return [query["sql"] for query in queries]

    few = asked()
    for number in range(30):
        with write.entry(river.by, "looked", permission=ENTER, subject=f"tank {number}"):
            pass
    many = asked()
    assert len(few) == len(many) < 12
    assert not any('"body"' in sql for sql in many)


def test_an_entry_shows_what_it_wrote_with_references_as_numbers(auditor):
    text = auditor.get(f"/journal/{entry('batch opened').seq}/").content.decode()

    for word in ("Batch B1", "Eggs of a family 10-1", "1000", "10 May 2010", "Pond 2", "through test"):
        assert word in text
    assert entry("batch opened").hash in text
    assert entry("batch opened").prev in text


def test_a_correction_shows_what_it_took_back_and_both_entries_name_each_other(auditor):
    wrong, right = entry("loss recorded"), entry("transfer corrected")
    text = auditor.get(f"/journal/{right.seq}/").content.decode()
    assert "taken back" in text
    assert "<s>50</s>" in text
    assert text.count("<s>") == 2  # the number and the mark of withdrawal; what the later row kept is not struck
    assert "counted twice" in text
    assert f'<a href="/journal/{wrong.seq}/">Entry {wrong.seq}</a>: loss recorded' in text

    text = auditor.get(f"/journal/{wrong.seq}/").content.decode()
    assert f'<dt>Corrected by</dt><dd><a href="/journal/{right.seq}/">Entry {right.seq}</a>' in text
    assert "&lt;i&gt;siphoned&lt;/i&gt;" in text


def test_an_entry_of_many_rows_asks_no_more_than_one_of_few(auditor, river):
    def queries(what):
        with CaptureQueriesContext(connection) as asked:
            assert auditor.get(f"/journal/{entry(what).seq}/").status_code == 200
        return len(asked)

    assert queries("batch opened") < 16
    assert queries("transfer corrected") < 16


def test_every_entry_can_be_read(auditor):
    for seq in JournalEntry.objects.values_list("seq", flat=True):
        assert auditor.get(f"/journal/{seq}/").status_code == 200
    assert auditor.get("/journal/99999/").status_code == 404


def test_the_journal_is_verified_on_the_page_and_gives_an_anchor(auditor):
    assert "Nobody is kept from entering meanwhile" in auditor.get("/journal/verify/").content.decode()
    text = auditor.post("/journal/verify/").content.decode()
    head = JournalEntry.objects.latest("seq")
    assert "Everything fits" in text
    assert f"{head.seq}:{head.hash}" in text


def test_what_does_not_fit_is_told_with_its_entry(auditor):
    with guards_off(), connection.cursor() as cursor:
        cursor.execute("UPDATE registry_journalentry SET who = 'x' WHERE seq = 3")
    text = auditor.post("/journal/verify/").content.decode()
    assert "The first broken entry is 3." in text
    assert "Entry 3 is not what was written: its hash does not fit." in text


@pytest.mark.parametrize(
    ("anchor", "status", "sentence"),
    [
        ("5", 422, "after the colon stand the 64 figures"),
        ("5:" + "0" * 64, 200, "not that of the anchor"),
        ("900:" + "0" * 64, 200, "before the anchor&#x27;s entry 900"),
    ],
)
def test_an_anchor_is_compared(auditor, anchor, status, sentence):
    page = auditor.post("/journal/verify/", {"anchor": anchor})
    assert page.status_code == status
    assert sentence in page.content.decode()


def test_a_long_journal_is_verified_on_the_machine(auditor, monkeypatch):
    monkeypatch.setattr("registry.pages.journal.views.MOST_ON_PAGE", 3)
    for page in (auditor.get("/journal/verify/"), auditor.post("/journal/verify/")):
        assert "python manage.py verify_journal" in page.content.decode()
        assert "Everything fits" not in page.content.decode()
