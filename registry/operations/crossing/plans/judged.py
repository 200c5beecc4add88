"""What is in the way of a plan's crosses as they stand, and of a change to them by hand: the same judge for both."""

from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import date

from breeding.planning.advice.held import CROSSES
from registry.errors import Objection
from registry.models import CrossPlan
from registry.queries.crosses.season.faults import Fault, judge
from registry.queries.crosses.season.problem import Numbers


def against_crosses(plan: CrossPlan, pairs: Sequence[Numbers], today: date) -> list[Objection]:
    """Return what is in the way of these crosses as a plan: each limit by its name, and the way out.

    That there are more or fewer than were wanted is a warning: it is no limit.
    """
    return [_objection(one, warning=one.limit == CROSSES) for one in judge(plan, pairs, today)]


def against_step(plan: CrossPlan, pairs: Sequence[Numbers], new: Collection[Numbers], today: date) -> list[Objection]:
    """Return what is in the way of a draft's crosses after a change, `new` among them; as warnings what they break
    together that they did not before.

    A draft is made step by step: while it holds fewer crosses than are wanted, too few of anything is no news.
    """
    found = judge(plan, pairs, today) if pairs else []
    growing = any(one.limit == CROSSES and one.too_few for one in found)
    together = [one for one in found if one.whole and not (one.too_few and growing)]
    held = set(judge(plan, standing(plan), today)) if together else set()
    fish = {one for pair in new for one in pair}
    alone = [_objection(one, warning=False) for one in found if _concerns(one, new, fish)]
    return alone + [_objection(one, warning=True) for one in together if one not in held]


def standing(plan: CrossPlan) -> list[Numbers]:
    """Return the crosses of a plan as they stand, by register number."""
    return list(plan.planned.current().order_by("pk").values_list("dam__number", "sire__number"))


def _concerns(one: Fault, new: Collection[Numbers], fish: Collection[str]) -> bool:
    """Return whether a new pair, or one of its fish, may not be used at all."""
    if one.whole:
        return False
    return one.fish in new if len(one.fish) > 1 else one.fish[0] in fish


def _objection(one: Fault, *, warning: bool) -> Objection:
    told = Objection(f"limit_{one.limit}", "", f"{one.words} {one.way_out}", " × ".join(one.fish))
    return replace(told, warning=warning)
