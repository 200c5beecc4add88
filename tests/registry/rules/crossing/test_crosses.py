"""Why a fish is no candidate, and why a pair may not be planned."""

from decimal import Decimal

import pytest

from registry.rules.crossing.crosses import PairWanted, PlanDraft, objections_to_draft, objections_to_pair
from registry.rules.known import Known


@pytest.fixture(autouse=True)
def sampled(known: Known) -> None:
    """Keep a tissue sample of every fish."""
    for fish in known.fish.values():
        fish.tissue = True


def codes(known: Known, dam: str = "F1", sire: str = "M1", kinship: str = "0") -> list[str]:
    return [
        o.code for o in objections_to_pair(PairWanted(dam=dam, sire=sire, kinship=Decimal(kinship)), "Upper", known)
    ]


def test_unrelated_living_fish_of_the_stock_may_be_planned(known: Known) -> None:
    assert codes(known) == []


def test_full_sibs_are_too_close_and_both_figures_are_said(known: Known) -> None:
    # Kinship of full sibs of unrelated, non-inbred parents is 1/4 (Falconer & Mackay 1996).
    found = objections_to_pair(PairWanted(dam="D1", sire="S1", kinship=Decimal("0.25")), "Upper", known)
    assert [o.message for o in found] == [
        "D1 × S1: relationship 0.5000 (kinship 0.2500) is not below 0.25, the limit on the closeness of a pair."
    ]


def test_half_sibs_reach_the_limit(known: Known) -> None:
    assert codes(known, kinship="0.125") == ["too_close"]
    assert codes(known, kinship="0.1249999999999999") == ["too_close"]  # half sibs, as floating point may have them
    assert codes(known, kinship="0.1249") == []


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        ({"hybrid": True}, "hybrid"),
        ({"doubtful": True}, "doubtful_species"),
        ({"stock": "Lower"}, "wrong_stock"),
        ({"sex": "U"}, "unsexed"),
        ({"sex": "M"}, "wrong_sex"),
        ({"tissue": False}, "not_sampled"),
    ],
)
def test_no_candidate(known: Known, change: dict[str, object], reason: str) -> None:
    for name, value in change.items():
        setattr(known.fish["f1"], name, value)
    assert reason in codes(known)


def test_a_dead_male_is_a_candidate_only_by_his_frozen_milt(known: Known) -> None:
    assert codes(known, sire="M2") == ["dead_parent"]
    known.frozen_milt_of.add("m2")
    assert codes(known, sire="M2") == []


def test_a_plan_is_for_a_stock_and_a_season_to_come(known: Known) -> None:
    assert objections_to_draft(PlanDraft(number="P", stock="Upper", season=2027), known) == []
    wrong = objections_to_draft(PlanDraft(number="", stock="Nowhere", season=2099), known)
    assert [o.code for o in wrong] == ["missing_id", "bad_stock", "bad_season"]
