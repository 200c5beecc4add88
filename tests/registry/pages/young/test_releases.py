"""Releases and recaptures on pages: entered by a manager and the hall, corrected by a later entry, listed.

B3 holds 100 fish of 10-1 (2/3) and 10-2 (1/3) after R1; X1 ♀ and X2 ♂ bear tags.
"""

from datetime import date
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from registry.models import Batch, FishDetails, Recapture, Release, ReleaseDetails
from registry.operations.shared.entries import BatchMarking, BatchPart, RecaptureMade, ReleaseMade
from registry.operations.young.batches import mark_batch
from registry.operations.young.releases import record_recapture, release
from tests.support.mixed_batch import CODES, mixed_batch
from tests.support.proof import everything

pytestmark = pytest.mark.django_db
RELEASE = {"released_on": "2012-05-01", "place": "the weir", "permit": "P-9", "batch_0": "B3", "count_0": "60"}
PLACE = {"latitude": "47°09'39.2\"N", "longitude": "27 34.5 E"}
MET = {"recaptured_on": "2013-07-01", "place": "the bridge"}


@pytest.fixture
def river(db):
    return mixed_batch()


@pytest.fixture
def desk(client_of, river):
    return client_of("manager")


@pytest.fixture
def hall(client_of, river):
    return client_of("staff")


def refused(client, address, values, *sentences):
    before = everything()
    page = client.post(address, values)
    text = page.content.decode()
    assert page.status_code == 422
    for sentence in sentences:
        assert sentence in text
    assert everything() == before
    return text


def test_a_release_takes_fish_of_batches_and_scanned_fish(desk):
    page = desk.post("/releases/enter/", RELEASE | PLACE | {"number": "R5", "fish_0": CODES["X1"], "fish_2": "x2"})

    assert page.url == "/releases/R5/"
    details = ReleaseDetails.objects.get(release__number="R5")
    # 47° 9′ 39.2″ = 47 + 9/60 + 39.2/3600; 27° 34.5′ = 27 + 34.5/60, worked by hand.
    assert (details.latitude, details.longitude) == (Decimal("47.160889"), Decimal("27.575000"))
    assert Batch.objects.get(number="B3").account.balance == 40
    assert FishDetails.objects.current().filter(left="released", release__number="R5").count() == 2


def test_a_missing_permit_or_position_is_asked_about_before_it_is_written(desk):
    bare = {name: value for name, value in RELEASE.items() if name != "permit"}
    text = refused(desk, "/releases/enter/", bare, "No permit number was given.", "No position was given.")
    assert "enter it all the same" in text

    seen = ["No permit number was given. Releases need one; ask the authority under local law.",
            "No position was given. Add it if you can: decimal degrees."]  # fmt: skip
    page = desk.post("/releases/enter/", bare | {"confirm_warnings": "yes", "warning_seen": seen})
    assert page.status_code == 302


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"count_0": "101"}, "Batch B3 holds 100 fish on 1 May 2012, not 101."),
        ({"count_0": ""}, "How many? Give a number."),
        ({"batch_0": "", "count_0": "5"}, "Of which batch? Write its number."),
        ({"batch_0": "B77"}, "There is no batch B77 in the register."),
        ({"batch_0": "", "count_0": ""}, "No fish were named. Give a batch with a number, or tags."),
        ({"latitude": "91", "longitude": "2"}, "91 is not a latitude: it lies between -90 and 90 degrees."),
        ({"longitude": ""}, "The empty field is not a longitude"),
        ({"fish_0": "756000000000999"}, "No fish has the number or tag “756000000000999”."),
        ({"place": ""}, "Place is missing. Fill it in."),
        ({"released_on": "2099-01-01"}, "1 January 2099 lies in the future."),
        ({"notes": "\x07"}, "control character"),
    ],
)
def test_a_release_that_cannot_be_is_refused_with_the_reason(desk, changes, sentence):
    text = refused(desk, "/releases/enter/", RELEASE | PLACE | changes, sentence)
    if "place" not in changes:
        assert 'value="the weir"' in text


def test_a_fish_is_released_once(desk):
    refused(desk, "/releases/enter/", RELEASE | PLACE | {"fish_0": "X1", "fish_1": "X1"}, "Fish X1 is named twice.")
    desk.post("/releases/enter/", RELEASE | PLACE | {"number": "R5", "fish_0": "X1"})
    refused(desk, "/releases/enter/", RELEASE | PLACE | {"count_0": "1", "fish_0": "X1"}, "Fish X1 already released")


def test_only_a_manager_releases_and_everyone_sees_the_caution(hall, desk, client_of):
    before = everything()
    assert hall.post("/releases/enter/", RELEASE).status_code == 403
    assert everything() == before
    assert "Permit, certificate and waiting times are decided by" in desk.get("/releases/enter/").content.decode()


def test_the_page_of_a_release_says_what_went_where_and_of_which_families(desk):
    text = desk.get("/releases/r1/").content.decode()

    for word in ("1 June 2011", "the weir", "P-7", "elastomer red left", "B3", "10-1", "133", "66.7", "C1"):
        assert word in text
    assert "not entered" in text


def test_place_and_permit_are_corrected_with_a_reason_and_the_earlier_stays(desk):
    right = {"place": "below the weir", "permit": "P-8", "mark": "elastomer red left", "reason": "wrong line"} | PLACE
    assert desk.post("/releases/R1/correct/", right).url == "/releases/R1/"

    text = desk.get("/releases/R1/").content.decode()
    assert "below the weir" in text
    assert "<s>the weir, permit P-7" in text
    assert "wrong line" in text


def test_a_correction_that_changes_nothing_is_refused(desk):
    same = {"place": "the weir", "permit": "P-7", "mark": "elastomer red left", "reason": "just so"}
    refused(desk, "/releases/R1/correct/", same, "Nothing is different from what stands.")


@pytest.mark.parametrize(
    ("given", "link", "fish", "of"),
    [
        ({"code": CODES["X1"]}, "certain", "X1", None),
        ({"fish": CODES["X2"]}, "certain", "X2", None),
        ({"release": "R1", "marks": "elastomer red left"}, "probable", None, "R1"),
    ],
)
def test_a_recapture_is_linked_by_code_for_certain_and_by_mark_probably(hall, given, link, fish, of):
    page = hall.post("/recaptures/enter/", MET | given | {"number": "C9", "alive": "on", "released_again": "on"})

    assert page.url == "/recaptures/C9/"
    made = Recapture.objects.get(number="C9")
    assert (made.link, made.fish and made.fish.number, made.release and made.release.number) == (link, fish, of)
    assert hall.get("/recaptures/C9/").status_code == 200


def test_a_fish_without_a_mark_is_no_evidence_of_wild_origin(hall):
    refused(hall, "/recaptures/enter/", MET, "Without a code or mark this is not evidence of wild origin")
    seen = "Without a code or mark this is not evidence of wild origin: take a fin clip."
    page = hall.post("/recaptures/enter/", MET | {"number": "C8", "confirm_warnings": "yes", "warning_seen": seen})

    assert page.status_code == 302
    assert "No mark is never evidence of wild origin" in hall.get("/recaptures/C8/").content.decode()


def test_an_unknown_release_is_not_taken_in_silence(hall):
    refused(hall, "/recaptures/enter/", MET | {"release": "R99"}, "R99")


@pytest.mark.parametrize(
    ("query", "there"),
    [("?lacks=position", {"R1"}), ("?lacks=permit", set()), ("?batch=b3", {"R1"}), ("?batch=B1", set()),
     ("?place=weir", {"R1"}), ("?released_on_after=2012-01-01", set())],
)  # fmt: skip
def test_the_list_of_releases_is_narrowed_down(desk, query, there):
    text = desk.get(f"/releases/{query}").content.decode()
    assert {"R1"} & {name for name in ("R1",) if f'href="/releases/{name}/"' in text} == there


def test_the_list_of_recaptures_is_narrowed_down_by_mark(hall):
    assert 'href="/recaptures/C1/"' in hall.get("/recaptures/?mark=RED").content.decode()
    assert 'href="/recaptures/C1/"' not in hall.get("/recaptures/?mark=blue").content.decode()


def test_a_release_counts_batch_fish_and_tagged_fish_in_list_and_file(desk):
    desk.post("/releases/enter/", RELEASE | PLACE | {"number": "R5", "fish_0": "X1"})
    lines = b"".join(desk.get("/releases/?export=csv&sort=number").streaming_content).decode().splitlines()
    assert lines[1].startswith("R1,2011-06-01,the weir,200,0,elastomer red left,P-7,1,")
    assert lines[2].startswith("R5,2012-05-01,the weir,61,1,,P-9,0,47.160889,27.575")


@pytest.mark.parametrize("address", ["/releases/NONE/", "/recaptures/NONE/", "/releases/NONE/correct/"])
def test_there_is_no_page_of_what_is_not_there(desk, address):
    assert desk.get(address).status_code == 404


def test_pages_ask_as_often_for_many_as_for_few(desk, river):
    def queries(address):
        with CaptureQueriesContext(connection) as asked:
            assert desk.get(address).status_code == 200
        return len(asked)

    pages = ("/releases/", "/recaptures/", "/releases/R1/")
    few = [queries(page) for page in pages]
    for number in range(12):
        parts = (BatchPart(batch="B1", count=5),)
        made = {"released_on": date(2012, 5, 1), "place": "weir", "batches": parts}
        release(river.by, ReleaseMade(number=f"S{number}", **made))
        met = {"recaptured_on": date(2013, 5, 1), "place": "bridge", "release": "R1"}
        record_recapture(river.by, RecaptureMade(number=f"D{number}", **met))
    assert Release.objects.count() == 13
    assert [queries(page) for page in pages] == few
    assert max(few) < 25


def test_the_marks_of_the_batches_named_are_offered_for_the_release(hall, desk, river):
    mark_batch(river.by, BatchMarking(batch="B3", kind="elastomer", detail="red <left>", marked_on=date(2012, 4, 1)))
    offered = '<option value="elastomer red &lt;left&gt;"></option>'

    assert offered in desk.get("/releases/enter/?batch=b3").content.decode()
    assert offered in desk.post("/releases/enter/", RELEASE | {"more_lines": "yes"}).content.decode()
    assert "elastomer red" not in desk.get("/releases/enter/?batch=B1").content.decode()


def test_a_tagged_fish_met_again_names_the_release_it_went_out_with(hall, desk):
    desk.post("/releases/enter/", RELEASE | PLACE | {"number": "R5", "fish_0": "X1"})
    hall.post("/recaptures/enter/", MET | {"code": CODES["X1"], "number": "C9"})

    assert '<a href="/releases/R5/">R5</a>' in hall.get("/recaptures/C9/").content.decode()
