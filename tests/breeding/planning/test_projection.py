"""What becomes of diversity over generations: textbook rates, limits, and the same answer for the same question."""

from dataclasses import replace

import numpy as np
import pytest

from breeding.genetics.diversity import group_coancestry
from breeding.genetics.inbreeding import inbreeding
from breeding.genetics.pedigree import ParentRow, build_pedigree
from breeding.planning.projection.drop import gametes
from breeding.planning.projection.question import EQUAL, HABIT, PLAN, RANDOM, Question
from breeding.planning.projection.run import measures, project


def founders(females: int, males: int, **more: object) -> Question:
    dams = tuple(f"F{n}" for n in range(females))
    sires = tuple(f"M{n}" for n in range(males))
    return Question(build_pedigree([ParentRow(fish) for fish in (*dams, *sires)]), dams, sires, **more)


def test_a_full_sib_line_is_inbred_as_the_textbook_has_it() -> None:
    # F by generation of full-sib mating from unrelated parents: Falconer and Mackay 1996, table 5.1.
    line = founders(1, 1, generations=5, families=1, kept=2, replicates=200, loci=100)
    found = project(line)[EQUAL].inbreeding.mean
    assert found == pytest.approx([0, 0, 0.25, 0.375, 0.5, 0.59375], abs=0.02)


def test_a_line_of_tetraploids_is_inbred_as_double_reduction_has_it() -> None:
    # Autotetraploids, double reduction 0.1: founders and their young 1/21, the young of full sibs 1/7 (Hamilton and
    # Kerr 2018, Theor. Appl. Genet. 131: 851-860).
    pedigree = build_pedigree([ParentRow("F"), ParentRow("M")], ploidy=4, double_reduction=0.1)
    line = Question(pedigree, ("F",), ("M",), generations=2, families=1, kept=2, replicates=300, double_reduction=0.1)
    assert project(line)[EQUAL].inbreeding.mean == pytest.approx([1 / 21, 1 / 21, 1 / 7], abs=0.01)


def test_unrelated_founders_begin_with_all_but_one_over_twice_their_number() -> None:
    # 1 - 1/(2n) (Lacy 1989); nothing is left to chance there.
    diversity = project(founders(3, 5, replicates=3))[EQUAL].gene_diversity
    assert (diversity.mean[0], diversity.low[0], diversity.high[0]) == pytest.approx((1 - 1 / 16,) * 3)


def test_random_mating_loses_diversity_at_wrights_rate() -> None:
    # Each generation keeps 1 - 1/(2Ne), Ne = 4 Nm Nf/(Nm + Nf) = 20 for ten of each sex (Wright 1931). As many families
    # as young, so that each young has parents of its own draw.
    ideal = founders(10, 10, generations=8, families=20, kept=20, replicates=300, loci=40)
    mean = project(replace(ideal, families=400))[RANDOM].gene_diversity.mean
    rate = (mean[8] / mean[2]) ** (1 / 6)
    assert rate == pytest.approx(1 - 1 / 40, abs=0.004)


def test_equal_use_keeps_more_than_chance_and_chance_more_than_a_habit_of_few_parents() -> None:
    habit = (("F0", "M0"),) * 8 + (("F1", "M1"),)
    found = project(founders(8, 8, habit=habit, families=8, kept=40, replicates=60))
    last = {way: outcome.gene_diversity.mean[-1] for way, outcome in found.items()}
    assert last[EQUAL] > last[RANDOM] > last[HABIT]


@pytest.mark.parametrize(("ploidy", "reduction"), [(2, 0), (4, 0), (4, 1 / 7), (8, 0.1)])
def test_the_parents_of_today_are_as_akin_as_their_pedigree_says(ploidy: int, reduction: float) -> None:
    rows = [
        ParentRow("A", "F", "M"), ParentRow("B", "F", "M", 0.5), ParentRow("B", "F", "N", 0.5),
        ParentRow("C", "A", "B"), ParentRow("D", "C", None),
        ParentRow("S1", "F", None, 0.4, "clutch"), ParentRow("S1", None, "M", 0.6, "clutch"),
        ParentRow("S2", "F", None, 0.4, "clutch"), ParentRow("S2", None, "M", 0.6, "clutch"),
    ]  # fmt: skip
    pedigree = build_pedigree(rows, ploidy=ploidy, double_reduction=reduction)
    names = ("C", "D", "S1", "S2")
    question = Question(pedigree, names[:2], names[2:], generations=0, replicates=300, loci=60)
    start = project(question)[EQUAL]
    assert start.gene_diversity.mean[0] == pytest.approx(1 - group_coancestry(pedigree, names), abs=0.01)
    mean_f = inbreeding(pedigree)[pedigree.positions(names)].mean()
    assert start.inbreeding.mean[0] == pytest.approx(mean_f, abs=0.01)


def test_a_plan_decides_the_first_generation_alone() -> None:
    # One cross of two unrelated founders: full sibs, θ of very many of them 1/4 (self aside); F 0, then at least 1/4.
    planned = founders(5, 5, plan=(("F0", "M0"),), families=10, kept=400, generations=2, replicates=20)
    outcome = project(planned)[PLAN]
    assert outcome.gene_diversity.mean[1] == pytest.approx(0.75, abs=0.01)
    assert outcome.inbreeding.mean[1:] == pytest.approx([0, 0.25], abs=0.02)


def test_ways_that_nothing_is_known_of_are_left_out() -> None:
    assert list(project(founders(2, 2, replicates=2))) == [EQUAL, RANDOM]


def test_the_same_seed_gives_the_same_answer_and_another_one_another() -> None:
    question = founders(3, 3, replicates=4, loci=10)
    assert project(question) == project(question)
    assert project(question) != project(replace(question, seed=2))


def test_bands_hold_the_mean() -> None:
    found = project(founders(4, 4, replicates=40))[RANDOM].gene_diversity
    assert all(low < mean < high for low, mean, high in zip(found.low[1:], found.mean[1:], found.high[1:], strict=True))


def test_a_person_may_stop_it() -> None:
    ticks: list[int] = []

    def stop() -> None:
        ticks.append(1)
        if len(ticks) == 3:
            raise InterruptedError

    with pytest.raises(InterruptedError):
        project(founders(2, 2), stop)
    assert len(ticks) == 3


@pytest.mark.parametrize(
    ("question", "sentence"),
    [
        (founders(0, 2), "needs at least one female and one male"),
        (founders(2, 0), "needs at least one female and one male"),
        (founders(2, 2, kept=1), "At least one family and two young"),
        (founders(2, 2, families=0), "At least one family and two young"),
    ],
)
def test_what_cannot_be_projected_is_said(question: Question, sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        project(question)


def test_a_gamete_holds_different_copies_of_its_parent() -> None:
    genes = np.tile(np.arange(4, dtype=np.int32)[None, :, None], (50, 1, 30))
    drawn = gametes(genes, 2, np.random.default_rng(1))
    assert drawn.shape == (50, 2, 30)
    assert (drawn[:, 0] != drawn[:, 1]).all()


def test_measures_of_two_fish_counted_by_hand() -> None:
    # One locus: copies 1 1 and 1 2. Σp² = (9 + 1)/16; one fish of two has both copies alike.
    genes = np.array([[[1], [1]], [[1], [2]]], dtype=np.int32)
    assert measures(genes) == (1 - 10 / 16, 0.5)
