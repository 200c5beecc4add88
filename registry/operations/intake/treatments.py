"""Treatments, as they were given under a prescription."""

from registry.models import Treatment
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import ENTER, Actor
from registry.queries.known import Named
from registry.rules.intake.treatments import TreatmentGiven, objections_to_treatment
from registry.rules.known import Hold, Known


def record_treatment(by: Actor, entry: TreatmentGiven, *, confirmed: bool = True) -> Treatment:
    """Record a treatment. Refused: no such fish, no product, amount or prescriber, a waiting time before it began."""
    return TREATMENT.do(by, entry, confirmed=confirmed)


def _note(entry: TreatmentGiven, known: Known) -> None:
    fish = known.find_fish(entry.fish)
    if fish and entry.withdrawal_until:
        fish.waits += (Hold(entry.given_on, entry.withdrawal_until, entry.product, entry.bars_crossing),)


def _write(desk: Desk, entry: TreatmentGiven) -> Treatment:
    fish = desk.fish(entry.fish)
    made = desk.entry("treatment given", f"fish {fish.number}", entry.given_on)
    _note(entry, desk.known)
    return made.add(
        Treatment(
            fish=fish,
            given_on=entry.given_on,
            product=entry.product,
            product_batch=entry.product_batch,
            amount=entry.amount,
            prescriber=entry.prescriber,
            prescription=entry.prescription,
            withdrawal_until=entry.withdrawal_until,
            bars_crossing=entry.bars_crossing,
            notes=entry.notes,
        )
    )


TREATMENT = Deed(ENTER, lambda e: Named(fish={e.fish}), objections_to_treatment, _note, _write)
