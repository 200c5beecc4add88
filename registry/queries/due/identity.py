"""What is due about which fish is which: codes set aside, lost codes on other fish, identities only asserted."""

from datetime import date

from django.db.models import Exists, F, OuterRef, Subquery

from registry.models import Evidence, Tag
from registry.queries.due import Due, Section, living, section
from registry.queries.identity.on_page import open_asides
from registry.rules.days import spoken


def codes_set_aside(_today: date) -> Section:
    """Codes on two fish of which nobody has found out yet."""
    return section(
        "Codes on two fish",
        "No code is set aside.",
        open_asides(),
        lambda row: Due(
            f"Code {row.code}",
            "aside_resolve",
            "",
            f"on fish {row.fish} since {spoken(row.read_on)}, fish {row.holder} bears it",
            (("fish", row.fish.number), ("code", row.code)),
        ),
        "fish_list",
    )


def lost_codes_elsewhere(_today: date) -> Section:
    """Codes noted as lost by one living fish and borne by another now: the two may be one."""
    lost = Tag.objects.current().filter(
        Exists(living(fish=OuterRef("fish"))), system=OuterRef("system"), code=OuterRef("code"), end_reason="lost"
    )
    rows = (
        Tag.objects.current()
        .filter(ended_on__isnull=True)
        .annotate(lost_by=Subquery(lost.exclude(fish=OuterRef("fish")).values("fish__number")[:1]))
        .filter(lost_by__isnull=False)
        .select_related("fish")
        .order_by("-attached_on", "-pk")
    )
    return section(
        "Lost codes on another fish",
        "No lost code was read on another fish.",
        rows,
        lambda row: Due(
            f"Code {row.code}",
            "fish",
            row.fish.number,
            f"lost by fish {row.lost_by}, on fish {row.fish} since {spoken(row.attached_on)}: are they one?",
        ),
        "fish_list",
    )


def asserted_identities(_today: date) -> Section:
    """Retagged fish that nothing proves to be the ones they are taken for."""
    rows = (
        Tag.objects.current()
        .filter(known_by=Evidence.ASSERTED)
        .select_related("fish")
        .order_by(F("probability").asc(nulls_first=True), "pk")
    )
    return section(
        "Identities only asserted",
        "Every retagged fish is known by evidence.",
        rows,
        lambda row: Due(
            f"Fish {row.fish}",
            "fish",
            row.fish.number,
            f"tag {row.code} since {spoken(row.attached_on)}"
            + (f", held likely: {row.probability.normalize():f}" if row.probability else ""),
        ),
        "fish_list",
    )
