"""Two plans of a stock side by side."""

import pytest

from tests.support.broodstock import broodstock, plan_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client_of):
    broodstock()
    plan_of(("F2", "M2"), ("F1", "M2"), signed=False)
    return client_of("viewer")


def text(answer):
    return " ".join(answer.content.decode().split())


def test_crosses_of_both_and_of_one_only_are_told_apart_with_their_figures(desk):
    plan_of(("F2", "M2"), ("D1", "M2"), number="P2", signed=False)

    shown = desk.get("/plans/P1/compare/?other=P2").context

    assert (shown["both"], shown["only_one"], shown["only_other"]) == ([("F2", "M2")], [("F1", "M2")], [("D1", "M2")])
    # Two half-sib families of unrelated founders: c = ¼, ¼, ½, so cᵀKc = ½ (1/16 + 1/16 + 1/4) = 0.1875.
    assert shown["figures"][0] == ("Gene diversity of the young", "81.25 %", "81.25 %")
    assert ("Mean inbreeding of the young", "0", "0") in shown["figures"]


def test_a_plan_alone_says_that_there_is_no_other(desk):
    assert "There is no other plan of this stock." in text(desk.get("/plans/P1/compare/"))


def test_an_empty_plan_is_compared_all_the_same(desk):
    plan_of(number="P2", signed=False)

    shown = desk.get("/plans/P1/compare/?other=P2").context

    assert shown["only_other"] == []
    assert shown["figures"][0][2] == "–"


def test_a_plan_that_is_not_there_is_refused(desk):
    plan_of(number="P2", signed=False)
    assert desk.get("/plans/P1/compare/?other=P9").status_code == 422
