"""The catalogue of species changed by the manager: a later row with its source takes the earlier back."""

from collections.abc import Iterable

from django.db.models import Q

from registry.errors import Objection, Refused
from registry.journal.write import Entry, door
from registry.models import AcceptedName, Record, RiverStanding, Species, SpeciesFigure, SpeciesLook, SpeciesName
from registry.operations.shared.desk import refuse_if_any
from registry.permissions import CORRECT, Actor
from registry.rules.identity.determination import TakenBack
from registry.rules.identity.facts import (
    FigureChanged,
    LooksChanged,
    NameAdded,
    SpeciesOpened,
    StandingSet,
    objections_to_figure,
    objections_to_looks,
    objections_to_name,
    objections_to_species,
    objections_to_standing,
)

NAME_KINDS = ("accepted", "synonym", "vernacular", "code")


def open_species(by: Actor, entry: SpeciesOpened) -> Species:
    """Open a species in the catalogue. Refused: a name or word that another one bears, impossible gene copies."""
    with door(by, CORRECT) as opened:
        same = Q(key=entry.key) | Q(scientific_name__iexact=entry.scientific_name)
        held = Species.objects.filter(same).first()
        found = objections_to_species(entry, str(held) if held else "")
        if entry.code:
            named = NameAdded(species=entry.key, kind="code", name=entry.code, source=entry.source, reason=entry.reason)
            found += [one.on("code") for one in objections_to_name(named, _bearer(named)) if one.code == "name_taken"]
        refuse_if_any(found)
        made = opened.open("species opened", f"species {entry.key}", reason=entry.reason)
        species = made.add(
            Species(
                key=entry.key, scientific_name=entry.scientific_name, common_name=entry.common_name,
                ploidy=entry.ploidy, chromosome_class=entry.chromosome_class, max_length_mm=entry.max_length_mm,
                max_mass_g=entry.max_mass_g, source=entry.source,
            )
        )  # fmt: skip
        if entry.code:
            made.add(SpeciesName(species=species, name=entry.code, kind="code", source=entry.source))
    return species


def change_figure(by: Actor, entry: FigureChanged) -> Species:
    """Set a figure of a species anew, or take it back. Refused: no reason, no source, numbers out of order."""
    with door(by, CORRECT) as opened:
        species = _species(entry.species, objections_to_figure(entry))
        held = SpeciesFigure.objects.current().filter(species=species, figure=entry.figure).first()
        given = any(value is not None for value in entry.values)
        _refuse_nothing(held or given)
        made = opened.open(
            "species figure changed",
            f"species {species.key}",
            reason=entry.reason,
            corrects=held.entry if held else None,
        )
        _take_back(made, [held] if held else [])
        if given:
            low, usual_low, usual_high, high = entry.values
            made.add(
                SpeciesFigure(
                    species=species, figure=entry.figure, low=low, usual_low=usual_low, usual_high=usual_high,
                    high=high, scored=entry.scored, source=entry.source, note=entry.note,
                )
            )  # fmt: skip
    return species


def change_looks(by: Actor, entry: LooksChanged) -> Species:
    """Say anew how a character looks in a species, or take that back. Refused: shares that do not sum to 1."""
    with door(by, CORRECT) as opened:
        species = _species(entry.species, objections_to_looks(entry))
        held = list(SpeciesLook.objects.current().filter(species=species, character=entry.character))
        _refuse_nothing(held or entry.shares)
        made = opened.open(
            "species character changed",
            f"species {species.key}",
            reason=entry.reason,
            corrects=held[0].entry if held else None,
        )
        _take_back(made, held)
        for one in entry.shares:
            made.add(
                SpeciesLook(
                    species=species, character=entry.character, look=one.look, share=one.share, scored=entry.scored,
                    source=entry.source, note=entry.note,
                )
            )  # fmt: skip
    return species


def add_name(by: Actor, entry: NameAdded) -> Species:
    """Add a name; the same authority's earlier name is taken back. Refused: a name that another species bears."""
    with door(by, CORRECT) as opened:
        found = objections_to_name(entry, _bearer(entry))
        if entry.kind not in NAME_KINDS:
            found.append(Objection("bad_kind", "kind", f"“{entry.kind}” is not one of {', '.join(NAME_KINDS)}."))
        species = _species(entry.species, found)
        made = opened.open("species named", f"species {species.key}", reason=entry.reason)
        if entry.kind == "accepted":
            _take_back(made, AcceptedName.objects.current().filter(species=species, authority=entry.authority))
            row: Record = AcceptedName(authority=entry.authority, year=entry.year)
        else:
            row = SpeciesName(kind=entry.kind)
        row.species, row.name, row.source = species, entry.name, entry.source
        made.add(row)
    return species


def set_standing(by: Actor, entry: StandingSet) -> Species:
    """Say whether a species belongs to a river; what was said before is taken back."""
    with door(by, CORRECT) as opened:
        standings = tuple(RiverStanding.Standing.values)
        species = _species(entry.species, objections_to_standing(entry, standings))
        made = opened.open("standing in a river set", f"species {species.key}", reason=entry.reason)
        _take_back(made, RiverStanding.objects.current().filter(species=species, river=entry.river))
        made.add(RiverStanding(species=species, river=entry.river, standing=entry.standing, source=entry.source))
    return species


def take_name_back(by: Actor, entry: TakenBack) -> Species:
    """Take a synonym, vernacular or code back. Refused: no reason, taken back already."""
    with door(by, CORRECT) as opened:
        row = SpeciesName.objects.current().select_related("species", "entry").filter(pk=entry.pk).first()
        if row is None:
            raise Refused(Objection("withdrawn", "", "This name was taken back already. Reload the page."))
        if not entry.reason.strip():
            raise Refused(Objection("no_reason", "reason", "Say why: the reason stands in the journal."))
        made = opened.open(
            "species name taken back", f"species {row.species.key}", reason=entry.reason, corrects=row.entry
        )
        _take_back(made, [row])
    return row.species


def _species(key: str, found: list[Objection]) -> Species:
    species = Species.objects.current().filter(key=key).first()
    if species is None:
        text = f"“{key}” is not in the catalogue."
        raise Refused([*found, Objection("bad_species", "species", text, key)])
    refuse_if_any(found)
    return species


def _bearer(entry: NameAdded) -> str:
    if entry.kind == "accepted":
        other = AcceptedName.objects.current().exclude(species__key=entry.species).filter(name__iexact=entry.name)
    else:
        other = SpeciesName.objects.current().filter(name__iexact=entry.name)
    row = other.select_related("species").first()
    return str(row.species) if row else ""


def _refuse_nothing(something: object) -> None:
    if not something:
        raise Refused(Objection("nothing_given", "", "Nothing stands here and nothing is given. Enter a value."))


def _take_back(made: Entry, rows: Iterable[Record]) -> None:
    for row in rows:
        made.withdraw(row)
