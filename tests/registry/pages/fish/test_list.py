"""The list of fish: what it shows, what it can be narrowed by, what it costs."""

import csv
import io
from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from registry.models import HoldingUnit, Stock
from registry.operations.fish import admit_fish, record_departure
from registry.operations.shared.entries import Admission, Day, Departure
from tests.support.river import POND, STOCK, TANK, founder, small_river

pytestmark = pytest.mark.django_db


@pytest.fixture
def river():
    return small_river()


@pytest.fixture
def numbers(client_of, river):
    """Return a function that gives the register numbers on the list, filtered as asked."""
    client = client_of("staff")

    def listed(query=""):
        answer = client.get(f"/fish/?export=csv&{query}")
        return [row["Fish"] for row in csv.DictReader(io.StringIO(answer.getvalue().decode("utf-8-sig")))]

    return listed


def test_a_fish_stands_in_the_list_with_species_in_italics_tag_in_groups_and_unit(client_of, river):
    text = client_of("staff").get("/fish/?number=F1").content.decode()

    assert '<a href="/fish/F1/">F1</a>' in text
    assert "<i>Acipenser ruthenus</i>" in text
    assert "756\N{NO-BREAK SPACE}000\N{NO-BREAK SPACE}000\N{NO-BREAK SPACE}000\N{NO-BREAK SPACE}011" in text
    assert f"<td>{TANK}</td>" in text
    assert "<td>Living</td>" in text


def test_the_file_holds_the_code_as_it_is(client_of, river):
    file = client_of("staff").get("/fish/?export=csv&number=F1").getvalue().decode("utf-8-sig")

    (row,) = csv.DictReader(io.StringIO(file))
    assert (row["Active tag"], row["Status"], row["Stock"]) == ("756000000000011", "Living", STOCK)


def test_fish_are_narrowed_by_what_is_known_of_them(numbers):
    assert numbers("sex=F") == ["F1", "F2"]
    assert numbers("tag=000 033") == ["M1"]
    assert numbers(f"stock={Stock.objects.get().pk}") == ["F1", "F2", "M1", "M2"]
    assert numbers(f"unit={HoldingUnit.objects.get(name=POND).pk}") == []
    assert numbers("origin=hatchery") == []
    assert numbers("number=m") == ["M1", "M2"]


def test_fish_that_left_are_found_apart_from_the_living(numbers, river):
    record_departure(river.by, Departure(fish="M2", left="died", left_on=Day(date(2015, 1, 1), "year")))

    assert numbers("left=living") == ["F1", "F2", "M1"]
    assert numbers("left=left") == numbers("left=died") == ["M2"]
    assert numbers("left=released") == []


def test_fish_are_found_by_year_of_hatching(numbers, river):
    for year in (2004, 2008):
        admit_fish(river.by, Admission(number=f"H{year}", hatched=Day(date(year, 1, 1), "year")))

    assert numbers("hatched_from=2005") == ["H2008"]
    assert numbers("hatched_to=2005") == ["H2004"]


def test_a_year_that_no_calendar_holds_is_refused_at_its_field(client_of, river):
    text = client_of("staff").get("/fish/?hatched_from=99999").content.decode()

    assert "Ensure this value is less than or equal to 2200." in text
    assert "The list is empty until the filter is put right." in text


def test_the_list_costs_the_same_for_four_fish_and_for_fifty(client_of, river):
    client = client_of("staff")
    client.get("/fish/?per_page=50")
    with CaptureQueriesContext(connection) as few:
        client.get("/fish/?per_page=50")
    for n in range(46):
        admit_fish(river.by, founder(f"U{n:02d}"))
    with CaptureQueriesContext(connection) as many:
        client.get("/fish/?per_page=50")

    assert len(many) == len(few) == 8


def test_a_number_with_markup_or_a_formula_is_shown_as_text_and_harmless_in_files(client_of, river):
    admit_fish(river.by, Admission(number="=1+1<script>", sex="U"))
    client = client_of("staff")

    assert "<script>" not in client.get("/fish/?number=%3D1").content.decode().replace('<script src="', "")
    file = client.get("/fish/?export=csv&number=%3D1").getvalue().decode("utf-8-sig")
    assert "'=1+1<script>" in file
    for page in ("/fish/=1+1%3Cscript%3E/", "/fish/=1+1%3Cscript%3E/pedigree/"):
        text = client.get(page).content.decode()
        assert "=1+1&lt;script&gt;" in text[text.index("<figure") :], "in the picture too"
        assert "1<script>" not in text
