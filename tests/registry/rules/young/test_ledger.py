"""Counts in order of happening, and the families of a batch through splits and merges.

Check values are worked by hand beside the drawings; the conservation laws are properties of double entry.
"""

from datetime import date
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from registry.rules.known import KnownBatch, Movement
from registry.rules.young.ledger import (
    UNKNOWN_FAMILY,
    Flow,
    composition,
    lowest_balance,
    objections_to_taking,
    whole_parts,
)

MAY, JUNE, JULY, AUGUST = (date(2020, month, 1) for month in (5, 6, 7, 8))


def batch(*movements: Movement) -> KnownBatch:
    return KnownBatch("B1", opened_on=MAY, movements=[Movement(MAY, 1, "open", 1000), *movements])


def test_a_batch_never_falls_below_zero() -> None:
    found = objections_to_taking(batch(), JUNE, 1001)
    assert [o.message for o in found] == [
        "Batch B1 holds 1000 fish on 1 June 2020, not 1001. Count it, or correct the number."
    ]
    assert objections_to_taking(batch(), JUNE, 1000) == []


def test_a_back_dated_loss_may_not_take_what_was_released_later() -> None:
    released = batch(Movement(JULY, 2, "release", -900))
    found = objections_to_taking(released, JUNE, 200)
    assert [o.code for o in found] == ["over_balance"]
    assert "leaves 100 too few for later entries" in found[0].message


def test_a_count_made_later_frees_the_days_before_it() -> None:
    #  1,000 ── loss? ── counted 50 (July) ── 20 released (August)
    counted = batch(Movement(JULY, 2, "census", -950, counted=50), Movement(AUGUST, 3, "release", -20))
    assert lowest_balance(counted, JUNE, -600) == 400
    assert objections_to_taking(counted, JUNE, 600) == []


def test_nothing_is_taken_before_the_batch_was_opened() -> None:
    assert [o.code for o in objections_to_taking(batch(), date(2020, 4, 1), 1)] == ["before_start"]


def test_mixing_adds_families_and_splitting_keeps_their_shares() -> None:
    #  a 600 ┐                     ┌─ B2 300
    #        ├─ B1 1,000 ── split ─┤           a 60 %, b 40 % in both
    #  b 400 ┘                     └─ B1 700
    #  c 300 ── B3 300 ── merged into B2: a 180, b 120, c 300 of 600 = 0.3, 0.2, 0.5
    flows = [
        Flow(("family", "a"), ("batch", "B1"), 600),
        Flow(("family", "b"), ("batch", "B1"), 400),
        Flow(("batch", "B1"), ("batch", "B2"), 300),
        Flow(("family", "c"), ("batch", "B3"), 300),
        Flow(("batch", "B3"), ("batch", "B2"), 300),
        Flow(("batch", "B2"), ("loss", ""), 150),
    ]
    assert composition(flows, "B1") == {"a": Decimal("0.6"), "b": Decimal("0.4")}
    assert composition(flows, "B2") == {"a": Decimal("0.3"), "b": Decimal("0.2"), "c": Decimal("0.5")}


def test_a_correction_keeps_the_proportions_both_ways() -> None:
    flows = [
        Flow(("family", "a"), ("batch", "B1"), 750),
        Flow(("family", "b"), ("batch", "B1"), 250),
        Flow(("correction", ""), ("batch", "B1"), 80),
        Flow(("batch", "B1"), ("correction", ""), 500),
    ]
    assert composition(flows, "B1") == {"a": Decimal("0.75"), "b": Decimal("0.25")}


def test_an_empty_batch_remembers_whose_young_it_held_until_others_come() -> None:
    flows = [Flow(("family", "a"), ("batch", "B1"), 10), Flow(("batch", "B1"), ("released", ""), 10)]
    assert composition(flows, "B1") == {"a": Decimal(1)}
    flows.append(Flow(("family", "b"), ("batch", "B1"), 5))
    assert composition(flows, "B1") == {"b": Decimal(1)}


def test_fish_received_without_papers_are_of_no_family() -> None:
    assert composition([Flow(("received", ""), ("batch", "B1"), 10)], "B1") == {UNKNOWN_FAMILY: Decimal(1)}


steps = st.lists(
    st.tuples(st.sampled_from(["B1", "B2", "B3"]), st.sampled_from(["B1", "B2", "B3", ""]), st.integers(0, 40)),
    max_size=12,
)


@given(steps)
def test_shares_always_sum_to_exactly_one_and_are_never_below_zero(moves: list[tuple[str, str, int]]) -> None:
    flows = [Flow(("family", family), ("batch", name), 100) for family, name in (("a", "B1"), ("b", "B2"), ("c", "B3"))]
    held = {"B1": 100, "B2": 100, "B3": 100}
    for source, target, wanted in moves:
        count = min(wanted, held[source])
        if source == target or not count:
            continue
        held[source] -= count
        if target:
            held[target] += count
        flows.append(Flow(("batch", source), ("batch", target) if target else ("loss", ""), count))
    for name in held:
        shares = composition(flows, name)
        assert sum(shares.values()) == 1
        assert min(shares.values()) > 0


@given(st.integers(0, 100_000), st.lists(st.integers(1, 50), min_size=1, max_size=6))
def test_fish_are_divided_into_whole_fish_that_sum_to_all(count: int, weights: list[int]) -> None:
    shares = [Decimal(w) / sum(weights) for w in weights]
    parts = whole_parts(count, shares)
    assert sum(parts) == count
    assert all(abs(part - count * share) < 1 for part, share in zip(parts, shares, strict=True))
