"""First proposals: every permitted pair of ready females and males, ranked by what its family does to gene diversity.

One family is looked at on its own. Which families together are best is another question: the second family of a female
is worth less than her first. All figures are for diploid inheritance and expected from the recorded pedigree.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from breeding.planning.limits import KINSHIP_TOLERANCE, Limits
from breeding.planning.reasons import refusals

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Candidates:
    """Fish of one sex, ready to be crossed.

    Attributes
    ----------
    fish : register numbers.
    self_kinship : (fish,), ½ (1 + F), so from 0.5 to 1.
    mean_kinship : (fish,), mean kinship with the living group, self included where the fish is one of it.
    """

    fish: Sequence[str]
    self_kinship: Floats
    mean_kinship: Floats


@dataclass(frozen=True)
class Living:
    """The living group: its group coancestry θ (mean kinship over all ordered pairs, self included) and its number."""

    coancestry: float
    number: int


@dataclass(frozen=True)
class Proposal:
    """A permitted pair. `diversity_change` is gene diversity after adding the family minus gene diversity now."""

    rank: int
    dam: str
    sire: str
    kinship: float
    diversity_after: float
    diversity_change: float
    dam_mean_kinship: float
    sire_mean_kinship: float

    @property
    def inbreeding(self) -> float:
        """Expected inbreeding F of the young: the kinship of their parents (diploid; Malécot 1948)."""
        return self.kinship


@dataclass(frozen=True)
class RefusedPair:
    """A pair outside the limits, with all reasons in words."""

    dam: str
    sire: str
    kinship: float
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class Ranking:
    """Permitted pairs, best first, and refused ones, closest first."""

    permitted: list[Proposal]
    refused: list[RefusedPair]


@dataclass(frozen=True)
class Mates:
    """Females, males and the kinship between them, (females, males)."""

    females: Candidates
    males: Candidates
    kinship: Floats

    def __post_init__(self) -> None:
        _check_fish(self.females.fish, self.males.fish)
        shape = (len(self.females.fish), len(self.males.fish))
        _check_array("kinship between females and males", self.kinship, shape, 0.0)
        for sex, one in (("females", self.females), ("males", self.males)):
            _check_array(f"self-kinship of the {sex}", one.self_kinship, (len(one.fish),), 0.5)
            _check_array(f"mean kinship of the {sex}", one.mean_kinship, (len(one.fish),), 0.0)


def ranked_pairs(mates: Mates, living: Living, young: int, limits: Limits) -> Ranking:
    """Ranks the permitted pairs by gene diversity after adding one family of `young`; ties by kinship, then by id.

    Raises
    ------
    ValueError
        `young` below 1, a living group of a negative number, or a coancestry outside 0 to 1.
    """
    coancestry = coancestry_after(mates, living, young)
    permitted: list[tuple[float, float, str, str, int, int]] = []
    refused: list[RefusedPair] = []
    for f, dam in enumerate(mates.females.fish):
        for m, sire in enumerate(mates.males.fish):
            kinship = float(mates.kinship[f, m])
            if reasons := refusals((dam, sire), kinship, limits):
                refused.append(RefusedPair(dam, sire, kinship, tuple(reasons)))
            else:
                permitted.append((_tie(coancestry[f, m]), _tie(kinship), dam, sire, f, m))
    now = 1 - living.coancestry if living.number else 0.0
    best_first = [
        Proposal(
            rank=rank,
            dam=dam,
            sire=sire,
            kinship=float(mates.kinship[f, m]),
            diversity_after=1 - float(coancestry[f, m]),
            diversity_change=1 - float(coancestry[f, m]) - now,
            dam_mean_kinship=float(mates.females.mean_kinship[f]),
            sire_mean_kinship=float(mates.males.mean_kinship[m]),
        )
        for rank, (_, _, dam, sire, f, m) in enumerate(sorted(permitted), start=1)
    ]
    return Ranking(best_first, sorted(refused, key=lambda pair: (-_tie(pair.kinship), pair.dam, pair.sire)))


def coancestry_after(mates: Mates, living: Living, young: int) -> Floats:
    """Group coancestry of the living together with one family of each pair, (females, males).

    For a family of N young of f and m beside n living, with α = N / (N + n):

        θ = (1−α)² θ_L + 2α(1−α) · ½ (k_f + k_m) + α² [ ¼ (K_ff + K_mm + 2 K_fm) + (1/N) (¼ − ⅛ (F_f + F_m)) ]

    k is the mean kinship of a parent with the living and F = 2K − 1. The last term is that of a finite family: a young
    fish is closer to itself than to its sibs. It falls with N; without it the family would count as infinitely large.
    Gene diversity is 1 − θ. It is the plain mean of kinship (Malécot 1948) over all ordered pairs, self included.
    """
    _check_living(living, young)
    share = young / (young + living.number)
    own_f, own_m = mates.females.self_kinship[:, None], mates.males.self_kinship[None, :]
    with_living = (mates.females.mean_kinship[:, None] + mates.males.mean_kinship[None, :]) / 2
    among_sibs = (own_f + own_m + 2 * mates.kinship) / 4
    # ¼ − ⅛ (F_f + F_m) with F = 2K − 1.
    itself_beyond_sibs = 0.5 - (own_f + own_m) / 4
    among_young = among_sibs + itself_beyond_sibs / young
    among_living = living.coancestry if living.number else 0.0
    result: Floats = (1 - share) ** 2 * among_living + 2 * share * (1 - share) * with_living + share**2 * among_young
    return result


def _tie(value: float) -> float:
    """The value without the noise that would make the order of equals a matter of chance."""
    return round(float(value) / KINSHIP_TOLERANCE) * KINSHIP_TOLERANCE


def _check_living(living: Living, young: int) -> None:
    if young < 1:
        raise ValueError(f"A family of {young} young cannot be judged; give the expected number, 1 or more.")
    if living.number < 0:
        raise ValueError(f"The living group has {living.number} fish; give 0 or more.")
    if living.number and not 0 <= living.coancestry <= 1:
        raise ValueError(f"The group coancestry of the living is {living.coancestry}; it must be between 0 and 1.")


def _check_fish(females: Sequence[str], males: Sequence[str]) -> None:
    for sex, fish in (("females", females), ("males", males)):
        twice = sorted({one for one in fish if list(fish).count(one) > 1})
        if twice:
            raise ValueError(f"Fish {', '.join(twice)} stands more than once among the {sex}.")
    both = sorted(set(females) & set(males))
    if both:
        raise ValueError(f"Fish {', '.join(both)} stands among the females and among the males.")


def _check_array(what: str, values: Floats, shape: tuple[int, ...], least: float) -> None:
    if values.shape != shape:
        raise ValueError(f"The {what} has shape {values.shape}; {shape} was expected.")
    slack = 1e-9
    if not np.all((values >= least - slack) & (values <= 1 + slack)):
        raise ValueError(f"The {what} must lie between {least:g} and 1; found {_worst(values, least)}.")


def _worst(values: Floats, least: float) -> float:
    outside = values[~((values >= least) & (values <= 1))]
    return float(outside.flat[0])
