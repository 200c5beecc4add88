"""Treatments, as they were given under a prescription."""

from registry.models import Treatment
from registry.operations.intake.quarantine import named_by
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import ENTER, Actor
from registry.rules.intake.held import Hold
from registry.rules.intake.quarantine import bearer
from registry.rules.intake.treatments import TreatmentGiven, objections_to_treatment
from registry.rules.known import Known


def record_treatment(by: Actor, entry: TreatmentGiven, *, confirmed: bool = True) -> Treatment:
    """Record a treatment of a fish or a batch. Refused: no product, amount or prescriber, an impossible day."""
    return TREATMENT.do(by, entry, confirmed=confirmed)


def _note(entry: TreatmentGiven, known: Known) -> None:
    fish = bearer(entry.fish, entry.batch, known)
    if fish and entry.withdrawal_until:
        fish.waits += (Hold(entry.given_on, entry.withdrawal_until, entry.product, entry.bars_crossing),)


def _write(desk: Desk, entry: TreatmentGiven) -> Treatment:
    fish, batch = desk.fish(entry.fish), desk.batch(entry.batch) if entry.batch else None
    made = desk.entry("treatment given", f"batch {batch}" if batch else f"fish {fish}", entry.given_on)
    _note(entry, desk.known)
    return made.add(
        Treatment(
            fish=fish,
            batch=batch,
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


TREATMENT = Deed(ENTER, named_by, objections_to_treatment, _note, _write)
