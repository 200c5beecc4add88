"""The lists of releases and recaptures, and one of each."""

from typing import Any

from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.http import urlencode

from registry.models import Fish, FishDetails, Recapture, Release, ReleaseDetails, Transfer
from registry.pages.releases.filters import RecaptureFilters, ReleaseFilters
from registry.pages.releases.forms import how_linked
from registry.pages.releases.tables import RecaptureTable, ReleaseTable, degrees
from registry.permissions import CORRECT, ENTER, READ_JOURNAL, RELEASE, may
from registry.queries.books.releases import expected_by_family, fish_of, listed, met_again, parts_of, recaptures_of
from registry.rules.young.ledger import UNKNOWN_FAMILY
from registry.web.links import address
from registry.web.lists import RegisterList
from registry.web.people import actor

MOST_FISH = 500


class ReleaseList(RegisterList):
    """Every release."""

    table_class = ReleaseTable
    filter_class = ReleaseFilters
    title = "Releases"
    actions = (("Enter a release", "release_enter", RELEASE),)

    def rows(self) -> QuerySet:
        return listed()


class RecaptureList(RegisterList):
    """Every fish met again."""

    table_class = RecaptureTable
    filter_class = RecaptureFilters
    title = "Recaptures"
    actions = (("Enter a recapture", "recapture_enter", ENTER),)

    def rows(self) -> QuerySet:
        return met_again()


def release(request: HttpRequest, number: str) -> HttpResponse:
    """Show one release."""
    found = Release.objects.filter(number__iexact=number).first()
    if found is None:
        raise Http404(f"There is no release {number} in the register.")
    who = actor(request)
    rows = list(ReleaseDetails.objects.filter(release=found).select_related("entry", "withdrawn").order_by("pk"))
    now = next((row for row in rows if row.withdrawn_id is None), None)
    parts, fish = parts_of(found), list(fish_of(found).order_by("fish__number")[: MOST_FISH + 1])
    standing = [part for part in parts if part.withdrawn_id is None]
    tagged = len(fish) if len(fish) <= MOST_FISH else fish_of(found).count()
    shown = {
        "title": f"Release {found.number}",
        "release": found,
        "now": now,
        "earlier": [row for row in rows if row.withdrawn_id],
        "position": (degrees(now.latitude, "NS"), degrees(now.longitude, "EW")) if now else ("–", "–"),
        "total": sum(part.count for part in standing) + tagged,
        "tagged": tagged,
        "parts": [_part(part, may(who, CORRECT)) for part in parts],
        "fish": fish[:MOST_FISH],
        "more_fish": len(fish) > MOST_FISH,
        "families": _families(found, parts, fish),
        "recaptures": list(recaptures_of(found)),
        "entry": address("journal_entry", rows[0].entry.seq) if rows and may(who, READ_JOURNAL) else "",
        "correct": address("release_correct", found.number) if may(who, CORRECT) else "",
        "recapture": address("recapture_enter") if may(who, ENTER) else "",
        "trace": f"{address('trace')}?{urlencode({'q': f'release {found.number}'})}",
    }
    return render(request, "registry/releases/release.html", shown)


def _part(part: Transfer, may_correct: bool) -> dict[str, Any]:
    standing = part.withdrawn_id is None
    return {
        "part": part,
        "batch": part.from_account.batch,
        "address": address("batch", part.from_account.batch.number),
        "correct": address("batch_correct", part.pk) if standing and may_correct else "",
    }


def _families(release: Release, parts: list[Transfer], fish: list[Any]) -> list[dict[str, Any]]:
    expected = expected_by_family(release, parts, fish)
    total = sum(expected.values()) or 1
    rows = sorted(expected.items(), key=lambda item: (-item[1], item[0]))
    return [
        {
            "number": family if family != UNKNOWN_FAMILY else "",
            "address": address("family", family),
            "expected": round(count),
            "percent": f"{count / total * 100:.1f}",
        }
        for family, count in rows
    ]


def recapture(request: HttpRequest, number: str) -> HttpResponse:
    """Show one recapture."""
    rows = Recapture.objects.current().select_related("fish", "release", "entry")
    found = rows.filter(number__iexact=number).first()
    if found is None:
        raise Http404(f"There is no recapture {number} in the register.")
    who = actor(request)
    of = f"fish {found.fish.number}" if found.fish else f"release {found.release.number}" if found.release else ""
    release = found.release or _released_with(found.fish)
    shown = {
        "title": f"Recapture {found.number}",
        "recapture": found,
        "linked": how_linked(found),
        "position": (degrees(found.latitude, "NS"), degrees(found.longitude, "EW")),
        "fish": address("fish", found.fish.number) if found.fish else "",
        "release": release,
        "release_address": address("release", release.number) if release else "",
        "trace": f"{address('trace')}?{urlencode({'q': of})}" if of else "",
        "entry": address("journal_entry", found.entry.seq) if may(who, READ_JOURNAL) else "",
    }
    return render(request, "registry/releases/recapture.html", shown)


def _released_with(fish: Fish | None) -> Release | None:
    """Return the release in which a registered fish went into the river, if it did."""
    details = FishDetails.objects.current().filter(fish=fish).select_related("release").first() if fish else None
    return details.release if details else None
