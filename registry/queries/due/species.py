"""What is due of species: determinations that say otherwise than the record, and fish in doubt."""

from datetime import date

from django.db.models import BigIntegerField, Exists, F, OuterRef, Q, Subquery
from django.db.models.functions import Coalesce

from registry.models import Confidence, Determination
from registry.queries.due import Due, Section, living, section
from registry.rules.days import spoken

NO_SPECIES = 0


def determinations_to_decide(_today: date) -> Section:
    """The newest determination of a living fish, where it says otherwise than the record does."""
    held = living(fish=OuterRef("fish"))
    later = Determination.objects.current().filter(fish=OuterRef("fish"))
    after = Q(determined_on__gt=OuterRef("determined_on")) | Q(
        determined_on=OuterRef("determined_on"), pk__gt=OuterRef("pk")
    )
    rows = (
        Determination.objects.current()
        .filter(Exists(held), ~Exists(later.filter(after)))
        .annotate(
            on_record=Coalesce(Subquery(held.values("species")[:1]), NO_SPECIES, output_field=BigIntegerField()),
            held_hybrid=Subquery(held.values("hybrid")[:1]),
        )
        .filter((Q(species__isnull=False) & ~Q(species=F("on_record"))) | ~Q(hybrid=F("held_hybrid")))
        .select_related("fish", "species")
        .order_by("-determined_on", "-pk")
    )
    return section(
        "Determinations to decide",
        "Every determination agrees with the record of its fish.",
        rows,
        lambda row: Due(f"Fish {row.fish}", "determination", str(row.pk), _concluded(row)),
        "determination_list",
    )


def fish_in_doubt(_today: date) -> Section:
    """Living fish whose species is in doubt: they enter no cross."""
    rows = (
        living()
        .filter(Q(confidence=Confidence.DOUBTFUL) | Q(species__isnull=True))
        .select_related("fish", "species")
        .order_by("fish__number")
    )
    return section(
        "Fish of doubtful species",
        "The species of every living fish is known.",
        rows,
        lambda row: Due(
            f"Fish {row.fish}", "fish", row.fish.number, f"{row.species or 'no species'}, asks for a genetic test"
        ),
        "fish_list",
    )


def _concluded(row: Determination) -> str:
    concluded = str(row.species) if row.species else "species left open"
    return f"{concluded}{', a hybrid' if row.hybrid else ''}, {spoken(row.determined_on)}"
