"""The ploidy of a fish, as it was measured."""

from registry.models import PloidyFound
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import ENTER, Actor
from registry.queries.known import Named
from registry.rules.intake.ploidy import PloidyMeasured, objections_to_ploidy
from registry.rules.known import Known


def record_ploidy(by: Actor, entry: PloidyMeasured, *, confirmed: bool = True) -> PloidyFound:
    """Record how many chromosome sets a fish has. Refused: no such fish, a number that cannot be, nobody named.

    Warns of a number that is not that of the species. A later measurement goes before an earlier one.
    """
    return PLOIDY.do(by, entry, confirmed=confirmed)


def note_ploidy(entry: PloidyMeasured, known: Known) -> None:
    """Let later entries know the number."""
    fish = known.find_fish(entry.fish)
    if fish:
        fish.sets = entry.sets


def _write(desk: Desk, entry: PloidyMeasured) -> PloidyFound:
    fish = desk.fish(entry.fish)
    made = desk.entry("ploidy measured", f"fish {fish}", entry.measured_on)
    return made.add(
        PloidyFound(
            fish=fish,
            measured_on=entry.measured_on,
            sets=entry.sets,
            method=entry.method,
            dna_pg=entry.dna_pg,
            by=entry.by,
            notes=entry.notes,
        )
    )


PLOIDY = Deed(ENTER, lambda e: Named(fish={e.fish}), objections_to_ploidy, note_ploidy, _write)
