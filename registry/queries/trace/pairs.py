"""The possible pairs of parents of many parentages at once."""

from collections import defaultdict
from datetime import date

from registry.journal.as_of import known_on
from registry.models import ParentPair
from registry.queries.chunks import chunks


def pairs_of(parentages: set[int], known: date | None) -> dict[int, list[ParentPair]]:
    """Return the pairs of each parentage, most likely first."""
    found: dict[int, list[ParentPair]] = defaultdict(list)
    for part in chunks(parentages):
        rows = known_on(ParentPair.objects.filter(parentage__in=part), known)
        for pair in rows.select_related("dam", "sire").order_by("-probability", "pk"):
            found[pair.parentage_id].append(pair)
    return found
