"""A season's question: who may be planned with, each limit by its name, and what is in every plan.

F1 ─┬─ M1 ─┬─ F2      M2            all of them ripe, sampled, and of one stock; three jars are free
  10-1    10-2
 D1♀ D2♂  H1♂                       D1, D2 full sibs; H1 their half sib by M1
"""

from collections.abc import Callable
from datetime import timedelta
from decimal import Decimal

import numpy as np
import pytest
from django.utils import timezone

from breeding.planning.feasible import InfeasibleError
from breeding.planning.plan import best_plan
from breeding.planning.problem import NO_LIMIT, Scheme
from registry.models import CrossPlan
from registry.operations.catalogue import set_inheritance
from registry.operations.crossing.spawning import record_spawning
from registry.operations.fish import admit_fish, record_departure
from registry.operations.people import installer
from registry.operations.shared.entries import Admission, CrossMade, Day, Departure, SireShare, SpawningNight
from registry.queries.crosses.season.problem import SeasonProblem, season_problem
from registry.rules.inheritance import InheritanceSet
from tests.registry.queries.crosses.season.conftest import limit, terms, weigh, word_on_fish, word_on_pair
from tests.support.broodstock import HALL, check, freeze_milt
from tests.support.river import STOCK

Asked = Callable[[], SeasonProblem]
TODAY = timezone.localdate


def reasons(season: SeasonProblem) -> dict[str, list[str]]:
    return {one.candidate.number: [reason.limit for reason in one.reasons] for one in season.left_out}


def ruled_out(season: SeasonProblem, key: str) -> set[tuple[str, str]]:
    pairs = season.problem.ruled_out.get(key)
    return set(season.numbers(np.argwhere(pairs).tolist())) if pairs is not None else set()


def most(season: SeasonProblem, key: str) -> dict[str, int]:
    found = season.problem.most.get(key)
    uses = zip(season.problem.fish, found.tolist(), strict=True) if found is not None else ()
    return {fish: most for fish, most in uses if most < NO_LIMIT}


def spawn(dam: str, *sires: str, family: str = "now-1", share: str = "") -> None:
    parts = [Decimal(part) for part in share.split()] or [Decimal(1)]
    males = tuple(SireShare(sire=sire, share=part) for sire, part in zip(sires, parts, strict=True))
    crosses = (CrossMade(dam=dam, sires=males, family=family),)
    record_spawning(HALL, SpawningNight(spawned_on=TODAY(), stock=STOCK, crosses=crosses))


def test_the_ripe_fish_of_the_stock_are_the_candidates_and_their_kinship_is_that_of_the_pedigree(asked: Asked) -> None:
    season = asked()
    assert season.problem.dams == ("D1", "F1", "F2")
    assert season.problem.sires == ("D2", "H1", "M1", "M2")
    assert reasons(season) == {}
    # Full sibs, half sibs, parent and offspring, by hand (DOMAIN 4.1): 1/4, 1/8, 1/4.
    assert season.problem.between[0].tolist() == [0.25, 0.125, 0.25, 0]
    assert season.candidates["D1"].candidate.stage == "IV"


def test_a_plan_comes_out_of_it_that_keeps_the_limit_on_relatives(asked: Asked) -> None:
    plan = best_plan(asked().problem)
    assert plan.proven
    assert plan.figures.mean_pair_kinship == 0


def test_pairs_that_reach_the_relationship_are_ruled_out_and_their_level_is_told(asked: Asked) -> None:
    season = asked()
    close = {("D1", "D2"), ("D1", "H1"), ("D1", "M1"), ("F1", "D2"), ("F2", "H1")}
    assert ruled_out(season, "relationship") == close
    assert season.levels["relationship"].limit == 0.25
    assert season.levels["relationship"].of_pairs[0].tolist() == [0.5, 0.25, 0.5, 0]


def test_the_relationship_is_the_same_whatever_the_gene_copies(asked: Asked, plan: CrossPlan) -> None:
    before = ruled_out(asked(), "relationship")
    set_inheritance(installer("test"), InheritanceSet(stock=STOCK, ploidy=4, double_reduction=Decimal(0), reason="240"))
    season = asked()
    assert season.problem.between[0].tolist() == [0.125, 0.0625, 0.125, 0]  # half of the diploid ones
    assert ruled_out(season, "relationship") == before


def test_a_lifted_limit_rules_nothing_out(asked: Asked) -> None:
    limit("relationship")
    season = asked()
    assert "relationship" not in season.problem.ruled_out
    assert season.levels == {}


def test_pairs_crossed_before_are_ruled_out_for_the_years_of_the_limit(asked: Asked) -> None:
    assert ruled_out(asked(), "repeat_years") == {("F1", "M1"), ("F2", "M1")}
    limit("repeat_years", 3)
    assert ruled_out(asked(), "repeat_years") == set()


@pytest.mark.parametrize(
    ("key", "fish"), [("crosses_per_dam", {"D1", "F1", "F2"}), ("crosses_per_sire", {"M1", "M2", "D2", "H1"})]
)
def test_crosses_of_a_fish_are_limited_by_sex(asked: Asked, key: str, fish: set[str]) -> None:
    limit(key, 2)
    assert most(asked(), key) == dict.fromkeys(fish, 2)


def test_the_least_numbers_of_females_and_males_are_taken_over(asked: Asked) -> None:
    limit("least_dams", 2)
    limit("least_sires", 3)
    assert (asked().problem.fewest_dams, asked().problem.fewest_sires) == (2, 3)


def test_eggs_are_expected_by_mass_and_cut_into_portions(asked: Asked) -> None:
    weigh("D1", 900)  # sterlet: 10,000 eggs per kg at the least, from memory (catalogue)
    season = asked()
    assert season.eggs["D1"].count == 9_000
    assert most(season, "egg_portion") == {"D1": 4}  # of 2,000 eggs


def test_the_largest_night_goes_before_the_mass(asked: Asked) -> None:
    weigh("F1", 900)
    night = CrossMade(
        dam="F1", sires=(SireShare(sire="M2"),), family="12-1", egg_mass_g=Decimal(100), eggs_per_g=Decimal(60)
    )
    day = TODAY().replace(year=2012, day=1)
    record_spawning(HALL, SpawningNight(spawned_on=day, stock=STOCK, crosses=(night,)))
    assert asked().eggs["F1"].count == 6_000


def test_a_male_with_frozen_milt_alone_is_used_as_often_as_his_doses_are_enough_for(asked: Asked) -> None:
    freeze_milt("M2", 5)
    limit("milt_doses", 2)
    assert most(asked(), "milt_doses") == {}  # he is here and ripe
    record_departure(HALL, Departure(fish="M2", left="died", left_on=Day(TODAY())))
    season = asked()
    assert season.candidates["M2"].candidate.left == "died"
    assert most(season, "milt_doses") == {"M2": 2}


def test_crosses_are_as_many_as_free_incubators_take(asked: Asked) -> None:
    assert asked().problem.in_all == {"incubators": 3}
    terms(crosses=4)
    with pytest.raises(InfeasibleError, match="In the way: incubators"):
        best_plan(asked().problem)
    limit("incubators", 2)
    assert asked().problem.in_all == {"incubators": 6}


def test_a_fish_without_a_sample_is_left_out_by_that_limit(asked: Asked) -> None:
    admit_fish(HALL, Admission(number="M9", species="ruthenus", stock=STOCK, sex="M", origin="wild"))
    check("M9", "IV")
    assert reasons(asked()) == {"M9": ["tissue"]}
    limit("tissue")
    assert "M9" in asked().candidates


@pytest.mark.parametrize(
    ("more", "key"),
    [({"hybrid": True}, "no_hybrid"), ({"confidence": "doubtful"}, "sure_species")],
)
def test_a_fish_of_doubtful_identity_is_left_out_by_the_limit_that_says_so(asked: Asked, more, key) -> None:
    fish = {"number": "M9", "species": "ruthenus", "stock": STOCK, "sex": "M", "origin": "wild", "tissue_sample": "T9"}
    admit_fish(HALL, Admission(**fish | more, caught=Day(TODAY() - timedelta(days=99))), confirmed=True)
    check("M9", "IV")
    assert reasons(asked()) == {"M9": [key]}
    limit(key)
    assert "M9" in asked().candidates


def test_a_fish_that_is_not_ripe_comes_in_by_word_or_when_the_limit_is_lifted(asked: Asked) -> None:
    check("M2", "II", days_ago=1)
    assert "M2" not in asked().candidates
    word_on_fish("M2", "in")
    assert "M2" in asked().candidates
    word_on_fish("M2", "")
    limit("ripe")
    assert "M2" in asked().candidates


def test_a_veto_leaves_a_fish_out_with_its_reason(asked: Asked) -> None:
    word_on_fish("M2", "out")
    (one,) = asked().left_out
    assert one.reasons[0].words == "M2 is left out of this plan: a bad year."


def test_a_limited_fish_is_used_so_often(asked: Asked) -> None:
    word_on_fish("M2", "limited", 1)
    assert most(asked(), "fish_limit") == {"M2": 1}


def test_locked_pairs_are_in_every_plan_and_forbidden_ones_in_none(asked: Asked) -> None:
    word_on_pair("F2", "D2", "locked")
    word_on_pair("F1", "M2", "forbidden")
    season = asked()
    assert season.locked == (("F2", "D2"),)
    assert season.numbers(season.problem.fixed) == [("F2", "D2")]
    assert ruled_out(season, "forbidden") == {("F1", "M2")}


def test_families_made_this_season_count_and_their_fish_rest(asked: Asked) -> None:
    spawn("F1", "M2")
    season = asked()
    assert season.made == (("F1", "M2"),)
    assert most(season, "dam_rest_years") == {"F1": 1}
    assert all(dam != 1 for dam, _ in set(best_plan(season.problem).pairs) - set(season.problem.fixed))
    terms(count_made=False)
    season = asked()
    assert season.made == ()
    assert "dam_rest_years" in reasons(season).get("F1", ["dam_rest_years"])
    assert "F1" not in season.candidates


def test_of_pooled_milt_the_male_of_the_largest_share_stands_for_all(asked: Asked) -> None:
    spawn("F1", "M2", "H1", share="0.3 0.7")
    season = asked()
    assert season.made == (("F1", "H1"),)
    assert season.notes == ("1 of the crosses made had pooled milt: the male of the largest share stands for all.",)


def test_more_made_than_wanted_is_told(asked: Asked) -> None:
    spawn("F1", "M2")
    spawn("F2", "M2", family="now-2")
    terms(crosses=1)
    season = asked()
    assert season.problem.crosses == 2
    assert season.notes == ("2 crosses are made or locked where 1 are wanted.",)


def test_the_living_weigh_by_the_young_expected_unless_the_terms_say_otherwise(asked: Asked) -> None:
    living = asked().problem.living
    assert living.weight_of_young == 300 / 307  # 3 families of 100 (policy), 7 fish
    assert living.coancestry == pytest.approx(asked().coancestry)
    terms(weight_of_young=Decimal("0.25"))
    assert asked().problem.living.weight_of_young == 0.25
    terms(count_living=False)
    assert asked().problem.living is None


@pytest.mark.parametrize(
    ("more", "scheme"),
    [
        ({"scheme": "single_pair"}, Scheme(1, 1)),
        ({"scheme": "nested", "mates": 2, "crosses": 4}, Scheme(2, 1)),
        ({"scheme": "partial_factorial", "mates": 2, "crosses": 4}, Scheme(2, 2)),
        ({"scheme": "full_factorial", "crosses": 6}, Scheme(2, 3)),
        ({}, None),
    ],
)
def test_the_scheme_is_taken_over(asked: Asked, more: dict, scheme: Scheme | None) -> None:
    terms(**more)
    assert asked().problem.scheme == scheme


def test_without_a_male_there_is_no_problem_but_every_reason(asked: Asked) -> None:
    for number in ("D2", "H1", "M1", "M2"):
        word_on_fish(number, "out")
    season = asked()
    assert season.problem is None
    assert reasons(season) == {number: ["fish_out"] for number in ("D2", "H1", "M1", "M2")}
    assert season.positions([("F1", "M2")]) == ([], [("F1", "M2")])


def test_pairs_are_found_by_their_numbers_and_those_gone_are_told_apart(asked: Asked) -> None:
    season = asked()
    assert season.positions([("F1", "M2"), ("F9", "M2")]) == ([(1, 3)], [("F9", "M2")])


def test_the_question_costs_the_same_however_many_fish_there_are(
    asked: Asked, plan: CrossPlan, django_assert_max_num_queries
) -> None:
    with django_assert_max_num_queries(36):
        season_problem(plan)
    for number in range(20):
        fish = {"number": f"M-{number}", "species": "ruthenus", "stock": STOCK, "sex": "M", "origin": "wild"}
        admit_fish(HALL, Admission(**fish, tissue_sample=f"TM-{number}", caught=Day(TODAY() - timedelta(days=9))))
        check(f"M-{number}", "IV", days_ago=1)
    with django_assert_max_num_queries(36):
        assert len(season_problem(plan).problem.sires) == 24
