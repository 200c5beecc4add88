"""The terms and limits of a plan: what holds, where it comes from, and what a geneticist sets off and why."""

import pytest

from registry.models import PlanLimit, PlanTerms
from tests.support.broodstock import broodstock, plan_of

pytestmark = pytest.mark.django_db

TERMS = {"crosses": "4", "scheme": "single_pair", "mates": "", "price": "0.25", "weight_of_young": ""}


@pytest.fixture
def desk(client_of):
    broodstock()
    plan_of(("F2", "M2"), signed=False)
    return client_of("geneticist")


def text(answer):
    return " ".join(answer.content.decode().split())


def test_each_limit_is_shown_with_its_default_and_source(desk):
    page = text(desk.get("/plans/P1/limits/"))

    assert "A pair related as closely as this, or closer, is not planned." in page
    assert "Default: relationship 0.25. Source: Common practice, no source." in page
    assert "spontaneous autopolyploids in hatchery sturgeon" in page
    assert "free: Any set of pairs within the limits." in page


def test_terms_are_set_and_shown(desk):
    answer = desk.post("/plans/P1/limits/terms/", TERMS)

    assert answer.url == "/plans/P1/limits/"
    page = text(desk.get("/plans/P1/limits/"))
    assert "single pair: Every fish stands in one cross." in page
    assert "on their own" in page
    assert "0.25" in page
    assert desk.get("/plans/P1/limits/terms/").context["form"].initial["crosses"] == 4


def test_a_scheme_that_needs_mates_says_so(desk):
    answer = desk.post("/plans/P1/limits/terms/", TERMS | {"scheme": "nested"})

    assert answer.status_code == 422
    assert "The scheme “nested” needs the number of mates a fish. Write it." in text(answer)
    assert not PlanTerms.objects.exists()


def test_a_limit_is_set_to_another_figure_with_a_reason_and_restored(desk):
    answer = desk.post("/plans/P1/limits/relationship/", {"how": "set", "value": "0,3", "reason": "few males left"})

    assert answer.url == "/plans/P1/limits/"
    page = text(desk.get("/plans/P1/limits/"))
    assert "Set off by geneticist" in page
    assert "few males left" in page
    assert "relationship 0.3</strong>" in page
    assert "Limit relaxed" in text(desk.get("/plans/P1/"))

    assert desk.post("/plans/P1/limits/relationship/default/").status_code == 302
    assert "few males left" not in text(desk.get("/plans/P1/limits/"))


def test_a_limit_is_not_set_off_without_a_reason(desk):
    answer = desk.post("/plans/P1/limits/tissue/", {"reason": ""})

    assert answer.status_code == 422
    assert "Reason is missing." in text(answer)
    assert not PlanLimit.objects.filter(reason="").exists()


def test_lifting_what_guards_the_stock_is_told_loudly(desk):
    assert "This limit guards what the stock is." in text(desk.get("/plans/P1/limits/no_hybrid/"))

    desk.post("/plans/P1/limits/no_hybrid/", {"reason": "the last line of this run"})

    for page in ("/plans/P1/", "/plans/P1/limits/"):
        assert "Guard lifted: no hybrid." in text(desk.get(page)).replace("</strong>", "").replace("<strong>", "")


def test_a_figure_that_is_none_is_refused_with_what_to_do(desk):
    for value, sentence in (("", "The figure is missing."), ("7", "7 is no relationship: full sibs have 0.5.")):
        answer = desk.post("/plans/P1/limits/relationship/", {"how": "set", "value": value, "reason": "to see"})
        assert answer.status_code == 422
        assert sentence in text(answer)


def test_only_who_plans_sets_limits_and_all_may_read_them(desk, client_of):
    viewer = client_of("viewer")

    assert viewer.get("/plans/P1/limits/").status_code == 200
    assert "Change the terms" not in text(viewer.get("/plans/P1/limits/"))
    assert viewer.post("/plans/P1/limits/tissue/", {"reason": "no"}).status_code == 403


@pytest.mark.parametrize("page", ["/plans/P1/limits/nonsense/", "/plans/P9/limits/", "/plans/P9/compare/"])
def test_what_is_not_there_is_not_found(desk, page):
    assert desk.get(page).status_code == 404
