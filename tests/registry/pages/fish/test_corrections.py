"""Corrections: what stands is in the form, what is typed over it is written later, with its reason."""

from datetime import date
from decimal import Decimal

import pytest

from registry.models import Check, FishDetails, JournalEntry, Stay, Tag
from registry.operations.checks import record_measurement
from registry.operations.shared.entries import Measurement
from tests.support.river import CODES, POND, STOCK, TANK, small_river

pytestmark = pytest.mark.django_db


@pytest.fixture
def river():
    return small_river()


@pytest.fixture
def desk(client_of, river):
    return client_of("manager")


def standing(**more):
    """Return what the form of F1 holds when it opens."""
    return {
        "species": "ruthenus", "confidence": "field", "sex": "F", "stock": STOCK, "origin": "wild",
        "caught": "2000-04-03",
    } | more  # fmt: skip


def details(number="F1"):
    return FishDetails.objects.current().get(fish__number=number)


def test_the_form_holds_what_stands(desk):
    text = desk.get("/correct/fish/F1/").content.decode()

    assert "Correct fish F1" in text
    assert 'value="2000-04-03"' in text
    assert '<option value="ruthenus" selected>' in text
    assert f'<option value="{STOCK}" selected>' in text


def test_a_corrected_sex_is_a_later_row_with_its_reason(desk):
    first = details()

    typed = standing(sex="M", reason="spermiated")
    said = "F1 is on record as a dam. Look again, or determine the parentage of its young anew."
    assert said in desk.post("/correct/fish/F1/", typed).content.decode()
    typed |= {"confirm_warnings": "yes", "warning_seen": said}
    assert desk.post("/correct/fish/F1/", typed).url == "/fish/F1/"

    first.refresh_from_db()
    assert (details().sex, first.sex) == ("M", "F")
    entry = JournalEntry.objects.get(seq=first.withdrawn_id)
    assert (entry.reason, entry.corrects_id) == ("spermiated", first.entry_id)


def test_a_day_can_be_made_less_exact_than_it_was_written(desk):
    assert desk.post("/correct/fish/F1/", standing(caught="April 2000", reason="book says April")).status_code == 302

    assert (details().caught_on, details().caught_precision) == (date(2000, 4, 1), "month")


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"sex": "M", "reason": ""}, "Why is missing. Fill it in."),
        ({"reason": "tidying"}, "Nothing is different from what stands. Change a figure first."),
        ({"left_on": "2015", "reason": "died"}, "Say how it left, or empty the day on which it left."),
        ({"hatched": "2126", "reason": "typo"}, "lies after"),
        (
            {"left": "died", "left_on": "1999", "reason": "book"},
            "before it was caught (3 April 2000).",
        ),
        ({"species": "oxyrinchus", "reason": "genetics"}, "Stock Lower Isendre is of another species than oxyrinchus."),
    ],
)
def test_a_correction_that_cannot_be_is_refused(desk, typed, sentence):
    before = JournalEntry.objects.count()

    answer = desk.post("/correct/fish/F1/", standing(**typed))

    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert JournalEntry.objects.count() == before


def test_a_check_is_corrected(desk, river):
    check = record_measurement(
        river.by, Measurement(fish="F1", checked_on=date(2012, 6, 1), total_length_mm=Decimal(825), stage="II")
    )
    typed = {"checked_on": "2012-06-01", "total_length_mm": "81,5 cm", "stage": "II", "reason": "board misread"}

    assert 'value="825"' in desk.get(f"/correct/check/{check.pk}/").content.decode()
    assert desk.post(f"/correct/check/{check.pk}/", typed).url == "/fish/F1/"
    assert Check.objects.current().get().total_length_mm == Decimal(815)
    assert desk.get(f"/correct/check/{check.pk}/").status_code == 404, "it was corrected already"


def test_a_tag_code_is_corrected_but_not_to_one_that_another_fish_bears(desk):
    tag = Tag.objects.get(fish__number="F1")
    typed = {"attached_on": "2000-04-05", "reason": "figures turned round"}

    refused = desk.post(f"/correct/tag/{tag.pk}/", typed | {"code": CODES["M1"]})
    assert refused.status_code == 422
    assert f"Tag {CODES['M1']} is active on fish M1" in refused.content.decode()

    assert desk.post(f"/correct/tag/{tag.pk}/", typed | {"code": "756000000000110"}).url == "/fish/F1/"
    assert Tag.objects.current().get(fish__number="F1").code == "756000000000110"


@pytest.mark.parametrize("path", ["fish/F1", "check/1", "tag/1"])
def test_the_hall_does_not_correct(client_of, river, path):
    assert client_of("staff").get(f"/correct/{path}/").status_code == 403


@pytest.mark.parametrize(
    ("page", "owner"), [("/fish/F1/", {"fish__number": "F1"}), ("/batches/B1/", {"batch__number": "B1"})]
)
def test_a_wrong_unit_is_corrected_from_the_page_of_whoever_was_in_it(desk, client_of, page, owner):
    stay = Stay.objects.get(**owner)
    target = f"/correct/stay/{stay.pk}/"
    assert target in desk.get(page).content.decode()
    assert target not in client_of("staff").get(page).content.decode()
    right = {TANK: POND, POND: TANK}[stay.unit.name]
    assert f'<option value="{stay.unit.name}" selected>' in desk.get(target).content.decode()

    typed = {"unit": right, "since": stay.since, "until": "", "reason": "read from the wrong line"}

    assert desk.post(target, typed).url == page
    assert Stay.objects.current().get(**owner).unit.name == right
    assert target not in desk.get(page).content.decode()
