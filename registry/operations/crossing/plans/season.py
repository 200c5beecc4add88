"""What the season has to say of a plan's crosses: limits that hang on checks, stores and earlier crosses."""

from collections.abc import Collection, Sequence

from breeding.planning.advice.held import Broken, broken_by
from registry.errors import Objection
from registry.models import CrossPlan
from registry.queries.crosses.season.problem import Numbers, season_problem
from registry.rules.crossing.limits import BY_KEY

# Of pairs and of the whole plan these are asked here; the others are refused before.
OF_CROSSES = ("egg_portion", "milt_doses", "incubators", "repeat_years")
WAY_OUT = "Relax the limit “{}” with a reason, or change the crosses."


def warnings_of_season(plan: CrossPlan, pairs: Sequence[Numbers]) -> list[Objection]:
    """Return as warnings which limits the crosses break that may be kept by the night: checks, doses, room, rest."""
    season = season_problem(plan)
    used = {fish for pair in pairs for fish in pair}
    looked = [*season.left_out, *season.candidates.values()]
    found = [
        _warning(reason.limit, reason.words, one.candidate.number)
        for one in looked
        if one.candidate.number in used
        for reason in one.reasons
    ]
    if season.problem is not None:
        positions, _ = season.positions(pairs)
        broken = broken_by(season.problem, positions)
        found += [_warning(one.limit, _told(one), ", ".join(one.fish)) for one in broken if one.limit in OF_CROSSES]
    return list(dict.fromkeys(found))


def _told(broken: Broken) -> str:
    if broken.limit == "repeat_years":
        return f"{' × '.join(broken.fish)} was crossed before."
    if broken.limit == "incubators":
        return f"There is room for {broken.allowed} crosses in the incubators, not for {broken.found}."
    what = "portions of eggs" if broken.limit == "egg_portion" else "crosses by the doses that are left"
    return f"{broken.fish[0]} stands in {broken.found} crosses and has {broken.allowed} {what}."


def _warning(limit: str, words: str, value: str) -> Objection:
    way = f" {WAY_OUT.format(BY_KEY[limit].name)}" if limit in BY_KEY else ""
    return Objection(f"limit_{limit}", "", words + way, value, warning=True)


def without(found: Sequence[Objection], told: Collection[Objection]) -> list[Objection]:
    """Return the warnings that say nothing that was refused already."""
    said = " ".join(one.message for one in told)
    return [one for one in found if one.message.split(". ")[0] not in said]
