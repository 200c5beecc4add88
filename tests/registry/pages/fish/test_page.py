"""One fish's page: what is this, what is due, what can I do now, and its whole life."""

from datetime import date
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from registry.models import Check, FishDetails, JournalEntry
from registry.operations.checks import record_measurement
from registry.operations.corrections import Correction, correct
from registry.operations.fish import FishMove, admit_fish, move_fish, record_departure
from registry.operations.parentage import ParentageFound, determine_parentage
from registry.operations.registration import register_individuals
from registry.operations.shared.entries import (
    Admission,
    Day,
    Departure,
    Measurement,
    Pair,
    Registration,
    TagCode,
    TagEnd,
)
from registry.operations.tags import record_tag_lost
from tests.support.river import CODES, POND, small_river

pytestmark = pytest.mark.django_db


@pytest.fixture
def river():
    return small_river()


@pytest.fixture
def page(client_of, river):
    """Return a function that gives the text of a page as a role sees it."""

    def text(path="/fish/F1/", role="staff"):
        answer = client_of(role).get(path)
        assert answer.status_code == 200
        return answer.content.decode()

    return text


def measured(by, fish="F1", day=date(2012, 6, 1), **found):
    return record_measurement(by, Measurement(fish=fish, checked_on=day, **found))


def registered(by, *numbers):
    """Take fish out of batch B1, the young of F1 × M1."""
    young = tuple(Admission(number=number, sex="F") for number in numbers)
    register_individuals(by, Registration(batch="B1", moved_on=date(2011, 5, 1), fish=young))


def test_the_head_says_which_fish_this_is(page):
    text = page()

    assert "♀ female" in text
    assert "<i>Acipenser ruthenus</i>" in text
    assert "756 000 000 000 011" in text
    assert '<a href="/units/Tank%201/">Tank 1</a>' in text
    assert "caught 3 April 2000" in text


def test_what_is_due_stands_under_the_head(page, river):
    assert "It was never measured or checked." in page()

    measured(river.by, total_length_mm=Decimal(700), sex_found="M")
    record_tag_lost(river.by, TagEnd(code=TagCode("iso", CODES["F1"]), ended_on=date(2012, 6, 1), end_reason="lost"))

    text = page()
    assert "It was never measured or checked." not in text
    assert "It bears no tag that is known" in text
    assert "Last in hand on 1 June 2012: a check is due." in text
    assert "Found male on 1 June 2012, but on record as female" in text


def test_staff_may_do_what_the_hall_does_and_the_manager_may_correct(page):
    hall, desk, reader = page(), page(role="manager"), page(role="viewer")

    assert 'href="/enter/check/?fish=F1"' in hall
    assert "/correct/fish/F1/" not in hall
    assert "/correct/fish/F1/" in desk
    assert "/enter/check/" not in reader


def test_a_dead_fish_is_not_offered_what_only_the_living_can_have_done(page, river):
    record_departure(river.by, Departure(fish="F1", left="died", left_on=Day(date(2013, 2, 1))))

    text = page(role="manager")
    assert "Died 1 February 2013" in text
    assert "/enter/check/" not in text
    assert "/correct/fish/F1/" in text
    assert "It bears no tag" not in text


def test_the_story_tells_every_thing_that_happened(page, river):
    measured(river.by, total_length_mm=Decimal("712.5"), mass_g=Decimal(2100), stage="IV", method="ultrasound")
    move_fish(river.by, FishMove(fish="F1", unit=POND, moved_on=date(2012, 7, 1)))
    record_tag_lost(river.by, TagEnd(code=TagCode("iso", CODES["F1"]), ended_on=date(2013, 6, 1), end_reason="lost"))

    text = page()
    for told in (
        "<b>Caught</b>", "<b>Tag attached</b> 756 000 000 000 011", "<b>Put into its unit</b>",
        "712.5 mm · 2100 g · stage IV · by ultrasound", "<b>Moved</b>", "<b>Tag ended: lost</b>",
        "eggs with milt of M1, family 10-1",
    ):  # fmt: skip
        assert told in text, told
    assert text.index("<b>Caught</b>") < text.index("<b>Stripped</b>") < text.index("<b>Tag ended: lost</b>")


def test_what_was_corrected_is_struck_through_and_still_readable(page, river):
    check = measured(river.by, total_length_mm=Decimal(825))
    correct(river.by, Correction(record=check, changes={"total_length_mm": Decimal(815)}, reason="board misread"))
    later = Check.objects.current().get()

    text = page()
    assert "<s><b>Checked</b> 825 mm</s>" in text
    assert "taken back: board misread" in text
    assert f"corrected by entry {later.entry_id}" in text
    assert "<b>Checked</b> 815 mm" in text


def test_a_corrected_fact_says_what_it_was(page, river):
    details = FishDetails.objects.current().get(fish__number="F2")
    correct(river.by, Correction(record=details, changes={"sex": "U"}, reason="spermiated <i>tonight</i>"))

    text = page("/fish/F2/")
    assert "Sex: Female → Not known" in text
    assert "because: spermiated &lt;i&gt;tonight&lt;/i&gt;" in text


def test_the_tag_that_ended_names_the_entry_that_ended_it(page, river):
    record_tag_lost(river.by, TagEnd(code=TagCode("iso", CODES["F1"]), ended_on=date(2013, 6, 1), end_reason="lost"))
    ended = JournalEntry.objects.get(what="tag ended")

    text = page()
    line = text[text.index("<b>Tag ended: lost</b>") :]
    assert f"entry {ended.seq}" in line[: line.index("</li>")]


def test_parents_stand_with_probability_and_evidence(page, river):
    registered(river.by, "10-1/01")
    pairs = (Pair("F1", "M1", Decimal("0.7")), Pair("F1", "M2", Decimal("0.3")))
    determine_parentage(river.by, ParentageFound(fish="10-1/01", pairs=pairs, basis="genotype", reason="12 loci"))

    text = page("/fish/10-1/01/")
    assert '<td class="n">0.7</td>' in text
    assert "Genotyping" in text
    assert "Parents: F1 × M1 → F1 × M1 (0.7), F1 × M2 (0.3) by genotyping" in text
    assert "because: 12 loci" in text


def test_the_pedigree_page_shows_picture_and_table_of_the_same_fish(page, river):
    registered(river.by, "10-1/01", "10-1/02")

    text = page("/fish/F1/pedigree/")
    picture, table = text[text.index("<figure") :].split("</figure>", 1)
    assert "Pedigree of F1" in picture
    assert "10-1/02" in picture
    assert table.count('<a href="/fish/10-1/02/">10-1/02</a>') == 1
    assert "Recorded cross" in text


def test_the_young_of_full_sibs_are_inbred_by_a_quarter(page, river):
    # Wright 1922: F of the offspring of full sibs from unrelated founders is 1/4.
    registered(river.by, "10-1/01")
    register_individuals(
        river.by, Registration(batch="B1", moved_on=date(2011, 5, 2), fish=(Admission(number="10-1/02", sex="M"),))
    )
    admit_fish(river.by, Admission(number="KIN", pairs=(Pair("10-1/01", "10-1/02"),), species="ruthenus"))

    text = page("/fish/KIN/")
    assert "0.2500" in text
    assert "4 known ancestors, 2 of them founders" in text


def test_the_page_costs_the_same_for_one_check_and_for_fifty(client_of, river):
    client = client_of("manager")
    measured(river.by, total_length_mm=Decimal(700))
    client.get("/fish/F1/")
    with CaptureQueriesContext(connection) as few:
        client.get("/fish/F1/")
    for n in range(49):
        measured(river.by, day=date(2013, 1 + n % 12, 1 + n % 28), total_length_mm=Decimal(700 + n))
        move_fish(river.by, FishMove(fish="F1", unit="Tank 1" if n % 2 else POND, moved_on=date(2014, 1, 1)))
    with CaptureQueriesContext(connection) as many:
        assert client.get("/fish/F1/").content.decode().count("<b>Checked</b>") == 50

    assert len(many) == len(few)


def test_a_fish_with_eight_young_and_one_with_twenty_cost_the_same(client_of, river):
    client = client_of("manager")
    registered(river.by, *(f"Y{n:02d}" for n in range(8)))
    client.get("/fish/F1/")
    with CaptureQueriesContext(connection) as few:
        client.get("/fish/F1/")
    registered(river.by, *(f"Z{n:02d}" for n in range(12)))
    with CaptureQueriesContext(connection) as many:
        assert "and 12 more young" in client.get("/fish/F1/").content.decode()

    assert len(many) == len(few)


def test_html_in_notes_is_shown_as_text(page, river):
    measured(river.by, notes="<script>alert(1)</script> =SUM(A1)")

    text = page()
    assert "<script>alert" not in text
    assert "&lt;script&gt;alert(1)&lt;/script&gt; =SUM(A1)" in text


def test_a_number_that_is_no_fish_is_not_found(client_of, river):
    assert client_of("staff").get("/fish/F99/").status_code == 404
    assert client_of("staff").get("/fish/F99/pedigree/").status_code == 404


def test_a_reader_of_the_journal_is_led_to_the_entry(client_of, river):
    seq = FishDetails.objects.get(fish__number="F1").entry_id
    hall, auditor = (client_of(role).get("/fish/F1/").content.decode() for role in ("staff", "auditor"))

    assert f"entry {seq}" in hall
    assert f'href="/journal/{seq}/"' not in hall
    assert f'href="/journal/{seq}/"' in auditor
