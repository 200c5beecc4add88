"""One species as its page shows it: every value that stands, and every value that stood before."""

from dataclasses import dataclass

from registry.models import (
    AcceptedName,
    JournalEntry,
    Record,
    RiverStanding,
    Species,
    SpeciesFigure,
    SpeciesLook,
    SpeciesName,
)

KINDS: tuple[type[Record], ...] = (AcceptedName, SpeciesName, SpeciesFigure, SpeciesLook, RiverStanding)


@dataclass(frozen=True, slots=True)
class Earlier:
    """A value that a later entry took back."""

    row: Record
    kind: str
    taken_back: JournalEntry


@dataclass(frozen=True, slots=True)
class Kept:
    """Everything that stands of a species now, and what stood before, the last taken back first."""

    species: Species
    accepted: list[AcceptedName]
    names: list[SpeciesName]
    figures: dict[str, SpeciesFigure]
    looks: dict[str, list[SpeciesLook]]
    rivers: list[RiverStanding]
    earlier: list[Earlier]


def kept_of(key: str) -> Kept | None:
    """Return what is kept of the species of that key; None when there is none."""
    species = Species.objects.current().select_related("entry").filter(key=key).first()
    if species is None:
        return None
    rows = {
        kind: list(kind.objects.filter(species=species).select_related("entry", "withdrawn").order_by("pk"))
        for kind in KINDS
    }
    stand = {kind: [row for row in held if row.withdrawn_id is None] for kind, held in rows.items()}
    before = [
        Earlier(row, kind._meta.model_name or "", row.withdrawn)
        for kind, held in rows.items()
        for row in held
        if row.withdrawn_id is not None
    ]
    looks: dict[str, list[SpeciesLook]] = {}
    for row in sorted(stand[SpeciesLook], key=lambda row: -row.share):
        looks.setdefault(row.character, []).append(row)
    return Kept(
        species=species,
        accepted=stand[AcceptedName],
        names=sorted(stand[SpeciesName], key=lambda row: (row.kind, row.name)),
        figures={row.figure: row for row in stand[SpeciesFigure]},
        looks=looks,
        rivers=sorted(stand[RiverStanding], key=lambda row: row.river),
        earlier=sorted(before, key=lambda one: -one.taken_back.seq),
    )


def species_choices() -> list[tuple[str, str]]:
    """Return every species to choose from, with its common name."""
    rows = Species.objects.current().values_list("key", "scientific_name", "common_name")
    return [(key, f"{scientific} ({common})") for key, scientific, common in rows]
