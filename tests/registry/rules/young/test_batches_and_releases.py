"""What may be entered of batches and releases."""

from datetime import date
from decimal import Decimal

from registry.rules.known import Known, KnownBatch
from registry.rules.tags import TagCode
from registry.rules.young.batches import (
    BatchOpening,
    Census,
    FamilyShare,
    Merge,
    Split,
    Taking,
    objections_to_census,
    objections_to_merge,
    objections_to_opening,
    objections_to_split,
    objections_to_taking_out,
)
from registry.rules.young.releases import (
    BatchPart,
    RecaptureMade,
    ReleaseMade,
    objections_to_recapture,
    objections_to_release,
)
from registry.rules.young.units import BatchMove, objections_to_move

JUNE = date(2010, 6, 1)


def opening(**changes: object) -> BatchOpening:
    whole = {"number": "B9", "opened_on": JUNE, "count": 500, "families": (FamilyShare(family="10-1"),)}
    return BatchOpening(**{**whole, **changes})


def test_a_batch_is_opened_from_a_family_of_the_register(known: Known) -> None:
    assert objections_to_opening(opening(), known) == []
    unknown = opening(families=(FamilyShare(family="14-77"),))
    assert [o.message for o in objections_to_opening(unknown, known)] == ["There is no family 14-77 in the register."]


def test_a_batch_number_is_used_once_and_fish_are_counted(known: Known) -> None:
    assert [o.code for o in objections_to_opening(opening(number="b1", count=0), known)] == ["duplicate_id", "negative"]


def test_losses_are_of_a_batch_that_is_there_and_holds_them(known: Known) -> None:
    lost = Taking(batch="B99", moved_on=JUNE, count=5)
    assert [o.message for o in objections_to_taking_out(lost, known)] == [
        "There is no batch B99 in the register. Open it first."
    ]
    assert [o.code for o in objections_to_taking_out(Taking(batch="B1", moved_on=JUNE, count=-250), known)] == [
        "negative"
    ]
    assert [o.code for o in objections_to_taking_out(Taking(batch="B1", moved_on=JUNE, count=0), known)] == [
        "missing_count"
    ]


def test_a_count_of_zero_is_legal_and_below_zero_is_not(known: Known) -> None:
    assert objections_to_census(Census(batch="B1", moved_on=JUNE, counted=0), known) == []
    assert [o.code for o in objections_to_census(Census(batch="B1", moved_on=JUNE, counted=-1), known)] == ["negative"]


def test_a_split_takes_no_more_than_there_is(known: Known) -> None:
    split = Split(batch="B1", new_number="B2", moved_on=JUNE, count=1001)
    assert [o.code for o in objections_to_split(split, known)] == ["over_balance"]


def test_stocks_are_not_mixed_by_merging(known: Known) -> None:
    known.add_batch(KnownBatch("M1", 9, "Maroway", JUNE))
    merge = Merge(batch="B1", into="M1", moved_on=JUNE, count=10)
    assert [o.message for o in objections_to_merge(merge, known)] == [
        "B1 is of stock Upper, M1 of Maroway. Stocks are not mixed."
    ]
    assert "same_batch" in [
        o.code for o in objections_to_merge(Merge(batch="B1", into="b1", moved_on=JUNE, count=1), known)
    ]


def test_a_batch_moves_to_a_unit_that_exists(known: Known) -> None:
    assert objections_to_move(BatchMove(batch="B1", moved_on=JUNE, unit="Tank 1"), known) == []
    assert [o.code for o in objections_to_move(BatchMove(batch="B1", moved_on=JUNE, unit="Moon"), known)] == [
        "unknown_unit"
    ]


def release(**changes: object) -> ReleaseMade:
    whole = {
        "released_on": JUNE, "place": "Weir", "latitude": Decimal("47.1"), "longitude": Decimal("-31.3"),
        "permit": "P1",
        "batches": (BatchPart(batch="B1", count=900),),
    }  # fmt: skip
    return ReleaseMade(**{**whole, **changes})


def test_a_release_from_a_batch_with_place_and_permit_is_taken(known: Known) -> None:
    assert objections_to_release(release(), known) == []


def test_no_more_is_released_than_the_batch_holds(known: Known) -> None:
    large = release(batches=(BatchPart(batch="B1", count=63653),))
    assert [o.code for o in objections_to_release(large, known)] == ["over_balance"]


def test_a_position_lies_on_earth_and_a_missing_one_is_pointed_out(known: Known) -> None:
    assert [o.code for o in objections_to_release(release(latitude=Decimal("147.21")), known)] == ["bad_position"]
    nowhere = objections_to_release(release(latitude=None, longitude=None), known)
    assert [(o.code, o.warning) for o in nowhere] == [("no_position", True)]


def test_hybrids_doubtful_and_dead_fish_are_not_released(known: Known) -> None:
    known.fish["d1"].hybrid = True
    found = [o.code for o in objections_to_release(release(batches=(), fish=("D1", "M2", "Z9")), known)]
    assert found == ["hybrid", "after_death", "unknown_fish"]


def test_a_fish_without_mark_is_no_evidence_of_wild_origin(known: Known) -> None:
    found = objections_to_recapture(RecaptureMade(recaptured_on=JUNE, place="Weir"), known)
    assert [(o.warning, o.message) for o in found] == [
        (True, "Without a code or mark this is not evidence of wild origin: take a fin clip.")
    ]
    unknown = RecaptureMade(recaptured_on=JUNE, place="Weir", code=TagCode("iso", "900123456789012"))
    assert [o.code for o in objections_to_recapture(unknown, known)] == ["unknown_tag"]


def test_no_release_weighs_more_a_fish_than_any_sturgeon(known: Known) -> None:
    assert [o.code for o in objections_to_release(release(mean_mass_g=Decimal(10**9)), known)] == ["implausible"]
