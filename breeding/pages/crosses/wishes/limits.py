"""The terms and limits of a plan, each with what holds, its default and source, and who set it off and why."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from breeding.pages.crosses.of_plan import head, plan_or_404
from breeding.pages.crosses.wishes.words import default_in_words, in_force_in_words, terms_in_words
from registry.permissions import PLAN, READ_JOURNAL, may
from registry.queries.crosses.limits import LimitTold, limits_told
from registry.queries.crosses.wishes import wishes_of
from registry.rules.crossing.plans import DRAFT
from registry.web.links import address
from registry.web.people import actor


def limits(request: HttpRequest, number: str) -> HttpResponse:
    """Show the terms and limits of one plan."""
    plan = plan_or_404(number)
    wishes, who = wishes_of(plan), actor(request)
    may_plan = plan.state == DRAFT and may(who, PLAN)
    shown = head(plan, "plan_limits") | {
        "title": f"Limits of plan {plan.number}",
        "terms": terms_in_words(wishes.terms),
        "set_terms": address("plan_terms", plan.number) if may_plan else "",
        "limits": [_line(one, plan.number, may_plan, may(who, READ_JOURNAL)) for one in limits_told(plan, wishes)],
        "relaxed": wishes.limits.relaxed(),
    }
    return render(request, "breeding/crosses/wishes/limits.html", shown)


def _line(one: LimitTold, number: str, may_plan: bool, may_read: bool) -> dict[str, Any]:
    limit, held, row = one.held.limit, one.held, one.row
    return {
        "limit": limit,
        "held": held,
        "in_force": in_force_in_words(held),
        "default": default_in_words(held),
        "source": one.source,
        "by": row.entry if row else None,
        "entry": address("journal_entry", row.entry_id) if row and may_read else "",
        "set": address("plan_limit", number, limit.key) if may_plan else "",
        "restore": address("plan_restore", number, limit.key) if may_plan and held.set_off else "",
    }
