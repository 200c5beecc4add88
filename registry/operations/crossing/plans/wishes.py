"""What the geneticist asks of a draft: terms, limits set off from their defaults, the word on fish and pairs."""

from collections.abc import Callable
from typing import Any

from registry.errors import Objection
from registry.models import CrossPlan, PlanFish, PlanLimit, PlanPair, PlanTerms
from registry.operations.crossing.plans.opened import (
    against_change,
    find_plan,
    give_way,
    note_nothing,
    subject,
    the_plan,
)
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import PLAN, Actor
from registry.queries.crosses.wishes import wishes_of
from registry.queries.known import Named
from registry.rules.crossing.limits import BY_KEY, LimitRestored, LimitSet, objections_to_limit
from registry.rules.crossing.wishes import (
    CHOSEN,
    CLEARED,
    FishChosen,
    FishStand,
    PairStand,
    TermsSet,
    objections_to_choice,
    objections_to_fish_stand,
    objections_to_pair_stand,
    objections_to_terms,
)
from registry.rules.known import Known
from registry.rules.texts import objections_to_texts

LENGTHS = {"reason": 400}


def set_terms(by: Actor, entry: TermsSet, *, confirmed: bool = True) -> CrossPlan:
    """Set a draft's terms. Refused: no draft, no such scheme, mates that do not go with it, figures out of range."""
    return TERMS.do(by, entry, confirmed=confirmed)


def set_limit(by: Actor, entry: LimitSet, *, confirmed: bool = True) -> CrossPlan:
    """Set a limit of a draft off from its default. Refused: no draft, no such limit, no reason, a bad figure."""
    return LIMIT.do(by, entry, confirmed=confirmed)


def restore_limit(by: Actor, entry: LimitRestored, *, confirmed: bool = True) -> CrossPlan:
    """Give a limit of a draft its default again. Refused: no draft, a limit that has its default."""
    return RESTORE.do(by, entry, confirmed=confirmed)


def set_plan_fish(by: Actor, entry: FishStand, *, confirmed: bool = True) -> CrossPlan:
    """Leave a fish out of a draft, take it in though not ripe, limit its use, or clear that. Refused: no reason."""
    return FISH.do(by, entry, confirmed=confirmed)


def choose_plan_fish(by: Actor, entry: FishChosen, *, confirmed: bool = True) -> CrossPlan:
    """Choose the fish that a draft must use, all of them at once. Refused: no reason, another word stands on one."""
    return CHOICE.do(by, entry, confirmed=confirmed)


def set_plan_pair(by: Actor, entry: PairStand, *, confirmed: bool = True) -> CrossPlan:
    """Lock a pair into a draft, forbid it, or clear that. Refused: no draft, no such fish, forbidden without reason."""
    return PAIR.do(by, entry, confirmed=confirmed)


def _judged(judge: Callable[[Any, Known], list[Objection]]) -> Callable[[Any, Known], list[Objection]]:
    """Return a judge that also asks for sound texts and an open draft."""

    def found(entry: Any, known: Known) -> list[Objection]:
        return objections_to_texts(entry, LENGTHS) + judge(entry, known) + against_change(entry.plan)

    return found


def _judge_restoring(entry: LimitRestored, _known: Known) -> list[Objection]:
    rows = PlanLimit.objects.current().filter(plan__number=entry.plan, key=entry.key)
    if rows.exists():
        return []
    name = BY_KEY[entry.key].name if entry.key in BY_KEY else entry.key
    return [Objection("unknown_limit", "key", f"The limit “{name}” has its default in this plan.", entry.key)]


def _judge_fish(entry: FishStand, known: Known) -> list[Objection]:
    return objections_to_fish_stand(entry) + _unknown({"fish": entry.fish}, known)


def _judge_choice(entry: FishChosen, known: Known) -> list[Objection]:
    strange = [told for number in entry.fish for told in _unknown({"fish": number}, known)]
    plan = find_plan(entry.plan)
    return strange + (objections_to_choice(entry, wishes_of(plan)) if plan else [])


def _judge_pair(entry: PairStand, known: Known) -> list[Objection]:
    return objections_to_pair_stand(entry) + _unknown({"dam": entry.dam, "sire": entry.sire}, known)


def _unknown(named: dict[str, str], known: Known) -> list[Objection]:
    return [
        Objection("unknown_fish", field, f"There is no fish {number} in the register.", number)
        for field, number in named.items()
        if known.find_fish(number) is None
    ]


def _write_terms(desk: Desk, entry: TermsSet) -> CrossPlan:
    plan = the_plan(entry.plan)
    made = desk.entry("terms set", subject(plan.number))
    row = PlanTerms(
        plan=plan,
        crosses=entry.crosses,
        scheme=entry.scheme,
        mates=entry.mates,
        price=entry.price,
        count_living=entry.count_living,
        weight_of_young=entry.weight_of_young,
        count_made=entry.count_made,
    )
    give_way(made, plan.terms.current(), row)
    return plan


def _write_limit(desk: Desk, entry: LimitSet) -> CrossPlan:
    plan = the_plan(entry.plan)
    what = "limit lifted" if entry.value is None else "limit set"
    made = desk.entry(what, subject(plan.number), reason=f"{BY_KEY[entry.key].name}: {entry.reason}")
    row = PlanLimit(plan=plan, key=entry.key, value=entry.value, reason=entry.reason)
    give_way(made, plan.limits.current().filter(key=entry.key), row)
    return plan


def _write_restoring(desk: Desk, entry: LimitRestored) -> CrossPlan:
    plan = the_plan(entry.plan)
    made = desk.entry("limit restored", subject(plan.number), reason=BY_KEY[entry.key].name)
    give_way(made, plan.limits.current().filter(key=entry.key), None)
    return plan


def _write_fish(desk: Desk, entry: FishStand) -> CrossPlan:
    plan, fish = the_plan(entry.plan), desk.fish(entry.fish)
    told = f"fish {entry.stand}" if entry.stand else "fish cleared"
    made = desk.entry(told, subject(plan.number), reason=f"{fish.number}: {entry.reason}".rstrip(": "))
    row = PlanFish(plan=plan, fish=fish, stand=entry.stand, most=entry.most, reason=entry.reason)
    give_way(made, plan.fish.current().filter(fish=fish), None if entry.stand == CLEARED else row)
    return plan


def _write_choice(desk: Desk, entry: FishChosen) -> CrossPlan:
    plan = the_plan(entry.plan)
    made = desk.entry(
        "fish chosen" if entry.fish else "choice of fish cleared", subject(plan.number), reason=entry.reason
    )
    wanted = {row.pk: row for row in map(desk.fish, entry.fish) if row}
    for row in plan.fish.current().filter(stand=CHOSEN):
        if wanted.pop(row.fish_id, None) is None:
            made.withdraw(row)
    for fish in wanted.values():
        made.add(PlanFish(plan=plan, fish=fish, stand=CHOSEN, reason=entry.reason))
    return plan


def _write_pair(desk: Desk, entry: PairStand) -> CrossPlan:
    plan, dam, sire = the_plan(entry.plan), desk.fish(entry.dam), desk.fish(entry.sire)
    told = f"pair {entry.stand}" if entry.stand else "pair cleared"
    made = desk.entry(told, subject(plan.number), reason=f"{dam} × {sire}: {entry.reason}".rstrip(": "))
    row = PlanPair(plan=plan, dam=dam, sire=sire, stand=entry.stand, reason=entry.reason)
    earlier = plan.pair_wishes.current().filter(dam=dam, sire=sire)
    give_way(made, earlier, None if entry.stand == CLEARED else row)
    return plan


def _nobody(_entry: object) -> Named:
    return Named()


TERMS = Deed(PLAN, _nobody, _judged(lambda entry, _known: objections_to_terms(entry)), note_nothing, _write_terms)
LIMIT = Deed(PLAN, _nobody, _judged(lambda entry, _known: objections_to_limit(entry)), note_nothing, _write_limit)
RESTORE = Deed(PLAN, _nobody, _judged(_judge_restoring), note_nothing, _write_restoring)
FISH = Deed(PLAN, lambda entry: Named(fish={entry.fish}), _judged(_judge_fish), note_nothing, _write_fish)
CHOICE = Deed(PLAN, lambda entry: Named(fish=set(entry.fish)), _judged(_judge_choice), note_nothing, _write_choice)
PAIR = Deed(PLAN, lambda entry: Named(fish={entry.dam, entry.sire}), _judged(_judge_pair), note_nothing, _write_pair)
