"""Cross plans: drafted pair by pair, signed once, never changed after."""

from dataclasses import dataclass
from decimal import Decimal

from registry.errors import Objection, Refused
from registry.models import CrossPlan, PlannedCross, PlanSignature
from registry.operations.shared.desk import Deed, Desk
from registry.permissions import PLAN, SIGN, Actor
from registry.queries.known import Named
from registry.rules.crossing.crosses import PairWanted, PlanDraft, objections_to_draft, objections_to_pair
from registry.rules.known import Known
from registry.rules.texts import objections_to_texts

STATEMENT = (
    "I have looked at these crosses and at their kinship by the recorded pedigree, and propose that they be made."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PairAdded:
    """A pair put into a draft plan."""

    plan: str
    pair: PairWanted


@dataclass(frozen=True, slots=True, kw_only=True)
class PairTakenOut:
    """A pair taken out of a draft plan, with the reason."""

    plan: str
    dam: str
    sire: str
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanSigned:
    """The geneticist's word on a plan."""

    plan: str
    statement: str = STATEMENT


def draft_plan(by: Actor, entry: PlanDraft, *, confirmed: bool = True) -> CrossPlan:
    """Draft a plan for a stock and season. Refused: number in use, pairs that may not be planned."""
    return DRAFT.do(by, entry, confirmed=confirmed)


def add_pair(by: Actor, entry: PairAdded, *, confirmed: bool = True) -> PlannedCross:
    """Put a pair into a draft. Refused: a signed plan, a pair that is in it, too close kin, no candidate."""
    return ADD_PAIR.do(by, entry, confirmed=confirmed)


def take_pair_out(by: Actor, entry: PairTakenOut, *, confirmed: bool = True) -> CrossPlan:
    """Take a pair out of a draft. Refused: a signed plan, a pair that is not in it."""
    return TAKE_OUT.do(by, entry, confirmed=confirmed)


def sign_plan(by: Actor, entry: PlanSigned, *, confirmed: bool = True) -> PlanSignature:
    """Sign a plan. Refused: no pairs, signed already, a pair that may no longer be made, one's own where ruled out."""
    return SIGNATURE.do(by, entry, confirmed=confirmed)


def open_plan(number: str) -> CrossPlan | Objection:
    """Return the draft of that number, or why there is none."""
    plan = CrossPlan.objects.filter(number=number).select_related("stock").first()
    if plan is None:
        return Objection("unknown_plan", "plan", f"There is no cross plan {number}.", number)
    if PlanSignature.objects.filter(plan=plan).exists():
        return Objection(
            "signed", "plan", f"Plan {number} is signed and is not changed any more. Draft another.", number
        )
    return plan


def _the_plan(number: str) -> CrossPlan:
    plan = open_plan(number)
    if isinstance(plan, Objection):
        raise Refused(plan)
    return plan


def _judge_draft(entry: PlanDraft, known: Known) -> list[Objection]:
    found = objections_to_draft(entry, known)
    if CrossPlan.objects.filter(number__iexact=entry.number).exists():
        found.append(
            Objection("duplicate_id", "number", f"Plan {entry.number} is in the register. Take another number.")
        )
    return found


def _write_draft(desk: Desk, entry: PlanDraft) -> CrossPlan:
    made = desk.entry("cross plan drafted", f"plan {entry.number}")
    stock = desk.stock(entry.stock)
    plan = made.add(CrossPlan(number=entry.number, stock=stock, season=entry.season, notes=entry.notes))
    for pair in entry.pairs:
        made.add(_planned(desk, plan, pair))
    return plan


def _planned(desk: Desk, plan: CrossPlan, pair: PairWanted) -> PlannedCross:
    kinship = pair.kinship.quantize(Decimal("1e-8"))
    return PlannedCross(
        plan=plan, dam=desk.fish(pair.dam), sire=desk.fish(pair.sire), kinship=kinship, comment=pair.comment
    )


def _judge_pair(entry: PairAdded, known: Known) -> list[Objection]:
    plan = open_plan(entry.plan)
    if isinstance(plan, Objection):
        return [plan]
    found = objections_to_pair(entry.pair, plan.stock.name, known)
    if plan.planned.current().filter(dam__number=entry.pair.dam, sire__number=entry.pair.sire).exists():
        pair = f"{entry.pair.dam} × {entry.pair.sire}"
        found.append(Objection("duplicate_id", "sire", f"{pair} is in plan {plan.number} already."))
    return found


def _write_pair(desk: Desk, entry: PairAdded) -> PlannedCross:
    made = desk.entry("pair planned", f"plan {entry.plan}")
    return made.add(_planned(desk, _the_plan(entry.plan), entry.pair))


def _judge_taking_out(entry: PairTakenOut, _known: Known) -> list[Objection]:
    found = objections_to_texts(entry)
    plan = open_plan(entry.plan)
    if isinstance(plan, Objection):
        return [*found, plan]
    if not plan.planned.current().filter(dam__number=entry.dam, sire__number=entry.sire).exists():
        found.append(Objection("unknown_pair", "", f"{entry.dam} × {entry.sire} is not in plan {plan.number}."))
    return found


def _write_taking_out(desk: Desk, entry: PairTakenOut) -> CrossPlan:
    plan = _the_plan(entry.plan)
    made = desk.entry("pair taken out", f"plan {entry.plan}", reason=entry.reason)
    made.withdraw(plan.planned.current().get(dam__number=entry.dam, sire__number=entry.sire))
    return plan


def _judge_signature(entry: PlanSigned, known: Known) -> list[Objection]:
    found = objections_to_texts(entry, {"statement": 1000})
    plan = open_plan(entry.plan)
    if isinstance(plan, Objection):
        return [*found, plan]
    planned = list(plan.planned.current().select_related("dam", "sire"))
    if not planned:
        found.append(Objection("empty_plan", "", f"Plan {plan.number} holds no pair. Put pairs in before you sign."))
    for row in planned:
        pair = PairWanted(dam=row.dam.number, sire=row.sire.number, kinship=row.kinship)
        found += objections_to_pair(pair, plan.stock.name, known)
    return found


def _named_by_signature(entry: PlanSigned) -> Named:
    rows = PlannedCross.objects.current().filter(plan__number=entry.plan)
    return Named(fish={n for pair in rows.values_list("dam__number", "sire__number") for n in pair})


def _write_signature(desk: Desk, entry: PlanSigned) -> PlanSignature:
    plan = _the_plan(entry.plan)
    by = desk.door.by
    writers = {plan.entry.who, *plan.planned.current().values_list("entry__who", flat=True)}
    if desk.known.policy.get("signer_not_sole_author") and writers == {by.name}:
        text = "You alone drafted this plan; the facility's rule asks for another geneticist's signature."
        raise Refused(Objection("own_plan", "", text))
    made = desk.entry("cross plan signed", f"plan {plan.number}")
    return made.add(PlanSignature(plan=plan, user_id=by.user_id, signed_on=desk.known.today, statement=entry.statement))


def _named_by_pair(pair: PairWanted) -> Named:
    return Named(fish={pair.dam, pair.sire})


def _note_nothing(_entry: object, _known: Known) -> None:
    """Plans change nothing that later entries are judged by."""


DRAFT = Deed(
    PLAN, lambda e: Named(fish={n for p in e.pairs for n in (p.dam, p.sire)}), _judge_draft, _note_nothing, _write_draft
)
ADD_PAIR = Deed(PLAN, lambda e: _named_by_pair(e.pair), _judge_pair, _note_nothing, _write_pair)
TAKE_OUT = Deed(PLAN, lambda _entry: Named(), _judge_taking_out, _note_nothing, _write_taking_out)
SIGNATURE = Deed(SIGN, _named_by_signature, _judge_signature, _note_nothing, _write_signature)
