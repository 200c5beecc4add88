"""The characters, sizes and names of species that ship with the register: taken in once for each species."""

from decimal import Decimal
from typing import Any

from registry.journal.write import entry as journal_entry
from registry.models import AcceptedName, Record, Species, SpeciesFigure, SpeciesLook
from registry.operations.catalogue import add_species, shipped
from registry.permissions import ADMINISTER, Actor

ENDS = ("low", "usual_low", "usual_high", "high")


def load_characters(by: Actor) -> int:
    """Take in what ships of species that have none of it yet; return how many rows were written.

    A species of which the hatchery has changed or taken back so much as one value is left alone.
    """
    told = shipped("characters.json")
    species = {one.key: one for one in Species.objects.current()}
    new = [row for row in shipped("species.json") if row["key"] not in species]
    held = {
        kind: set(kind.objects.values_list("species__key", flat=True))
        for kind in (SpeciesFigure, SpeciesLook, AcceptedName)
    }
    rows = [(kind, row) for kind, name in _KINDS.items() for row in told[name] if row["species"] not in held[kind]]
    if not rows and not new:
        return 0
    with journal_entry(by, "characters of species loaded", permission=ADMINISTER, subject="catalogue") as made:
        for row in new:
            species[row["key"]] = add_species(made, row)
        for kind, row in rows:
            made.add(_record(kind, species, row))
    return len(rows) + len(new)


_KINDS: dict[type[Record], str] = {SpeciesFigure: "figures", SpeciesLook: "looks", AcceptedName: "accepted_names"}


def _record(kind: type[Record], species: dict[str, Species], row: dict[str, Any]) -> Record:
    values = {key: Decimal(str(value)) if key in (*ENDS, "share") else value for key, value in row.items()}
    return kind(**values | {"species": species[row["species"]]})
