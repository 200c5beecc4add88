"""Families on the way up: their crosses and all possible parents."""

from collections import defaultdict
from typing import Any

from registry.journal.as_of import known_on
from registry.models import Cross, Family, FamilyParents
from registry.queries.chunks import chunks
from registry.queries.trace import certainty
from registry.queries.trace.lineage import Node, corrections, key_of, written
from registry.queries.trace.pairs import pairs_of
from registry.rules.days import spoken


def add_families(walk: Any, pks: set[int]) -> None:
    """Add families, and steps to their possible dams and sires."""
    families: list[Family] = []
    rows: dict[int, FamilyParents] = {}
    crosses: dict[int, list[Cross]] = defaultdict(list)
    mended: dict[int, list[Any]] = defaultdict(list)
    for part in chunks(pks):
        families += Family.objects.filter(pk__in=part).select_related("entry")
        parents = FamilyParents.objects.filter(family__in=part)
        for row in known_on(parents, walk.known).select_related("parentage", "entry"):
            rows[row.family_id] = row
        for cross in known_on(Cross.objects.filter(family__in=part), walk.known).select_related("spawning"):
            crosses[cross.family_id].append(cross)
        for row in parents.filter(withdrawn__isnull=False).select_related("withdrawn"):
            mended[row.family_id].append(row.withdrawn)
    pairs = pairs_of({row.parentage_id for row in rows.values()}, walk.known)
    for family in families:
        key, row = key_of("family", family.number), rows.get(family.pk)
        node = Node(key, "family", family.number, _about(crosses[family.pk]), row is None, written(family.entry))
        node.corrections = corrections(mended[family.pk])
        walk.add(node)
        if row:
            held = pairs[row.parentage_id]
            nights = [cross.spawning.number for cross in crosses[family.pk]]
            judged = certainty.of_family(row.parentage.basis, len(held), nights)
            walk.parents(key, held, judged, row.entry)


def _about(crosses: list[Cross]) -> str:
    if not crosses:
        return "no cross of it is in the register"
    return "; ".join(f"made {spoken(c.spawning.spawned_on)}, spawning {c.spawning.number}" for c in crosses)
