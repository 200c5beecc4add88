"""A sheet of spawnings, one female × male (or pooled males) a row."""

import re

from registry.operations.crossing.spawning import SPAWNING
from registry.queries.known import Named
from registry.rules.crossing.spawning import CrossMade, SireShare, SpawningNight, equal_shares
from registry.sheets.dates import read_day
from registry.sheets.kinds.shared import Book, Draft, Kind, RowReader, by_row, nothing, spelt
from registry.sheets.numbers import read_mass, read_number, read_percent
from registry.sheets.values import read_id, read_key, read_note, read_parents, read_text

FIELDS = {
    "spawned_on": "date", "crosses": "dam", "egg_mass_g": "egg_weight_g", "motility_percent": "motility",
    "fertilisation_percent": "fertilisation", "off_plan_reason": "off_plan",
}  # fmt: skip
_FROZEN = re.compile(r"\b(?:frozen|cryo\w*|thawed)\b", re.IGNORECASE)


def _gather(row: RowReader, named: Named) -> None:
    named.fish |= spelt([read_id(row.cell("dam")).value, *(read_parents(row.cell("sire")).value or ())])
    named.families |= spelt([read_id(row.cell("family")).value])
    named.plans = True


def _read(row: RowReader, book: Book) -> Draft | None:
    day = row.take("date", read_day(row.cell("date"), book.options.as_of, book.options.date_order))
    if row.blank("date"):
        row.refuse("bad_date", "date", "The day of the spawning is missing. Enter it.")
    dam = row.take("dam", read_key(row.cell("dam"), book.fish))
    sires = row.take("sire", read_parents(row.cell("sire"), book.fish))
    decimal = book.options.decimal
    mass = row.take("egg_weight_g", read_mass(row.cell("egg_weight_g"), row.unit("egg_weight_g"), decimal))
    per_g = row.take("eggs_per_g", read_number(row.cell("eggs_per_g"), decimal))
    portion = row.take("portion", read_text(row.cell("portion")))
    motility = row.take("motility", read_percent(row.cell("motility"), decimal))
    fertilised = row.take("fertilisation", read_percent(row.cell("fertilisation"), decimal))
    family = row.take("family", read_key(row.cell("family"), book.families))
    off_plan = row.take("off_plan", read_text(row.cell("off_plan")))
    notes = row.take("notes", read_note(row.cell("notes")))
    if row.refused:
        return None
    frozen = bool(notes and _FROZEN.search(notes))
    shares = tuple(
        SireShare(sire=sire or "", share=share, motility_percent=motility, frozen_milt=frozen)
        for sire, share in zip(sires, equal_shares(sires), strict=True)
    )
    cross = CrossMade(
        dam=dam,
        sires=shares,
        family=family,
        portion=portion or "",
        egg_mass_g=mass,
        eggs_per_g=per_g,
        fertilisation_percent=fertilised,
        off_plan_reason=off_plan or "",
        notes=notes or "",
    )
    return Draft(SPAWNING, SpawningNight(spawned_on=day.first, crosses=(cross,)), FIELDS)


SPAWNINGS = Kind("spawnings", "family", _gather, _read, nothing, by_row)
