"""Ranked pairs, against kinship by the tabular method on the whole population with the family really added.

Tabular method: Emik & Terrill 1949, J. Hered. 40: 51. Written out here so that it owes nothing to the code under test.
"""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from breeding.planning.limits import Limits
from breeding.planning.proposals import Candidates, Living, Mates, coancestry_after, ranked_pairs

Parents = list[tuple[int | None, int | None]]


def kinship_by_table(parents: Parents) -> np.ndarray:
    """Kinship of all fish, parents listed before their young; an unknown parent is None."""
    count = len(parents)
    K = np.zeros((count, count))
    for i, (dam, sire) in enumerate(parents):
        for j in range(i):
            K[i, j] = K[j, i] = sum(K[parent, j] / 2 for parent in (dam, sire) if parent is not None)
        K[i, i] = 0.5 * (1 + (K[dam, sire] if dam is not None and sire is not None else 0))
    return K


@st.composite
def hatcheries(draw: st.DrawFn) -> tuple[Parents, list[int], list[int], list[int]]:
    """Parents of 4 to 14 fish, the living among them, and females and males that are ready."""
    founders = draw(st.integers(2, 5))
    parents: Parents = [(None, None)] * founders
    for at in range(founders, draw(st.integers(4, 14))):
        dam, sire = draw(st.permutations(range(at)))[:2]
        parents.append((dam, draw(st.sampled_from([sire, None]))))
    fish = draw(st.permutations(range(len(parents))))
    cut = draw(st.integers(1, len(fish) - 1))
    living = sorted(draw(st.sets(st.integers(0, len(parents) - 1), min_size=1)))
    return parents, living, fish[:cut][:4], fish[cut:][:4]


def facts(parents: Parents, living: list[int], females: list[int], males: list[int]) -> tuple[Mates, Living]:
    K = kinship_by_table(parents)
    names = [f"fish {at:02d}" for at in range(len(parents))]
    sexes = [
        Candidates([names[at] for at in sex], np.diag(K)[sex], K[np.ix_(sex, living)].mean(axis=1))
        for sex in (females, males)
    ]
    return Mates(*sexes, K[np.ix_(females, males)]), Living(float(K[np.ix_(living, living)].mean()), len(living))


@given(hatcheries(), st.integers(1, 5))
def test_coancestry_after_is_that_of_a_population_with_the_family_really_added(case, young: int) -> None:
    parents, living, females, males = case
    expected = np.empty((len(females), len(males)))
    for f, dam in enumerate(females):
        for m, sire in enumerate(males):
            K = kinship_by_table([*parents, *[(dam, sire)] * young])
            group = [*living, *range(len(parents), len(K))]
            expected[f, m] = K[np.ix_(group, group)].mean()
    assert coancestry_after(*facts(*case), young) == pytest.approx(expected, abs=1e-12)


@given(hatcheries(), st.integers(1, 5))
def test_the_inbreeding_of_the_young_is_that_of_the_table(case, young: int) -> None:
    parents, _, females, males = case
    mates, living = facts(*case)
    places = {
        name: at
        for sex, fish in ((females, mates.females), (males, mates.males))
        for at, name in zip(sex, fish.fish, strict=True)
    }
    for proposal in ranked_pairs(mates, living, young, Limits()).permitted:
        K = kinship_by_table([*parents, (places[proposal.dam], places[proposal.sire])])
        assert proposal.inbreeding == pytest.approx(2 * K[-1, -1] - 1, abs=1e-12)


@given(hatcheries(), st.integers(1, 500), st.floats(0, 0.5))
def test_every_pair_is_either_ranked_or_refused_and_ranked_by_diversity(case, young: int, limit: float) -> None:
    mates, living = facts(*case)
    ranking = ranked_pairs(mates, living, young, Limits(max_kinship=limit))
    pairs = [(one.dam, one.sire) for one in (*ranking.permitted, *ranking.refused)]
    assert sorted(pairs) == sorted((dam, sire) for dam in mates.females.fish for sire in mates.males.fish)
    assert [one.rank for one in ranking.permitted] == list(range(1, len(ranking.permitted) + 1))
    gains = [one.diversity_change for one in ranking.permitted]
    assert np.all(np.diff(gains) <= 1e-11)
    assert all(one.kinship <= limit + 1e-12 for one in ranking.permitted)
    assert all(one.kinship > limit for one in ranking.refused)


def small_river() -> tuple[Mates, Living]:
    """Founders 0 1 2 3; 4 and 5 = 0 × 1 (full sibs); 6 = 0 × 2 (half sib of both); 7 = 3 × unknown. All alive."""
    parents: Parents = [(None, None)] * 4 + [(0, 1), (0, 1), (0, 2), (3, None)]
    return facts(parents, list(range(8)), [4, 6], [5, 7])


def test_textbook_pairs_have_their_textbook_inbreeding() -> None:
    # Full sibs ¼, half sibs ⅛, unrelated 0: any textbook, e.g. Falconer & Mackay 1996, chapter 5 (from memory).
    ranking = ranked_pairs(*small_river(), 100, Limits())
    assert {(one.dam, one.sire): one.inbreeding for one in ranking.permitted} == {
        ("fish 04", "fish 05"): 0.25,
        ("fish 06", "fish 05"): 0.125,
        ("fish 04", "fish 07"): 0,
        ("fish 06", "fish 07"): 0,
    }


def test_one_family_of_two_founders_alone_has_a_quarter_and_its_finite_part() -> None:
    # θ = ¼ + 1/(4N) for one full-sib family of N from two unrelated founders that are dead.
    founders = [Candidates([name], np.array([0.5]), np.array([0.0])) for name in ("dam", "sire")]
    for young in (1, 2, 10, 1000):
        after = coancestry_after(Mates(*founders, np.zeros((1, 1))), Living(0.0, 0), young)
        assert after[0, 0] == pytest.approx(0.25 + 1 / (4 * young))


def test_the_pair_with_the_rarest_genes_comes_first() -> None:
    mates, living = small_river()
    best = ranked_pairs(mates, living, 4, Limits()).permitted[0]
    assert best.sire == "fish 07"
    assert best.dam == "fish 06"
    assert best.diversity_change == pytest.approx(best.diversity_after - (1 - living.coancestry))
    assert best.sire_mean_kinship < living.coancestry


def test_equal_pairs_are_ordered_by_register_number_whatever_order_they_come_in() -> None:
    alike = lambda names: Candidates(names, np.full(3, 0.5), np.full(3, 0.1))  # noqa: E731
    noise = np.array([[1e-14, 0.0, 2e-14], [2e-14, 1e-14, 0.0], [0.0, 2e-14, 1e-14]])
    one = ranked_pairs(Mates(alike(["c", "a", "b"]), alike(["z", "x", "y"]), noise), Living(0.1, 9), 5, Limits())
    assert [(pair.dam, pair.sire) for pair in one.permitted] == [(dam, sire) for dam in "abc" for sire in "xyz"]


def test_a_kinship_equal_to_the_limit_is_permitted_even_if_rounded() -> None:
    mates, living = small_river()
    rounded = replace(mates, kinship=mates.kinship + 5e-13)
    ranking = ranked_pairs(rounded, living, 10, Limits(max_kinship=0.125))
    assert [(pair.dam, pair.sire) for pair in ranking.refused] == [("fish 04", "fish 05")]
    assert ranking.refused[0].reasons == (
        "The kinship of fish 04 and fish 05 is 0.25, over the limit of 0.125: "
        "they are as close as full sibs or parent and offspring.",
    )


def test_all_reasons_against_a_pair_are_told_at_once() -> None:
    limits = Limits(0.1, {("fish 04", "fish 05"): "tried in 2021 without hatch"}, {"fish 05": 0})
    ranking = ranked_pairs(*small_river(), 10, limits)
    assert [len(pair.reasons) for pair in ranking.refused] == [3, 2]
    assert [(pair.dam, pair.sire) for pair in ranking.permitted] == [("fish 06", "fish 07"), ("fish 04", "fish 07")]


def test_no_candidates_give_no_pairs() -> None:
    nobody = Candidates([], np.empty(0), np.empty(0))
    ranking = ranked_pairs(Mates(nobody, nobody, np.empty((0, 0))), Living(0.1, 5), 10, Limits())
    assert ranking.permitted == ranking.refused == []


@pytest.mark.parametrize(
    ("living", "young", "sentence"),
    [
        (Living(0.1, 5), 0, "A family of 0 young cannot be judged"),
        (Living(0.1, -1), 5, "The living group has -1 fish"),
        (Living(1.5, 5), 5, r"The group coancestry of the living is 1\.5"),
        (Living(float("nan"), 5), 5, "The group coancestry of the living is nan"),
    ],
)
def test_a_group_that_cannot_be_is_refused(living: Living, young: int, sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        ranked_pairs(small_river()[0], living, young, Limits())


def test_arrays_of_the_wrong_shape_or_range_are_refused_by_name() -> None:
    mates, _ = small_river()
    with pytest.raises(
        ValueError, match=r"kinship between females and males has shape \(1, 2\); \(2, 2\) was expected"
    ):
        replace(mates, kinship=mates.kinship[:1])
    with pytest.raises(ValueError, match=r"self-kinship of the males must lie between 0\.5 and 1; found 0\.25"):
        replace(mates, males=replace(mates.males, self_kinship=np.array([0.5, 0.25])))
    with pytest.raises(ValueError, match="mean kinship of the females must lie between 0 and 1; found nan"):
        replace(mates, females=replace(mates.females, mean_kinship=np.array([0.1, np.nan])))


def test_a_fish_named_twice_or_in_both_sexes_is_refused() -> None:
    mates, _ = small_river()
    with pytest.raises(ValueError, match="Fish fish 04 stands more than once among the females"):
        replace(mates, females=replace(mates.females, fish=["fish 04", "fish 04"]))
    with pytest.raises(ValueError, match="Fish fish 04 stands among the females and among the males"):
        replace(mates, males=replace(mates.males, fish=["fish 04", "fish 07"]))
