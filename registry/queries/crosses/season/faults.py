"""What crosses of a plan break: the one judge for the best plan's question, a change by hand, hand-in and signature."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from django.utils import timezone

from breeding.planning.advice.held import CROSSES, Broken, broken_by
from breeding.planning.feasible import FEWEST_DAMS, FEWEST_SIRES, LEAST_USES
from breeding.planning.problem import SCHEME, Problem
from registry.models import CrossPlan
from registry.queries.crosses.season.fish import NOT_CHOSEN, VETO
from registry.queries.crosses.season.keep import kept_season
from registry.queries.crosses.season.limits import FISH_LIMIT, FORBIDDEN_PAIRS
from registry.queries.crosses.season.problem import Numbers, SeasonProblem, season_problem
from registry.rules.crossing.crosses import PairWanted, objections_to_closeness
from registry.rules.crossing.limits import BY_KEY
from registry.rules.crossing.wishes import LOCKED, SCHEMES

# Limits that the engine knows by a name of its own.
LEAST = {FEWEST_DAMS: "least_dams", FEWEST_SIRES: "least_sires"}
LOCK = "locked_pair"


@dataclass(frozen=True, slots=True)
class Fault:
    """One limit that crosses break, the fish concerned (none: the whole plan), and a sentence that names them.

    `whole`: it hangs on the plan as a whole, not on one fish or pair; `too_few`: more crosses may mend it.
    """

    limit: str
    fish: tuple[str, ...]
    words: str
    whole: bool = False
    too_few: bool = False

    @property
    def way_out(self) -> str:
        """Return what can be done about it."""
        if self.limit in BY_KEY:
            return f"Relax the limit “{BY_KEY[self.limit].name}” with a reason, or change the crosses."
        return WAYS_OUT.get(self.limit, "Change the crosses.")


WAYS_OUT = {
    SCHEME: "Change the crosses, or choose another scheme in the terms.",
    LOCK: "Put it in, or clear the lock.",
    NOT_CHOSEN: "Choose it on the page of the fish, or take its crosses out.",
    VETO: "Take it out, or clear that word on the fish.",
    FORBIDDEN_PAIRS: "Take it out, or clear that word.",
    FISH_LIMIT: "Take some out, or change that word on the fish.",
    LEAST_USES: "Put it in, or clear that word on the fish.",
    CROSSES: "Change the crosses, or ask for another number in the terms.",
}


def judge(plan: CrossPlan, pairs: Sequence[Numbers], today: date | None = None) -> list[Fault]:
    """Return what these crosses of a plan break, by what the register knows today; nothing of what was made already."""
    day = today or timezone.localdate()
    season = kept_season(plan) if day == timezone.localdate() else season_problem(plan, day)
    return faults_of(season, pairs)


def faults_of(season: SeasonProblem, pairs: Sequence[Numbers]) -> list[Fault]:
    """Return what crosses break by a season's question; it is asked anew where a fish of theirs is no candidate."""
    if season.positions(pairs)[1]:
        season = season_problem(season.plan, season.today, pairs)
    found = [*_of_fish(season, pairs), *_of_words(season, pairs)]
    if season.problem is not None:
        found += _of_numbers(season, season.problem, pairs)
    return list(dict.fromkeys(found))


def _of_fish(season: SeasonProblem, pairs: Iterable[Numbers]) -> Iterator[Fault]:
    """Yield the reasons against each fish, but for what was made of it."""
    to_make = [pair for pair in pairs if pair not in set(season.made)]
    for fish in dict.fromkeys(fish for pair in to_make for fish in pair):
        for reason in season.against.get(fish, ()):
            yield Fault(reason.limit, (fish,), reason.words)


def _of_words(season: SeasonProblem, pairs: Sequence[Numbers]) -> Iterator[Fault]:
    for (dam, sire), word in season.wishes.pairs.items():
        if word.stand == LOCKED and (dam, sire) not in pairs:
            told = f"{dam} × {sire} is locked into the plan and is not in it."
            yield Fault(LOCK, (dam, sire), told, whole=True)


def _of_numbers(season: SeasonProblem, problem: Problem, pairs: Sequence[Numbers]) -> Iterator[Fault]:
    """Yield what the optimiser's own limits say; a lock is no leave, what was made is."""
    made, _ = season.positions(season.made)
    placed, _ = season.positions([*pairs, *season.made])
    told_of_fish = {reason.limit for reasons in season.against.values() for reason in reasons}
    for one in broken_by(replace(problem, fixed=tuple(made)), list(dict.fromkeys(placed))):
        if one.limit not in told_of_fish:
            yield _fault(season, one)


def _fault(season: SeasonProblem, one: Broken) -> Fault:
    key = LEAST.get(one.limit, one.limit)
    tell = SENTENCES.get(key)
    words = tell(season, one) if tell else f"{' × '.join(one.fish)} may not be made."
    too_few = one.limit in (*LEAST, LEAST_USES, CROSSES, SCHEME) and one.found < one.allowed
    return Fault(key, one.fish, words, whole=len(one.fish) < len(("dam", "sire")), too_few=too_few)


def _over(_season: SeasonProblem, one: Broken) -> str:
    name = BY_KEY[one.limit].name
    return f"{one.fish[0]} stands in {_crosses(one.found)}; the limit “{name}” is {one.allowed}."


def _over_word(season: SeasonProblem, one: Broken) -> str:
    word = season.wishes.fish[one.fish[0]]
    return f"{one.fish[0]} stands in {_crosses(one.found)}; it is limited to {one.allowed}: {word.reason.rstrip('.')}."


def _least(_season: SeasonProblem, one: Broken) -> str:
    limit = BY_KEY[LEAST[one.limit]]
    return f"The plan uses {one.found} {limit.unit}; the limit “{limit.name}” asks for {one.allowed} at least."


def _scheme(season: SeasonProblem, one: Broken) -> str:
    name = SCHEMES[season.wishes.terms.scheme].name
    mates = "1 mate" if one.found == 1 else f"{one.found} mates"
    return f"{one.fish[0]} has {mates} where the scheme “{name}” asks for {one.allowed} or none."


def _close(season: SeasonProblem, one: Broken) -> str:
    (place,), _ = season.positions([(one.fish[0], one.fish[1])])
    assert season.problem is not None
    kinship = Decimal(repr(float(season.problem.between[place])))
    wanted = PairWanted(dam=one.fish[0], sire=one.fish[1], kinship=kinship)
    return " ".join(told.message for told in objections_to_closeness(wanted, season.ploidy, season.wishes.limits))


def _forbidden(season: SeasonProblem, one: Broken) -> str:
    word = season.wishes.pairs[one.fish[0], one.fish[1]]
    return f"{' × '.join(one.fish)} is forbidden in plan {word.plan}: {word.reason.rstrip('.')}."


def _crosses(count: int) -> str:
    return "1 cross" if count == 1 else f"{count} crosses"


SENTENCES: dict[str, Callable[[SeasonProblem, Broken], str]] = {
    "crosses_per_dam": _over,
    "crosses_per_sire": _over,
    FISH_LIMIT: _over_word,
    "least_dams": _least,
    "least_sires": _least,
    "egg_portion": lambda _, one: (
        f"{one.fish[0]} stands in {_crosses(one.found)} and has {one.allowed} portions of eggs."
    ),
    "milt_doses": lambda _, one: f"{one.fish[0]} stands in {_crosses(one.found)} and has doses left for {one.allowed}.",
    "incubators": lambda _, one: f"There is room for {_crosses(one.allowed)} in the incubators, not for {one.found}.",
    "relationship": _close,
    "repeat_years": lambda _, one: f"{' × '.join(one.fish)} was crossed before.",
    FORBIDDEN_PAIRS: _forbidden,
    SCHEME: _scheme,
    CROSSES: lambda _, one: f"{_crosses(one.found)} where {one.allowed} are wanted.",
    LEAST_USES: lambda _, one: f"{one.fish[0]} is chosen and stands in no cross.",
}
