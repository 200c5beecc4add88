"""Families planned larger or smaller than the others: the figures follow, the search reckons by those locked."""

import pytest
from django.test import Client

from registry.models import PlannedCross
from tests.breeding.pages.crosses.workbench.conftest import searched, text
from tests.breeding.pages.crosses.workbench.test_crosses import figures, put_in
from tests.registry.queries.crosses.season.conftest import limit


def test_the_figures_follow_the_size_of_a_family_and_the_best_sizes_stand_beside(desk: Client) -> None:
    limit("repeat_years")
    put_in(desk, ("F1", "M1"), ("F2", "M2"))
    assert figures(desk)["diversity"] == "87.500 %"  # four unrelated founders: 1 − 1/8 (ALGORITHMS: 1 − 1/(2n))

    answer = desk.post("/plans/P1/pair/size/", {"dam": "F1", "sire": "M1", "young": "300"})
    assert answer.status_code == 302, text(answer)

    # Contributions 3/8, 3/8, 1/8, 1/8: Σ c² / 2 = 0.15625 (by hand).
    told = figures(desk)
    assert told["diversity"] == "84.375 %"
    # Beside the living stock, which is related to some of them, nearly one size is best.
    assert told["sizes"]["effect"].startswith("better by ")
    assert [190 < line["best"] < 210 for line in told["sizes"]["lines"]] == [True, True]
    page = text(desk.get("/plans/P1/"))
    assert "300 young planned" in page
    assert "lock a cross to have its size reckoned with" in page
    assert 'value="300"' in text(desk.get("/plans/P1/pair/size/?dam=F1&sire=M1"))
    assert "family size planned" in text(desk.get("/plans/P1/history/"))


def test_the_search_reckons_by_the_size_of_a_locked_cross(desk: Client) -> None:
    limit("repeat_years")
    put_in(desk, ("F1", "M1"))
    desk.post("/plans/P1/pair/size/", {"dam": "F1", "sire": "M1", "young": "200"})
    desk.post("/plans/P1/pair/stand/", {"dam": "F1", "sire": "M1", "stand": "locked"})

    run = searched(desk)
    assert ["F1", "M1"] in [pair[:2] for pair in run["best"]["pairs"]]
    taken = desk.post(f"/plans/P1/best/{run['token']}/take/0/", {"reason": "keeps most"})
    assert taken.status_code == 302, text(taken)
    told = figures(desk)
    # The page's figures count 200 young of one family and 100 of each other; the search found the same.
    assert told["diversity"] == f"{100 * (1 - run['best']['figures']['group_coancestry']):.3f} %"
    assert not told["sizes"]["loose"]
    assert told["beside"] == "as good"
    assert told["proof"]


@pytest.mark.parametrize(
    ("young", "words"), [("0", "a family of 0 young is none"), ("99999999999", "more than one family has"), ("x", "x")]
)
def test_a_size_that_cannot_be_is_refused_in_words(desk: Client, young: str, words: str) -> None:
    limit("repeat_years")
    put_in(desk, ("F1", "M1"))
    answer = desk.post("/plans/P1/pair/size/", {"dam": "F1", "sire": "M1", "young": young})
    assert answer.status_code == 422
    assert words in text(answer)
    assert PlannedCross.objects.current().get().young is None


def test_a_cross_that_is_not_in_the_plan_has_no_size(desk: Client) -> None:
    answer = desk.post("/plans/P1/pair/size/", {"dam": "F1", "sire": "M1", "young": "50"})
    assert answer.status_code == 422
    assert "F1 × M1 is not in plan P1." in text(answer)
