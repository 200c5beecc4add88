"""The two pictures of a fish page: growth, and its place in the pedigree."""

from django.utils.safestring import SafeString, mark_safe

from breeding.figures.growth_chart import GrowthPoint, growth_chart
from breeding.figures.pedigree_chart import ChartFish, ChartPair, pedigree_chart
from registry.models import Left
from registry.queries.fish.life import Life
from registry.queries.fish.relatives import Relatives
from registry.web.links import address


def growth(life: Life) -> SafeString:
    """Return lengths and masses against their days; measurements taken back are left out."""
    points = [
        GrowthPoint(
            check.checked_on,
            float(check.total_length_mm) if check.total_length_mm else None,
            float(check.mass_g) if check.mass_g else None,
        )
        for check in life.checks
        if check.withdrawn_id is None
    ]
    return mark_safe(growth_chart(points, f"fish {life.fish.number}"))  # noqa: S308  (the figure escapes its texts)


def pedigree(found: Relatives) -> SafeString:
    """Return the fish, its ancestors above it and its first young below."""
    fish = [
        ChartFish(
            str(key),
            one.number,
            sex=one.sex if one.sex in ("F", "M") else "",
            dead=one.left == Left.DIED,
            founder=one.founder,
            href="" if key == found.focus else address("fish", one.number),
        )
        for key, one in found.fish.items()
    ]
    pairs = [
        ChartPair(str(link.child), _key(link.dam), _key(link.sire), min(link.probability, 1.0)) for link in found.links
    ]
    more = found.young - len(found.shown)
    return mark_safe(pedigree_chart(fish, pairs, str(found.focus), more_young=more))  # noqa: S308  (escapes its texts)


def _key(fish: int | None) -> str | None:
    return None if fish is None else str(fish)
