"""The crosses of a plan line by line: tags, kinship with its range, what was made of each."""

from typing import Any
from urllib.parse import urlencode

from breeding.pages.crosses.pair.words import range_in_words, relationship_in_words
from breeding.planning.reasons import figure
from registry.models import CrossPlan, CrossSire, Fish
from registry.queries.catalogue import inheritance_of
from registry.queries.crosses.doubt import doubts_of
from registry.queries.crosses.made import made_of
from registry.queries.crosses.plans import only_milt_left, pairs_of
from registry.queries.crosses.spawning import open_codes
from registry.queries.status.keep import kept
from registry.rules.crossing.wishes import Wishes
from registry.web.links import address

# Of one pair on a page of many: more ways to assign parents than this are told as such.
ASSIGNMENTS = 64

Told = dict[str, Any]


def lines_of(plan: CrossPlan, wishes: Wishes, *, may_enter: bool = False) -> list[Told]:
    """Return the crosses of a plan, least kinship first."""
    rows = list(pairs_of(plan))
    codes = open_codes([key for row in rows for key in (row.dam_id, row.sire_id)])
    frozen = only_milt_left([row.sire_id for row in rows])
    made = made_of(plan, rows)
    inherits = inheritance_of(plan.stock)
    limit = wishes.limits.figure("relationship")
    at_limit = None if limit is None else float(limit) / inherits.ploidy
    named = [(row.dam_id, row.sire_id) for row in rows]
    doubts = kept(f"doubts:{plan.pk}:{hash(tuple(named))}", lambda: doubts_of(named, inherits, ASSIGNMENTS))
    enter = address("spawning_enter") if may_enter else ""
    found = []
    for row in rows:
        names = urlencode({"dam": row.dam.number, "sire": row.sire.number})
        wish = wishes.pairs.get((row.dam.number, row.sire.number))
        found.append(
            {
                "names": (row.dam.number, row.sire.number),
                "dam": _fish(row.dam, codes),
                "sire": _fish(row.sire, codes) | {"frozen": row.sire_id in frozen},
                "kinship": figure(float(row.kinship)),
                "words": relationship_in_words(float(row.kinship), inherits.ploidy),
                "range": range_in_words(doubts.get((row.dam_id, row.sire_id)), at_limit),
                "comment": row.comment,
                "young": row.young,
                "stand": wish.stand if wish else "",
                "made": [_made(one) for one in made.get(row.pk, [])],
                "enter": f"{enter}?{names}" if enter else "",
                "look": f"{address('plan_pair', plan.number)}?{names}",
            }
        )
    return found


def _fish(fish: Fish, codes: dict[int, str]) -> Told:
    return {"number": fish.number, "code": codes.get(fish.pk, ""), "address": address("fish", fish.number)}


def _made(making: CrossSire) -> Told:
    cross = making.cross
    return {
        "pooled": making.share < 1,
        "spawning": cross.spawning,
        "spawned_on": cross.spawning.spawned_on,
        "family": cross.family,
        "address": address("spawning", cross.spawning.number),
    }
