"""The way of a plan: handed in, returned or signed, closed after the season; and remarks at any time."""

from registry.errors import Objection, Refused
from registry.models import CrossNotMade, CrossPlan, PlanRemark, PlanReview, PlanSignature
from registry.operations.crossing.plans.opened import (
    against_change,
    against_plan,
    find_plan,
    give_way,
    named_by_plan,
    note_nothing,
    subject,
    the_plan,
    unknown_plan,
)
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import ENTER, PLAN, SIGN, Actor
from registry.queries.crosses.made import made_of
from registry.queries.crosses.states import facts_of
from registry.queries.known import Named
from registry.rules.crossing.plans import (
    CLOSED,
    SIGNED,
    NotMade,
    PlanClosed,
    PlanReturned,
    PlanSigned,
    PlanSubmitted,
    RemarkMade,
    objections_to_closing,
    objections_to_signing,
)
from registry.rules.known import Known
from registry.rules.texts import objections_to_texts

LENGTHS = {"words": 1000, "statement": 1000, "reason": 400}


def submit_plan(by: Actor, entry: PlanSubmitted, *, confirmed: bool = True) -> CrossPlan:
    """Hand a draft in for review. Refused: no draft, no pairs, a limit or wish that its crosses break."""
    return SUBMIT.do(by, entry, confirmed=confirmed)


def return_plan(by: Actor, entry: PlanReturned, *, confirmed: bool = True) -> CrossPlan:
    """Return a plan under review to a draft. Refused: not under review, no reasons."""
    return RETURN.do(by, entry, confirmed=confirmed)


def sign_plan(by: Actor, entry: PlanSigned, *, confirmed: bool = True) -> PlanSignature:
    """Sign a plan under review. Refused: a cross that may no longer be made, one's own plan where that is ruled out.

    A signed amendment supersedes the plan that it amends.
    """
    return SIGNATURE.do(by, entry, confirmed=confirmed)


def close_plan(by: Actor, entry: PlanClosed, *, confirmed: bool = True) -> CrossPlan:
    """Close a plan. Refused: superseded, closed, an amendment is open, never signed and no reason. Warns: not made."""
    return CLOSE.do(by, entry, confirmed=confirmed)


def remark(by: Actor, entry: RemarkMade, *, confirmed: bool = True) -> PlanRemark:
    """Note a comment on a plan or a cross, in any state of it. Refused: no words, no such plan or fish."""
    return REMARK.do(by, entry, confirmed=confirmed)


def tell_not_made(by: Actor, entry: NotMade, *, confirmed: bool = True) -> CrossPlan:
    """Say why a planned cross was not made. Refused: the plan is not signed, no such cross in it, it was made."""
    return NOT_MADE.do(by, entry, confirmed=confirmed)


def _judge_submission(entry: PlanSubmitted, known: Known) -> list[Objection]:
    found = objections_to_texts(entry, LENGTHS) + against_change(entry.plan)
    return found or against_plan(the_plan(entry.plan), known)


def _write_submission(desk: Desk, entry: PlanSubmitted) -> CrossPlan:
    return _step(desk, entry.plan, PlanReview.Step.SUBMITTED, "cross plan handed in", entry.words)


def _judge_return(entry: PlanReturned, _known: Known) -> list[Objection]:
    found = objections_to_texts(entry, LENGTHS)
    if not entry.words.strip():
        told = "Say what is to change before the plan is handed in again."
        found.append(Objection("missing_reason", "words", told))
    plan = find_plan(entry.plan)
    return found + (objections_to_signing(facts_of(plan)) if plan else [unknown_plan(entry.plan)])


def _write_return(desk: Desk, entry: PlanReturned) -> CrossPlan:
    return _step(desk, entry.plan, PlanReview.Step.RETURNED, "cross plan returned", entry.words)


def _judge_signature(entry: PlanSigned, known: Known) -> list[Objection]:
    found = objections_to_texts(entry, LENGTHS)
    plan = find_plan(entry.plan)
    if plan is None:
        return [*found, unknown_plan(entry.plan)]
    return found + (objections_to_signing(facts_of(plan)) or against_plan(plan, known))


def _write_signature(desk: Desk, entry: PlanSigned) -> PlanSignature:
    plan = the_plan(entry.plan)
    by = desk.door.by
    writers = {plan.entry.who, *plan.planned.current().values_list("entry__who", flat=True)}
    if desk.known.policy.get("signer_not_sole_author") and writers == {by.name}:
        text = "You alone drafted this plan; the facility's rule asks for another geneticist's signature."
        raise Refused(Objection("own_plan", "", text))
    made = desk.entry("cross plan signed", subject(plan.number))
    return made.add(PlanSignature(plan=plan, user_id=by.user_id, signed_on=desk.known.today, statement=entry.statement))


def _judge_closing(entry: PlanClosed, known: Known) -> list[Objection]:
    found = objections_to_texts(entry, LENGTHS)
    plan = find_plan(entry.plan)
    if plan is None:
        return [*found, unknown_plan(entry.plan)]
    facts = facts_of(plan)
    found += objections_to_closing(facts, entry.words)
    return found if found or facts.state != SIGNED else _before_closing(plan, known)


def _before_closing(plan: CrossPlan, known: Known) -> list[Objection]:
    """Warn of crosses that were neither made nor spoken of, and of a season that is still to come."""
    found = []
    rows = list(plan.planned.current().select_related("dam", "sire").order_by("pk"))
    made = made_of(plan, rows)
    told_of = set(CrossNotMade.objects.current().filter(planned__plan=plan).values_list("planned_id", flat=True))
    silent = [str(row) for row in rows if row.pk not in made and row.pk not in told_of]
    if silent:
        told = f"Not made, and nobody said why: {', '.join(silent)}. Say it first, if you know."
        found.append(Objection("not_made", "", told, str(len(silent)), warning=True))
    if plan.season > known.today.year:
        told = f"The season {plan.season} is still to come."
        found.append(Objection("early", "", told, str(plan.season), warning=True))
    return found


def _write_closing(desk: Desk, entry: PlanClosed) -> CrossPlan:
    return _step(desk, entry.plan, PlanReview.Step.CLOSED, "cross plan closed", entry.words)


def _step(desk: Desk, number: str, step: str, what: str, words: str) -> CrossPlan:
    plan = the_plan(number)
    made = desk.entry(what, subject(plan.number), reason=words)
    made.add(PlanReview(plan=plan, step=step, words=words))
    return plan


def _judge_remark(entry: RemarkMade, known: Known) -> list[Objection]:
    found = objections_to_texts(entry, LENGTHS)
    if not entry.words.strip():
        found.append(Objection("missing", "words", "The remark is empty. Write it."))
    if find_plan(entry.plan) is None:
        found.append(unknown_plan(entry.plan))
    if bool(entry.dam) != bool(entry.sire):
        found.append(Objection("missing", "sire", "A remark on a cross names both fish. Name the other one too."))
    for field in ("dam", "sire"):
        number = getattr(entry, field)
        if number and known.find_fish(number) is None:
            found.append(Objection("unknown_fish", field, f"There is no fish {number} in the register.", number))
    return found


def _write_remark(desk: Desk, entry: RemarkMade) -> PlanRemark:
    plan, dam, sire = the_plan(entry.plan), desk.fish(entry.dam), desk.fish(entry.sire)
    told = f"{dam} × {sire}: {entry.words}" if dam else entry.words
    made = desk.entry("remark made", subject(plan.number), reason=told)
    return made.add(PlanRemark(plan=plan, dam=dam, sire=sire, words=entry.words))


def _judge_not_made(entry: NotMade, _known: Known) -> list[Objection]:
    found = objections_to_texts(entry, LENGTHS)
    plan = find_plan(entry.plan)
    if plan is None:
        return [*found, unknown_plan(entry.plan)]
    if facts_of(plan).state not in (SIGNED, CLOSED):
        told = f"Plan {plan.number} is not in force: nothing of it was to be made."
        return [*found, Objection("not_signed", "plan", told, plan.number)]
    pair = f"{entry.dam} × {entry.sire}"
    row = plan.planned.current().filter(dam__number=entry.dam, sire__number=entry.sire).first()
    if row is None:
        found.append(Objection("unknown_pair", "", f"{pair} is not in plan {plan.number}.", pair))
    elif made_of(plan, [row]):
        found.append(Objection("made", "", f"{pair} was made. Look at its spawning.", pair))
    elif not entry.reason.strip() and not row.not_made.current().exists():
        found.append(Objection("missing_reason", "reason", f"Say why {pair} was not made.", pair))
    return found


def _write_not_made(desk: Desk, entry: NotMade) -> CrossPlan:
    plan = the_plan(entry.plan)
    row = plan.planned.current().get(dam__number=entry.dam, sire__number=entry.sire)
    pair = f"{entry.dam} × {entry.sire}"
    what = "told why not made" if entry.reason else "reason taken back"
    made = desk.entry(what, subject(plan.number), reason=f"{pair}: {entry.reason}".rstrip(": "))
    told = CrossNotMade(planned=row, reason=entry.reason) if entry.reason else None
    give_way(made, row.not_made.current(), told)
    return plan


SUBMIT = Deed(PLAN, named_by_plan, _judge_submission, note_nothing, _write_submission)
RETURN = Deed(SIGN, lambda _entry: Named(), _judge_return, note_nothing, _write_return)
SIGNATURE = Deed(SIGN, named_by_plan, _judge_signature, note_nothing, _write_signature)
CLOSE = Deed(SIGN, lambda _entry: Named(), _judge_closing, note_nothing, _write_closing)
REMARK = Deed(
    ENTER, lambda e: Named(fish={n for n in (e.dam, e.sire) if n}), _judge_remark, note_nothing, _write_remark
)
NOT_MADE = Deed(ENTER, lambda _entry: Named(), _judge_not_made, note_nothing, _write_not_made)
