"""A sheet taken in on the site: nothing is written before the confirm, and nothing typed or chosen is lost."""

import os
import time
from collections.abc import Callable
from io import BytesIO

import openpyxl
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client

from registry.files.store import DAYS_LAID_ASIDE
from registry.models import Fish, JournalEntry, Role
from registry.operations.fish import admit_fish
from registry.operations.people import installer
from registry.web.entry.upload import LimitedUpload
from tests.support.river import founder, small_river

pytestmark = pytest.mark.django_db
GOOD = "Fish,Species,Sex,Caught\nC1,sterlet,F,2015-05-01\nC2,sterlet,M,2015-05-01\n"
MIXED = GOOD + "C3,sterlet,x7,2015-05-01,\n"
ClientOf = Callable[[str], Client]


def sent(client: Client, text: str | bytes, kind: str = "fish", name: str = "book.csv") -> HttpResponse:
    content = text.encode() if isinstance(text, str) else text
    file = SimpleUploadedFile(name, content)
    return client.post("/sheets/", {"file": file, "kind": kind, "as_of": "2025-11-30"})


def at_rows(client: Client, text: str, **columns: str) -> str:
    """Send a sheet, take its columns as they are matched, and return the address of its rows."""
    address = sent(client, text).url
    after = client.post(address, {"as_of": "2025-11-30", **columns})
    assert after.status_code == 302, after.content.decode()
    return after.url


def head_of(client: Client, address: str) -> str:
    return client.get(address).context["shown"].head


def words(response: HttpResponse) -> str:
    return response.content.decode()


@pytest.fixture
def staff_client(client_of: ClientOf) -> Client:
    small_river()
    return client_of(Role.STAFF)


def test_nothing_is_written_before_the_confirm(staff_client: Client) -> None:
    client = staff_client
    before = JournalEntry.objects.count()
    address = at_rows(client, GOOD)
    assert "Take in 2 rows" in words(client.get(address))
    assert (JournalEntry.objects.count(), Fish.objects.filter(number="C1").exists()) == (before, False)
    after = client.post(address, {"head": head_of(client, address)}, follow=True)
    assert "book.csv is taken in" in words(after)
    assert Fish.objects.filter(number__in=["C1", "C2"]).count() == 2
    assert JournalEntry.objects.count() == before + 2
    assert JournalEntry.objects.latest("seq").who == Role.STAFF


def test_a_refused_row_says_why_and_at_which_column(staff_client: Client) -> None:
    page = words(staff_client.get(at_rows(staff_client, MIXED) + "?show=refused"))
    assert "<b>Sex:</b> x7 is not a sex" in page
    assert "<mark>x7</mark>" in page
    assert ">C1<" not in page


def test_the_good_rows_are_taken_and_the_others_come_back_as_a_file(staff_client: Client) -> None:
    address = at_rows(staff_client, MIXED)
    head = head_of(staff_client, address)
    after = staff_client.post(address, {"head": head, "good_only": "yes"}, follow=True)
    assert "The refused rows, with the reasons" in words(after)
    file = staff_client.get(address.replace("/rows/", "/to-mend/"))
    rows = list(openpyxl.load_workbook(BytesIO(b"".join(file))).active.iter_rows(values_only=True))
    assert rows[0][:4] == ("Fish", "Species", "Sex", "Caught")
    assert rows[1][0] == "C3"
    assert "x7 is not a sex" in rows[1][-1]


def test_a_refused_row_stops_the_confirm_that_did_not_ask_for_the_good_ones(staff_client: Client) -> None:
    address = at_rows(staff_client, MIXED)
    after = staff_client.post(address, {"head": head_of(staff_client, address)})
    assert after.status_code == 422
    assert "1 rows are refused, so nothing was taken in" in words(after)
    assert "The file is still here." in words(after)
    assert not Fish.objects.filter(number="C1").exists()
    assert staff_client.get(address).status_code == 200


def test_a_register_changed_since_is_shown_anew_before_it_is_written(staff_client: Client) -> None:
    address = at_rows(staff_client, GOOD)
    head = head_of(staff_client, address)
    admit_fish(installer("test"), founder("C1"))
    after = staff_client.post(address, {"head": head}, follow=True)
    assert "The register has changed since you looked" in words(after)
    assert "C1 is already another fish" in words(after)
    assert not Fish.objects.filter(number="C2").exists()


def test_a_confirm_sent_twice_writes_once(staff_client: Client) -> None:
    address = at_rows(staff_client, GOOD)
    head = head_of(staff_client, address)
    staff_client.post(address, {"head": head})
    entries = JournalEntry.objects.count()
    assert "is taken in" in words(staff_client.post(address, {"head": head}, follow=True))
    assert JournalEntry.objects.count() == entries


def test_columns_are_matched_by_hand_and_stay_chosen_after_a_reload(staff_client: Client) -> None:
    client = staff_client
    address = sent(client, "Animal,Sort,Seen\nC1,sterlet,2015-05-01\n").url
    page = client.get(address)
    assert [column["field"] for column in page.context["columns"]] == ["", "", ""]
    assert "sterlet" in words(page)
    refused = client.post(address, {"as_of": "2025-11-30", "column_0": "id", "column_1": "", "column_2": "caught"})
    assert refused.status_code == 422
    assert "needs a column for species" in words(refused)
    chosen = {"as_of": "2025-11-30", "column_0": "id", "column_1": "species", "column_2": "caught"}
    rows = client.post(address, chosen).url
    assert [column["field"] for column in client.get(address).context["columns"]] == ["id", "species", "caught"]
    assert client.get(rows).context["counts"]["added"] == 1


def test_another_sheet_of_the_workbook_is_matched_anew_and_an_empty_one_says_so(staff_client: Client) -> None:
    book = openpyxl.Workbook()
    book.active.append(["Fish", "Species"])
    book.active.append(["C1", "sterlet"])
    book.create_sheet("Pond book").append(["Animal", "Sort"])
    book["Pond book"].append(["C2", "sterlet"])
    book.create_sheet("Nothing")
    file = BytesIO()
    book.save(file)
    address = sent(staff_client, file.getvalue(), name="book.xlsx").url
    chosen = staff_client.post(address, {"as_of": "2025-11-30", "sheet": "Pond book"}, follow=True)
    assert [column["text"] for column in chosen.context["columns"]] == ["Animal", "Sort"]
    for _ in range(2):
        empty = staff_client.post(address, {"as_of": "2025-11-30", "sheet": "Nothing"}, follow=True)
        assert "The file is empty" in words(empty)
    assert "Pond book" in words(empty)


def test_the_date_order_is_asked_where_it_matters(staff_client: Client) -> None:
    text = "Fish,Species,Caught\nC1,sterlet,03/05/2015\n"
    address = at_rows(staff_client, text)
    assert "--date-order" in words(staff_client.get(address))
    columns = address.replace("rows/", "")
    staff_client.post(columns, {"as_of": "2025-11-30", "date_order": "dmy"})
    assert staff_client.get(address).context["counts"]["refused"] == 0


def test_texts_of_a_sheet_are_shown_as_texts(staff_client: Client) -> None:
    text = "Fish,Species,Caught,Notes\nC1,sterlet,2015-05-01,<script>alert(1)</script>\n"
    page = words(staff_client.get(at_rows(staff_client, text)))
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert(1)" in page


@pytest.mark.parametrize(
    ("content", "name", "sentence"),
    [
        (b"", "empty.csv", "The file is empty"),
        (bytes(range(256)) * 40, "photo.csv", "own file, not a table"),
        (b"PK\x03\x04", "list.xlsx", "cannot be opened as a spreadsheet"),
    ],
)
def test_rubbish_is_refused_at_the_file(staff_client: Client, content: bytes, name: str, sentence: str) -> None:
    after = sent(staff_client, content, name=name)
    assert after.status_code == 422
    assert sentence in words(after).replace("&#x27;", "'")


def test_a_file_over_the_limit_is_dropped_and_the_limit_named(
    staff_client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = LimitedUpload.__init__
    monkeypatch.setattr(LimitedUpload, "__init__", lambda self, request, _largest: made(self, request, 1000))
    after = sent(staff_client, "Fish,Species\n" + "C1,sterlet\n" * 20_000)
    assert after.status_code == 422
    assert "the limit is 50 MB" in words(after)
    assert after.context["form"]["kind"].value() == "fish"
    assert after.context["uploads"] == []


def test_a_wrong_name_cannot_leave_the_folder_of_uploads(staff_client: Client) -> None:
    address = sent(staff_client, GOOD, name="../../etc/passwd.csv").url
    upload = staff_client.get("/sheets/").context["uploads"][0]
    assert upload.path.name == upload.content
    assert len(upload.content) == 64
    assert "/" not in upload.name
    assert staff_client.get(address).status_code == 200


def test_a_sheet_is_on_its_way_for_the_person_who_chose_it_only(staff_client: Client, client_of: ClientOf) -> None:
    address = sent(staff_client, GOOD).url
    assert client_of(Role.MANAGER).get(address).status_code == 404


def test_a_sheet_that_nobody_took_is_cleared_away_and_a_taken_one_stays(staff_client: Client) -> None:
    taken_address = at_rows(staff_client, GOOD)
    head = head_of(staff_client, taken_address)
    assert staff_client.post(taken_address, {"head": head}).url.endswith("/taken/")
    sent(staff_client, MIXED.replace("C3", "C7"))
    left, taken = staff_client.get("/sheets/").context["uploads"]
    long_ago = time.time() - (DAYS_LAID_ASIDE * 24 + 1) * 3600
    for upload in (left, taken):
        os.utime(upload.path, (long_ago, long_ago))
    sent(staff_client, GOOD.replace("C1", "C9"))
    assert not left.path.exists()
    assert taken.path.exists()
    assert staff_client.get(f"/sheets/{taken.token}/taken/").status_code == 200
    assert staff_client.get(f"/sheets/{left.token}/rows/").status_code == 404


def test_a_sheet_left_is_gone_and_nothing_was_written(staff_client: Client) -> None:
    address = sent(staff_client, GOOD).url
    after = staff_client.post(f"{address}leave/", follow=True)
    assert "book.csv is left" in words(after)
    assert staff_client.get(address).status_code == 404


def test_viewers_are_told_who_may_take_in_sheets(client_of: ClientOf) -> None:
    refused = client_of(Role.VIEWER).get("/sheets/")
    assert refused.status_code == 403
    assert "may not take in spreadsheets" in words(refused)


def test_staff_are_not_offered_releases_which_they_may_not_make(client_of: ClientOf) -> None:
    def offered(role: str) -> set[str]:
        return {value for value, _ in client_of(role).get("/sheets/").context["form"].fields["kind"].choices}

    assert offered(Role.MANAGER) - offered(Role.STAFF) == {"releases"}


def test_another_site_cannot_send_a_sheet(client_of: ClientOf) -> None:
    small_river()
    strict = Client(enforce_csrf_checks=True)
    strict.cookies = client_of(Role.STAFF).cookies
    assert sent(strict, GOOD).status_code == 403
