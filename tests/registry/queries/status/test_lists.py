"""The living by mean kinship, a page at a time; the kinship table; and what entries are called."""

from collections.abc import Callable
from datetime import date
from types import SimpleNamespace

import pytest

from breeding.genetics.kinship import kinship_among
from registry.operations.fish import admit_fish
from registry.operations.shared.entries import Admission, Day, Pair
from registry.queries.pedigree import pedigree_of
from registry.queries.status.matrix import kinship_matrix
from registry.queries.status.names import labels
from registry.queries.status.ranked import Ranked
from tests.registry.queries.status.conftest import found, keys, stock
from tests.support.river import STOCK


def numbers(rows: list) -> list[str]:
    return [row["details"].fish.number for row in rows]


def test_pages_together_hold_every_living_fish_once_lowest_mean_kinship_first(
    river: SimpleNamespace, tag: Callable[..., None]
) -> None:
    tag(*(f"Y{n}" for n in range(7)))
    ranked = Ranked(stock(), found())
    pages = [numbers(ranked[start : start + 2]) for start in range(0, len(ranked), 2)]
    told = [number for page in pages for number in page]
    assert len(ranked) == 11
    assert sorted(told) == sorted(keys())
    assert set(told[:2]) == {"F2", "M2"}
    assert told == numbers(ranked[:])
    means = [row["mean_kinship"] for row in ranked[:]]
    assert means == sorted(means)


def test_one_sex_alone_is_ranked(river: SimpleNamespace, tag: Callable[..., None]) -> None:
    tag("Y1", "Y2", sex="F")
    tag("Y3", sex="M")
    assert set(numbers(Ranked(stock(), found(), "M")[:])) == {"M1", "M2", "Y3"}
    assert len(Ranked(stock(), found(), "I")) == 0


def test_fish_that_bred_are_not_listed_a_second_time_among_their_sibs(
    river: SimpleNamespace, tag: Callable[..., None]
) -> None:
    tag("Y1", "Y2", "Y3")
    of_pair = Admission(
        number="Z1", species="ruthenus", stock=STOCK, hatched=Day(date(2020, 5, 1)), pairs=(Pair("Y3", "M2"),)
    )
    admit_fish(river.by, of_pair)
    told = numbers(Ranked(stock(), found())[:])
    assert sorted(told) == sorted(keys())
    assert sorted(numbers(Ranked(stock(), found(), "F")[:])) == ["F1", "F2", "Y1", "Y2", "Y3"]


def test_the_table_holds_breeders_one_by_one_and_sibs_as_their_family(
    river: SimpleNamespace, tag: Callable[..., None]
) -> None:
    tag("Y1", "Y2", "Y3")
    matrix = kinship_matrix(stock())
    assert matrix
    assert sorted(matrix.labels) == ["F1", "F2", "M1", "M2", "family 10-1 (3)"]
    fish, family = keys(), matrix.labels.index("family 10-1 (3)")
    singly = kinship_among(pedigree_of(fish.values()), [fish[number] for number in ("Y1", "Y2", "Y3")])
    assert matrix.kinship[family, family] == pytest.approx(singly.mean())
    mother = matrix.labels.index("F1")
    assert matrix.kinship[family, mother] == pytest.approx(0.25)
    assert matrix.kinship[mother, mother] == 0.5


def test_batches_stand_in_the_table_as_families(river: SimpleNamespace) -> None:
    alone, together = kinship_matrix(stock()), kinship_matrix(stock(), batches=True)
    assert alone
    assert together
    assert (len(alone.names), len(together.names)) == (4, 5)
    assert "family 10-1 (1000)" in together.labels
    assert int(together.counts.sum()) == 1004


def test_sibs_without_a_family_are_named_after_one_of_them(river: SimpleNamespace) -> None:
    for number in ("P1", "P2"):
        admit_fish(river.by, Admission(number=number, species="ruthenus", stock=STOCK, pairs=(Pair("F2", "M2"),)))
    told = set(labels(found().living).values())
    assert {"sibs of P1", "sibs of P2"} & told
