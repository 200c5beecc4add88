"""What is asked of a milt lot as it should stand, and how all that was taken out of it follows."""

from typing import Any

from django.db.models import Min, Sum

from registry.errors import Objection
from registry.journal.write import Entry
from registry.models import CrossSire, MiltLot, MiltUse, Record
from registry.operations.corrections.asked import Correction
from registry.operations.crossing.milt import MiltCollected, objections_to_collection
from registry.operations.identity.rewriting import Rewriting
from registry.operations.shared.desk import Desk
from registry.queries.known import Named
from registry.rules.days import Day, spoken, surely_before
from registry.rules.known import Known

LOT = ("male_id", "collected_on", "state", "doses", "motility_percent", "position", "notes")


def named_by_lot(entry: Correction) -> Named:
    """Return what a lot names: the male that it is of, and the one that it should be of."""
    record: Any = entry.record
    row = MiltLot(male_id=entry.changes.get("male_id", record.male_id))
    return Named(fish={record.male.number, row.male.number})


def judge_lot(entry: Correction, row: MiltLot, known: Known) -> list[Objection]:
    """Return what is in the way of a lot as it should stand: what was taken out of it must still fit."""
    record: Any = entry.record
    told = {name: getattr(row, name) for name in LOT if name != "male_id"}
    found = objections_to_collection(MiltCollected(number=row.number, male=row.male.number, **told), known)
    uses = MiltUse.objects.current().filter(lot=record)
    taken = uses.aggregate(doses=Sum("doses"), first=Min("used_on"))
    if taken["doses"] and row.doses < taken["doses"]:
        text = f"{taken['doses']} doses were taken out of lot {row.number}; {row.doses} is less. Count again."
        found.append(Objection("over_balance", "doses", text, str(row.doses)))
    if taken["first"] and row.collected_on > taken["first"]:
        text = f"Milt of lot {row.number} was taken out on {spoken(taken['first'])}; it was not collected later."
        found.append(Objection("before_start", "collected_on", f"{text} Correct the day.", str(row.collected_on)))
    crossed = list(_crossed(record))
    if crossed and row.male_id != record.male_id:
        families = ", ".join(sorted({str(one.cross.family) for one in crossed}))
        text = f"Its milt made family {families}: correct that family's parents first, then take the male from there."
        found.append(Objection("lot_in_use", "male", text, row.male.number))
    return found + _objections_to_thawing(row, crossed, known)


def write_lot(desk: Desk, made: Entry, record: MiltLot, row: MiltLot) -> Record:
    """Write the lot again with all that was taken out of it; its crosses say whether their milt was frozen."""
    run = Rewriting(desk, made, noted=False)
    run.want(record, {name: getattr(row, name) for name in LOT})
    if row.state != record.state:
        for one in _crossed(record):
            run.want(one, {"frozen_milt": row.state == MiltLot.State.FROZEN})
    run.run()
    return run.standing_for(record)


def _crossed(lot: MiltLot) -> Any:
    return CrossSire.objects.current().filter(milt_lot=lot).select_related("cross__family", "cross__spawning")


def _objections_to_thawing(row: MiltLot, crossed: list[CrossSire], known: Known) -> list[Objection]:
    """Fresh milt is not used after its male is gone."""
    male = known.find_fish(row.male.number)
    if row.state == MiltLot.State.FROZEN or male is None or not male.left_on:
        return []
    late = [one for one in crossed if surely_before(male.left_on, Day(one.cross.spawning.spawned_on))]
    return [
        Objection(
            "dead_parent", "state",
            f"{male.number} {male.left} {male.left_on}, and family {one.cross.family} was made with this milt later: "
            "it was frozen. Correct one of them.", row.state,
        )
        for one in late
    ]  # fmt: skip
