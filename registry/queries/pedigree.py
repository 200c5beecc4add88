"""The one place where rows become a pedigree. Fish are named by their keys; sibs that never bred by their parentage."""

from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass

from django.db.models import Count

from breeding.genetics.pedigree import ParentRow, Pedigree, build_pedigree
from registry.models import FishDetails, Parentage, ParentPair, Stock
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


def pedigree_of(fish: Iterable[int], ploidy: int = 2) -> Pedigree:
    """Return the pedigree of the fish given and all their possible ancestors, by fish key."""
    return pedigree_with_sibs(fish, (), ploidy)


def stock_pedigree(
    stock: Stock, candidates: Iterable[int], ploidy: int | None = None, young: Mapping[int, int] | None = None
) -> StockPedigree:
    """Return the pedigree of a stock's living fish and of the candidates; `ploidy` is the species' own by default.

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
    return StockPedigree(pedigree_with_sibs(named | alone, lines, ploidy or stock.species.ploidy), living)


def pedigree_with_sibs(fish: Iterable[int], parentages: Iterable[int], ploidy: int) -> Pedigree:
    """Return the pedigree of fish, of sibs that never bred as ("sibs", parentage key), and of all their ancestors."""
    return build_pedigree(_rows_up_from(fish, parentages), ploidy=ploidy)


def breeders() -> set[int]:
    """Return the keys of all fish named as a parent."""
    pairs = ParentPair.objects.current().values_list("dam_id", "sire_id").order_by().distinct()
    return {parent for pair in pairs for parent in pair if parent}


def _rows_up_from(fish: Iterable[int], parentages: Iterable[int] = ()) -> list[ParentRow]:
    """Return parent rows of the fish and all their possible ancestors, one query or two a generation."""
    rows, above = _rows_of_parentages({("sibs", key): key for key in parentages})
    done: set[int] = set()
    new = set(fish) | above
    while new:
        done |= new
        of_fish: dict[Hashable, int] = {}
        for part in chunks(new):
            found = FishDetails.objects.current().filter(fish__in=part, parentage__isnull=False)
            of_fish.update(found.values_list("fish_id", "parentage_id"))
        rows += [ParentRow(key) for key in new - set(of_fish)]
        more, above = _rows_of_parentages(of_fish)
        rows += more
        new = above - done
    return rows


def _rows_of_parentages(named: dict[Hashable, int]) -> tuple[list[ParentRow], set[int]]:
    """Return the parent rows of each name by its parentage, and the keys of all parents."""
    bearers: dict[int, list[Hashable]] = {}
    for name, parentage in named.items():
        bearers.setdefault(parentage, []).append(name)
    rows: list[ParentRow] = []
    above: set[int] = set()
    for part in chunks(bearers):
        pairs = ParentPair.objects.current().filter(parentage__in=part)
        values = pairs.values_list("parentage_id", "parentage__draw", "dam_id", "sire_id", "probability")
        for parentage, draw, dam, sire, probability in values:
            shared = parentage if draw == Parentage.Draw.SHARED else None
            rows += [ParentRow(name, dam, sire, float(probability), shared) for name in bearers[parentage]]
            above |= {parent for parent in (dam, sire) if parent}
    return rows, above
