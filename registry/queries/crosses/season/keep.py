"""A season's question, kept until anything is entered that it could hang on."""

from dataclasses import replace

from django.core.cache import cache
from django.utils import timezone

from registry.models import CrossPlan, JournalEntry
from registry.queries.crosses.season.problem import SeasonProblem, season_problem

# These write nothing but the crosses of a plan with their figures, or words about them: no question hangs on them, and
# a person who changes one cross after the other need not wait for it to be asked anew.
ASIDE = ("pair planned", "pair taken out", "pair swapped", "crosses taken", "remark made")
AN_HOUR = 3600


def kept_season(plan: CrossPlan) -> SeasonProblem:
    """Return a plan's question as the register stands: asked anew once anything was entered that could change it.

    The state is read before the question is asked: what is entered meanwhile gives it another name.
    """
    key = f"season:{plan.pk}:{_state()}:{timezone.localdate()}"
    found: SeasonProblem | None = cache.get(key)
    if found is None:
        found = season_problem(plan)
        cache.set(key, found, AN_HOUR)
    return replace(found, plan=plan)


def _state() -> str:
    """Return number and hash of the newest journal entry that is not among those set aside."""
    newest = JournalEntry.objects.exclude(what__in=ASIDE).order_by("-seq").values_list("seq", "hash").first()
    return "{}-{}".format(*newest) if newest else "0"
