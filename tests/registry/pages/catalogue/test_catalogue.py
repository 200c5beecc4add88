"""Stocks, species and policy figures, for the administrator to keep and everybody to read."""

import csv
import io

import pytest

from registry.models import JournalEntry, PolicyFigure, Stock
from tests.support.river import STOCK, small_river

pytestmark = pytest.mark.django_db


@pytest.fixture
def river():
    return small_river()


@pytest.fixture
def desk(client_of, river):
    return client_of("administrator")


def rows(client, address):
    return list(csv.DictReader(io.StringIO(client.get(address).getvalue().decode("utf-8-sig"))))


def test_a_stock_says_how_many_live(desk):
    (row,) = rows(desk, "/stocks/?export=csv")

    assert (row["Stock"], row["Living fish"], row["Females"], row["Males"]) == (STOCK, "4", "2", "2")


def test_a_stock_is_opened_once(desk):
    typed = {"name": "Upper Isendre", "species": "ruthenus", "river": "Isendre"}

    assert desk.post("/enter/stock/", typed).url == "/stocks/"
    again = desk.post("/enter/stock/", typed | {"name": "UPPER isendre"})
    assert "A stock named “UPPER isendre” cannot be opened. Take another name." in again.content.decode()
    assert Stock.objects.count() == 2


def test_how_a_stock_inherits_is_set_with_a_reason_and_listed(desk):
    typed = {"stock": STOCK, "ploidy": "4", "double_reduction": "0,1", "reason": "marker study"}

    assert desk.post("/enter/inheritance/", typed).url == "/stocks/"
    (row,) = rows(desk, "/stocks/?export=csv")
    assert (row["Gene copies"], float(row["Double reduction"])) == ("4", 0.1)
    page = desk.get("/enter/inheritance/").content.decode()
    assert "marker study" in page
    assert "in force" in page
    refused = desk.post("/enter/inheritance/", typed | {"ploidy": "2"})
    assert refused.status_code == 422
    assert "With two gene copies there is no double reduction." in refused.content.decode()


def test_species_are_found_by_any_of_their_names(desk):
    found = rows(desk, "/species/?export=csv&name=sterlet")

    assert [row["Species"] for row in found] == ["Acipenser ruthenus"]
    assert all(row["Source"] for row in rows(desk, "/species/?export=csv"))


def test_a_figure_set_anew_supersedes_the_earlier_from_its_day(desk):
    typed = {"key": "census_due_days", "value": "21", "in_force_from": "2020-01-01", "source": "house meeting"}

    assert desk.post("/enter/figure/", typed).url == "/figures/"
    held = {row["State"]: float(row["Value"]) for row in rows(desk, "/figures/?export=csv&key=census")}
    assert held == {"in force": 21, "superseded": 30}
    assert PolicyFigure.objects.get(value=21).unit == "days"


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"source": ""}, "Source is missing. Fill it in."),
        ({"value": "-1"}, "Ensure this value is greater than or equal to 0."),
        ({"value": "many"}, "“many” is not a number. Write figures only, such as 12.5."),
        ({"key": "wishes"}, "Select a valid choice."),
    ],
)
def test_a_figure_that_cannot_be_is_refused(desk, typed, sentence):
    entries, figures = JournalEntry.objects.count(), PolicyFigure.objects.count()
    whole = {"key": "census_due_days", "value": "21", "in_force_from": "2020-01-01", "source": "house meeting"}

    answer = desk.post("/enter/figure/", whole | typed)

    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert (JournalEntry.objects.count(), PolicyFigure.objects.count()) == (entries, figures)


def test_everybody_reads_and_only_the_administrator_writes(client_of, river):
    viewer = client_of("viewer")

    for address in ("/stocks/", "/species/", "/figures/"):
        assert viewer.get(address).status_code == 200
    for address in ("/enter/stock/", "/enter/figure/", "/enter/inheritance/"):
        assert viewer.get(address).status_code == 403
