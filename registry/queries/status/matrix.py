"""Kinship among the living of a stock as one table: breeders and ripe fish one by one, the others as their families."""

from collections.abc import Hashable
from dataclasses import dataclass

import numpy as np
from django.utils import timezone

from breeding.genetics.kinship import breeder_kinship, kinship_among
from breeding.genetics.pedigree import Pedigree
from registry.models import FishDetails, Stock
from registry.queries.catalogue import Inherits, inheritance_of
from registry.queries.chunks import chunks
from registry.queries.due import ripe
from registry.queries.pedigree import stock_pedigree
from registry.queries.status.names import labels
from registry.queries.status.young import young_in_batches

MOST_ROWS = 1500


@dataclass(frozen=True, eq=False)
class Matrix:
    """Kinship among entries of the living, (entries, entries).

    On the diagonal a fish has its kinship with itself, a family the mean over all pairs of its living, self included.
    `left_out` says how many entries were too many.
    """

    names: list[Hashable]
    labels: list[str]
    counts: np.ndarray
    kinship: np.ndarray
    inherits: Inherits
    left_out: int = 0


def kinship_matrix(stock: Stock, *, batches: bool = False) -> Matrix | None:
    """Return the table; None if no fish of the stock lives. Beyond 1,500 entries the largest families stay."""
    found = ripe(timezone.localdate()).filter(fish__details__stock=stock, fish__details__withdrawn__isnull=True)
    young = young_in_batches(stock).by_parentage if batches else None
    held = stock_pedigree(stock, found.values_list("fish_id", flat=True), young=young)
    if not held.living:
        return None
    chosen = _chosen(held.living)
    counts = np.array([held.living[name] for name in chosen], dtype=float)
    within = _less_between_sibs(held.pedigree, chosen) * (1 - 1 / counts)
    kinship = kinship_among(held.pedigree, chosen)
    np.fill_diagonal(kinship, np.diag(kinship) - within)
    told = labels(chosen) | _only_sibs(stock, held.living)
    words = [_with_number(told[name], held.living[name]) for name in chosen]
    return Matrix(chosen, words, counts, kinship, inheritance_of(stock), len(held.living) - len(chosen))


def _only_sibs(stock: Stock, living: dict[Hashable, int]) -> dict[Hashable, str]:
    """Return the number of the one living fish behind each entry of sibs that stands for one alone."""
    alone = [name[1] for name, count in living.items() if count == 1 and isinstance(name, tuple)]
    found: dict[Hashable, str] = {}
    for part in chunks(alone):
        rows = FishDetails.objects.current().filter(stock=stock, left="", parentage__in=part)
        for parentage, fish, number in rows.values_list("parentage_id", "fish_id", "fish__number"):
            if fish not in living:
                found["sibs", parentage] = number
    return found


def _chosen(living: dict[Hashable, int]) -> list[Hashable]:
    """Return the entries to show: fish that stand for themselves first, then families, the largest first."""
    ordered = sorted(living, key=lambda name: (isinstance(name, tuple), -living[name], str(name)))
    return ordered[:MOST_ROWS]


def _less_between_sibs(pedigree: Pedigree, names: list[Hashable]) -> np.ndarray:
    """Return by how much a fish is closer to itself than to a sib, for each name."""
    residual: np.ndarray = breeder_kinship(pedigree).line_residual[pedigree.family[pedigree.positions(names)]]
    return residual


def _with_number(label: str, count: int) -> str:
    return f"{label} ({count})" if count > 1 else label
