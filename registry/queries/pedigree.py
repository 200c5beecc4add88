"""The one place where rows become a pedigree. Fish are named by their keys; sibs that never bred by their parentage."""

from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.db.models import Count

from breeding.genetics.pedigree import ParentRow, Pedigree, build_pedigree
from registry.models import FishDetails, Parentage, ParentPair, Stock
from registry.queries.catalogue import Inherits, inheritance_of
from registry.queries.known import chunks


@dataclass(frozen=True)
class StockPedigree:
    """A stock's pedigree with its living: fish by key, or ("sibs", parentage key) with how many of them live."""

    pedigree: Pedigree
    living: dict[Hashable, int]

    @property
    def count(self) -> int:
        """Return how many fish live."""
        return sum(self.living.values())


def pedigree_of(fish: Iterable[int], ploidy: int = 2, double_reduction: float = 0.0) -> Pedigree:
    """Return the pedigree of the fish given and all their possible ancestors, by fish key."""
    return pedigree_with_sibs(fish, (), Inherits(ploidy, double_reduction))


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
    for part in chunks(alone | breeders()):
        for fish, parentage in in_stock.filter(fish__in=part).values_list("fish_id", "parentage_id"):
            if fish not in named:
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
    return build_pedigree(rows, ploidy=inherits.ploidy, double_reduction=inherits.double_reduction)


def breeders() -> set[int]:
    """Return the keys of all fish named as a parent."""
    pairs = ParentPair.objects.current().values_list("dam_id", "sire_id").order_by().distinct()
    return {parent for pair in pairs for parent in pair if parent}


# What is read of one possible pair of parents: draw, dam, sire, probability.
Read = tuple[str, int | None, int | None, float]


def _rows_up_from(fish: Iterable[int], parentages: Iterable[int], told: Mapping[int, int | None]) -> list[ParentRow]:
    """Return parent rows of the fish and all their possible ancestors, one query or two a generation."""
    sibs = {("sibs", key): key for key in parentages}
    pairs = _pairs_of(sibs.values())
    rows, above = _rows_of(sibs, pairs)
    done: set[int] = set()
    new = set(fish) | above
    while new:
        done |= new
        of_fish = {key: parentage for key in new if (parentage := told.get(key))}
        for part in chunks(new - set(told)):
            found = FishDetails.objects.current().filter(fish__in=part, parentage__isnull=False)
            of_fish.update(found.values_list("fish_id", "parentage_id"))
        rows += [ParentRow(key) for key in new - set(of_fish)]
        pairs |= _pairs_of(set(of_fish.values()) - set(pairs))
        more, above = _rows_of(of_fish, pairs)
        rows += more
        new = above - done
    return rows


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
