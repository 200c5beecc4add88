"""Parentage determined anew: later evidence replaces what was taken for true."""

from datetime import date
from decimal import Decimal
from types import SimpleNamespace

import pytest

from registry.models import FishDetails, Parentage
from registry.operations.fish import admit_fish
from registry.operations.parentage import ParentageFound, determine_parentage
from registry.operations.shared.entries import Admission, Day, Pair
from registry.permissions import Actor
from tests.support.proof import CORRECTING, last, only_those_who_may, refused, told
from tests.support.river import STOCK

HALF = Decimal("0.5")
POOLED = (Pair("F1", "M1", HALF), Pair("F1", "M2", HALF))


@pytest.fixture(autouse=True)
def young(river: SimpleNamespace) -> None:
    """Enter Y1 ♀, young of F1 and of M1 or M2, and Z1, young of Y1 and M2."""
    for number, sex, year, pairs in (("Y1", "F", 2010, POOLED), ("Z1", "U", 2018, (Pair("Y1", "M2"),))):
        admit_fish(
            river.by,
            Admission(
                number=number, species="ruthenus", stock=STOCK, sex=sex, origin="hatchery",
                hatched=Day(date(year, 5, 8)), pairs=pairs, basis="pooled",
            ),
        )  # fmt: skip


def found(*pairs: Pair, **changes: object) -> ParentageFound:
    whole = {"fish": "Y1", "pairs": pairs or (Pair("F1", "M2"),), "basis": "genotype", "reason": "No mismatch."}
    return ParentageFound(**{**whole, **changes})


def parents(row: FishDetails) -> dict[tuple[str, str], Decimal]:
    return {(p.dam.number, p.sire.number): p.probability for p in row.parentage.pairs.all()}


def test_genotyping_replaces_what_was_recorded_and_leaves_it_readable(river: SimpleNamespace, manager: Actor) -> None:
    determine_parentage(manager, found())
    then, now = FishDetails.objects.filter(fish__number="Y1").order_by("pk")
    assert (parents(then), then.parentage.basis) == ({("F1", "M1"): HALF, ("F1", "M2"): HALF}, "pooled")
    assert (parents(now), now.parentage.basis) == ({("F1", "M2"): 1}, "genotype")
    assert (then.withdrawn_id, now.entry_id, now.withdrawn_id) == (last().seq, last().seq, None)
    assert told()[:3] == ("manager", "parentage determined", "fish Y1")
    assert last().reason == "No mismatch."


def test_what_else_is_known_of_the_fish_stays(river: SimpleNamespace, manager: Actor) -> None:
    determine_parentage(manager, found())
    then, now = FishDetails.objects.filter(fish__number="Y1").order_by("pk")
    assert (now.sex, now.hatched_on, now.stock_id, now.origin) == (
        then.sex, then.hatched_on, then.stock_id, then.origin,
    )  # fmt: skip


def test_a_fish_may_prove_to_be_a_founder(river: SimpleNamespace, manager: Actor) -> None:
    entry = ParentageFound(fish="Y1", pairs=(), basis="genotype", reason="All pairs excluded.")
    determine_parentage(manager, entry)
    assert FishDetails.objects.current().get(fish__number="Y1").parentage is None


def test_who_may_determine_parentage(river: SimpleNamespace) -> None:
    only_those_who_may(CORRECTING, lambda by: determine_parentage(by, found()))


@pytest.mark.parametrize(
    ("entry", "sentence"),
    [
        (found(fish="Y9"), "There is no fish Y9 in the register."),
        (found(basis="guess"), "Say on what evidence: genotyping, the cross record, the sheet."),
        (found(reason=" "), "Say why: the reason stands in the journal beside the change."),
        (found(reason="\x07"), "holds a control character (U+0007)"),
        (found(Pair("F1", "M1", HALF)), "The probabilities sum to 0.5, not 1. Correct the shares."),
        (found(Pair("F1", "M1", Decimal(0)), Pair("F1", "M2")), "The probability 0 is not above 0 and up to 1."),
        (found(Pair("F1", "M1", HALF), Pair("F1", "M1", HALF)), "A pair of parents is named twice. Name each once."),
        (found(Pair("F1", "F2")), "F2 is recorded as female and cannot be a sire. Look at the fish again."),
        (found(Pair("F9", "M1")), "There is no fish F9 in the register. Enter that fish first, or correct the dam."),
        (found(Pair("Y1", "M1")), "Fish Y1 is named as its own dam. Correct the dam."),
        (found(Pair("F1", "Z1")), "Y1 is an ancestor of Z1: it would be its own ancestor. Correct the parents."),
        (found(Pair("F1", "Z1")), "Z1 hatched 8 May 2018, after its offspring (8 May 2010). Correct one."),
    ],
)
def test_parents_that_cannot_be_are_refused(
    river: SimpleNamespace, manager: Actor, entry: ParentageFound, sentence: str
) -> None:
    with refused(sentence):
        determine_parentage(manager, entry)


def test_a_loop_is_found_where_no_day_of_hatching_is_known(river: SimpleNamespace, manager: Actor) -> None:
    for number, sire in (("A1", "M1"), ("A2", "A1"), ("A3", "A2")):
        admit_fish(manager, Admission(number=number, species="ruthenus", sex="M", pairs=(Pair("F1", sire),)))
    before = Parentage.objects.count()
    with refused("A1 is an ancestor of A3: it would be its own ancestor. Correct the parents."):
        determine_parentage(manager, found(Pair("F2", "A3"), fish="A1"))
    assert Parentage.objects.count() == before
