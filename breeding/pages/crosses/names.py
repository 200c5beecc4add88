"""The limits of a plan by the names that people know them by."""

from breeding.planning.advice.asked import LEFT_OUT
from breeding.planning.advice.held import CROSSES, FIXED
from breeding.planning.feasible import FEWEST_DAMS, FEWEST_SIRES, LEAST_USES, PAIR_ONCE
from breeding.planning.problem import SCHEME
from breeding.planning.second_best import DROPPED_OUT
from registry.queries.crosses.season.fish import NOT_CHOSEN, UNFIT, VETO
from registry.queries.crosses.season.limits import FISH_LIMIT, FORBIDDEN_PAIRS
from registry.queries.crosses.season.sides import TOO_MANY
from registry.rules.crossing.limits import PAIR_LIMITS

NAMES: dict[str, str] = {limit.key: limit.name for limit in PAIR_LIMITS} | {
    PAIR_ONCE: "each pair once",
    LEAST_USES: "fish that must be used",
    FEWEST_DAMS: "females used",
    FEWEST_SIRES: "males used",
    SCHEME: "the scheme",
    DROPPED_OUT: "the fish that drops out",
    LEFT_OUT: "the pair left out",
    CROSSES: "crosses wanted",
    FIXED: "crosses made or locked",
    FISH_LIMIT: "uses limited by the geneticist",
    FORBIDDEN_PAIRS: "forbidden by the geneticist",
    NOT_CHOSEN: "not among the fish chosen",
    VETO: "left out by the geneticist",
    UNFIT: "sex, or no longer here",
    TOO_MANY: "too many candidates",
}


def name_of(key: str) -> str:
    """Return what a limit is called."""
    return NAMES.get(key, key.replace("_", " "))
