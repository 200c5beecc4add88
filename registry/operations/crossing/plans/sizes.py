"""The size that is planned of a family."""

from registry.errors import Objection
from registry.models import PlannedCross
from registry.operations.crossing.plans.opened import against_change, note_nothing, subject, the_plan, write_answer
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import PLAN, Actor
from registry.queries.known import Named
from registry.rules.crossing.sizes import FamilySized, objections_to_size
from registry.rules.known import Known
from registry.rules.texts import objections_to_texts


def size_family(by: Actor, entry: FamilySized, *, confirmed: bool = True) -> PlannedCross:
    """Plan so many young of a cross. Refused: no draft, a pair that is not in it, a family of none."""
    return SIZE_FAMILY.do(by, entry, confirmed=confirmed)


def _judge(entry: FamilySized, _known: Known) -> list[Objection]:
    found = objections_to_texts(entry) + objections_to_size(entry)
    closed = against_change(entry.plan)
    if closed:
        return found + closed
    rows = the_plan(entry.plan).planned.current()
    if not rows.filter(dam__number=entry.dam, sire__number=entry.sire).exists():
        told = f"{entry.dam} × {entry.sire} is not in plan {entry.plan}."
        found.append(Objection("unknown_pair", "", told))
    return found


def _write(desk: Desk, entry: FamilySized) -> PlannedCross:
    plan = the_plan(entry.plan)
    made = desk.entry("family size planned", subject(plan.number))
    row = plan.planned.current().get(dam__number=entry.dam, sire__number=entry.sire)
    made.withdraw(row)
    write_answer(made, plan, entry.answer)
    other = PlannedCross(plan=plan, dam_id=row.dam_id, sire_id=row.sire_id, kinship=row.kinship, comment=row.comment)
    other.young = entry.young
    return made.add(other)


def _nobody(_entry: FamilySized) -> Named:
    return Named()


SIZE_FAMILY = Deed(PLAN, _nobody, _judge, note_nothing, _write)
