"""The fish of a plan: who may be used and how often, who is left out by which limit, and the geneticist's word."""

from django.test import Client

from registry.models import PlanFish
from registry.queries.crosses.season.fish import VETO
from tests.breeding.pages.crosses.workbench.conftest import text
from tests.registry.queries.crosses.season.conftest import word_on_fish
from tests.support.broodstock import check
from tests.support.river import CODES


def test_candidates_are_shown_with_tag_stage_kinship_and_uses_rarest_first(desk: Client) -> None:
    shown = desk.get("/plans/P1/fish/").context

    assert {one["number"] for one in shown["females"]} == {"F1", "F2", "D1"}
    kinships = [one["rank"] for one in shown["males"]]
    assert kinships == sorted(kinships)
    page = text(desk.get("/plans/P1/fish/"))
    assert CODES["F1"] in page
    assert "stage IV" in page
    assert "0 of 4" in page
    assert "3 of 3 incubators are free." in page


def test_a_fish_is_left_out_with_a_reason_and_shown_under_it(desk: Client) -> None:
    sent = {"fish": CODES["F1"], "stand": "out", "reason": "kept for next year"}
    assert desk.post("/plans/P1/fish/stand/", sent).url == "/plans/P1/fish/"

    groups = {group["name"]: group["fish"] for group in desk.get("/plans/P1/fish/").context["left_out"]}
    assert [one["number"] for one in groups["left out by the geneticist"]] == ["F1"]
    assert "kept for next year" in text(desk.get("/plans/P1/fish/"))
    assert desk.get("/plans/P1/fish/stand/?fish=F1").context["form"].initial["reason"] == "kept for next year"


def test_a_fish_is_limited_to_so_many_crosses(desk: Client) -> None:
    desk.post("/plans/P1/fish/stand/", {"fish": "M1", "stand": "limited", "most": "2", "reason": "little milt"})

    (male,) = [one for one in desk.get("/plans/P1/fish/").context["males"] if one["number"] == "M1"]
    assert (male["most"], male["word"]) == (2, "2 at most: little milt")


def test_a_word_needs_its_reason_and_its_number(desk: Client) -> None:
    for sent, sentence in (
        ({"stand": "out"}, "M1: say why, in a few words"),
        ({"stand": "limited", "reason": "thin"}, "write how many crosses at most"),
    ):
        answer = desk.post("/plans/P1/fish/stand/", {"fish": "M1"} | sent)
        assert answer.status_code == 422
        assert sentence in text(answer)
    assert not PlanFish.objects.exists()


def test_what_was_said_of_a_fish_is_cleared(desk: Client) -> None:
    word_on_fish("M1", "out")
    assert desk.post("/plans/P1/fish/stand/", {"fish": "M1", "stand": "", "reason": ""}).status_code == 302
    assert VETO not in {group["name"] for group in desk.get("/plans/P1/fish/").context["left_out"]}
    assert not PlanFish.objects.current().exists()


def test_a_fish_that_is_not_ripe_by_any_check_is_told_of_only_where_ripeness_is_lifted(desk: Client) -> None:
    check("F1", "II")
    assert "F1" not in {one["number"] for one in desk.get("/plans/P1/fish/").context["females"]}


def test_a_viewer_reads_and_is_offered_nothing(desk: Client, client_of) -> None:
    viewer = client_of("viewer")
    assert "A word on a fish" not in text(viewer.get("/plans/P1/fish/"))
    assert viewer.post("/plans/P1/fish/stand/", {"fish": "M1", "stand": "out", "reason": "x"}).status_code == 403
