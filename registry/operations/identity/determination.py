"""The species of a fish: determined by its characters, kept with the evidence, and taken over as a correction."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from registry.errors import Objection, Refused
from registry.journal.write import Entry, door
from registry.models import CharacterSeen, Determination, Fish, FishDetails, Record, SpeciesFit
from registry.operations.corrections import Correction, correct
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import CORRECT, ENTER, Actor
from registry.queries.catalogue.profiles import profiles
from registry.queries.known import Named
from registry.rules.identity.determination import (
    Determined,
    TakenBack,
    as_seen,
    known_signs,
    objections_to_determination,
)
from registry.rules.identity.fit import APART, Fit, fits
from registry.rules.identity.flags import flags
from registry.rules.known import Known


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenOver:
    """A determination whose conclusion becomes the fish's species, and why."""

    pk: int
    reason: str


def determine(by: Actor, entry: Determined, *, confirmed: bool = True) -> Determination:
    """Keep what was seen on a fish, how well each species fits it, and the conclusion.

    Refused: no such fish, a day on which it was not there, numbers that no sturgeon has, nothing seen.
    """
    return DETERMINATION.do(by, entry, confirmed=confirmed)


def named_by_determination(entry: Determined) -> Named:
    """Return what a determination names."""
    return Named(fish={entry.fish})


def note_determination(_entry: Determined, _known: Known) -> None:
    """A determination changes nothing that later entries are judged by; only its taking over does."""


def write_determination(desk: Desk, entry: Determined) -> Determination:
    """Write a judged determination."""
    fish = desk.fish(entry.fish)
    made = desk.entry("species determined", f"fish {fish}", entry.determined_on)
    return write_what_was_seen(desk, made, fish, entry)


def write_what_was_seen(desk: Desk, made: Entry, fish: Fish | None, entry: Determined) -> Determination:
    """Write a determination into an open entry, scored by the catalogue as it stands."""
    seen = as_seen(entry)
    found = fits(seen, profiles()) if entry.looks else []
    row = made.add(
        Determination(
            fish=fish,
            determined_on=entry.determined_on,
            species=desk.species(entry.species) if entry.species else None,
            hybrid=entry.hybrid,
            confidence=entry.confidence,
            river=entry.river,
            total_length_mm=entry.total_length_mm,
            mass_g=entry.mass_g,
            signs=",".join(known_signs(entry.signs)),
            flags="\n".join(f"{flag.title}. {flag.words}" for flag in flags(seen, found)),
            separable=len(found) > 1 and found[0].score - found[1].score >= APART,
            evidence=entry.evidence,
            notes=entry.notes,
        )
    )
    _write_evidence(desk, made, row, entry, found)
    return row


def _write_evidence(desk: Desk, made: Entry, row: Determination, entry: Determined, found: list[Fit]) -> None:
    for look in entry.looks:
        made.add(
            CharacterSeen(determination=row, character=look.character, side=look.side, value=look.value, look=look.look)
        )
    for fit in found:
        score = min(Decimal(0), round(Decimal(fit.score), 4))
        species = desk.species(fit.profile.key)
        made.add(SpeciesFit(determination=row, species=species, log_score=score, disagreeing=",".join(fit.disagreeing)))


DETERMINATION = Deed(
    ENTER, named_by_determination, objections_to_determination, note_determination, write_determination
)


def take_over(by: Actor, entry: TakenOver, *, confirmed: bool = True) -> Record:
    """Correct the fish's species by a determination; a stock of another species is left with it.

    Refused: taken back meanwhile, nothing different from what stands, or what the correction's own rules refuse.
    """
    row = _standing(entry.pk)
    details = FishDetails.objects.current().select_related("fish", "species", "stock", "entry").get(fish=row.fish_id)
    return correct(
        by, Correction(record=details, changes=taken_over(row, details), reason=entry.reason), confirmed=confirmed
    )


def taken_over(row: Determination, details: FishDetails) -> dict[str, Any]:
    """Return what taking a determination over changes in the fish's details."""
    doubtful = row.species_id is None and not row.hybrid
    wanted: dict[str, Any] = {
        "species_id": row.species_id if row.species_id else details.species_id,
        "confidence": "doubtful" if doubtful else row.confidence,
        "hybrid": row.hybrid,
    }
    if details.stock and not row.hybrid and details.stock.species_id != wanted["species_id"]:
        wanted["stock_id"] = None
    return {name: value for name, value in wanted.items() if getattr(details, name) != value}


def take_determination_back(by: Actor, entry: TakenBack) -> Determination:
    """Take back a determination that was a mistake; it stays readable. Refused: no reason, taken back already."""
    with door(by, CORRECT) as opened:
        row = _standing(entry.pk)
        if not entry.reason.strip():
            raise Refused(Objection("no_reason", "reason", "Say why: the reason stands in the journal."))
        made = opened.open(
            "determination taken back", f"fish {row.fish.number}", reason=entry.reason, corrects=row.entry
        )
        made.withdraw(row)
        for part in (*row.characters.all(), *row.fits.all()):
            made.withdraw(part)
    return row


def _standing(pk: int) -> Determination:
    row = Determination.objects.current().select_related("fish", "species", "entry").filter(pk=pk).first()
    if row is None:
        raise Refused(Objection("withdrawn", "", "This determination was taken back. Look at the fish's page."))
    return row
