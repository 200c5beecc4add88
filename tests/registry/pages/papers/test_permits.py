"""Permits on pages: entered and corrected by a manager, read by all, with what was done under them."""

import re
from datetime import date, timedelta

import pytest
from django.utils import timezone

from registry.models import PermitAllowance, PermitDetails
from registry.operations.papers.permits import enter_permit, standing_permit
from registry.operations.shared.entries import BatchPart, ReleaseMade
from registry.operations.young.releases import release
from registry.rules.papers.acts import Allowance
from registry.rules.papers.paper import PermitGiven
from tests.support.proof import everything
from tests.support.river import STOCK, small_river

pytestmark = pytest.mark.django_db
TYPED = {
    "number": "BW/2011/7", "issuer": "fisheries authority", "valid_from": "2011-01-01", "valid_until": "2011-12-31",
    "places": "Alder Ford", "purpose": "N", "source": "F", "act_0": "release", "stock_0": STOCK, "most_0": "12 400",
    "act_1": "holding",
}  # fmt: skip


@pytest.fixture
def desk(client_of):
    river = small_river()
    client = client_of("manager")
    client.by = river.by
    return client


def words(page) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page.content.decode().replace("&#x27;", "'")))


def entered(by, **changes) -> None:
    given = {"number": "BW/2011/7", "issuer": "authority", "valid_from": date(2011, 1, 1)}
    enter_permit(by, PermitGiven(**given | {"allowances": (Allowance("release", "", STOCK, 500),)} | changes))


def released(by, count: int = 400, **changes) -> None:
    entry = {"released_on": date(2011, 9, 3), "place": "Alder Ford", "permit": "BW/2011/7"}
    release(by, ReleaseMade(**entry | {"batches": (BatchPart(batch="B1", count=count),)} | changes))


def test_a_permit_is_typed_line_by_line(desk):
    page = desk.post("/enter/permit/", TYPED)

    assert page.url == "/permits/BW/2011/7/"
    assert standing_permit("BW/2011/7").allowances == (
        Allowance("release", "", STOCK, 12400),
        Allowance("holding"),
    )
    said = words(desk.get(page.url))
    assert "ended" in said
    assert "N: reintroduction or introduction into the wild" in said
    assert "the law of the country decides: ask the authority" in said


def test_what_was_done_stands_beside_each_limit_with_the_generations(desk):
    entered(desk.by)
    released(desk.by)

    page = desk.get("/permits/BW/2011/7/")
    said = words(page)
    assert page.context["lines"][0] | {"species": ""} == {
        "what": "release", "species": "", "stock": STOCK, "most": 500, "used": 400, "left": 100, "over": 0
    }  # fmt: skip
    assert "fish used under it: 1" in said
    assert f"living registered fish of {STOCK}: 4 of generation 0" in said
    assert "400 of 500" in page.content.decode()


def test_beyond_the_limit_and_outside_the_days_is_said_in_words(desk):
    released(desk.by, 600)
    released(desk.by, 10, released_on=date(2010, 9, 3))
    entered(desk.by)

    said = words(desk.get("/permits/BW/2011/7/"))
    assert "110 too many" in said
    assert "outside its days" in said
    assert "in force, over its limit, acts outside it" in words(desk.get("/permits/"))


def test_a_line_that_cannot_be_is_refused_at_its_field_and_all_is_kept(desk):
    before = everything()
    page = desk.post("/enter/permit/", TYPED | {"act_1": "", "most_1": "5", "species_0": "huso"})
    assert page.status_code == 422
    assert "What is allowed? Choose it." in words(page)
    page = desk.post("/enter/permit/", TYPED | {"species_0": "huso"})
    assert f"Stock {STOCK} is of species ruthenus, not huso. Name one of the two." in words(page)
    assert page.context["form"]["most_0"].value() == "12 400"
    assert everything() == before


def test_more_lines_come_with_everything_kept(desk):
    page = desk.post("/enter/permit/", TYPED | {"more_lines": "yes"})
    assert page.context["form"]["act_0"].value() == "release"
    assert "act_8" in page.context["form"].fields


def test_a_correction_begins_with_what_stands_and_keeps_what_stood(desk):
    desk.post("/enter/permit/", TYPED)
    form = desk.get("/permits/BW/2011/7/correct/").context["form"]
    assert (form["issuer"].value(), form["most_0"].value(), form["stock_0"].value()) == (
        "fisheries authority",
        12400,
        STOCK,
    )

    changed = {name: value for name, value in TYPED.items() if name != "number"} | {"most_0": "13000"}
    page = desk.post("/permits/BW/2011/7/correct/", changed)
    assert "Why is missing. Fill it in." in words(page)
    assert desk.post("/permits/BW/2011/7/correct/", changed | {"reason": "Letter 12."}).url == "/permits/BW/2011/7/"
    said = words(desk.get("/permits/BW/2011/7/"))
    assert "What it said before" in said
    assert "12 400 fish" in said
    assert "permit corrected by manager: Letter 12." in said


def test_a_permit_taken_back_is_gone_from_the_list_and_its_page_says_so(desk):
    desk.post("/enter/permit/", TYPED)
    assert desk.post("/permits/BW/2011/7/take-back/", {"reason": "Not ours."}).url == "/permits/"
    assert "BW/2011/7" not in words(desk.get("/permits/")).replace("permit BW/2011/7 (entry", "")
    page = desk.get("/permits/BW/2011/7/")
    assert page.status_code == 404
    assert not PermitDetails.objects.current().exists()
    assert not PermitAllowance.objects.current().exists()


@pytest.mark.parametrize("role", ["staff", "viewer", "auditor", "geneticist"])
def test_others_read_permits_and_do_not_enter_them(client_of, desk, role):
    entered(desk.by)
    client = client_of(role)
    assert client.get("/permits/").status_code == client.get("/permits/BW/2011/7/").status_code == 200
    assert "Take back" not in words(client.get("/permits/BW/2011/7/"))
    for address in ("/enter/permit/", "/permits/BW/2011/7/correct/", "/permits/BW/2011/7/take-back/"):
        assert client.get(address).status_code == 403


def test_a_permit_that_nobody_entered_is_not_found(desk):
    for address in ("/permits/X/", "/permits/X/correct/", "/permits/X/take-back/"):
        assert desk.get(address).status_code == 404


def test_a_scan_of_a_permits_number_opens_it(desk):
    entered(desk.by)
    assert desk.get("/scan/?q=bw/2011/7").url == "/permits/BW/2011/7/"


def test_the_release_form_offers_the_permits_in_force_and_asks_why(desk):
    entered(desk.by)
    entered(desk.by, number="BW/2009/1", valid_until=date(2009, 12, 31), valid_from=date(2009, 1, 1))
    page = desk.get("/releases/enter/").content.decode()
    assert '<option value="BW/2011/7">' in page
    assert "BW/2009/1" not in page

    typed = {
        "released_on": "2011-09-03",
        "place": "Alder Ford",
        "permit": "BW/2011/7",
        "batch_0": "B1",
        "count_0": "600",
    }
    said = words(desk.post("/releases/enter/", typed))
    assert "500 are left, and this would take 600. Take the permit that covers it" in said
    page = desk.post("/releases/enter/", typed | {"permit_reason": "Raised by letter 12."})
    assert "I have checked this" in words(page)
    seen = [objection.message for objection in page.context["warnings"]]
    sure = {"permit_reason": "Raised by letter 12.", "confirm_warnings": "yes", "warning_seen": seen}
    assert desk.post("/releases/enter/", typed | sure).status_code == 302


@pytest.mark.parametrize(
    ("ends", "words_of_it"), [(0, "today"), (1, "in 1 day"), (90, "in 90 days"), (-1, "ended"), (91, None), (-91, None)]
)
def test_the_first_page_tells_which_permits_end(desk, ends, words_of_it):
    today = timezone.localdate()
    entered(desk.by, valid_until=today + timedelta(days=ends))
    said = words(desk.get("/"))
    assert ("Permits that end" in said) == (words_of_it is not None)
    assert (words_of_it or "") in said


def test_the_first_page_tells_which_permits_were_overstepped(desk):
    released(desk.by, 600)
    entered(desk.by)
    said = words(desk.get("/"))
    assert "Permits overstepped" in said
    assert f"100 too many: allowed is the release of 500 fish of stock {STOCK}" in said


def test_the_list_is_filtered_and_taken_away(desk):
    entered(desk.by)
    entered(desk.by, number="BW/2009/1", valid_until=date(2009, 12, 31), valid_from=date(2009, 1, 1))
    assert [row.permit.number for row in desk.get("/permits/?state=ended").context["table"].data] == ["BW/2009/1"]
    assert [row.permit.number for row in desk.get("/permits/?state=now").context["table"].data] == ["BW/2011/7"]
    assert len(desk.get("/permits/?act=release").context["table"].data) == 2
    assert len(desk.get("/permits/?act=capture").context["table"].data) == 0
    file = b"".join(desk.get("/permits/?export=csv").streaming_content).decode()
    assert "BW/2009/1,ended,2009-12-31,release of 500 fish of stock Lower Isendre,0,authority,2009-01-01," in file
