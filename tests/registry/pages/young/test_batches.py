"""Batches on the pages of the hall: opened, counted, split, merged, corrected; refusals keep what was typed.

F1 ── M1            F2 ── M1 or M2
  10-1 (1,000)        10-2 (500)
   B1 ◄─ all of B2 ───┘             B1: 1,500, two tagged out, 300 split into B3, 200 of those released
"""

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from registry.models import Batch, Fish, FishDetails, JournalEntry, Transfer
from registry.operations.shared.entries import BatchOpening, FamilyShare, Taking
from registry.operations.young.batches import open_batch, record_loss
from tests.support.mixed_batch import mixed_batch
from tests.support.proof import everything
from tests.support.river import POND, TANK

pytestmark = pytest.mark.django_db


@pytest.fixture
def river(db):
    return mixed_batch()


@pytest.fixture
def hall(client_of, river):
    return client_of("staff")


def sent(client, what, **values):
    return client.post(f"/batches/enter/{what}/", {name: str(value) for name, value in values.items()})


def refused(client, what, *sentences, **values):
    """Send a form and expect these sentences, everything typed still there, and nothing written."""
    before = everything()
    page = sent(client, what, **values)
    text = page.content.decode()
    assert page.status_code == 422
    for sentence in sentences:
        assert sentence in text
    assert everything() == before
    return text


OPENING = {"number": "B9", "opened_on": "2011-05-01", "count": "12 400", "unit": POND, "family_0": "10-1"}


@pytest.mark.parametrize("typed", ["12 400", "12.400", "12,400", "12400", "12.4k"])
def test_a_count_is_taken_as_a_sheet_would_have_it(hall, typed):
    page = sent(hall, "opening", **OPENING | {"count": typed})

    assert page.status_code == 302
    assert page.url == "/batches/B9/"
    assert Batch.objects.get(number="B9").account.balance == 12_400


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("12.5", "is not a whole number, and fish are whole"),
        ("-3", "-3 is negative, which cannot be"),
        ("many", "“many” is not a count"),
        ("", "Number of fish is missing. Fill it in."),
    ],
)
def test_what_is_no_count_is_refused_at_its_field(hall, typed, sentence):
    text = refused(hall, "opening", sentence, **OPENING | {"count": typed})
    assert f'value="{typed}"' in text or not typed
    assert 'value="10-1"' in text


def test_a_batch_of_two_families_takes_their_shares(hall):
    shares = {"share_0": "75", "family_1": "10-2", "share_1": "25"}
    assert sent(hall, "opening", **OPENING | {"count": "1000"} | shares).status_code == 302

    moved = Transfer.objects.filter(to_account__batch__number="B9").values_list("from_account__family__number", "count")
    assert dict(moved) == {"10-1": 750, "10-2": 250}


def test_without_shares_families_have_equal_parts(hall):
    assert sent(hall, "opening", **OPENING | {"count": "1001", "family_1": "10-2"}).status_code == 302

    moved = Transfer.objects.filter(to_account__batch__number="B9").values_list("count", flat=True)
    assert sorted(moved) == [500, 501]


@pytest.mark.parametrize(
    ("lines", "sentence"),
    [
        ({"share_0": "75", "family_1": "10-2", "share_1": "20"}, "The shares sum to 95 %, not to 100 %."),
        ({"share_0": "75", "family_1": "10-2"}, "This family&#x27;s share is missing. Give every share, or none"),
        ({"share_1": "25"}, "Which family has this share? Write its number."),
        ({"family_0": "99-9"}, "There is no family 99-9 in the register."),
    ],
)
def test_shares_that_do_not_fit_are_refused_at_their_line(hall, lines, sentence):
    refused(hall, "opening", sentence, **OPENING | lines)


def test_a_spawnings_family_stands_in_the_form_from_the_start(hall):
    assert 'value="10-2"' in hall.get("/batches/enter/opening/?family=10-2").content.decode()


def test_more_lines_keep_everything_typed_and_write_nothing(hall):
    before = everything()
    page = sent(hall, "opening", **OPENING | {"more_lines": "yes", "notes": "<b>siphoned</b>"})
    text = page.content.decode()

    assert page.status_code == 200
    assert 'name="family_7"' in text
    assert 'value="10-1"' in text
    assert "&lt;b&gt;siphoned&lt;/b&gt;" in text
    assert everything() == before


def test_losses_are_booked_and_more_than_there_are_is_refused(hall):
    loss = {"batch": "B3", "event": "loss", "moved_on": "2011-07-01"}
    assert sent(hall, "taking", count="40", **loss).status_code == 302
    assert Batch.objects.get(number="B3").account.balance == 60

    refused(hall, "taking", "Batch B3 holds 60 fish on 1 July 2011, not 61. Count it, or correct the number.",
            count="61", **loss)  # fmt: skip


def test_nought_is_a_legal_count(hall):
    count = {"batch": "B3", "counted": "0", "method": "one by one", "moved_on": "2011-07-01"}
    assert sent(hall, "count", **count).status_code == 302
    assert Batch.objects.get(number="B3").account.balance == 0


def test_a_count_needs_its_method(hall):
    refused(hall, "count", "How they were counted is missing.", batch="B3", counted="90", moved_on="2011-07-01")


def test_a_batch_is_split_merged_and_moved(hall):
    split = {"batch": "B1", "new_number": "B7", "count": "1k", "unit": TANK, "moved_on": "2011-07-01"}
    assert sent(hall, "split", **split).url == "/batches/B7/"
    assert sent(hall, "merge", batch="B7", into="B3", count="900", moved_on="2011-07-02").url == "/batches/B3/"
    assert sent(hall, "move", batch="B3", unit=TANK, moved_on="2011-07-03").url == "/batches/B3/"

    balances = dict(Batch.objects.values_list("number", "account__balance"))
    assert balances == {"B1": 198, "B2": 0, "B3": 1000, "B7": 100}
    assert "Tank 1" in hall.get("/batches/B3/").content.decode()


def test_a_batch_is_not_merged_into_itself(hall):
    refused(hall, "merge", "A batch cannot be merged into itself.", batch="B1", into="B1", count="1",
            moved_on="2011-07-01")  # fmt: skip


def test_several_fish_are_registered_at_once(hall):
    lines = {"number_0": "N1", "sex_0": "F", "tag_0": "756 000000077301", "number_3": "N2", "sex_3": "U"}
    page = sent(hall, "registration", batch="B1", moved_on="2011-08-01", **lines)

    assert page.url == "/batches/B1/"
    fish = FishDetails.objects.filter(fish__number__in=["N1", "N2"]).order_by("fish__number")
    assert [(one.fish.number, one.sex, one.from_batch.number) for one in fish] == [("N1", "F", "B1"), ("N2", "U", "B1")]
    assert Fish.objects.get(number="N1").tags.get().code == "756000000077301"


def test_a_number_in_use_is_refused_at_its_line_and_none_is_registered(hall):
    lines = {"number_0": "N1", "number_1": "F1"}
    text = refused(hall, "registration", "F1", batch="B1", moved_on="2011-08-01", **lines)
    assert 'id="id_number_1_error"' in text
    assert 'id="id_number_0_error"' not in text


def test_a_line_without_a_number_is_asked_about(hall):
    refused(hall, "registration", "This fish has no register number.", batch="B1", moved_on="2011-08-01",
            tag_0="756000000000301")  # fmt: skip


@pytest.mark.parametrize("role", ["viewer", "auditor"])
def test_those_who_only_read_see_batches_and_enter_nothing(client_of, river, role):
    client = client_of(role)
    assert "/batches/enter/" not in client.get("/batches/B1/").content.decode()
    before = everything()
    assert sent(client, "opening", **OPENING).status_code == 403
    assert everything() == before


def test_the_page_says_what_is_in_a_batch_and_what_happened_to_it(hall):
    text = hall.get("/batches/b1/").content.decode()

    assert "<strong>1\N{NARROW NO-BREAK SPACE}198</strong> by the book" in text
    assert "66.7" in text
    assert ">799<" in text  # 2/3 of 1,198
    for word in ("family 10-1", "batch B2", "batch B3", "X1", "X2", "<svg"):
        assert word in text


def test_movements_run_in_order_of_happening_with_their_balance(hall, river):
    record_loss(river.by, Taking(batch="B3", moved_on=date(2011, 3, 1), count=10))
    text = hall.get("/batches/B3/").content.decode()
    table = text[text.index("Movements") :]

    assert [table.index(day) for day in ("1 February 2011", "1 March 2011", "1 June 2011")] == sorted(
        table.index(day) for day in ("1 February 2011", "1 March 2011", "1 June 2011")
    )
    balances = [table.index(f'<td class="n">{held}</td>') for held in (300, 290, 90)]
    assert balances == sorted(balances)


def test_a_manager_corrects_a_movement_and_the_one_entered_is_struck_through(client_of, river):
    record_loss(river.by, Taking(batch="B3", moved_on=date(2011, 7, 1), count=49))
    loss = Transfer.objects.current().get(event="loss", count=49)
    client = client_of("manager")
    page = client.post(f"/batches/enter/correction/{loss.pk}/", {"count": "44", "reason": "a tray counted twice"})

    assert page.url == "/batches/B3/"
    text = client.get("/batches/B3/").content.decode()
    assert "<s>−49</s>" in text
    assert "corrected: a tray counted twice" in text
    assert Batch.objects.get(number="B3").account.balance == 56
    again = client.post(f"/batches/enter/correction/{loss.pk}/", {"count": "40", "reason": "again"})
    assert "This was corrected already. Correct the later entry instead." in again.content.decode()


def test_a_correction_needs_a_reason_and_staff_make_none(hall, client_of):
    pk = Transfer.objects.filter(event="split").get().pk
    before = JournalEntry.objects.count()
    page = client_of("manager").post(f"/batches/enter/correction/{pk}/", {"count": "299"})
    assert "Why is missing." in page.content.decode()
    assert hall.post(f"/batches/enter/correction/{pk}/", {"count": "299", "reason": "x"}).status_code == 403
    assert JournalEntry.objects.filter(corrects__isnull=False).count() == 0
    assert JournalEntry.objects.count() == before + 1  # the manager's own role


def test_there_is_no_page_of_a_batch_that_is_not_there(hall):
    assert hall.get("/batches/NONE/").status_code == 404


def listed(client, query=""):
    return client.get(f"/batches/{query}").content.decode()


@pytest.mark.parametrize(
    ("query", "there"),
    [
        ("?held=yes", {"B1", "B3"}),
        ("?held=no", {"B2"}),
        ("?family=10-2", {"B1", "B2", "B3"}),
        ("?family=none", set()),
        ("?number=b3", {"B3"}),
        ("?opened_on_after=2011-01-01", {"B3"}),
        ("?counted_on_before=2010-05-10", {"B1"}),
    ],
)
def test_the_list_is_narrowed_down(hall, query, there):
    text = listed(hall, query)
    assert {name for name in ("B1", "B2", "B3") if f'href="/batches/{name}/"' in text} == there


def test_the_list_is_taken_away_with_all_families(hall):
    lines = b"".join(hall.get("/batches/?export=csv&sort=number").streaming_content).decode().splitlines()
    assert lines[1].startswith("B1,Lower Isendre,2010-05-10,Pond 2,1198,10-1; 10-2,")


def test_list_and_page_ask_as_often_for_many_batches_as_for_few(hall, river):
    def queries(address):
        with CaptureQueriesContext(connection) as asked:
            assert hall.get(address).status_code == 200
        return len(asked)

    few = queries("/batches/"), queries("/batches/B1/")
    for number in range(20):
        families = (FamilyShare(family="10-1"),)
        open_batch(river.by, BatchOpening(number=f"C{number}", opened_on=date(2011, 5, 1), count=9, families=families))
        record_loss(river.by, Taking(batch="B1", moved_on=date(2011, 7, 1), count=1))
    assert (queries("/batches/"), queries("/batches/B1/")) == few
    assert max(few) < 25


def test_a_mark_is_entered_from_the_batch_and_stands_on_its_page(hall):
    assert "/batches/enter/marking/?batch=B1" in hall.get("/batches/B1/").content.decode()

    page = sent(hall, "marking", batch="b1", kind="elastomer", detail="red, left snout", count="1 000",
                marked_on="2011-06-01")  # fmt: skip
    assert hall.get(page.url).content.decode().count("elastomer, red, left snout, 1 June 2011") == 1

    refused(hall, "marking", "so 9000 cannot have been marked", batch="B1", kind="fin clip", count="9000",
            marked_on="2011-06-01")  # fmt: skip
