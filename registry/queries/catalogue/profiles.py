"""What the catalogue says of the species, as determination takes it, and the figures that rules go by."""

from collections import defaultdict
from collections.abc import Iterable
from decimal import Decimal

from registry.models import RiverStanding, Species, SpeciesFigure, SpeciesLook
from registry.rules.identity.profile import Profile, Span

NATIVE = {RiverStanding.Standing.NATIVE, RiverStanding.Standing.RETURNED}
LARGEST = {"max_length_mm", "max_mass_g"}
YOUNGEST = {"female_maturity_years", "male_maturity_years"}


def profiles() -> list[Profile]:
    """Return every species as it is known now; what sources contradict each other on is left out."""
    spans: dict[int, dict[str, Span]] = defaultdict(dict)
    for row in SpeciesFigure.objects.current().filter(scored=True):
        spans[row.species_id][row.figure] = span_of(row)
    looks: dict[int, dict[str, dict[str, float]]] = defaultdict(lambda: defaultdict(dict))
    for row in SpeciesLook.objects.current().filter(scored=True):
        looks[row.species_id][row.character][row.look] = float(row.share)
    rivers: dict[int, dict[str, str]] = defaultdict(dict)
    for row in RiverStanding.objects.current():
        rivers[row.species_id][row.river] = "native" if row.standing in NATIVE else "not native"
    found = []
    for one in Species.objects.current():
        own = spans[one.pk]
        length, mass = (own.get(key, Span()).high for key in ("max_length_mm", "max_mass_g"))
        found.append(
            Profile(
                key=one.key, name=one.scientific_name, common=one.common_name, spans=own,
                looks={key: dict(shares) for key, shares in looks[one.pk].items()},
                max_length_mm=length or one.max_length_mm, max_mass_g=mass or one.max_mass_g, rivers=rivers[one.pk],
            )
        )  # fmt: skip
    return found


def span_of(row: SpeciesFigure) -> Span:
    """Return a figure's range."""
    ends = (row.low, row.usual_low, row.usual_high, row.high)
    return Span(*(None if end is None else float(end) for end in ends))


def bounds(species: Iterable[int] | None = None) -> dict[int, dict[str, Decimal]]:
    """Return for each species the largest size and the youngest age at maturity that the catalogue holds now."""
    rows = SpeciesFigure.objects.current().filter(figure__in=LARGEST | YOUNGEST)
    if species is not None:
        rows = rows.filter(species__in=species)
    found: dict[int, dict[str, Decimal]] = defaultdict(dict)
    for row in rows:
        end = row.high if row.figure in LARGEST else row.low
        if end is not None:
            found[row.species_id][row.figure] = end
    return found


def maturity_years(species: Species) -> dict[str, int]:
    """Return the youngest age at which females (F) and males (M) of a species mature; 0 where none is known."""
    held = bounds([species.pk])[species.pk]
    own = {"F": species.female_maturity_years, "M": species.male_maturity_years}
    names = {"F": "female_maturity_years", "M": "male_maturity_years"}
    return {sex: int(held.get(name, own[sex] or 0)) for sex, name in names.items()}


def river_names() -> list[str]:
    """Return every river that the catalogue or a stock names."""
    from_stocks = Species.objects.current().exclude(stocks__river="").values_list("stocks__river", flat=True)
    named = {*RiverStanding.objects.current().values_list("river", flat=True), *from_stocks}
    return sorted(name for name in named if name)
