"""The crosses of a draft: put in, taken out, swapped, or all replaced by another set."""

from registry.errors import Objection
from registry.models import CrossPlan, PlannedCross
from registry.operations.crossing.plans.judged import against_step, standing
from registry.operations.crossing.plans.opened import (
    against_change,
    known_numbers,
    named_by_pairs,
    note_nothing,
    planned,
    subject,
    the_plan,
    twice,
    write_answer,
)
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import PLAN, Actor
from registry.queries.crosses.season.problem import Numbers
from registry.queries.known import Named
from registry.rules.crossing.crosses import PairWanted, objections_to_names
from registry.rules.crossing.plans import CrossesTaken, PairAdded, PairSwapped, PairTakenOut
from registry.rules.known import Known
from registry.rules.texts import objections_to_texts


def add_pair(by: Actor, entry: PairAdded, *, confirmed: bool = True) -> PlannedCross:
    """Put a pair into a draft. Refused: no draft, a pair that is in it, too close kin, no candidate, left out."""
    return ADD_PAIR.do(by, entry, confirmed=confirmed)


def take_pair_out(by: Actor, entry: PairTakenOut, *, confirmed: bool = True) -> CrossPlan:
    """Take a pair out of a draft. Refused: no draft, a pair that is not in it."""
    return TAKE_OUT.do(by, entry, confirmed=confirmed)


def swap_pair(by: Actor, entry: PairSwapped, *, confirmed: bool = True) -> PlannedCross:
    """Put a pair in the place of another. Refused: no draft, what `add_pair` and `take_pair_out` refuse."""
    return SWAP.do(by, entry, confirmed=confirmed)


def take_crosses(by: Actor, entry: CrossesTaken, *, confirmed: bool = True) -> CrossPlan:
    """Make these the crosses of a draft, whatever stood in it. Refused: no draft, a pair that may not be planned.

    Crosses that stood in it already stay the same rows, with their comments and remarks.
    """
    return TAKE_CROSSES.do(by, entry, confirmed=confirmed)


def _against_putting_in(plan: CrossPlan, pair: PairWanted, known: Known, instead_of: Numbers | None) -> list[Objection]:
    found = objections_to_names(pair, known)
    if found:
        return found
    pair, now = known_numbers(pair, known), standing(plan)
    new = (pair.dam, pair.sire)
    if new in now:
        return [Objection("duplicate_id", "sire", f"{pair.dam} × {pair.sire} is in plan {plan.number} already.")]
    return against_step(plan, [*(one for one in now if one != instead_of), new], [new], known.today)


def _against_taking_out(plan: CrossPlan, dam: str, sire: str) -> list[Objection]:
    if (dam, sire) in standing(plan):
        return []
    return [Objection("unknown_pair", "", f"{dam} × {sire} is not in plan {plan.number}.")]


def _judge_pair(entry: PairAdded, known: Known) -> list[Objection]:
    return against_change(entry.plan) or _against_putting_in(the_plan(entry.plan), entry.pair, known, None)


def _write_pair(desk: Desk, entry: PairAdded) -> PlannedCross:
    plan = the_plan(entry.plan)
    made = desk.entry("pair planned", subject(plan.number))
    write_answer(made, plan, entry.answer)
    return made.add(planned(desk, plan, entry.pair))


def _judge_taking_out(entry: PairTakenOut, known: Known) -> list[Objection]:
    found = objections_to_texts(entry)
    closed = against_change(entry.plan)
    if closed:
        return found + closed
    plan = the_plan(entry.plan)
    strange = _against_taking_out(plan, entry.dam, entry.sire)
    left = [pair for pair in standing(plan) if pair != (entry.dam, entry.sire)]
    return found + (strange or against_step(plan, left, [], known.today))


def _write_taking_out(desk: Desk, entry: PairTakenOut) -> CrossPlan:
    plan = the_plan(entry.plan)
    made = desk.entry("pair taken out", subject(plan.number), reason=entry.reason)
    made.withdraw(plan.planned.current().get(dam__number=entry.dam, sire__number=entry.sire))
    write_answer(made, plan, entry.answer)
    return plan


def _judge_swap(entry: PairSwapped, known: Known) -> list[Objection]:
    found = against_change(entry.plan)
    if not found:
        plan = the_plan(entry.plan)
        found = _against_taking_out(plan, entry.dam, entry.sire)
        found += _against_putting_in(plan, entry.pair, known, (entry.dam, entry.sire))
    return objections_to_texts(entry) + found


def _write_swap(desk: Desk, entry: PairSwapped) -> PlannedCross:
    plan = the_plan(entry.plan)
    made = desk.entry("pair swapped", subject(plan.number), reason=entry.reason)
    made.withdraw(plan.planned.current().get(dam__number=entry.dam, sire__number=entry.sire))
    write_answer(made, plan, entry.answer)
    return made.add(planned(desk, plan, entry.pair))


def _judge_crosses(entry: CrossesTaken, known: Known) -> list[Objection]:
    found = objections_to_texts(entry) + twice(known_numbers(pair, known) for pair in entry.pairs)
    closed = against_change(entry.plan)
    if closed:
        return found + closed
    if not entry.pairs:
        found.append(Objection("empty_plan", "", "There is no cross to take. Name at least one pair."))
    strange = [told for pair in entry.pairs for told in objections_to_names(pair, known)]
    wanted = [(pair.dam, pair.sire) for pair in (known_numbers(one, known) for one in entry.pairs)]
    judged = [] if strange else against_step(the_plan(entry.plan), wanted, wanted, known.today)
    return list(dict.fromkeys([*found, *strange, *judged]))


def _write_crosses(desk: Desk, entry: CrossesTaken) -> CrossPlan:
    plan = the_plan(entry.plan)
    made = desk.entry("crosses taken", subject(plan.number), reason=entry.reason)
    wanted = {(pair.dam, pair.sire): pair for pair in (known_numbers(one, desk.known) for one in entry.pairs)}
    for row in plan.planned.current().select_related("dam", "sire"):
        if wanted.pop((row.dam.number, row.sire.number), None) is None:
            made.withdraw(row)
    for pair in wanted.values():
        made.add(planned(desk, plan, pair))
    write_answer(made, plan, entry.answer)
    return plan


def _nobody(_entry: PairTakenOut) -> Named:
    return Named()


ADD_PAIR = Deed(PLAN, lambda entry: named_by_pairs(entry.pair), _judge_pair, note_nothing, _write_pair)
TAKE_OUT = Deed(PLAN, _nobody, _judge_taking_out, note_nothing, _write_taking_out)
SWAP = Deed(PLAN, lambda entry: named_by_pairs(entry.pair), _judge_swap, note_nothing, _write_swap)
TAKE_CROSSES = Deed(PLAN, lambda entry: named_by_pairs(*entry.pairs), _judge_crosses, note_nothing, _write_crosses)
