"""Determinations: of one fish, of all, and one with its evidence."""

from django.db.models import Prefetch, QuerySet

from registry.models import Determination, SpeciesFit
from registry.rules.identity.determination import Look


def determination_rows() -> QuerySet:
    """Return every determination that stands, with its fish and conclusion."""
    return Determination.objects.current().select_related("fish", "species", "entry")


def determinations_of(fish: int) -> list[Determination]:
    """Return a fish's determinations, those taken back among them, the newest first."""
    rows = Determination.objects.filter(fish=fish).select_related("species", "entry", "withdrawn")
    return list(rows.order_by("-determined_on", "-pk"))


def determination_of(pk: int) -> Determination | None:
    """Return one determination with what was seen and how every species fitted; None when there is none."""
    rows = Determination.objects.select_related("fish", "species", "entry", "withdrawn")
    fits = SpeciesFit.objects.select_related("species").order_by("-log_score", "pk")
    return rows.prefetch_related("characters", Prefetch("fits", queryset=fits)).filter(pk=pk).first()


def looks_of_row(row: Determination) -> tuple[Look, ...]:
    """Return what was seen as it was entered."""
    return tuple(Look(one.character, one.look, one.value, one.side) for one in row.characters.all())
