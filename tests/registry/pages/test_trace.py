"""The trace page: any tag or number, up with certainty in words, down to the river, as known on a day."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from registry.operations.shared.entries import BatchPart, ReleaseMade
from registry.operations.young.releases import release
from tests.support.mixed_batch import CODES, FREED, mixed_batch, second_generation

pytestmark = pytest.mark.django_db


@pytest.fixture
def river(db):
    found = mixed_batch()
    second_generation(found)
    return found


@pytest.fixture
def auditor_page(client_of, river):
    client = client_of("auditor")
    return lambda query="": client.get(f"/trace/{query}")


def text_of(page):
    return page.content.decode()


def test_a_tag_of_a_released_fish_leads_to_its_founders(auditor_page):
    page = auditor_page(f"?q={CODES['X1']}")
    text = text_of(page)

    assert page.status_code == 200
    assert f"bears tag {CODES['X1']} since 10 January 2011" in text
    assert "Supported: at least one step rests on the books of a batch or on pooled milt" in text
    for number in ("F1", "F2", "M1", "M2"):
        assert f'href="/fish/{number}/"' in text
    assert "0.6667" in text
    assert "tagged out of mixed batch B1; tag unbroken since" in text


def test_the_lineage_is_a_picture_and_the_same_as_a_table(auditor_page):
    text = text_of(auditor_page("?q=X1"))
    assert "<title" in text[text.index("<svg", text.index("Lineage")) :]
    assert text.count("entry ") > 10
    assert text.index("Lineage") < text.index("Step by step")


def test_what_came_of_a_founder_reaches_the_river(auditor_page):
    text = text_of(auditor_page("?q=F1&way=down"))
    for word in ("Generation 2", "18-1", "R1", "R2", "the ford", "C1", "Probable, by batch mark"):
        assert word in text


def test_a_founder_says_so(auditor_page):
    assert "No parents are recorded: it counts as a founder." in text_of(auditor_page("?q=F1"))


def test_what_is_not_there_is_said_with_what_to_do(auditor_page):
    page = auditor_page("?q=%3Cb%3Enope")
    assert page.status_code == 404
    assert "is called “&lt;b&gt;nope”. Check the number, or scan the tag again." in text_of(page)


def test_one_number_of_two_records_is_asked_about(auditor_page, river):
    part = (BatchPart(batch="B3", count=1),)
    release(river.by, ReleaseMade(number="B3", released_on=FREED, place="the weir", batches=part))
    text = text_of(auditor_page("?q=B3&way=down"))
    assert "means 2 things" in text
    assert "/trace/?q=batch+B3&amp;way=down" in text


@pytest.mark.parametrize(
    ("query", "status", "sentence"),
    [
        ("?q=X1&known_on=2020-01-01", 200, "Fish X1 was not yet in the register on 1 January 2020."),
        ("?q=X1&known_on=2999-01-01", 422, "This day lies in the future."),
        ("?q=X1&known_on=yesterday", 422, "This is not a day."),
        ("?q=F1&way=down&known_on=2020-01-01", 422, "What came of a record is told as known now."),
        ("?q=X1&way=sideways", 422, "sideways"),
        ("", 200, "Scan or type what you have"),
    ],
)
def test_a_question_that_cannot_be_answered_says_why(auditor_page, query, status, sentence):
    page = auditor_page(query)
    assert page.status_code == status
    assert sentence in text_of(page)


def test_a_viewer_may_trace_and_is_led_to_no_journal_page(client_of, river):
    text = text_of(client_of("viewer").get("/trace/?q=X1"))
    assert "Step by step" in text
    assert "/journal/" not in text


def test_the_page_asks_a_fixed_number_of_times_for_a_generation(auditor_page):
    auditor_page("?q=X1")
    with CaptureQueriesContext(connection) as asked:
        auditor_page("?q=X1")
    with CaptureQueriesContext(connection) as again:
        auditor_page("?q=X2")
    assert len(asked) == len(again) < 45
