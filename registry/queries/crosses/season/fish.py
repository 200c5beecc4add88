"""Who may be planned with, and who is left out by which limit."""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass

from registry.models import FishDetails
from registry.queries.crosses.candidates import (
    MALE,
    Candidate,
    Season,
    against_presence,
    against_ripeness,
    as_candidate,
    by_milt_alone,
    looked_at,
)
from registry.queries.crosses.season.past import Past
from registry.queries.intake.holds import learn_holds
from registry.queries.intake.ploidy import learn_ploidy
from registry.queries.known import fish_as_known
from registry.rules.crossing.crosses import NOT_SAMPLED, ODD_PLOIDY, objections_to_candidate
from registry.rules.crossing.wishes import CHOSEN, IN, OUT, Wishes
from registry.rules.intake.ploidy import told_unlike
from registry.rules.known import KnownFish

# Words for what leaves a fish out that no limit of the table does: nothing lifts the first.
UNFIT, VETO, NOT_CHOSEN = "unfit", "fish_out", "not_chosen"
LIMIT_OF_CODE = {
    "hybrid": "no_hybrid",
    "doubtful_species": "sure_species",
    "wrong_stock": "same_stock",
    "in_quarantine": "no_quarantine",
    "withheld": "no_withdrawal",
    NOT_SAMPLED: "tissue",
    ODD_PLOIDY: "even_ploidy",
}


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a fish is left out: the key of the limit that does it, and a sentence that names the fish."""

    limit: str
    words: str


@dataclass(frozen=True, slots=True)
class Looked:
    """A fish that was looked at, with all reasons against it; none: it may be planned with.

    `fresh`: it is here and gives eggs or milt this season as far as is known, so that doses in the bank do not count.
    """

    candidate: Candidate
    reasons: tuple[Reason, ...] = ()
    fresh: bool = True


@dataclass(frozen=True)
class Bench:
    """What fish are judged by: the day and stages, what the plan asks, what was crossed before, and the season.

    `chosen_alone`: the sexes of which only chosen fish are crossed.
    """

    season: Season
    wishes: Wishes
    past: Past
    year: int
    chosen_alone: frozenset[str] = frozenset()

    def looked(self, row: FishDetails, fish: KnownFish) -> Looked:
        """Return a fish with all reasons against it."""
        reasons = (*self._of_word(row, fish), *self._of_facts(row, fish), *self._of_rest(row))
        fresh = not row.left and (not self._must_be_ripe(fish) or not against_ripeness(row, self.season))
        return Looked(as_candidate(row), reasons, fresh)

    def _must_be_ripe(self, fish: KnownFish) -> bool:
        stand = self.wishes.fish.get(fish.number)
        return self.wishes.limits.on("ripe") and (stand is None or stand.stand != IN)

    def _of_word(self, row: FishDetails, fish: KnownFish) -> Iterator[Reason]:
        stand = self.wishes.fish.get(fish.number)
        if row.sex in self.chosen_alone and (stand is None or stand.stand != CHOSEN):
            yield Reason(NOT_CHOSEN, f"{fish.number} is not among the fish chosen for the full factorial.")
        if stand is not None and stand.stand == OUT:
            yield Reason(VETO, f"{fish.number} is left out of this plan: {stand.reason.rstrip('.')}.")

    def _of_facts(self, row: FishDetails, fish: KnownFish) -> Iterator[Reason]:
        limits = self.wishes.limits
        role = "sire" if row.sex == MALE else "dam"
        for one in objections_to_candidate(fish, role, self.season.stock.name, self.season.today, limits):
            yield Reason(LIMIT_OF_CODE.get(one.code, UNFIT), one.message)
        yield from (Reason(UNFIT, words) for words in against_presence(row))
        if self._must_be_ripe(fish) and not by_milt_alone(row):
            yield from (Reason("ripe", words) for words in against_ripeness(row, self.season))

    def _of_rest(self, row: FishDetails) -> Iterator[Reason]:
        key, last = ("sire_rest_years", self.past.of_sire) if row.sex == MALE else ("dam_rest_years", self.past.of_dam)
        rest, year = self.wishes.limits.figure(key), last.get(row.fish_id)
        if rest is None or year is None or self.year - year >= rest:
            return
        yield Reason(key, f"{row.fish.number} was spawned in {year}; it rests until {year + int(rest)}.")


def unlike(found: Iterable[tuple[FishDetails, KnownFish]]) -> list[str]:
    """Return which fish were found to have not as many chromosome sets as their species."""
    told = (told_unlike(fish.number, fish.sets, row.species.ploidy if row.species else None) for row, fish in found)
    return [one for one in told if one]


def look_at(season: Season, wishes: Wishes, also: Collection[int]) -> list[tuple[FishDetails, KnownFish]]:
    """Return the fish that the plan is made among, and those given by key, with the facts that rules ask of them."""
    ripe_only = wishes.limits.on("ripe")
    rows = list(looked_at(season, any_stock=not wishes.limits.on("same_stock"), ripe_only=ripe_only, also=also))
    facts = [fish_as_known(row) for row in rows]
    learn_holds(facts)
    learn_ploidy(facts)
    return list(zip(rows, facts, strict=True))
