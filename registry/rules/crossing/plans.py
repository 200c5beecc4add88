"""In which state a plan may be changed, what happens to it, and what it must be before it is signed."""

from dataclasses import dataclass
from decimal import Decimal

from registry.errors import Objection
from registry.rules.crossing.crosses import PairWanted

DRAFT, REVIEW, SIGNED, SUPERSEDED, CLOSED = "draft", "under review", "signed", "superseded", "closed"
STATES = (DRAFT, REVIEW, SIGNED, SUPERSEDED, CLOSED)
STATEMENT = (
    "I have looked at these crosses and at their kinship by the recorded pedigree, and propose that they be made."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """The figures and proof of a set of crosses (ALGORITHMS: J, its bound, cᵀKc, expected F of the young).

    `lower_bound` None: nothing was proved of these limits. `asked`: the question, as JSON.
    """

    objective: Decimal
    group_coancestry: Decimal
    mean_inbreeding: Decimal
    lower_bound: Decimal | None = None
    proven: bool = False
    seconds: Decimal = Decimal(0)
    asked: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PairAdded:
    """A pair put into a draft plan, with the figures of all its crosses then."""

    plan: str
    pair: PairWanted
    answer: Answer | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PairTakenOut:
    """A pair taken out of a draft plan, with the reason, and the figures of the crosses left."""

    plan: str
    dam: str
    sire: str
    reason: str = ""
    answer: Answer | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PairSwapped:
    """A pair (dam, sire) of a draft that gives way to another."""

    plan: str
    dam: str
    sire: str
    pair: PairWanted
    reason: str = ""
    answer: Answer | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CrossesTaken:
    """A set of crosses that becomes the plan's, whatever stood in it before."""

    plan: str
    pairs: tuple[PairWanted, ...]
    answer: Answer | None = None
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanSubmitted:
    """A draft handed in for review."""

    plan: str
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanReturned:
    """A plan under review that becomes a draft again, with reasons."""

    plan: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanSigned:
    """The geneticist's word on a plan under review."""

    plan: str
    statement: str = STATEMENT


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanClosed:
    """A plan whose season is over, or a draft that nobody goes on with."""

    plan: str
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanAmended:
    """A signed plan that is to change: the amendment begins with all that the plan holds."""

    plan: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RemarkMade:
    """A comment on a plan, or on one of its crosses (dam and sire)."""

    plan: str
    words: str
    dam: str = ""
    sire: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NotMade:
    """Why a planned cross was not made; an empty reason takes an earlier one back."""

    plan: str
    dam: str
    sire: str
    reason: str = ""


@dataclass(frozen=True, slots=True)
class PlanFacts:
    """A plan as rules know it, with the plan that superseded it and the amendment that is being drafted of it."""

    number: str
    state: str = DRAFT
    superseded_by: str = ""
    open_amendment: str = ""


def objections_to_change(plan: PlanFacts) -> list[Objection]:
    """Return why this plan is not changed, and what to do instead."""
    told = {
        REVIEW: f"Plan {plan.number} is under review and is not changed meanwhile. Return it with a reason first.",
        SIGNED: f"Plan {plan.number} is signed and is not changed any more. Draft an amendment.",
        SUPERSEDED: f"Plan {plan.number} was superseded by plan {plan.superseded_by}. Amend that one.",
        CLOSED: f"Plan {plan.number} is closed. Draft a plan for the next season.",
    }
    code = "signed" if plan.state in (SIGNED, SUPERSEDED) else plan.state.replace(" ", "_")
    return [Objection(code, "plan", told[plan.state], plan.number)] if plan.state in told else []


def objections_to_signing(plan: PlanFacts) -> list[Objection]:
    """Return why this plan cannot be signed or returned in its state."""
    if plan.state == REVIEW:
        return []
    if plan.state == DRAFT:
        told = f"Plan {plan.number} is a draft. Hand it in for review first."
        return [Objection("not_under_review", "plan", told, plan.number)]
    return objections_to_change(plan)


def objections_to_amending(plan: PlanFacts) -> list[Objection]:
    """Return why no amendment of this plan can be drafted."""
    told = {
        DRAFT: f"Plan {plan.number} is a draft: change it as it is.",
        REVIEW: f"Plan {plan.number} is under review: return it with a reason and change it.",
    }.get(plan.state)
    if told:
        return [Objection("not_signed", "plan", told, plan.number)]
    if plan.open_amendment:
        told = f"Amendment {plan.open_amendment} of plan {plan.number} is being drafted. Go on with that one."
        return [Objection("open_amendment", "plan", told, plan.open_amendment)]
    return [] if plan.state == SIGNED else objections_to_change(plan)


def objections_to_closing(plan: PlanFacts, words: str) -> list[Objection]:
    """Return why this plan cannot be closed."""
    if plan.state in (SUPERSEDED, CLOSED):
        return objections_to_change(plan)
    if plan.open_amendment:
        told = f"Amendment {plan.open_amendment} of plan {plan.number} is being drafted. Sign it or close it first."
        return [Objection("open_amendment", "plan", told, plan.open_amendment)]
    if plan.state in (DRAFT, REVIEW) and not words.strip():
        told = f"Plan {plan.number} was never signed: say why nobody goes on with it."
        return [Objection("missing_reason", "words", told, plan.number)]
    return []
