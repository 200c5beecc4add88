"""The state of a plan with what can be done next, for any page that shows a plan."""

from typing import Any

from django import template

from registry.models import CrossPlan
from registry.permissions import ENTER, PLAN, SIGN, Actor, may
from registry.queries.crosses.outcome import remarks_of
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


# What the pages of a plan are called on its tabs, by the names of their addresses.
TABS = (
    ("plan", "Crosses"),
    ("plan_limits", "Limits"),
    ("plan_candidates", "Fish"),
    ("plan_best", "Best plan"),
    ("plan_pairs", "Pairs"),
    ("plan_compare", "Compare"),
    ("plan_outcome", "Outcome"),
    ("plan_history", "History"),
)


@register.inclusion_tag("breeding/review/tabs.html")
def plan_tabs(plan: CrossPlan, here: str) -> dict[str, Any]:
    """Show the tabs of a plan's pages; `here` names the page."""
    tabs = [{"address": address(page, plan.number), "label": label, "here": page == here} for page, label in TABS]
    return {"plan": plan, "tabs": [tab for tab in tabs if tab["address"]]}


@register.inclusion_tag("breeding/review/state.html", takes_context=True)
def review_of(context: dict[str, Any], plan: CrossPlan) -> dict[str, Any]:
    """Show the state of a plan in words, limits that it relaxes, and the steps open to the person."""
    facts, who = facts_of(plan), actor(context["request"])
    return {
        "heading": HEADINGS[facts.state],
        "words": _words(plan, facts),
        "relaxed": wishes_of(plan).limits.relaxed(),
        "remarks": remarks_of(plan),
        "actions": _actions(plan, facts, who),
        "remark": address("plan_remark", plan.number) if may(who, ENTER) else "",
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
