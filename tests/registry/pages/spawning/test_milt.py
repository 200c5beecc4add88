"""Milt lots: laid in, taken out, what is left."""

import csv
import io
from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from registry.models import JournalEntry, MiltLot, MiltUse
from registry.operations.crossing.milt import MiltCollected, MiltDiscarded, collect_milt, discard_milt
from tests.support.river import CODES, small_river

pytestmark = pytest.mark.django_db


@pytest.fixture
def river():
    return small_river()


@pytest.fixture
def hall(client_of, river):
    return client_of("staff")


def laid_in(by, number="ML-1", doses=20, male="M1"):
    return collect_milt(
        by, MiltCollected(number=number, male=male, collected_on=date(2010, 5, 1), state="frozen", doses=doses)
    )


LOT = {"male": CODES["M1"], "collected_on": "2010-05-01", "number": "ML-7", "state": "frozen", "doses": "1 200"}


def test_a_lot_is_laid_in_from_a_scanned_male(hall):
    answer = hall.post("/enter/milt/", LOT | {"motility_percent": "80", "position": "Dewar 1, canister 2"})

    assert answer.url == "/milt/ML-7/"
    lot = MiltLot.objects.get()
    assert (lot.male.number, lot.doses, lot.motility_percent) == ("M1", 1200, 80)


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"male": "F1"}, "F1 is recorded as female and cannot be a sire. Look at the fish again."),
        ({"doses": "0"}, "0 doses cannot be laid in. Count again."),
        ({"doses": "2,5"}, "“2,5” is not a whole number. Write figures only, such as 1200."),
        ({"motility_percent": "0.8"}, "is read as a share: 80 %"),
        ({"motility_percent": "120"}, "120 is not between 0 and 100 per cent."),
    ],
)
def test_milt_that_cannot_be_is_refused(hall, typed, sentence):
    answer = hall.post("/enter/milt/", LOT | typed)

    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert not MiltLot.objects.exists()


def test_liquid_nitrogen_is_warned_of(hall):
    for page in ("/enter/milt/", "/enter/milt-out/"):
        assert "Liquid nitrogen burns on contact" in hall.get(page).content.decode()


def test_doses_taken_out_are_no_longer_left(hall, river):
    laid_in(river.by)

    answer = hall.post(
        "/enter/milt-out/", {"lot": "ml-1", "doses": "2", "used_on": "2011-05-01", "purpose": "thaw test"}
    )
    assert answer.url == "/milt/ML-1/"
    text = hall.get("/milt/ML-1/").content.decode()
    assert "<strong>18</strong> of 20 laid in" in text
    assert "thaw test" in text


def test_more_than_is_left_cannot_be_taken_out(hall, river):
    laid_in(river.by)
    before = JournalEntry.objects.count()

    answer = hall.post(
        "/enter/milt-out/", {"lot": "ML-1", "doses": "21", "used_on": "2011-05-01", "purpose": "discarded"}
    )
    assert "Lot ML-1 has 20 doses left, not 21." in answer.content.decode()
    assert (JournalEntry.objects.count(), MiltUse.objects.count()) == (before, 0)


def test_lots_are_narrowed_to_those_with_doses_left(hall, river):
    laid_in(river.by)
    laid_in(river.by, "ML-2", 5, "M2")
    discard_milt(river.by, MiltDiscarded(lot="ML-2", used_on=date(2011, 5, 1), doses=5, purpose="discarded"))

    def lots(query):
        file = hall.get(f"/milt/?export=csv&{query}").getvalue().decode("utf-8-sig")
        return [(row["Lot"], row["Doses left"]) for row in csv.DictReader(io.StringIO(file))]

    assert lots("") == [("ML-1", "20"), ("ML-2", "0")]
    assert lots("remaining=true") == [("ML-1", "20")]
    assert lots("remaining=false") == lots("male=m2") == [("ML-2", "0")]


def test_list_and_page_cost_the_same_for_one_lot_and_for_thirty(hall, river):
    laid_in(river.by)
    costs = []
    for more in (0, 30):
        for n in range(more):
            laid_in(river.by, f"ML-X{n}")
        for _ in range(more // 2):
            discard_milt(river.by, MiltDiscarded(lot="ML-1", used_on=date(2011, 5, 1), doses=1, purpose="test"))
        hall.get("/milt/")
        with CaptureQueriesContext(connection) as queries:
            hall.get("/milt/?per_page=100")
            hall.get("/milt/ML-1/")
        costs.append(len(queries))

    assert costs[0] == costs[1]
