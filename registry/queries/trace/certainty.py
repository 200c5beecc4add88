"""How well a step of a lineage is borne out, by what the register itself holds."""

from collections.abc import Sequence
from datetime import date

from registry.models import Parentage, Tag
from registry.queries.trace.lineage import Level

Judged = tuple[Level, str]


def unbroken(tags: Sequence[Tag], until: date) -> bool:
    """Return whether, from the first tag on, some tag was on the fish at every moment up to `until`."""
    reached: date | None = None
    for tag in sorted(tags, key=lambda tag: tag.attached_on):
        if reached is not None and tag.attached_on > reached:
            return False
        reached = max(reached or tag.attached_on, tag.ended_on or date.max)
    return reached is not None and reached >= until


def of_fish(tags: Sequence[Tag], until: date, basis: str, mixed_batch: str) -> Judged:
    """Return how sure it is that this animal is of the family, batch or parents on its record."""
    if basis == Parentage.Basis.GENOTYPE:
        return Level.GENOTYPE, "genotyping of the fish and its parents"
    if not tags:
        return Level.ASSERTED, "the record alone: no tag ties the animal to it"
    if not unbroken(tags, until):
        return Level.ASSERTED, "the record; its tags leave a time without any"
    if basis == Parentage.Basis.SHEET:
        return Level.ASSERTED, "the hatchery's own sheet; tag unbroken since"
    if mixed_batch:
        return Level.SUPPORTED, f"tagged out of mixed batch {mixed_batch}; tag unbroken since"
    return Level.PROVED, "tagged before any mixing; tag unbroken since"


def of_family(basis: str, pairs: int, crosses: Sequence[str]) -> Judged:
    """Return how sure the parents of a family are; `crosses` names the spawnings in which it was made."""
    made = f", spawning {', '.join(crosses)}" if crosses else ""
    if basis == Parentage.Basis.GENOTYPE:
        return Level.GENOTYPE, "genotyping"
    if basis == Parentage.Basis.SHEET:
        return Level.ASSERTED, f"the hatchery's own sheet{made}"
    if pairs > 1:
        return Level.SUPPORTED, f"pooled milt or several possible parents{made}"
    if not crosses:
        return Level.ASSERTED, "the record alone: the cross itself is not in the register"
    return Level.PROVED, f"one recorded cross{made}"


def of_batch(families: int) -> Judged:
    """Return how sure it is of which family a fish of a batch is."""
    if families == 1:
        return Level.SUPPORTED, "the books: the batch held this family only"
    return Level.SUPPORTED, f"the books: one of {families} families, by their counts"


def of_released_batch(mark: str) -> Judged:
    """Return how well fish of a batch can be told after their release."""
    if mark:
        return Level.SUPPORTED, f"released from this batch, all bearing {mark}"
    return Level.ASSERTED, "released from this batch without a batch mark"
