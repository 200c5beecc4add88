"""Untagged young in batches, counted with the families they are of."""

from collections import Counter
from dataclasses import dataclass

from registry.models import Batch, FamilyParents, Stock
from registry.queries.chunks import chunks
from registry.queries.composition import shares_on


@dataclass(frozen=True, slots=True)
class Young:
    """Living young of batches by the key of their parentage; `left_out` are those whose parents are not on record."""

    by_parentage: dict[int, int]
    left_out: int = 0


NONE = Young({})


def young_in_batches(stock: Stock) -> Young:
    """Return the young of a stock's batches as their families' shares have it, in whole fish."""
    held = Batch.objects.current().filter(stock=stock, account__balance__gt=0)
    counts = dict(held.values_list("number", "account__balance"))
    if not counts:
        return NONE
    shares = shares_on({(number, None) for number in counts})
    of_families: Counter[str] = Counter()
    for (number, _), content in shares.items():
        for family, share in content.items():
            of_families[family] += float(share) * counts[number]
    found: Counter[int] = Counter()
    for part in chunks(of_families):
        rows = FamilyParents.objects.current().filter(family__number__in=part)
        for family, parentage in rows.values_list("family__number", "parentage_id"):
            found[parentage] += of_families[family]
    whole = {parentage: round(count) for parentage, count in found.items() if round(count)}
    return Young(whole, max(0, sum(counts.values()) - sum(whole.values())))
