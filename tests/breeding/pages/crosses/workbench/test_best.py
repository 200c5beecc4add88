"""The best plan: found with its proof, taken into the draft, or told why there is none and what would make one."""

import pytest
from django.test import Client

from breeding.pages.crosses.bench import PLANS, bench_of
from breeding.pages.crosses.of_plan import plan_or_404
from breeding.planning.plan import best_plan
from registry.exports import runs
from registry.models import PlanAnswer
from registry.operations.crossing.plans.review import submit_plan
from registry.operations.shared.entries import PlanSubmitted
from tests.breeding.pages.crosses.workbench.conftest import SEARCH, searched, taken, text, wait
from tests.registry.queries.crosses.season.conftest import limit, terms, word_on_fish, word_on_pair
from tests.support.broodstock import HALL


def crosses() -> set[tuple[str, str]]:
    rows = plan_or_404("P1").planned.current()
    return set(rows.values_list("dam__number", "sire__number"))


def test_the_best_plan_is_found_with_its_proof_curve_and_prices(desk: Client) -> None:
    assert "The best plan has not been looked for yet." in text(desk.get("/plans/P1/best/"))

    run = searched(desk)
    page = text(desk.get("/plans/P1/best/"))

    problem = bench_of(plan_or_404("P1")).problem
    assert problem is not None
    assert run["best"]["figures"]["objective"] == pytest.approx(best_plan(problem).figures.objective, abs=1e-12)
    assert run["best"]["proven"]
    assert "no plan within these limits can keep more." in page
    assert "What each limit costs" in page
    assert "Take these 3 crosses" in page


def test_taking_it_makes_its_crosses_the_plans_with_figures_and_bound(desk: Client) -> None:
    taken(desk)

    row = PlanAnswer.objects.current().get(plan__number="P1")
    assert row.proven
    assert float(row.objective) == pytest.approx(float(row.lower_bound or 0), abs=1e-9)
    assert len(crosses()) == 3
    page = text(desk.get("/plans/P1/"))
    assert "no plan within these limits can keep more." in page
    assert "as good" in page


def test_a_plan_that_was_taken_keeps_its_proof_when_the_search_is_cleared_away(desk: Client) -> None:
    taken(desk)
    for run in list(runs.recent(PLANS)):
        runs._file(PLANS, run["token"]).unlink()

    assert "no plan within these limits can keep more." in text(desk.get("/plans/P1/"))


def test_a_proof_is_not_told_of_another_question(desk: Client) -> None:
    taken(desk)
    limit("relationship", "0.5")

    assert "no plan within these limits can keep more." not in text(desk.get("/plans/P1/"))
    assert "The register or the limits have changed since." in text(desk.get("/plans/P1/best/"))


def test_a_bound_holds_on_when_pairs_are_locked_and_forbidden_and_not_when_they_are_freed(desk: Client) -> None:
    word_on_pair("F1", "M1", "locked")
    searched(desk)
    word_on_pair("F2", "M2", "forbidden")
    assert bench_of(plan_or_404("P1")).best is not None

    word_on_pair("F1", "M1", "")
    assert bench_of(plan_or_404("P1")).best is None


def test_where_no_plan_is_possible_the_limit_is_named_with_the_way_out(desk: Client) -> None:
    terms(crosses=8)
    searched(desk)

    page = text(desk.get("/plans/P1/best/"))
    assert "No plan lies within these limits" in page
    assert "8 crosses are wanted; 3 can be made." in page
    assert "Crosses per free incubator" in page
    assert "/plans/P1/limits/terms/?crosses=3" in page
    form = desk.get("/plans/P1/limits/terms/?crosses=3").context["form"]
    assert form["crosses"].value() == "3"


def test_a_way_out_by_a_figure_is_filled_in_on_the_limits_page(desk: Client) -> None:
    limit("incubators")
    limit("relationship", "0.05")
    limit("crosses_per_dam", "1")
    terms(crosses=4)
    searched(desk)

    page = text(desk.get("/plans/P1/best/"))
    assert "/plans/P1/limits/crosses_per_dam/?how=set&amp;value=2" in page
    assert "more cross" in page


def test_without_candidates_there_is_nothing_to_look_for(desk: Client) -> None:
    for fish in ("D1", "F1", "F2"):
        word_on_fish(fish, "out")

    assert "There is no female or no male that may be planned with." in text(desk.get("/plans/P1/best/"))
    answer = desk.post("/plans/P1/best/", SEARCH)
    assert answer.status_code == 422
    assert list(runs.recent(PLANS)) == []


def test_a_search_is_watched_and_stopped_and_keeps_its_best(desk: Client) -> None:
    token = desk.post("/plans/P1/best/", {"seconds": "300"}) and next(runs.recent(PLANS))["token"]
    assert desk.get(f"/plans/P1/best/{token}/progress/").status_code == 200
    assert desk.post(f"/plans/P1/best/{token}/cancel/").url == f"/plans/P1/best/{token}/"
    wait()

    run = runs.read(PLANS, token)
    assert run is not None
    assert run["best"]["pairs"]
    ended = desk.get(f"/plans/P1/best/{token}/progress/")
    assert ended.headers["X-Ended"] == "1"
    assert "Take these 3 crosses" in text(desk.get(f"/plans/P1/best/{token}/"))


def test_a_plan_of_a_search_is_not_taken_into_what_is_no_draft(desk: Client) -> None:
    taken(desk)
    token = next(runs.recent(PLANS))["token"]
    submit_plan(HALL, PlanSubmitted(plan="P1"))

    answer = desk.post(f"/plans/P1/best/{token}/take/0/", {})
    assert answer.status_code == 422
    assert "Plan P1 is under review and is not changed meanwhile." in text(answer)
    assert "Look for the best plan</button>" not in text(desk.get("/plans/P1/best/"))


@pytest.mark.parametrize("page", ["20200101-000000-00000000/", "nonsense/", "20200101-000000-00000000/take/0/"])
def test_a_search_that_is_not_there_is_not_found(desk: Client, page: str) -> None:
    assert desk.get(f"/plans/P1/best/{page}").status_code == 404


def test_only_who_plans_may_look_for_the_best_plan_and_all_may_read_it(desk: Client, client_of) -> None:
    token = searched(desk)["token"]
    viewer = client_of("viewer")

    assert viewer.post("/plans/P1/best/", SEARCH).status_code == 403
    assert viewer.post(f"/plans/P1/best/{token}/cancel/").status_code == 403
    assert viewer.get(f"/plans/P1/best/{token}/take/0/").status_code == 403
    page = text(viewer.get("/plans/P1/best/"))
    assert "no plan within these limits can keep more." in page
    assert "Take these" not in page
