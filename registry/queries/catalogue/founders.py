"""Founders of a stock that markers have shown to be related."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from django.db.models import Count, QuerySet

from breeding.genetics.founder_kinship import nearest_kinship
from breeding.genetics.pedigree import ParentRow, build_pedigree
from breeding.genetics.polysomic import founder_inbreeding, self_kinship
from registry.models import FounderPair, FounderSet, Stock

# Keys of two founders and their kinship.
Given = tuple[int, int, float]


@dataclass(frozen=True, eq=False)
class Related:
    """Founders by key, and their kinship (founders, founders), mended where no population can have it as given.

    `change` is by how much the most changed value was mended, `most_changed` the place of that pair.
    """

    keys: tuple[int, ...]
    kinship: np.ndarray
    change: float = 0.0
    most_changed: tuple[int, int] = (0, 0)


def founder_pairs(stock: Stock) -> list[Given]:
    """Return the kinships that are in force for a stock; none where its founders are unrelated."""
    rows = FounderPair.objects.current().filter(founders__stock=stock, founders__withdrawn__isnull=True)
    return [(one, other, float(value)) for one, other, value in rows.values_list("one_id", "other_id", "kinship")]


def related_by(given: Iterable[Given], alone: float, ploidy: int) -> Related:
    """Return the founders with their kinship; a pair that is not given has 0, a founder with itself `alone`."""
    keys, matrix = _matrix(given, alone)
    # Kinship of two numbers that proved to be one fish is no kinship of a fish with itself.
    np.fill_diagonal(matrix, np.maximum(matrix.diagonal(), 1 / ploidy))
    mended = nearest_kinship(matrix)
    change = np.abs(mended - matrix)
    place = np.unravel_index(int(change.argmax()), change.shape)
    return Related(tuple(keys), mended, float(change.max(initial=0.0)), (int(place[0]), int(place[1])))


def refuse_impossible(given: Iterable[Given], names: Mapping[int, str], ploidy: int, double_reduction: float) -> None:
    """Raise FounderKinshipError, naming the fish, where a value is impossible for fish that inherit like this."""
    alone = float(self_kinship(founder_inbreeding(ploidy, 2 * double_reduction), ploidy))
    keys, matrix = _matrix(given, alone)
    founders = [names[key] for key in keys]
    rows = [ParentRow(name) for name in founders]
    build_pedigree(rows, ploidy=ploidy, double_reduction=double_reduction, founder_kinship=(founders, matrix))


def founder_sets() -> QuerySet:
    """Return every set of related founders, the earlier ones too, the newest first, with how many `given` pairs."""
    rows = FounderSet.objects.select_related("stock", "entry", "withdrawn").annotate(given=Count("pairs"))
    return rows.order_by("stock__name", "-pk")


def _matrix(given: Iterable[Given], alone: float) -> tuple[list[int], np.ndarray]:
    values: dict[tuple[int, int], float] = {}
    for one, other, value in given:
        pair = min(one, other), max(one, other)
        # Two numbers that proved to be one fish may give a pair twice.
        values[pair] = max(value, values.get(pair, 0.0))
    keys = sorted({key for pair in values for key in pair})
    place = {key: number for number, key in enumerate(keys)}
    matrix = np.diag(np.full(len(keys), alone))
    for (one, other), value in values.items():
        matrix[place[one], place[other]] = matrix[place[other], place[one]] = value
    return keys, matrix
