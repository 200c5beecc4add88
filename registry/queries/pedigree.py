"""The one place where rows become a pedigree. Fish are named by their keys; sibs that never bred by their parentage."""

from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from django.db import connection
from django.db.models import Count

from breeding.genetics.pedigree import ParentRow, Pedigree, build_pedigree, with_related_founders
from registry.models import Fish, FishDetails, Parentage, ParentPair, Stock
from registry.queries.catalogue import Inherits, inheritance_of
from registry.queries.catalogue.founders import Related
from registry.queries.chunks import chunks


@dataclass(frozen=True)
class StockPedigree:
    """A stock's pedigree with its living: fish by key, or ("sibs", parentage key) with how many of them live."""

    pedigree: Pedigree
    living: dict[Hashable, int]

    @property
    def count(self) -> int:
        """Return how many fish live."""
        return sum(self.living.values())


def pedigree_of(
    fish: Iterable[int], ploidy: int = 2, double_reduction: float = 0.0, related: Related | None = None
) -> Pedigree:
    """Return the pedigree of the fish given and all their possible ancestors, by fish key."""
    return pedigree_with_sibs(fish, (), Inherits(ploidy, double_reduction, related))


def stock_pedigree(
    stock: Stock, candidates: Iterable[int], ploidy: int | None = None, young: Mapping[int, int] | None = None
) -> StockPedigree:
    """Return the pedigree of a stock's living fish and of the candidates, inheriting as is set for the stock.

    `ploidy` takes them all to have so many gene copies instead, without double reduction.

    `young` counts untagged fish in batches by the key of their parentage: they join their sibs.

    Candidates, founders and fish that have bred stand for themselves; all other living sibs are one entry with their
    number, so that a stock of a million fish costs no more than its families.
    """
    alone = set(candidates)
    in_stock = FishDetails.objects.current().filter(stock=stock, left="")
    named = set(in_stock.filter(parentage__isnull=True).values_list("fish_id", flat=True))
    sibs = dict(in_stock.filter(parentage__isnull=False).values_list("parentage_id").annotate(n=Count("pk")))
    for parentage, count in (young or {}).items():
        sibs[parentage] = sibs.get(parentage, 0) + count
    for part in chunks((alone | breeders()) - named):
        # By fish alone: with the stock as well, SQLite would look through all of its living.
        rows = (
            FishDetails.objects.current()
            .filter(fish__in=part)
            .values_list("fish_id", "parentage_id", "stock_id", "left")
        )
        for fish, parentage, of_stock, left in rows:
            if of_stock == stock.pk and not left:
                named.add(fish)
                sibs[parentage] -= 1
    living: dict[Hashable, int] = dict.fromkeys(named, 1)
    living.update({("sibs", parentage): count for parentage, count in sibs.items() if count})
    lines = {parentage for parentage, n in sibs.items() if n}
    inherits = Inherits(ploidy) if ploidy else inheritance_of(stock)
    return StockPedigree(pedigree_with_sibs(named | alone, lines, inherits), living)


def pedigree_with_sibs(
    fish: Iterable[int], parentages: Iterable[int], inherits: Inherits, told: Mapping[int, int | None] | None = None
) -> Pedigree:
    """Return the pedigree of fish, of sibs that never bred as ("sibs", parentage key), and of all their ancestors.

    `told` holds the parentage of fish whose details have been read already, so that they are not read again.
    """
    rows = _rows_up_from(fish, parentages, told or {})
    pedigree = build_pedigree(rows, ploidy=inherits.ploidy, double_reduction=inherits.double_reduction)
    return pedigree if inherits.related is None else _with_related(pedigree, inherits.related)


def _with_related(pedigree: Pedigree, related: Related) -> Pedigree:
    """Return the pedigree with kinship among those of its founders that are known to be related."""
    founders = {pedigree.ids[place] for place in pedigree.founders().tolist()}
    held = [place for place, key in enumerate(related.keys) if key in founders]
    if not held:
        return pedigree
    return with_related_founders(pedigree, [related.keys[place] for place in held], related.kinship[np.ix_(held, held)])


def breeders() -> set[int]:
    """Return the keys of all fish named as a parent."""
    pairs = ParentPair.objects.current().values_list("dam_id", "sire_id").order_by().distinct()
    return {parent for pair in pairs for parent in pair if parent}


# What is read of one possible pair of parents: draw, dam, sire, probability.
Read = tuple[str, int | None, int | None, float]

# Fish and all their possible ancestors with their pairs of parents, in one question. The sign before withdrawn_id keeps
# SQLite from the index of that column, which holds the whole table; the double join finds dam and sire at one look.
_ABOVE = """
WITH RECURSIVE above(fish_id) AS (
    SELECT fish.id FROM {fish} fish WHERE fish.id IN ({marks})
    UNION
    SELECT CASE side.n WHEN 0 THEN pair.dam_id ELSE pair.sire_id END
    FROM above
    JOIN {details} details ON details.fish_id = above.fish_id AND +details.withdrawn_id IS NULL
    JOIN {pairs} pair ON pair.parentage_id = details.parentage_id AND +pair.withdrawn_id IS NULL
    CROSS JOIN (SELECT 0 AS n UNION ALL SELECT 1) side
    WHERE CASE side.n WHEN 0 THEN pair.dam_id ELSE pair.sire_id END IS NOT NULL
)
SELECT above.fish_id, pair.parentage_id, parentage.draw, pair.dam_id, pair.sire_id, pair.probability
FROM above
LEFT JOIN {details} details ON details.fish_id = above.fish_id AND +details.withdrawn_id IS NULL
LEFT JOIN {pairs} pair ON pair.parentage_id = details.parentage_id AND +pair.withdrawn_id IS NULL
LEFT JOIN {parentages} parentage ON parentage.id = pair.parentage_id
"""


def _rows_up_from(fish: Iterable[int], parentages: Iterable[int], told: Mapping[int, int | None]) -> list[ParentRow]:
    """Return parent rows of the fish and all their possible ancestors; one question more for sibs and for fish told."""
    sibs = {("sibs", key): key for key in parentages}
    pairs = _pairs_of({*sibs.values(), *(key for key in told.values() if key)})
    rows, above = _rows_of(sibs, pairs)
    more, further = _rows_of({key: parentage for key, parentage in told.items() if parentage}, pairs)
    rows += more
    rows += [ParentRow(key) for key, parentage in told.items() if not parentage]
    rows += _rows_above((set(fish) | above | further) - set(told), told)
    return rows


def _rows_above(fish: set[int], told: Mapping[int, int | None]) -> list[ParentRow]:
    """Return parent rows of fish and of all their possible ancestors but those told already."""
    tables = {"fish": Fish, "details": FishDetails, "pairs": ParentPair, "parentages": Parentage}
    names = {name: model._meta.db_table for name, model in tables.items()}
    found: dict[tuple[int, ...], ParentRow] = {}
    for part in chunks(fish):
        statement = _ABOVE.format(marks=", ".join(["%s"] * len(part)), **names)
        with connection.cursor() as cursor:
            cursor.execute(statement, part)
            for key, parentage, draw, dam, sire, probability in cursor.fetchall():
                if key in told:
                    continue
                row = ParentRow(key)
                if parentage is not None:
                    shared = parentage if draw == Parentage.Draw.SHARED else None
                    row = ParentRow(key, dam, sire, float(probability), shared)
                found[key, dam or 0, sire or 0] = row
    return [found[key] for key in sorted(found)]


def _pairs_of(parentages: Iterable[int]) -> dict[int, list[Read]]:
    """Return the possible pairs of parents of each parentage."""
    found: dict[int, list[Read]] = {}
    for part in chunks(parentages):
        rows = ParentPair.objects.current().filter(parentage__in=part)
        values = rows.values_list("parentage_id", "parentage__draw", "dam_id", "sire_id", "probability")
        for parentage, draw, dam, sire, probability in values:
            found.setdefault(parentage, []).append((draw, dam, sire, float(probability)))
    return found


def _rows_of(named: Mapping[Any, int], pairs: Mapping[int, list[Read]]) -> tuple[list[ParentRow], set[int]]:
    """Return the parent rows of each name by its parentage, and the keys of all parents."""
    rows: list[ParentRow] = []
    above: set[int] = set()
    for name, parentage in named.items():
        for draw, dam, sire, probability in pairs.get(parentage, ()):
            rows.append(ParentRow(name, dam, sire, probability, parentage if draw == Parentage.Draw.SHARED else None))
            above |= {parent for parent in (dam, sire) if parent}
    return rows, above
