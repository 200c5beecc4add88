"""What holds a batch back, passed on as its fish go into another batch or are registered one by one."""

from datetime import date
from typing import Any

from registry.journal.write import Entry
from registry.models import Quarantine, Treatment
from registry.operations.shared.desk import Desk
from registry.rules.known import KnownBatch


def pass_care_on(desk: Desk, made: Entry, parent: KnownBatch | None, day: date, **owner: Any) -> None:
    """Let what comes out of a batch, a fish or another batch, be in its quarantine, and withheld as it is."""
    hold = parent.quarantined(day) if parent else None
    if parent and hold:
        unit, reason = desk.unit(hold.why), f"out of batch {parent.number} in quarantine"
        made.add(Quarantine(**owner, unit=unit, since=day, reason=reason))
    pass_waits_on(made, parent, day, **owner)


def pass_waits_on(made: Entry, parent: KnownBatch | None, day: date, **owner: Any) -> None:
    """Let fish that come out of a batch be withheld as long as it is after a treatment."""
    if parent is None or parent.withheld(day) is None:
        return
    running = Treatment.objects.current().filter(batch=parent.pk, given_on__lte=day, withdrawal_until__gt=day)
    names = ("given_on", "product", "product_batch", "amount", "prescriber", "prescription", "withdrawal_until",
             "bars_crossing", "notes")  # fmt: skip
    for one in running.order_by("given_on", "pk"):
        made.add(Treatment(**owner, **{name: getattr(one, name) for name in names}))
