"""Founders of a stock: what each gave, what is left of it, and who carries it."""

from collections.abc import Hashable, Mapping
from dataclasses import dataclass

import numpy as np
from django.db.models import Sum

from breeding.genetics.founders import Contributions
from breeding.genetics.gene_drop import Retention
from breeding.genetics.pedigree import Pedigree
from registry.models import MiltLot, MiltUse
from registry.queries.chunks import chunks

AT_ONCE = 64  # founders followed down the pedigree together


@dataclass(frozen=True, slots=True)
class FounderFigures:
    """One founder.

    `share` is its expected share of the genes of the living, `retention` the expected share of its own gene copies that
    is still in the living, with the standard error of the gene drop; `descendants` counts living fish that may carry
    its genes, itself left out; `doses` its frozen milt.
    """

    key: Hashable
    share: float
    retention: float
    error: float
    descendants: int
    lives: bool
    doses: int

    @property
    def can_breed(self) -> bool:
        """Return whether it can still give young: alive, or with milt in the bank."""
        return self.lives or self.doses > 0

    @property
    def last_chance(self) -> bool:
        """Return whether it can still breed and has no living young: lost if it dies first."""
        return self.can_breed and not self.descendants


def founder_figures(
    pedigree: Pedigree, living: Mapping[Hashable, float], found: Contributions, kept: Retention
) -> tuple[FounderFigures, ...]:
    """Return the founders whose genes can still be had, those most in danger first: fewest carriers, least retained."""
    names = [pedigree.ids[fish] for fish in found.founders.tolist()]
    followed = [place for place, name in enumerate(names) if not isinstance(name, tuple)]
    doses = frozen_doses([names[place] for place in followed])
    carriers = descendants_of(pedigree, living, found.founders[followed])
    figures = [
        FounderFigures(
            names[place],
            float(found.of_founders[place]),
            float(kept.of_founders[place]),
            float(kept.error_of_founders[place]),
            count,
            names[place] in living,
            doses.get(names[place], 0),
        )
        for place, count in zip(followed, carriers, strict=True)
    ]
    held = [one for one in figures if one.share > 0 or one.can_breed]
    return tuple(sorted(held, key=lambda one: (one.descendants + one.lives, one.retention, str(one.key))))


def descendants_of(pedigree: Pedigree, living: Mapping[Hashable, float], founders: np.ndarray) -> list[int]:
    """Return how many living fish may descend from each founder (positions), itself not counted."""
    breeders = pedigree.breeders
    at = pedigree.positions(living)
    counts = np.array(list(living.values()), dtype=float)
    rows = breeders.row_of[at]
    bred = rows < breeders.rows
    found: list[int] = []
    for start in range(0, len(founders), AT_ONCE):
        part = founders[start : start + AT_ONCE]
        of_part = breeders.row_of[part]
        reached = np.zeros((breeders.rows + 1, len(part)))
        reached[of_part, np.arange(len(part))] = of_part < breeders.rows
        reached[breeders.rows] = 0
        for first, parents, shares in breeders.steps:
            reached[first : first + shares.shape[0]] += shares @ reached[parents] > 0
        of_lines = (breeders.weights @ reached[:-1]) > 0
        carries = of_lines[pedigree.family[at]]
        carries[bred] = reached[rows[bred]] > 0
        itself = at[:, None] == part[None, :]
        found += (counts @ (carries & ~itself)).astype(int).tolist()
    return found


def frozen_doses(fish: list[Hashable]) -> dict[Hashable, int]:
    """Return the doses of frozen milt that are left of each fish."""
    left: dict[Hashable, int] = {}
    frozen = {"state": MiltLot.State.FROZEN}
    for part in chunks(fish):
        lots = MiltLot.objects.current().filter(male__in=part, **frozen).values_list("male")
        for male, doses in lots.annotate(n=Sum("doses")).order_by():
            left[male] = doses
        uses = MiltUse.objects.current().filter(lot__male__in=part, lot__state=MiltLot.State.FROZEN)
        uses = uses.filter(lot__withdrawn__isnull=True).values_list("lot__male")
        for male, doses in uses.annotate(n=Sum("doses")).order_by():
            left[male] = left.get(male, 0) - doses
    return left
