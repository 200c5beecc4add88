"""A fish is taken in on one page; what is refused keeps everything typed, files too."""

import html
import re
from datetime import date

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from registry.models import Capture, Fish, FishDetails, HeldApart, MarkSearch, Photo, Quarantine, TissueSample
from registry.operations.intake.quarantine import set_quarantine_unit
from registry.operations.people import installer
from registry.rules.intake.quarantine import QuarantineUnitSet
from registry.web.links import address
from tests.support.care import picture
from tests.support.river import CODES, STOCK, TANK, small_river

pytestmark = pytest.mark.django_db
PAGE = "/enter/intake/"
TYPED = {
    "number": "N1", "species": "ruthenus", "confidence": "field", "stock": STOCK, "sex": "F", "origin": "wild",
    "caught_at": "2012-05-03T00:40", "zone": "UTC+03:00", "place": "Alder Ford", "latitude": "47.1609",
    "longitude": "31 24.4 W", "uncertainty_m": "50", "river_km": "31,5", "gear": "drift net", "crew": "crew leader",
    "permit": "BW/2012/1", "tag": "985121004515220", "tag_new": "on", "total_length_mm": "80 cm", "mass_g": "2.8 kg",
    "fork_length_mm": "720", "girth_mm": "290", "fin_clip": "T-9", "stored_at": "box 1", "second_tube": "Quern Mill",
    "score": "4", "quarantine": TANK,
    **{f"looked_{way}": "on" for way in ("pit", "pit_older", "wire", "elastomer", "external", "clip", "scar")},
}  # fmt: skip


@pytest.fixture
def hall(client_of):
    small_river()
    set_quarantine_unit(installer("test"), QuarantineUnitSet(unit=TANK, day=date(2009, 1, 1)))
    return client_of("staff")


def sent(client, **more):
    """Send the form, seeing every warning and ticking it once."""
    answer = client.post(PAGE, TYPED | more)
    seen = re.findall(r'name="warning_seen" value="([^"]+)"', answer.content.decode())
    if answer.status_code == 422 and seen:
        seen = [one.replace("&#x27;", "'").replace("&quot;", '"') for one in seen]
        answer = client.post(PAGE, TYPED | more | {"confirm_warnings": "yes", "warning_seen": seen})
    return answer


def test_the_page_offers_the_next_number_and_the_hatchery_s_own_clock(hall):
    page = hall.get(PAGE).content.decode()
    assert re.search(r'name="number" value="W\d\d-01"', page)
    assert "UTC (the hatchery&#x27;s)" in page
    assert "Marks first" in page


def test_a_fish_is_taken_in_from_one_page(hall):
    answer = sent(hall)
    assert answer.url == "/fish/N1/"
    capture = Capture.objects.get(fish__number="N1")
    assert (capture.caught_at.isoformat(), capture.zone) == ("2012-05-02T21:40:00+00:00", "UTC+03:00")
    assert (str(capture.latitude), str(capture.longitude)) == ("47.160900", "-31.406667")
    assert FishDetails.objects.get(fish__number="N1").caught_on == date(2012, 5, 3)
    assert MarkSearch.objects.filter(capture=capture, looked=True).count() == 7
    assert TissueSample.objects.get(fish__number="N1").second_tube == "Quern Mill"
    page = hall.get("/fish/N1/").content.decode()
    assert "IN QUARANTINE since 3 May 2012" in page
    assert "3 May 2012, 00:40 (UTC+03:00), Alder Ford, river km 31.5" in page


def test_a_photograph_is_kept_when_the_form_is_refused_and_need_not_be_chosen_again(hall):
    photo = SimpleUploadedFile("side.png", picture(), content_type="image/png")
    refused = hall.post(PAGE, TYPED | {"place": "", "photo_left": photo, "scale_left": "on"})
    assert refused.status_code == 422
    page = refused.content.decode()
    assert "“side.png” is here already" in page
    assert 'value="BW/2012/1"' in page
    assert not Fish.objects.filter(number="N1").exists()
    token = re.search(r'name="photo_left_kept" value="([^"]+)"', page)[1]
    assert sent(hall, photo_left_kept=token, scale_left="on").status_code == 302
    row = Photo.objects.get(fish__number="N1")
    assert (row.view, row.original_name, row.scale_shown) == ("left", "side.png", True)


def test_what_is_no_picture_is_refused_at_its_field(hall):
    file = SimpleUploadedFile("side.jpg", b"MZ" + bytes(200), content_type="image/jpeg")
    page = hall.post(PAGE, TYPED | {"photo_left": file}).content.decode()
    assert "side.jpg” is nothing that is kept, by its content" in page
    assert not Fish.objects.filter(number="N1").exists()


def test_a_picture_that_was_refused_does_not_come_along_again(hall):
    cut_off = SimpleUploadedFile("side.png", picture()[:-40], content_type="image/png")
    page = hall.post(PAGE, TYPED | {"photo_left": cut_off}).content.decode()
    assert "side.png” cannot be read as a picture" in page
    assert "photo_left_kept" not in page


def test_a_code_that_is_known_names_its_fish_and_offers_the_recapture(hall):
    page = sent(hall, tag=CODES["F1"], tag_new="").content.decode()
    assert "It may be a fish that the register knows: F1." in page
    assert f"{address('recapture_enter')}?fish=F1" in page
    assert not Fish.objects.filter(number="N1").exists()


def test_what_was_typed_goes_along_to_the_page_of_the_fish_that_it_is(hall):
    page = html.unescape(sent(hall, tag=CODES["F1"], tag_new="").content.decode())
    tag, met = (re.search(f'href="({address(name)}[^"]+)"', page)[1] for name in ("tag_attach", "recapture_enter"))
    assert f'value="{CODES["F1"]}"' in hall.get(tag).content.decode()
    found = hall.get(met).content.decode()
    assert 'value="F1"' in found
    for field in ("place", "latitude", "longitude", "total_length_mm", "mass_g"):
        assert f'value="{TYPED[field]}"' in found
    assert 'value="2012-05-03"' in found


def test_a_fish_held_apart_is_taken_in_and_the_decision_is_kept(hall):
    near = "756000000000012"  # one figure off the codes of F1 and F2
    asked = sent(hall, tag=near)
    assert "It is another fish" in asked.content.decode()
    assert sent(hall, tag=near, another_fish="F1").status_code == 422
    assert "It is none of these" in sent(hall, tag=near).content.decode()
    assert sent(hall, tag=near, none_of_these="yes", offered_fish=["F1", "F2"]).status_code == 302
    held = HeldApart.objects.filter(fish__number="N1").order_by("pk")
    assert [one.candidate.number for one in held] == ["F1", "F2"]
    assert "differs by one figure" in held[0].evidence


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"caught_at": "yesterday"}, "This is not a time. Pick it, or write it as 2026-05-03T14:05."),
        ({"caught_at": "2999-01-01T10:00"}, "lies in the future"),
        ({"fork_length_mm": "900"}, "The fork length (900 mm) is over the total length (800 mm)"),
        ({"fin_clip": ""}, "Where a tube is was written, but no number of a sample"),
        ({"unit": TANK}, "It goes into quarantine already. Choose one of the two."),
        ({"quarantine": "", "quarantine_since": "2012-05-03"}, "Say in which quarantine unit it is since that day."),
        ({"looked_scar": "", "found_scar": "a scar"}, "something was found where nobody looked"),
        ({"number": "F1"}, "Number F1 is already another fish"),
        ({"number": ""}, "Register number is missing"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_written(hall, typed, sentence):
    answer = hall.post(PAGE, TYPED | typed)
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert (Quarantine.objects.count(), Capture.objects.count()) == (0, 0)


def test_only_those_who_enter_take_a_fish_in(client_of):
    assert client_of("viewer").get(PAGE).status_code == 403
