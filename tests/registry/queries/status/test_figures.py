"""The figures of a stock against textbook values and against the engine's own one-fish-at-a-time answers."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from types import SimpleNamespace

import numpy as np
import pytest

from breeding.genetics.diversity import group_kinship
from registry.operations.catalogue import StockOpened, open_stock
from registry.operations.crossing.milt import MiltCollected, collect_milt
from registry.operations.fish import admit_fish
from registry.operations.people import installer
from registry.operations.shared.entries import Admission, Day, Pair
from registry.permissions import Actor
from registry.queries.pedigree import pedigree_of
from registry.queries.status.classes import BANDS
from registry.queries.status.figures import Status, status_of
from tests.registry.queries.status.conftest import found, keys, stock
from tests.support.river import STOCK


def admit(by: Actor, number: str, year: int, *pairs: Pair, sex: str = "U") -> None:
    entry = Admission(
        number=number, species="ruthenus", stock=STOCK, sex=sex, hatched=Day(date(year, 5, 1)), pairs=pairs
    )
    admit_fish(by, entry)


@pytest.fixture
def unequal(river: SimpleNamespace, leave: Callable[[str, int], None]) -> Status:
    """Return the status of F1 × M1 → P, Q, R;  F2 × M2 → S; the founders are dead."""
    for number in "PQR":
        admit(river.by, number, 2010, Pair("F1", "M1"))
    admit(river.by, "S", 2012, Pair("F2", "M2"))
    for number in ("F1", "F2", "M1", "M2"):
        leave(number, 2014)
    return found()


def test_founder_measures_are_those_of_the_worked_example(unequal: Status) -> None:
    """Four founders, three full sibs and one stranger alive.

    Formulas of Lacy 1989 (Zoo Biol. 8: 111-123), MacCluer et al. 1986 (Zoo Biol. 5: 147-160), Boichard, Maignel and
    Verrier 1997 (Genet. Sel. Evol. 29: 5-23) and Ballou and Lacy 1995; figures worked by hand, retention by counting.
    """
    head = unequal.headline
    assert (head.living, head.founders, head.unknown_share) == (4, 4, 0)
    assert (head.mean_kinship, head.gene_diversity) == (0.21875, 0.78125)
    assert head.mean_kinship_without_self == pytest.approx(0.125)
    assert head.founder_genome_equivalents == pytest.approx(2.2857, abs=5e-5)
    assert head.founder_equivalents == pytest.approx(3.2)
    assert head.effective_ancestors == pytest.approx(3.2)
    assert head.founder_genomes_surviving == pytest.approx(2.6047, abs=5e-5)
    shares = sorted((one.share, one.retention, one.descendants) for one in unequal.founders)
    assert shares == [(0.125, 0.5, 1), (0.125, 0.5, 1), (0.375, 0.875, 3), (0.375, 0.875, 3)]


def test_founders_with_fewest_carriers_stand_first(unequal: Status) -> None:
    fish = keys()
    assert {one.key for one in unequal.founders[:2]} == {fish["F2"], fish["M2"]}
    assert not any(one.can_breed or one.last_chance for one in unequal.founders)


def test_a_living_founder_without_living_young_is_the_last_chance(river: SimpleNamespace) -> None:
    admit(river.by, "P", 2010, Pair("F1", "M1"))
    last = {one.key for one in found().founders if one.last_chance}
    fish = keys()
    assert last == {fish["F2"], fish["M2"]}


def test_frozen_milt_keeps_a_dead_founder_available(river: SimpleNamespace, leave: Callable[[str, int], None]) -> None:
    collect_milt(
        river.by, MiltCollected(number="L1", male="M2", collected_on=date(2012, 5, 1), state="frozen", doses=4)
    )
    leave("M2", 2014)
    (male,) = [one for one in found().founders if one.key == keys()["M2"]]
    assert (male.lives, male.doses, male.can_breed, male.last_chance, male.share) == (False, 4, True, True, 0)


def test_numbers_of_parents_give_wrights_effective_size(unequal: Status) -> None:
    # Ne = 4 Nm Nf / (Nm + Nf) (Wright 1931): two dams and two sires give 4. By contributions, each sex has shares
    # 3/4 and 1/4: 1/Σc² = 1.6 a sex, 3.2 together.
    sizes = {one.method: one.size for one in unequal.sizes}
    assert sizes["by_numbers"] == 4
    assert sizes["by_contributions"] == pytest.approx(3.2)
    assert sizes["by_inbreeding_rate"] == float("inf")
    assert sizes["by_yearly_rate"] is None
    assert all(one.assumption and one.basis for one in unequal.sizes)


def test_f_and_depth_of_a_full_sib_mating(river: SimpleNamespace, leave: Callable[[str, int], None]) -> None:
    # F of the young of full sibs 0.25, two complete generations (Falconer and Mackay 1996, table 5.1).
    admit(river.by, "P", 2010, Pair("F1", "M1"), sex="F")
    admit(river.by, "Q", 2010, Pair("F1", "M1"), sex="M")
    admit(river.by, "Z", 2016, Pair("P", "Q"))
    for number in ("F1", "F2", "M1", "M2", "P", "Q"):
        leave(number, 2018)
    status = found()
    head = status.headline
    assert (head.inbreeding, head.equivalent_generations, head.generations_in_captivity) == (0.25, 2, 2)
    assert head.mean_kinship == 0.625
    assert head.mean_kinship_without_self is None
    (one,) = status.year_classes
    assert (one.year, one.count, one.mean, one.least, one.most) == (2016, 1, 0.25, 0.25, 0.25)
    assert one.bands == (0, 0, 0, 0, 1, 0)
    assert len(one.bands) == len(BANDS) + 1


def test_wild_origin_has_bounds_where_a_parent_is_unknown(
    river: SimpleNamespace, leave: Callable[[str, int], None]
) -> None:
    admit(river.by, "P", 2010, Pair("F1", None))
    for number in ("F1", "F2", "M1", "M2"):
        leave(number, 2014)
    head = found().headline
    assert (head.wild_low, head.wild_high, head.unknown_share) == (0.5, 1, 0.5)


def test_the_generation_interval_is_the_mean_age_of_parents_of_breeders(river: SimpleNamespace) -> None:
    # Hill 1979: the four paths count young that became parents; grandparents wild-caught, of unknown age, are left out.
    for number, sex in (("P", "F"), ("Q", "M")):
        admit(river.by, number, 2004, Pair("F1", "M1"), sex=sex)
    for number, sex in (("R", "F"), ("T", "M")):
        admit(river.by, number, 2012, Pair("P", "Q"), sex=sex)
    admit(river.by, "Z", 2020, Pair("R", "T"))
    interval = found().interval
    assert interval.years == pytest.approx(8, abs=0.01)
    assert set(interval.pairs.values()) == {1}


def test_each_year_has_the_kinship_of_those_that_lived_at_its_end(
    river: SimpleNamespace, tag: Callable[..., None], leave: Callable[[str, int], None]
) -> None:
    tag("Y1", "Y2", "Y3")
    leave("F2", 2012)
    leave("Y3", 2014)
    years = {year.year: year for year in found().years}
    fish = keys()
    for year, living in {
        2000: ["F1", "F2", "M1", "M2"],
        2011: ["F1", "F2", "M1", "M2", "Y1", "Y2", "Y3"],
        2013: ["F1", "M1", "M2", "Y1", "Y2", "Y3"],
        2015: ["F1", "M1", "M2", "Y1", "Y2"],
    }.items():
        group = group_kinship(pedigree_of(fish.values()), [fish[number] for number in living])
        assert years[year].count == len(living)
        assert years[year].mean_kinship == pytest.approx(group.coancestry)
        assert years[year].without_self == pytest.approx(group.coancestry_without_self)
    assert years[max(years)].gene_diversity == pytest.approx(found().headline.gene_diversity)


def test_uncertain_parents_are_told_as_such(river: SimpleNamespace) -> None:
    half = Decimal("0.5")
    pairs = (Pair("F1", "M1", half), Pair("F1", "M2", half))
    admit(river.by, "P", 2010, *pairs)
    status = found()
    assert status.headline.effective_ancestors is None
    assert "1 possible dams and 2 possible sires" in status.sizes[0].basis


def test_untagged_young_count_with_their_family_only_where_asked_for(
    river: SimpleNamespace, tag: Callable[..., None]
) -> None:
    tag("Y1", "Y2")
    alone, together = found(), found(batches=True)
    assert (alone.headline.living, together.headline.living) == (6, 1004)
    assert together.young.left_out == 0
    pedigree = pedigree_of(keys().values())
    # 1,000 full sibs and four founders one by one: 1,000 selves of 1/2, the other pairs of sibs 1/4 (Falconer and
    # Mackay 1996), each with its two parents 1/4.
    pairs = 1000 / 2 + 1000 * 999 / 4 + 2 * 1000 * 2 / 4 + 4 / 2
    assert together.headline.mean_kinship == pytest.approx(pairs / 1004**2)
    assert len(pedigree) == 6


def test_mean_kinship_of_each_is_that_of_fish_taken_one_by_one(
    river: SimpleNamespace, tag: Callable[..., None]
) -> None:
    tag("Y1", "Y2", "Y3")
    status, fish = found(), keys()
    singly = group_kinship(pedigree_of(fish.values()), list(fish.values()))
    by_key = dict(zip(fish.values(), singly.mean_kinship.tolist(), strict=True))
    of_entries = dict(zip(status.living, status.mean_kinship.tolist(), strict=True))
    for name, mean in of_entries.items():
        assert mean == pytest.approx(by_key[fish["Y1"] if isinstance(name, tuple) else name])
    assert float(np.average(status.mean_kinship, weights=list(status.living.values()))) == pytest.approx(
        singly.coancestry
    )


def test_a_stock_without_living_fish_has_no_figures(river: SimpleNamespace) -> None:
    opened = open_stock(installer("test"), StockOpened(name="Maroway", species="oxyrinchus", river="Isendre"))
    assert status_of(opened) is None
    assert stock().name == STOCK
