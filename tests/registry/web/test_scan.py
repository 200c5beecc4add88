"""Any tag or number in one field opens its page in one step."""

from datetime import date
from types import ModuleType, SimpleNamespace
from urllib.parse import quote

import pytest
from django.http import HttpResponse
from django.urls import path

from registry import models as kept
from registry.queries.identity.find import find, fish_meant
from registry.urls import FRAME
from registry.web.fields import FishNumber
from tests.support.world import Hand

pytestmark = pytest.mark.django_db

CODE, SLIP = "900215000123456", "900215000123457"
BEGAN, ENDED = date(2020, 1, 1), date(2021, 5, 3)


def page(request, number):
    return HttpResponse(number)


@pytest.fixture
def client(settings, client_of):
    """The staff's browser on a site with a page for each kind of record."""
    site = ModuleType("site")
    kinds = ("fish", "batch", "family", "spawning", "release", "recapture", "plan")
    site.urlpatterns = [path(f"{kind}/<path:number>/", page, name=kind) for kind in kinds] + FRAME
    settings.ROOT_URLCONF = site
    return client_of("staff")


def tag(hand: Hand, fish: kept.Fish, code: str = CODE, **end: object) -> None:
    hand.put(kept.Tag(fish=fish, system="iso", code=code, attached_on=BEGAN, **end))


@pytest.mark.parametrize("typed", [CODE, "900 215 000 123 456", "900.215.000.123.456", f" {CODE}\r", "384.320F018840"])
def test_a_tag_in_any_notation_opens_its_fish(client, world, hand, typed):
    tag(hand, world.dam)

    answer = client.get("/scan/", {"q": typed})

    assert answer.status_code == 302
    assert answer.url == "/fish/F1/"


@pytest.mark.parametrize(
    ("typed", "opened"),
    [
        ("F1", "/fish/F1/"),
        ("f1", "/fish/F1/"),
        ("B1", "/batch/B1/"),
        ("FAM1", "/family/FAM1/"),
        ("S1", "/spawning/S1/"),
        ("R1", "/release/R1/"),
        ("P1", "/plan/P1/"),
        ("RC1", "/recapture/RC1/"),
    ],
)
def test_any_number_opens_its_page(client, world, hand, typed, opened):
    hand.put(kept.Recapture(number="RC1", recaptured_on=BEGAN, place="weir", link="none"))

    assert client.get("/scan/", {"q": typed}).url == opened


def test_a_number_with_blanks_and_slashes_opens_its_page(client, hand):
    hand.put(kept.Fish(number="IS 12/3 ♀"))

    answer = client.get("/scan/", {"q": "IS  12/3 ♀"})

    assert answer.url == f"/fish/{quote('IS 12/3 ♀')}/"
    assert client.get(answer.url).content.decode() == "IS 12/3 ♀"


def test_a_tag_that_came_off_still_opens_its_fish_and_says_so(client, world, hand):
    tag(hand, world.dam, ended_on=ENDED, end_reason="removed")

    answer = client.get("/scan/", {"q": CODE})

    assert answer.url == "/fish/F1/"
    said = [str(message) for message in answer.wsgi_request._messages]
    assert said == [f"Fish F1 bore tag {CODE} from 1 January 2020 until 3 May 2021 (taken out)."]


def test_a_lost_tag_that_is_read_again_raises_an_alert_and_moves_nothing(client, world, hand):
    tag(hand, world.dam, ended_on=ENDED, end_reason="lost")

    answer = client.get("/scan/", {"q": CODE})

    text = answer.content.decode()
    assert answer.status_code == 200
    assert "This code was noted as lost" in text
    assert f"bore tag {CODE} from 1 January 2020 until 3 May 2021 (lost)" in text
    assert '<a href="/fish/F1/">' in text


def test_a_code_set_aside_shows_both_fish(client, world, hand):
    tag(hand, world.dam)
    aside = kept.SetAside(fish=world.sire, holder=world.dam, system="iso", code=CODE, read_on=ENDED, reason="a male")
    hand.put(aside)

    text = client.get("/scan/", {"q": CODE}).content.decode()

    assert "Which one?" in text
    assert f"bears tag {CODE} since 1 January 2020" in text
    assert f"code {CODE} was read on it on 3 May 2021 and set aside: fish F1 bears it" in text


def test_the_number_of_a_fish_that_proved_to_be_another_says_which(client, world, hand):
    hand.put(kept.SameFish(kept=world.dam, other=world.sire, proved_on=ENDED, evidence="genotype"))

    answer = client.get("/scan/", {"q": "M1"})

    assert answer.url == "/fish/M1/"
    assert [str(said) for said in answer.wsgi_request._messages] == ["Fish M1 proved to be fish F1."]
    assert [hit.number for hit in fish_meant("M1")] == ["F1"]


def test_a_slip_leads_to_the_code_that_may_be_meant(client, world, hand):
    text = client.get("/scan/", {"q": CODE.replace("0", "O")}).content.decode()

    assert f'<a href="/scan/?q={CODE}"><span class="code">900 215 000 123 456</span></a>' in text


def test_a_code_that_no_fish_bears_says_who_gave_it_out(client, world):
    text = client.get("/scan/", {"q": "9000F65C2C6E5F94"}).content.decode()

    assert "manufacturer 985; retag counter 1" in text


def test_a_code_that_moved_to_another_fish_offers_both(client, world, hand):
    tag(hand, world.dam, ended_on=ENDED)
    hand.put(kept.Tag(fish=world.sire, system="iso", code=CODE, attached_on=ENDED))

    text = client.get("/scan/", {"q": CODE}).content.decode()

    assert "Which one?" in text
    assert text.index("Fish M1") < text.index("Fish F1"), "the fish that bears it now comes first"


def test_one_number_of_a_fish_and_a_batch_offers_both(client, world, hand):
    hand.put(kept.Fish(number="B1"))

    text = client.get("/scan/", {"q": "B1"}).content.decode()

    assert "Fish B1" in text
    assert "Batch B1" in text


def test_a_fish_with_two_tags_is_offered_once(client, world, hand):
    tag(hand, world.dam)
    tag(hand, world.dam, "F1")

    assert client.get("/scan/", {"q": "F1"}).status_code in (200, 302)
    assert {hit.number for hit in find("F1").hits} == {"F1"}


def test_a_code_one_figure_off_shows_the_fish_it_may_be(client, world, hand):
    tag(hand, world.dam)

    answer = client.get("/scan/", {"q": SLIP})

    text = answer.content.decode()
    assert answer.status_code == 404
    assert f"one figure differs: bears tag {CODE} since 1 January 2020" in text
    assert "check sex and length against the fish in your hands" in text


def test_the_last_figures_of_a_tag_show_the_fish(client, world, hand):
    tag(hand, world.dam)

    assert [hit.number for hit in find("123456").near] == ["F1"]


def test_nothing_found_says_what_was_looked_for_and_why_it_is_no_code(client, world):
    text = client.get("/scan/", {"q": "<b>90021500012345</b>"}).content.decode()

    assert "&lt;b&gt;90021500012345&lt;/b&gt;" in text
    assert "<b>9002" not in text
    assert "has 14 digits" in client.get("/scan/", {"q": "90021500012345"}).content.decode()


def test_an_empty_scan_says_how_to_scan(client):
    answer = client.get("/scan/", {"q": "  "})

    assert answer.status_code == 200
    assert "Scan a tag on any page" in answer.content.decode()


@pytest.mark.parametrize("typed", ["F1", CODE, SLIP, "123456", "nothing", "x" * 5000])
def test_a_scan_asks_the_register_a_fixed_number_of_times(world, hand, typed, django_assert_max_num_queries):
    tag(hand, world.dam)

    with django_assert_max_num_queries(6):
        find(typed)


def test_a_withdrawn_tag_opens_nothing(world, hand):
    tag(hand, world.dam)
    hand.withdraw(kept.Tag.objects.get())

    assert find(CODE).hits == []


def test_a_form_takes_a_fish_by_tag_or_number(world, hand):
    tag(hand, world.dam)

    assert FishNumber().clean("900 215 000 123 456") == "F1"
    assert FishNumber().clean("f1") == "F1"
    assert [hit.number for hit in fish_meant(CODE)] == ["F1"]


def test_a_form_does_not_take_a_fish_by_a_tag_it_no_longer_bears(world: SimpleNamespace, hand):
    tag(hand, world.dam, ended_on=ENDED, end_reason="lost")

    with pytest.raises(Exception, match=r"is on no single fish now: fish F1 bore tag .* until 3 May 2021 \(lost\)"):
        FishNumber().clean(CODE)


def test_a_form_says_that_no_fish_is_meant(world):
    with pytest.raises(Exception, match="No fish has the number or tag “X9”"):
        FishNumber().clean("X9")
