"""Why each cross of a plan is in it: its place among the pairs that could stand there, and the founders it serves."""

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass

from breeding.planning.advice.standing import Founders, founders_of, served_by, standings
from breeding.planning.advice.told import told_standing
from registry.queries.crosses.season.problem import SeasonProblem
from registry.queries.crosses.season.sides import Pair
from registry.queries.status.names import labels


@dataclass(frozen=True, eq=False)
class NamedFounders:
    """Founder shares of stock and candidates, and the register number of each founder by its key."""

    shares: Founders
    names: Mapping[Hashable, str]


def founders_in(season: SeasonProblem) -> NamedFounders | None:
    """Return whom the genes of the living and of the candidates come from; None while nothing of the stock lives."""
    if not season.living:
        return None
    shares = founders_of(season.pedigree, dict(season.living), season.at)
    return NamedFounders(shares, labels(shares.names))


def why_in(season: SeasonProblem, pairs: Sequence[Pair], founders: NamedFounders | None) -> dict[Pair, list[str]]:
    """Return for each cross of a plan, by positions (dam, sire), the sentences that say why it is in."""
    problem = season.problem
    assert problem is not None
    found = {}
    for one in standings(problem, pairs):
        served = served_by(problem, founders.shares, one.pair) if founders else []
        found[one.pair] = told_standing(problem, one, served, founders.names if founders else {})
    return found
