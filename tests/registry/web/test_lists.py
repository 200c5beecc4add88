"""A list of the register: filtered, sorted, in pages, and the same rows as a file."""

import csv
import io
import re
from datetime import date
from types import ModuleType

import django_filters
import openpyxl
import pytest
from django.urls import path

from registry import models as kept
from registry.urls import FRAME
from registry.web.filters import ChoiceFilter, DateRangeFilter, RegisterFilters, StockFilter, TextFilter
from registry.web.lists import RegisterList
from registry.web.tables import DayColumn, LinkColumn, NumberColumn, RegisterTable, tables

pytestmark = pytest.mark.django_db


class FishTable(RegisterTable):
    number = LinkColumn(accessor="fish__number", page="fish", verbose_name="Fish")
    sex = tables.Column()
    hatched_on = DayColumn(precision="hatched_precision", verbose_name="Hatched")
    sampled = NumberColumn(accessor="tissue_sample", verbose_name="Mass (g)")
    stock = tables.Column()
    last_order = "fish__number"

    class Meta(RegisterTable.Meta):
        model = kept.FishDetails
        fields = ("number", "sex", "hatched_on", "sampled", "stock")
        order_by = ("number",)
        empty_text = "No fish fits. Loosen a filter."


class FishFilters(RegisterFilters):
    number = TextFilter(field_name="fish__number", label="Number")
    sex = ChoiceFilter(choices=kept.Sex.choices, label="Sex")
    stock = StockFilter()
    hatched_on = DateRangeFilter(label="Hatched")
    born = django_filters.NumberFilter(field_name="hatched_on__year", label="Year class")

    class Meta:
        model = kept.FishDetails
        fields = ()


class FishList(RegisterList):
    table_class = FishTable
    filter_class = FishFilters
    title = "Fish"

    def rows(self):
        return kept.FishDetails.objects.current().select_related("fish", "stock")


@pytest.fixture
def client(settings, client_of):
    """The staff's browser on a site that has a list of fish."""
    site = ModuleType("site")
    site.urlpatterns = [
        path("fish/", FishList.as_view(), name="fish_list"),
        path("fish/<path:number>/", FishList.as_view(), name="fish"),
        *FRAME,
    ]
    settings.ROOT_URLCONF = site
    return client_of("staff")


@pytest.fixture
def sixty(world, hand):
    """Sixty fish; every third a female, all of one stock, hatched in May 2008 or on a day of 2009."""
    for n in range(60):
        fish = hand.put(kept.Fish(number=f"2008-{n:03d}"))
        hatched = {"hatched_on": date(2008, 5, 1), "hatched_precision": "month"}
        if n % 2:
            hatched = {"hatched_on": date(2009, 5, 3), "hatched_precision": "day"}
        sex = "F" if n % 3 == 0 else "M"
        hand.put(kept.FishDetails(fish=fish, sex=sex, stock=world.stock, origin="hatchery", **hatched))


def shown(answer):
    return [row.record.fish.number for row in answer.context["table"].paginated_rows]


def rows_of(answer):
    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    return list(csv.reader(io.StringIO(text)))


def test_a_page_holds_25_rows_and_leads_to_the_next(client, sixty):
    answer = client.get("/fish/")

    assert shown(answer) == [f"2008-{n:03d}" for n in range(25)]
    assert "page=2" in answer.content.decode()
    assert shown(client.get("/fish/?page=3")) == [f"2008-{n:03d}" for n in range(50, 60)]


@pytest.mark.parametrize(("asked", "given"), [("50", 50), ("100", 60), ("1000000", 25), ("x", 25)])
def test_only_the_offered_page_sizes_are_given(client, sixty, asked, given):
    assert len(shown(client.get(f"/fish/?per_page={asked}"))) == given


@pytest.mark.parametrize("page", ["0", "-1", "x", "99999999999"])
def test_a_page_that_does_not_exist_is_no_fault(client, sixty, page):
    assert client.get(f"/fish/?page={page}").status_code == 200


def test_ties_are_ordered_by_number_so_that_no_page_skips_a_fish(client, sixty):
    pages = [shown(client.get(f"/fish/?sort=sex&page={page}")) for page in (1, 2, 3)]

    every = [number for page in pages for number in page]
    assert sorted(every) == [f"2008-{n:03d}" for n in range(60)]
    assert every[:20] == sorted(every[:20]), "the females, in order of number"


def test_sorting_by_an_unknown_column_is_ignored(client, sixty):
    assert shown(client.get("/fish/?sort=password"))[0] == "2008-000"


def test_filters_narrow_the_list_and_are_named(client, sixty, world):
    answer = client.get(f"/fish/?sex=F&stock={world.stock.pk}&hatched_on_after=2009-01-01")

    assert shown(answer) == [f"2008-{n:03d}" for n in range(60) if n % 3 == 0 and n % 2]
    assert "Sex: Female · Stock: Lower Isendre · Hatched: from 2009-01-01" in answer.content.decode()


def test_the_two_days_of_a_range_are_told_apart_by_ear(client, sixty):
    text = client.get("/fish/?hatched_on_after=2009-01-01").content.decode()

    assert re.search(r'<input type="date" name="hatched_on_after" value="2009-01-01"[^>]* aria-label="from"', text)
    assert re.search(r'<input type="date" name="hatched_on_before"[^>]* aria-label="to"', text)


def test_a_filter_that_makes_no_sense_says_so_and_lists_nothing(client, sixty):
    answer = client.get("/fish/?hatched_on_after=yesterday")

    assert shown(answer) == []
    assert "The list is empty until the filter is put right." in answer.content.decode()


def test_an_empty_list_says_what_to_do(client, sixty):
    assert "No fish fits. Loosen a filter." in client.get("/fish/?number=zzz").content.decode()


def test_days_show_only_what_is_known_of_them(client, sixty):
    text = client.get("/fish/").content.decode()

    assert '<td class="day">May 2008</td>' in text
    assert '<td class="day">3 May 2009</td>' in text
    assert '<td class="n">–</td>' in text


def test_a_number_leads_to_its_page(client, sixty):
    assert '<a href="/fish/2008-000/">2008-000</a>' in client.get("/fish/").content.decode()


def test_the_number_of_queries_does_not_grow_with_the_rows(client, sixty, django_assert_num_queries):
    with django_assert_num_queries(6):  # session, account, roles, stocks to choose from, count, page
        client.get("/fish/?per_page=25")
    with django_assert_num_queries(6):
        client.get("/fish/?per_page=100")


def test_a_file_holds_what_is_filtered_and_nothing_else(client, sixty):
    answer = client.get("/fish/?sex=F&page=2&export=csv")

    rows = rows_of(answer)
    assert rows[0] == ["Fish", "Sex", "Hatched", "Mass (g)", "Stock"]
    assert rows[1] == ["2008-000", "Female", "2008-05", "", "Lower Isendre"]
    assert rows[2] == ["2008-003", "Female", "2009-05-03", "", "Lower Isendre"]
    assert len(rows) == 21


def test_a_file_is_named_after_the_list_and_the_day(client, sixty):
    said = client.get("/fish/?export=csv").headers["Content-Disposition"]

    assert re.fullmatch(r'attachment; filename="fish-\d{4}-\d\d-\d\d\.csv"', said)


def test_the_same_rows_come_as_xlsx(client, sixty):
    answer = client.get("/fish/?sex=F&export=xlsx")

    sheet = openpyxl.load_workbook(io.BytesIO(b"".join(answer.streaming_content))).active
    assert sheet.max_row == 21
    assert sheet["A2"].value == "2008-000"


def test_a_formula_typed_as_a_name_does_not_run_in_the_file(client, world, hand):
    fish = hand.put(kept.Fish(number="=cmd|' /C calc'!A0"))
    hand.put(kept.FishDetails(fish=fish))

    assert rows_of(client.get("/fish/?export=csv"))[1][0] == "'=cmd|' /C calc'!A0"


def test_no_file_is_given_of_a_filter_that_makes_no_sense(client, sixty):
    answer = client.get("/fish/?hatched_on_after=yesterday&export=csv")

    assert answer.headers["Content-Type"].startswith("text/html")
