"""What was crossed already: the families of the season, and when fish and pairs were last crossed."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from django.db.models import Q, QuerySet

from registry.models import CrossPlan, CrossSire
from registry.queries.known import chunks

Keys = tuple[int, int]  # dam, sire


@dataclass(frozen=True, slots=True)
class Made:
    """A pair crossed this season, by key; of pooled milt the male of the largest share stands for all, `pooled`."""

    dam: int
    sire: int
    pooled: bool


@dataclass(frozen=True)
class Past:
    """The year of the last cross before or in the season, by key of the dam, of the sire, and of the two."""

    of_dam: dict[int, int] = field(default_factory=dict)
    of_sire: dict[int, int] = field(default_factory=dict)
    of_pair: dict[Keys, int] = field(default_factory=dict)


def made_in(plan: CrossPlan) -> list[Made]:
    """Return the pairs of the plan's stock that were crossed in its season, each once."""
    rows = _makings().filter(cross__spawning__stock=plan.stock, cross__spawning__spawned_on__year=plan.season)
    rows = rows.order_by("cross_id", "-share", "sire__number")
    found: dict[int, Made] = {}
    for cross, dam, sire, share in rows.values_list("cross_id", "cross__dam_id", "sire_id", "share"):
        found.setdefault(cross, Made(dam, sire, share < 1))
    return list({(one.dam, one.sire): one for one in found.values()}.values())


def past_of(fish: Iterable[int], season: int) -> Past:
    """Return when these fish were last crossed, and with whom, up to the season."""
    found = Past()
    for part in chunks(set(fish)):
        rows = _makings().filter(
            Q(cross__dam__in=part) | Q(sire__in=part), cross__spawning__spawned_on__year__lte=season
        )
        for dam, sire, year in rows.values_list("cross__dam_id", "sire_id", "cross__spawning__spawned_on__year"):
            found.of_dam[dam] = max(year, found.of_dam.get(dam, year))
            found.of_sire[sire] = max(year, found.of_sire.get(sire, year))
            found.of_pair[dam, sire] = max(year, found.of_pair.get((dam, sire), year))
    return found


def _makings() -> QuerySet[CrossSire]:
    return CrossSire.objects.current().filter(cross__withdrawn__isnull=True)
