"""What may be entered of a spawning night."""

from datetime import date
from decimal import Decimal

import pytest

from registry.rules.crossing.spawning import CrossMade, SireShare, SpawningNight, equal_shares, objections_to_night
from registry.rules.known import Known


def codes(known: Known, day: date = date(2016, 5, 1), **cross: object) -> list[str]:
    whole = {"dam": "F1", "sires": (SireShare(sire="M1"),), "family": "16-1", **cross}
    night = SpawningNight(spawned_on=day, crosses=(CrossMade(**whole),))
    return [o.code for o in objections_to_night(night, known)]


def test_one_female_with_one_male_founds_a_family(known: Known) -> None:
    assert codes(known) == []


def test_a_family_number_is_used_once(known: Known) -> None:
    assert codes(known, family="10-1") == ["duplicate_id"]


def test_a_family_known_from_its_young_gets_its_cross_later(known: Known) -> None:
    assert codes(known, family="11-1") == []
    assert codes(known, family="11-1", sires=(SireShare(sire="S1"),)) == ["duplicate_id"]


def test_a_dead_male_needs_frozen_milt(known: Known) -> None:
    assert codes(known, sires=(SireShare(sire="M2"),)) == ["dead_parent"]
    assert codes(known, sires=(SireShare(sire="M2", frozen_milt=True),)) == ["frozen_milt"]


def test_wrong_sex_unknown_fish_and_impossible_percentages_are_all_said(known: Known) -> None:
    wrong = codes(known, dam="M1", sires=(SireShare(sire="M77", motility_percent=Decimal(120)),))
    assert sorted(wrong) == ["percent_range", "unknown_parent", "wrong_sex"]


def test_pooled_milt_is_pointed_out_and_its_shares_sum_to_one(known: Known) -> None:
    pooled = tuple(SireShare(sire=s, share=Decimal("0.5")) for s in ("M1", "S1"))
    assert codes(known, sires=pooled) == ["pooled_parent"]
    short = tuple(SireShare(sire=s, share=Decimal("0.4")) for s in ("M1", "S1"))
    assert "probability" in codes(known, sires=short)


def test_a_cross_of_doubtful_species_is_recorded_with_a_warning(known: Known) -> None:
    known.fish["m1"].doubtful = True
    assert codes(known) == ["hybrid_cross"]


def test_eggs_do_not_weigh_less_than_nothing(known: Known) -> None:
    assert codes(known, egg_mass_g=Decimal("-120.5")) == ["negative"]


def test_no_night_lies_in_the_future_or_before_its_fish_came(known: Known) -> None:
    assert codes(known, day=date(2026, 3, 2)) == ["future_date"]
    assert set(codes(known, day=date(1999, 5, 1))) == {"parent_younger"}


@pytest.mark.parametrize("males", [1, 2, 3, 7])
def test_equal_shares_sum_to_exactly_one(males: int) -> None:
    shares = equal_shares([f"M{n}" for n in range(males)])
    assert sum(shares) == 1
    assert max(shares) - min(shares) <= Decimal("1e-11")


def test_one_unknown_male_for_all_is_told_apart_from_pooled_milt(known: Known) -> None:
    males = tuple(SireShare(sire=s, share=Decimal("0.5")) for s in ("M1", "S1"))
    cross = CrossMade(dam="F1", sires=males, family="16-1", one_male_only=True)
    found = objections_to_night(SpawningNight(spawned_on=date(2016, 5, 1), crosses=(cross,)), known)
    assert [o.message for o in found] == [
        "One male's milt was used, nobody knows whose: all the young have the same sire, M1 or S1."
    ]
