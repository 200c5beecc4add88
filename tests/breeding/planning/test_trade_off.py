"""The curve of diversity against inbreeding, and what each limit costs."""

import itertools
from dataclasses import replace

import numpy as np
import pytest

from breeding.planning.objective import figures_of
from breeding.planning.plan import Effort, best_plan
from breeding.planning.problem import Problem
from breeding.planning.trade_off import limit_costs, trade_off
from tests.breeding.planning.cases import every_plan, kinship_of

EFFORT = Effort(seconds=20.0)


def stock(**more: object) -> Problem:
    kinship = kinship_of(np.random.default_rng(3), 7)
    names = ("D1", "D2", "D3"), ("S1", "S2", "S3", "S4")
    return Problem(*names, kinship, 3, **more)  # type: ignore[arg-type]


def test_along_the_curve_diversity_falls_and_so_does_inbreeding() -> None:
    curve = trade_off(stock(), EFFORT)
    assert len(curve) > 1
    assert all(a.gene_diversity >= b.gene_diversity for a, b in itertools.pairwise(curve))
    assert all(a.mean_kinship > b.mean_kinship for a, b in itertools.pairwise(curve))


def test_the_curve_begins_at_the_most_diverse_plan_and_no_plan_is_better_in_both() -> None:
    problem = stock()
    curve = trade_off(problem, EFFORT)
    assert curve[0].plan.figures.group_coancestry == best_plan(problem).figures.group_coancestry
    worth = [figures_of(problem, plan) for plan in every_plan(problem)]
    for point in curve:
        more_diverse = [one for one in worth if one.group_coancestry < 1 - point.gene_diversity - 1e-12]
        assert all(one.mean_pair_kinship >= point.mean_kinship - 1e-12 for one in more_diverse)


def test_a_limit_costs_what_the_best_plan_without_it_would_keep() -> None:
    ruled_out = {"max_kinship": np.array([[1, 1, 1, 0], [1, 1, 0, 1], [0, 1, 1, 1]], dtype=bool)}
    problem = stock(ruled_out=ruled_out, most={"milt": np.full(7, 3)})
    plan = best_plan(problem)
    dear, free = limit_costs(plan, EFFORT)
    better = best_plan(replace(problem, ruled_out={}))
    assert dear.limit == "max_kinship"
    assert dear.objective == pytest.approx(plan.figures.objective - better.figures.objective)
    assert dear.objective > 0
    assert dear.gene_diversity == pytest.approx(dear.objective)  # nothing else counts here
    assert (free.limit, free.objective, free.gene_diversity) == ("milt", 0.0, 0.0)
    assert free.plan.pairs == plan.pairs


def test_having_to_use_a_fish_has_its_cost_too() -> None:
    plan = best_plan(stock(least=np.array([0, 0, 2, 0, 0, 0, 2])))
    (cost,) = limit_costs(plan, EFFORT)
    assert cost.limit == "least_uses"
    assert cost.objective > 0
