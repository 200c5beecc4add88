"""The word of whoever answers for the plan on a cross made outside it."""

from registry.errors import Objection, Refused
from registry.models import Cross, OffPlanSeen
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import ACKNOWLEDGE, Actor
from registry.queries.known import Named
from registry.rules.crossing.at_tank import LONGEST_WORDS, OffPlanAcknowledged, objections_to_words
from registry.rules.known import Known
from registry.rules.texts import objections_to_texts


def acknowledge_off_plan(by: Actor, entry: OffPlanAcknowledged, *, confirmed: bool = True) -> OffPlanSeen:
    """Acknowledge a cross made outside the plan. Refused: no such cross, made by the plan, seen already, no words."""
    return ACKNOWLEDGEMENT.do(by, entry, confirmed=confirmed)


def _cross(family: str) -> Cross | None:
    rows = Cross.objects.current().filter(family__number=family).select_related("spawning")
    return rows.exclude(off_plan_reason="").order_by("pk").first()


def _judge(entry: OffPlanAcknowledged, _known: Known) -> list[Objection]:
    found = objections_to_texts(entry, {"words": LONGEST_WORDS}) + objections_to_words(entry)
    cross = _cross(entry.family)
    if cross is None:
        told = f"No cross of family {entry.family} was made outside a plan."
        found.append(Objection("unknown_cross", "family", told, entry.family))
    elif cross.seen_off_plan.current().exists():
        told = f"The cross of family {entry.family} was acknowledged already."
        found.append(Objection("seen", "family", told, entry.family))
    return found


def _write(desk: Desk, entry: OffPlanAcknowledged) -> OffPlanSeen:
    cross = _cross(entry.family)
    if cross is None:
        raise Refused(Objection("unknown_cross", "family", f"There is no cross of family {entry.family}."))
    made = desk.entry("off-plan cross seen", f"spawning {cross.spawning.number}", reason=entry.words)
    return made.add(OffPlanSeen(cross=cross, words=entry.words))


ACKNOWLEDGEMENT = Deed(ACKNOWLEDGE, lambda _entry: Named(), _judge, lambda _entry, _known: None, _write)
