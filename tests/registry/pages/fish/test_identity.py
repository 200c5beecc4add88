"""Pages on which fish is which: joined and parted numbers, codes set aside, fish that may be the one in hand."""

import html
import re
from datetime import date

import pytest

from registry.models import Fish, FishDetails, HeldApart, JournalEntry, SameFish, SetAside, Stay, Tag
from registry.operations.fish import record_departure
from registry.operations.shared.entries import Day, Departure, TagCode, TagEnd
from registry.operations.tags import record_tag_lost
from tests.support.river import CODES, POND, STOCK, TANK, small_river

pytestmark = pytest.mark.django_db
NEW = "900215000123456"


@pytest.fixture
def river():
    return small_river()


@pytest.fixture
def desk(client_of, river):
    return client_of("manager")


@pytest.fixture
def hall(client_of, river):
    return client_of("staff")


def new(**more):
    return {"number": "X1", "species": "ruthenus", "sex": "F", "stock": STOCK, "origin": "wild", "unit": TANK,
            "confidence": "field", "basis": "recorded", "caught": "2012-04-03"} | more  # fmt: skip


def lose(river, number):
    end = TagEnd(code=TagCode("iso", CODES[number]), ended_on=date(2011, 9, 1), end_reason="lost")
    record_tag_lost(river.by, end)


def test_two_numbers_are_joined_with_evidence_and_what_differs_is_asked(desk):
    typed = {"kept": "F1", "other": "F2", "evidence": "genotype", "proved_on": "2021-03-01", "reason": "17 loci"}

    page = desk.get("/correct/numbers/?kept=F1&other=M2").content.decode()
    assert "Which sex holds" in page
    assert "F1: female" in page
    assert "M2: male" in page

    assert desk.post("/correct/numbers/", typed).url == "/fish/F1/"
    shown = desk.get("/fish/F1/").content.decode()
    assert 'Number <a href="/fish/F2/">F2</a> proved to be this fish on 1 March 2021, by genotype match' in shown
    old = desk.get("/fish/F2/").content.decode()
    assert 'This is fish <a href="/fish/F1/">F1</a>' in old
    assert "Measure or check" not in old


def test_parents_of_one_family_are_not_joined(desk):
    typed = {"kept": "F1", "other": "M1", "evidence": "genotype", "proved_on": "2021-03-01", "reason": "17 loci",
             "choose_sex": "kept"}  # fmt: skip
    before = JournalEntry.objects.count()

    answer = desk.post("/correct/numbers/", typed)

    assert answer.status_code == 422
    assert "are both parents of family 10-1. One fish cannot be" in answer.content.decode()
    assert JournalEntry.objects.count() == before


def test_joined_numbers_are_parted_with_a_reason(desk):
    desk.post("/correct/numbers/", {"kept": "F1", "other": "F2", "evidence": "genotype", "proved_on": "2021-03-01",
                                    "reason": "17 loci"})  # fmt: skip

    assert "back to F2 as they were" in desk.get("/correct/numbers/F2/").content.decode()
    assert "Why they are two fish is missing" in desk.post("/correct/numbers/F2/", {"reason": ""}).content.decode()
    assert desk.post("/correct/numbers/F2/", {"reason": "tubes swapped"}).url == "/fish/F2/"
    assert not SameFish.objects.current().exists()
    assert desk.get("/correct/numbers/F2/").status_code == 404


def test_the_hall_joins_nothing(hall):
    assert hall.get("/correct/numbers/").status_code == 403


def test_a_code_on_a_second_fish_is_set_aside_and_settled(hall):
    typed = {"fish": "M2", "code": CODES["F1"], "read_on": "2012-05-03", "reason": "a male"}

    assert hall.post("/enter/code-aside/", typed).url == "/fish/M2/"
    for number in ("M2", "F1"):
        assert "Two fish, one code" in hall.get(f"/fish/{number}/").content.decode()
    home = hall.get("/").content.decode()
    assert "Codes on two fish" in home
    assert f"/enter/code-settled/?fish=M2&amp;code={CODES['F1']}" in home

    settled = {"fish": "M2", "code": CODES["F1"], "resolution": "misread", "resolved_on": "2012-05-04"}
    assert hall.post("/enter/code-settled/", settled).url == "/fish/M2/"
    assert SetAside.objects.get().resolution == "misread"
    assert "No code is set aside." in hall.get("/").content.decode()


@pytest.mark.parametrize(
    ("page", "typed"),
    [
        ("/enter/tag/", {"fish": "M2", "code": CODES["F1"], "attached_on": "2012-05-03"}),
        ("/enter/tag-replacement/", {"old": CODES["M2"], "new": CODES["F1"], "replaced_on": "2012-05-03"}),
    ],
)
def test_a_refused_tag_leads_to_setting_the_code_aside_with_all_that_was_typed(hall, page, typed):
    answer = html.unescape(hall.post(page, typed).content.decode())
    form = hall.get(re.search(r'href="(/enter/code-aside/[^"]+)"', answer)[1]).content.decode()
    filled = dict(zip(("fish", "code", "read_on"), typed.values(), strict=True))
    for value in filled.values():
        assert f'value="{value}"' in form
    assert hall.post("/enter/code-aside/", filled | {"reason": "a male"}).url == "/fish/M2/"
    assert SetAside.objects.get().holder.number == "F1"


def test_a_fish_that_may_be_on_record_is_asked_about_before_it_gets_a_number(hall, river):
    lose(river, "F1")

    answer = hall.post("/enter/fish/", new())

    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Is it one that the register knows?" in page
    assert "without a tag since 1 September 2011, last in Tank 1" in page
    assert "/enter/tag/?fish=F1" in page
    assert not Fish.objects.filter(number="X1").exists()

    assert hall.post("/enter/fish/", new(another_fish="F1")).url == "/fish/X1/"
    apart = HeldApart.objects.get()
    assert (apart.fish.number, apart.candidate.number) == ("X1", "F1")
    assert "Held to be another fish than" in hall.get("/fish/F1/").content.decode()


def test_the_rules_are_told_in_the_same_round_as_the_question(hall, river):
    lose(river, "F1")

    page = hall.post("/enter/fish/", new(number="F2")).content.decode()

    assert "Number F2 is already another fish." in page
    assert "It may be a fish that the register knows: F1." in page


def test_a_code_that_is_out_there_is_set_aside_on_the_page_that_admits(hall):
    typed = new(tag=CODES["M1"], tagged_on="2012-04-03", set_aside="a female; M1 is in Tank 1")

    assert hall.post("/enter/fish/", typed | {"another_fish": "M1"}).url == "/fish/X1/"
    assert SetAside.objects.get().holder.number == "M1"
    assert Tag.objects.filter(fish__number="X1").count() == 0


def test_a_slip_of_the_pen_is_put_right_by_a_choice(hall):
    typed = {"fish": "F1", "code": NEW.replace("0", "O"), "attached_on": "2012-05-03"}

    page = hall.post("/enter/tag/", typed).content.decode()
    assert f'<input type="radio" name="code-meant" value="{NEW}">' in page

    assert hall.post("/enter/tag/", typed | {"code-meant": NEW}).url == "/fish/F1/"
    assert Tag.objects.current().get(code=NEW).fish.number == "F1"


def test_a_choice_among_slips_gives_way_to_what_is_typed_anew(hall):
    typed = {"fish": "F1", "code": "900215000123457", "code-meant": NEW, "attached_on": "2012-05-03"}

    assert hall.post("/enter/tag/", typed).url == "/fish/F1/"
    assert Tag.objects.current().filter(code="900215000123457").exists()


def test_a_fish_that_lost_its_only_tag_is_tagged_anew_with_evidence(hall, river):
    lose(river, "F1")
    typed = {"fish": "F1", "code": NEW, "attached_on": "2012-05-03"}

    page = hall.post("/enter/tag/", typed).content.decode()
    assert "an auditor must see the inference" in page

    asserted = typed | {"known_by": "asserted"}
    assert "say how likely you hold it" in hall.post("/enter/tag/", asserted).content.decode()
    assert hall.post("/enter/tag/", asserted | {"probability": "0.8"}).url == "/fish/F1/"
    assert "None: asserted, held likely: 0.8" in hall.get("/fish/F1/").content.decode()


def test_a_missing_fish_comes_back_by_its_own_tag(hall, river):
    record_departure(river.by, Departure(fish="F2", left="missing", left_on=Day(date(2011, 5, 1))))
    typed = {"fish": "F2", "returned_on": "2012-05-03", "unit": POND}

    assert "Say how it is known that this is the same fish" in hall.post("/enter/return/", typed).content.decode()
    assert hall.post("/enter/return/", typed | {"code": CODES["F2"]}).url == "/fish/F2/"
    assert FishDetails.objects.current().get(fish__number="F2").left == ""
    assert Tag.objects.current().get(fish__number="F2", ended_on=None).attached_on == date(2012, 5, 3)
    assert Stay.objects.current().get(fish__number="F2", until=None).unit.name == POND


@pytest.mark.parametrize(
    ("asked", "status", "said"),
    [
        ("q=3D9.1C2C6E5F94", 200, "985 121 004 515 220"),
        ("q=985121004515220", 200, "8000F65C2C6E5F94"),
        ("q=985121004515220", 200, "D80A"),
        ("q=98512100451522O", 422, "985 121 004 515 220"),
        ("q=8000F65C2C6E5F94D80A&order=high first", 200, "manufacturer 985"),
        ("q=8000F65C2C6E5F94D80B&order=high first", 422, "The check sum does not fit"),
        ("q=8000F65C2C6E5F94&order=nonsense", 422, "Say how the reader hands out its bits"),
        (f"q={CODES['F1']}", 200, "Fish F1"),
        ("q=7F7D3A1B2C", 200, "never padded"),
        ("", 200, "What a reader shows"),
    ],
)
def test_a_code_is_read_in_any_notation_and_says_who_bears_it(hall, asked, status, said):
    answer = hall.get(f"/codes/?{asked}")

    assert answer.status_code == status
    assert said in answer.content.decode()
