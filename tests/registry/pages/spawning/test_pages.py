"""The list of spawnings, one night, and hormones given."""

from datetime import date
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from registry.models import Induction
from registry.operations.crossing.spawning import record_spawning
from registry.operations.shared.entries import CrossMade, SireShare, SpawningNight
from tests.support.broodstock import HALL, STOCK
from tests.support.river import small_river

pytestmark = pytest.mark.django_db


@pytest.fixture
def hall(client_of):
    small_river()
    return client_of("staff")


def night(number, *crosses, day=date(2026, 5, 3)):
    return record_spawning(HALL, SpawningNight(number=number, spawned_on=day, crosses=crosses, stock=STOCK))


def made(dam, family, *sires, **more):
    shares = tuple(SireShare(sire=sire, share=Decimal(1) / len(sires)) for sire in sires)
    return CrossMade(dam=dam, sires=shares, family=family, **more)


def text(answer):
    return " ".join(answer.content.decode().split())


def test_eggs_taken_and_fertilised_are_worked_out_cross_by_cross(hall):
    # 812 g × 58 per g = 47 096 eggs; 84.0 % of them 39 561 (worked by hand).
    counted = {"egg_mass_g": Decimal(812), "eggs_per_g": Decimal(58), "fertilisation_percent": Decimal(84)}
    night("S1", made("F2", "26-01", "M2", **counted))

    page = text(hall.get("/spawnings/S1/"))

    assert "= <strong>47 096 eggs" in page
    assert "= 39 561 eggs" in page


def test_a_pooled_cross_says_that_each_of_the_young_has_one_of_the_males(hall):
    night("S1", made("F2", "26-01", "M1", "M2"))

    page = text(hall.get("/spawnings/S1/"))

    assert "50 % M1, 50 % M2: each of the young has one of them as its sire" in page


def test_each_family_of_the_night_leads_to_its_batch(hall):
    night("S1", made("F2", "26-01", "M2"))

    assert f'href="{reverse("batch_open")}?family=26-01"' in text(hall.get("/spawnings/S1/"))


def test_the_night_costs_the_same_queries_whatever_the_number_of_crosses(hall, django_assert_num_queries):
    night("S1", made("F2", "26-01", "M2"))
    night("S2", *(made(dam, f"26-{n}", "M1", "M2") for n, dam in enumerate(["F1", "F2"] * 6, start=10)))
    hall.get("/spawnings/S1/")
    with django_assert_num_queries(12):
        hall.get("/spawnings/S1/")
    with django_assert_num_queries(12):
        hall.get("/spawnings/S2/")


def test_the_list_costs_the_same_queries_whatever_its_length(hall, django_assert_num_queries):
    with django_assert_num_queries(6):
        hall.get("/spawnings/")
    for n in range(12):
        night(f"S{n}", made("F2", f"26-{n:02d}", "M2"))
    with django_assert_num_queries(6):
        assert hall.get("/spawnings/").content.count(b"<tr>") == 14


@pytest.mark.parametrize(
    ("asked", "found"),
    [("dam=F2", {"S1", "S2"}), ("sire=M2", {"S1"}), ("season=2025", {"S2"}), ("family=10-1", {"S10-05-01-1"})],
)
def test_spawnings_are_found_by_their_parents_season_and_family(hall, asked, found):
    night("S1", made("F2", "26-01", "M2"))
    night("S2", made("F2", "25-01", "M1"), day=date(2025, 5, 3))

    table = hall.get(f"/spawnings/?{asked}").context["table"]

    assert {row.record.number for row in table.rows} == found


@pytest.mark.parametrize("season", ["1e9", "-1", "99999999999999999999", "x"])
def test_a_season_that_is_no_year_empties_the_list_and_says_so(hall, season):
    page = text(hall.get(f"/spawnings/?season={season}"))

    assert "The list is empty until the filter is put right." in page


def test_what_is_filtered_is_taken_away_as_a_file(hall):
    night("S1", made("F2", "26-01", "M2"))

    file = b"".join(hall.get("/spawnings/?season=2026&export=csv").streaming_content).decode()

    assert "S1,2026-05-03,Lower Isendre,1,1,1," in file
    assert "S10-05-01-1" not in file


def test_a_hormone_is_recorded_as_prescribed_and_no_dose_is_proposed(hall):
    night("S1", made("F2", "26-01", "M2"))
    page = text(hall.get("/spawnings/S1/hormone/"))
    assert "decided by the licensed veterinarian" in page
    assert 'name="dose" maxlength="80"' in page
    assert 'name="dose" value' not in page

    sent = {"fish": "F2", "given_on": "2026-05-02", "given_at": "18:30", "agent": "product as labelled",
            "dose": "as on prescription 17", "prescriber": "veterinarian, licence 17"}  # fmt: skip
    answer = hall.post("/spawnings/S1/hormone/", sent)

    assert answer.url == "/spawnings/S1/"
    given = Induction.objects.get()
    assert timezone.localtime(given.given_at).strftime("%Y-%m-%d %H:%M") == "2026-05-02 18:30"
    assert "as on prescription 17" in text(hall.get("/spawnings/S1/"))


def test_a_hormone_without_a_prescriber_is_refused(hall):
    night("S1", made("F2", "26-01", "M2"))

    answer = hall.post("/spawnings/S1/hormone/", {"fish": "F2", "given_on": "2026-05-02", "given_at": "18:30"})

    assert answer.status_code == 422
    assert "Prescribed by is missing" in text(answer)
    assert not Induction.objects.exists()


def test_a_spawning_that_there_is_not_is_not_found(hall):
    assert hall.get("/spawnings/S99/").status_code == 404
    assert hall.get("/spawnings/S99/hormone/").status_code == 404
