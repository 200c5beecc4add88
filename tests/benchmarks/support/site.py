"""Which pages the site has, and one record for each detail page: the one with most on it."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.db.models import Count
from django.urls import URLPattern, URLResolver, path

from registry import urls
from registry.models import (
    Batch,
    CrossPlan,
    Family,
    Fish,
    FishDetails,
    JournalEntry,
    ParentPair,
    Recapture,
    Release,
    Spawning,
)
from registry.web.links import address
from registry.web.lists import PAGE_SIZES, RegisterList
from tests.benchmarks.support.plain import DETAILS, plain_detail, plain_list


@dataclass(frozen=True, slots=True)
class Page:
    """One page to measure: its name, who looks, its address and that of the plain one; none if it has no equal."""

    name: str
    role: str
    address: str
    plain: str = ""


def patterns(held: Any = None) -> Iterator[URLPattern]:
    """Yield every address pattern of the site."""
    for one in urls.urlpatterns if held is None else held:
        if isinstance(one, URLResolver):
            yield from patterns(one.url_patterns)
        else:
            yield one


def lists() -> dict[str, type[RegisterList]]:
    """Return the list pages by the name of their address."""
    views = {one.name: getattr(one.callback, "view_class", None) for one in patterns()}
    return {name: view for name, view in views.items() if view and issubclass(view, RegisterList)}


def with_plain_ones() -> tuple[Any, ...]:
    """Return the site's addresses and those of the plain pages."""
    plain: list[Any] = [path(f"plain/{name}/", plain_list(view)) for name, view in lists().items()]
    plain += [path(f"plain/{name}/<path:number>/", plain_detail(name)) for name in DETAILS]
    return (*plain, *urls.urlpatterns)


def pages() -> Iterator[Page]:
    """Yield every page that there is, the richest record of each kind."""
    for name in lists():
        yield Page(name, "administrator", address(name), f"/plain/{name}/")
    for name, number in richest().items():
        if target := address(name, number):
            yield Page(name, "manager", target, f"/plain/{name}/{number}/" if name in DETAILS else "")
    middle = FishDetails.objects.current().count() // PAGE_SIZES[0] // 2
    asked = f"?page={middle}"
    yield Page("fish_list, middle page", "manager", f"{address('fish_list')}{asked}", f"/plain/fish_list/{asked}")
    for role in ("staff", "geneticist", "manager", "auditor"):
        yield Page(f"home of {role}", role, address("home"))
    for name in ("kinship", "trace", "sheets"):
        if target := address(name):
            yield Page(name, "manager", target)
    young = FishDetails.objects.current().filter(fish__number__startswith="N").order_by("-pk")[0].fish
    yield Page("scan", "staff", f"{address('scan')}?q={young.tags.all()[0].code}")
    if target := address("trace"):
        yield Page("trace of a fish", "auditor", f"{target}?q={young.number}")


def richest() -> dict[str, object]:
    """Return the number of the record with most on its page, by kind."""

    dams = ParentPair.objects.filter(dam__checks__isnull=False).values("dam").annotate(n=Count("pk"))
    return {
        "fish": Fish.objects.get(pk=dams.order_by("-n", "-dam")[0]["dam"]).number,
        "batch": _most(Batch, "account__out").number,
        "spawning": _most(Spawning, "crosses").number,
        "release": _most(Release, "fish").number,
        "family": _most(Family, "fish").number,
        "recapture": Recapture.objects.order_by("-pk")[0].number,
        "plan": _most(CrossPlan, "planned").number,
        "journal_entry": JournalEntry.objects.filter(what="fish released").order_by("-seq")[0].seq,
    }


def _most(model: Any, what: str) -> Any:
    return model.objects.annotate(n=Count(what)).order_by("-n", "-pk")[0]
