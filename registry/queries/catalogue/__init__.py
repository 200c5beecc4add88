"""Reference data as lists show it."""

from datetime import date
from decimal import Decimal
from typing import NamedTuple

from django.db.models import (
    Case,
    CharField,
    Count,
    DecimalField,
    Exists,
    F,
    OuterRef,
    Q,
    QuerySet,
    Subquery,
    Value,
    When,
)
from django.db.models.functions import Coalesce

from breeding.genetics.polysomic import founder_inbreeding, self_kinship
from registry.models import (
    AcceptedName,
    FishDetails,
    PolicyFigure,
    Species,
    SpeciesFigure,
    SpeciesName,
    Stock,
    StockInheritance,
)
from registry.queries.catalogue.founders import Related, founder_pairs, related_by

IN_FORCE, SUPERSEDED, LATER = "in force", "superseded", "from a later day"


class Inherits(NamedTuple):
    """How kinship takes fish to inherit: gene copies, double reduction of every gamete, founders that are related."""

    ploidy: int = 2
    double_reduction: float = 0.0
    related: Related | None = None

    @property
    def alone(self) -> float:
        """Return the kinship of a founder with itself: 1/2 with two copies, and the more the more double reduction."""
        return float(self_kinship(self.founder_inbreeding, self.ploidy))

    @property
    def founder_inbreeding(self) -> float:
        """Return the inbreeding of a founder, which double reduction keeps up in a population at rest."""
        return float(founder_inbreeding(self.ploidy, 2 * self.double_reduction))

    def on_two_copies(self, kinship: float) -> float:
        """Return a kinship on the scale of two gene copies, on which half sibs have 1/8 whatever the inheritance."""
        return kinship / (2 * self.alone)

    def __str__(self) -> str:
        doubled = f"double reduction {self.double_reduction:g}" if self.double_reduction else "no double reduction"
        related = f", {len(self.related.keys)} founders related as markers showed" if self.related else ""
        return f"{self.ploidy} gene copies, {doubled}{related}"


def inheritance_named(stock: str) -> Inherits:
    """Return how a stock of this name inherits; as in a diploid where there is none, or no one stock is meant."""
    found = Stock.objects.current().select_related("species").filter(name=stock).first()
    return inheritance_of(found) if found else Inherits()


def inheritance_of(stock: Stock) -> Inherits:
    """Return how a stock inherits: as set for it, else as its species' row says, without double reduction."""
    alone = inheritance_set_for(stock)
    given = founder_pairs(stock)
    return alone._replace(related=related_by(given, alone.alone, alone.ploidy)) if given else alone


def inheritance_set_for(stock: Stock) -> Inherits:
    """Return how a stock inherits, whatever is known of its founders."""
    held = StockInheritance.objects.current().filter(stock=stock).values_list("ploidy", "double_reduction").first()
    return Inherits(held[0], float(held[1])) if held else Inherits(stock.species.ploidy)


def inheritance_rows() -> QuerySet:
    """Return every setting of a stock's inheritance, the earlier ones too, the newest first."""
    return StockInheritance.objects.select_related("stock", "entry", "withdrawn").order_by("stock__name", "-pk")


def stock_rows() -> QuerySet:
    """Return every stock with how it inherits, its `living` fish, and how many of them are `females` and `males`."""
    fish = FishDetails.objects.current().filter(stock=OuterRef("pk"), left="").order_by().values("stock")

    def counted(**where: str) -> Coalesce:
        return Coalesce(Subquery(fish.filter(**where).annotate(n=Count("pk")).values("n")), 0)

    def held(column: str) -> Subquery:
        return Subquery(StockInheritance.objects.current().filter(stock=OuterRef("pk")).values(column))

    rows = Stock.objects.current().select_related("species")
    rows = rows.annotate(ploidy=Coalesce(held("ploidy"), "species__ploidy"))
    rows = rows.annotate(double_reduction=Coalesce(held("double_reduction"), Value(Decimal(0))))
    return rows.annotate(living=counted(), females=counted(sex="F"), males=counted(sex="M"))


def named_species(rows: QuerySet, text: str) -> QuerySet:
    """Return the species that bear this name in any tongue or spelling."""
    other = SpeciesName.objects.current().filter(species=OuterRef("pk"), name__icontains=text)
    accepted = AcceptedName.objects.current().filter(species=OuterRef("pk"), name__iexact=text)
    named = Q(scientific_name__icontains=text) | Q(common_name__icontains=text) | Exists(other) | Exists(accepted)
    return rows.filter(named)


def species_rows() -> QuerySet:
    """Return every species with its `code`, how many fish of it live here, and sizes and ages as they stand now."""
    held = SpeciesFigure.objects.current().filter(species=OuterRef("pk"))

    def figure(name: str, end: str) -> Coalesce:
        return Coalesce(Subquery(held.filter(figure=name).values(end)[:1]), F(name), output_field=DecimalField())

    codes = SpeciesName.objects.current().filter(species=OuterRef("pk"), kind="code").values("name")[:1]
    fish = FishDetails.objects.current().filter(species=OuterRef("pk"), left="").order_by().values("species")
    return Species.objects.current().annotate(
        code=Subquery(codes),
        living=Coalesce(Subquery(fish.annotate(n=Count("pk")).values("n")), 0),
        longest=figure("max_length_mm", "high"),
        heaviest=figure("max_mass_g", "high"),
        female_from=figure("female_maturity_years", "low"),
        male_from=figure("male_maturity_years", "low"),
    )


def figure_rows(today: date) -> QuerySet:
    """Return every policy figure with `state`: in force, superseded, or from a later day."""
    later = PolicyFigure.objects.current().filter(
        key=OuterRef("key"), in_force_from__gt=OuterRef("in_force_from"), in_force_from__lte=today
    )
    state = Case(
        When(in_force_from__gt=today, then=Value(LATER)),
        When(Exists(later), then=Value(SUPERSEDED)),
        default=Value(IN_FORCE),
        output_field=CharField(),
    )
    return PolicyFigure.objects.current().annotate(state=state)


def figure_keys(today: date) -> dict[str, PolicyFigure]:
    """Return the figure in force for each key that rules ask for."""
    return {row.key: row for row in figure_rows(today).filter(state=IN_FORCE).order_by("key")}
