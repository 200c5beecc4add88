"""The state of a plan with what can be done next, for any page that shows a plan."""

from typing import Any

from django import template

from registry.models import CrossPlan
from registry.permissions import ENTER, PLAN, SIGN, Actor, may
from registry.queries.crosses.states import facts_of, last_review
from registry.queries.crosses.wishes import wishes_of
from registry.rules.crossing.plans import CLOSED, DRAFT, REVIEW, SIGNED, SUPERSEDED, PlanFacts
from registry.rules.days import spoken
from registry.web.links import address
from registry.web.people import actor

register = template.Library()

HEADINGS = {
    DRAFT: "Draft", REVIEW: "Under review", SIGNED: "Signed", SUPERSEDED: "Superseded", CLOSED: "Closed",
}  # fmt: skip
# What can be done in a state: label, address, who may.
NEXT: dict[str, tuple[tuple[str, str, str], ...]] = {
    DRAFT: (("Hand in for review", "plan_submit", PLAN), ("Close unsigned", "plan_close", SIGN)),
    REVIEW: (("Sign this plan", "plan_sign", SIGN), ("Return it", "plan_return", SIGN)),
    SIGNED: (("Amend", "plan_amend", PLAN), ("Close", "plan_close", SIGN)),
}


@register.inclusion_tag("breeding/review/state.html", takes_context=True)
def review_of(context: dict[str, Any], plan: CrossPlan) -> dict[str, Any]:
    """Show the state of a plan in words, limits that it relaxes, and the steps open to the person."""
    facts = facts_of(plan)
    return {
        "heading": HEADINGS[facts.state],
        "words": _words(plan, facts),
        "relaxed": wishes_of(plan).limits.relaxed(),
        "actions": _actions(plan, facts, actor(context["request"])),
    }


def _actions(plan: CrossPlan, facts: PlanFacts, who: Actor) -> list[tuple[str, str]]:
    steps = [step for step in NEXT.get(facts.state, ()) if may(who, step[2])]
    if facts.open_amendment:
        steps = [step for step in steps if step[1] not in ("plan_amend", "plan_close")]
    found = [(label, address(page, plan.number)) for label, page, _ in steps]
    if facts.open_amendment:
        found.insert(0, (f"Amendment {facts.open_amendment}", address("plan", facts.open_amendment)))
    if facts.state == SUPERSEDED:
        found.insert(0, (f"Plan {facts.superseded_by}", address("plan", facts.superseded_by)))
    if may(who, ENTER):
        found.append(("Remark", address("plan_remark", plan.number)))
    return found


def _words(plan: CrossPlan, facts: PlanFacts) -> str:
    last = last_review(plan)
    told = f" {last.words}" if last and last.words else ""
    if facts.state == DRAFT and last:
        return f"Returned by {last.entry.who} on {_day(last)}:{told}"
    if facts.state == DRAFT:
        return "A draft, not signed yet."
    if facts.state == REVIEW and last:
        return f"Handed in by {last.entry.who} on {_day(last)}.{told}"
    if facts.state == SUPERSEDED:
        return f"Signed, then superseded by plan {facts.superseded_by}. It is kept as it was."
    if facts.state == CLOSED and last:
        return f"Closed by {last.entry.who} on {_day(last)}.{told}"
    return "Signed; it is not changed any more. A change is an amendment with a signature of its own."


def _day(review: Any) -> str:
    return spoken(review.entry.entered_at.date())
