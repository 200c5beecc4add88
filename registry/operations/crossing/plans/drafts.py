"""Drafting a plan, and drafting an amendment of a signed one."""

from typing import Any

from registry.errors import Objection
from registry.journal.write import Entry
from registry.models import CrossPlan, PlanAnswer, PlanFish, PlanLimit, PlannedCross, PlanPair, PlanTerms, Record
from registry.operations.crossing.plans.opened import (
    find_plan,
    note_nothing,
    subject,
    the_plan,
    unknown_plan,
)
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import PLAN, Actor
from registry.queries.crosses.states import facts_of
from registry.queries.known import Named
from registry.rules.crossing.crosses import PlanDraft, objections_to_draft
from registry.rules.crossing.plans import PlanAmended, objections_to_amending
from registry.rules.known import Known
from registry.rules.texts import LONGEST_NUMBER, objections_to_texts

# What an amendment begins with, and the columns that make each row.
CARRIED: dict[type[Record], tuple[str, ...]] = {
    PlannedCross: ("dam", "sire", "kinship", "comment", "young"),
    PlanTerms: ("crosses", "scheme", "mates", "price", "count_living", "weight_of_young", "count_made"),
    PlanLimit: ("key", "value", "reason"),
    PlanFish: ("fish", "stand", "most", "reason"),
    PlanPair: ("dam", "sire", "stand", "reason"),
    PlanAnswer: ("objective", "lower_bound", "group_coancestry", "mean_inbreeding", "proven", "seconds", "asked"),
}


def draft_plan(by: Actor, entry: PlanDraft, *, confirmed: bool = True) -> CrossPlan:
    """Draft a plan for a stock and season. Refused: number in use, no such stock, a season not to plan for."""
    return DRAFT.do(by, entry, confirmed=confirmed)


def amend_plan(by: Actor, entry: PlanAmended, *, confirmed: bool = True) -> CrossPlan:
    """Draft the next amendment of a signed plan. Refused: no reason, not signed, superseded, closed, one is open."""
    return AMEND.do(by, entry, confirmed=confirmed)


def _judge_draft(entry: PlanDraft, known: Known) -> list[Objection]:
    found = objections_to_draft(entry, known)
    if CrossPlan.objects.filter(number__iexact=entry.number).exists():
        found.append(
            Objection("duplicate_id", "number", f"Plan {entry.number} is in the register. Take another number.")
        )
    return found


def _write_draft(desk: Desk, entry: PlanDraft) -> CrossPlan:
    made = desk.entry("cross plan drafted", subject(entry.number))
    stock = desk.stock(entry.stock)
    return made.add(CrossPlan(number=entry.number, stock=stock, season=entry.season, notes=entry.notes))


def _judge_amendment(entry: PlanAmended, _known: Known) -> list[Objection]:
    found = objections_to_texts(entry, {"reason": 1000})
    plan = find_plan(entry.plan)
    if plan is None:
        return [*found, unknown_plan(entry.plan)]
    found += objections_to_amending(facts_of(plan))
    if not entry.reason.strip():
        found.append(Objection("missing_reason", "reason", f"Say why plan {entry.plan} is to change."))
    number, _ = _next(plan)
    if len(number) > LONGEST_NUMBER:
        told = f"{number} is too long for a plan number. Close plan {entry.plan} and draft a new one."
        found.append(Objection("too_long", "", told, number))
    elif CrossPlan.objects.filter(number__iexact=number).exists():
        told = f"The next amendment would be plan {number}, which is another plan. Close this plan and draft a new one."
        found.append(Objection("duplicate_id", "", told, number))
    return found


def _write_amendment(desk: Desk, entry: PlanAmended) -> CrossPlan:
    signed = the_plan(entry.plan)
    number, count = _next(signed)
    made = desk.entry("amendment drafted", subject(number), reason=entry.reason)
    first = signed.amends or signed
    plan = made.add(
        CrossPlan(
            number=number, stock=signed.stock, season=signed.season, notes=signed.notes, amends=first, amendment=count
        )
    )
    for model, columns in CARRIED.items():
        _carry(made, model.objects.current().filter(plan=signed).order_by("pk"), plan, columns)
    desk.door.open("amendment of it drafted", subject(signed.number), reason=f"{number}: {entry.reason}")
    return plan


def _carry(made: Entry, rows: Any, plan: CrossPlan, columns: tuple[str, ...]) -> None:
    for row in rows:
        attributes = [row._meta.get_field(name).attname for name in columns]
        made.add(type(row)(plan=plan, **{name: getattr(row, name) for name in attributes}))


def _next(plan: CrossPlan) -> tuple[str, int]:
    """Return number and count of the next amendment of a plan."""
    first = plan.amends or plan
    taken = first.amendments.order_by("-amendment").values_list("amendment", flat=True).first()
    count = (taken or 0) + 1
    return f"{first.number}-A{count}", count


DRAFT = Deed(PLAN, lambda _entry: Named(), _judge_draft, note_nothing, _write_draft)
AMEND = Deed(PLAN, lambda _entry: Named(), _judge_amendment, note_nothing, _write_amendment)
