"""What is shown of a pair before the eggs meet the milt: how close, in the plan or not, and what speaks against it."""

from dataclasses import dataclass, replace

from breeding.planning.limits import KINSHIP_TOLERANCE
from breeding.planning.reasons import closeness, figure
from registry.errors import Objection
from registry.operations.shared.entries import CrossMade, SpawningNight
from registry.queries.catalogue import Inherits, inheritance_named
from registry.queries.crosses.pairs import Kin, Past, kin_of_pairs, kinship_limit, past_of, without_tissue
from registry.rules.crossing.at_tank import plans_of
from registry.rules.crossing.crosses import objections_to_candidate
from registry.rules.crossing.spawning import objections_by_plan, objections_to_cross_made
from registry.rules.known import Known, KnownFish
from registry.rules.texts import objections_to_texts

# What is recorded when it was done, but not without a second look.
SECOND_LOOK = {"unsexed", "wrong_stock"}
# A plan keeps kinship to eight places.
PLACES = 1e-8


@dataclass(frozen=True, slots=True)
class Look:
    """One pair, in words and figures."""

    dam: str
    sire: str
    kinship: str
    inbreeding: str
    words: str
    plan: str
    before: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LookedAt:
    """One cross: its pairs, and all that is in its way."""

    pairs: tuple[Look, ...]
    objections: tuple[Objection, ...]
    no_tissue: tuple[str, ...] = ()
    inherits: Inherits | None = None

    @property
    def warnings(self) -> tuple[Objection, ...]:
        """Return what does not stop the entry."""
        return tuple(objection for objection in self.objections if objection.warning)


class Looking:
    """Looks at all crosses of a night with the same few queries."""

    def __init__(self, entry: SpawningNight, known: Known) -> None:
        self.entry, self.known = entry, known
        dams = {cross.dam for cross in entry.crosses}
        sires = {share.sire for cross in entry.crosses for share in cross.sires}
        self.past: Past = past_of(dams, sires, entry.spawned_on.year)
        stocks = {self._stock(cross) for cross in entry.crosses}
        self.inherits = {stock: inheritance_named(stock) for stock in stocks}
        self.kin: dict[tuple[str, int, int], Kin] = {}
        for stock in stocks:
            crosses = (cross for cross in entry.crosses if self._stock(cross) == stock)
            pairs = [(dam.pk, sire.pk) for cross in crosses for dam, sire in self._pairs(cross) if dam.pk and sire.pk]
            self.kin |= {(stock, *pair): kin for pair, kin in kin_of_pairs(pairs, self.inherits[stock]).items()}
        self.no_tissue = without_tissue(key for _, *pair in self.kin for key in pair)

    def at(self, cross: CrossMade) -> LookedAt:
        """Return what is to be seen and said of one cross."""
        found = objections_to_texts(cross) + objections_to_cross_made(cross, self.entry.spawned_on, self.known)
        pairs = []
        for dam, sire in self._pairs(cross):
            found += self._against(dam, sire, cross)
            pairs.append(self._look(dam, sire, cross))
        found += objections_by_plan(cross, self.entry.stock, self.entry.spawned_on, self.known)
        parents = dict.fromkeys(number for look in pairs for number in (look.dam, look.sire))
        no_tissue = tuple(number for number in parents if number in self.no_tissue)
        return LookedAt(tuple(pairs), tuple(dict.fromkeys(found)), no_tissue, self.inherits[self._stock(cross)])

    def _pairs(self, cross: CrossMade) -> list[tuple[KnownFish, KnownFish]]:
        dam = self.known.find_fish(cross.dam)
        sires = [self.known.find_fish(share.sire) for share in cross.sires]
        return [(dam, sire) for sire in sires if dam and sire]

    def _stock(self, cross: CrossMade) -> str:
        dam = self.known.find_fish(cross.dam)
        return self.entry.stock or (dam.stock if dam else "")

    def _look(self, dam: KnownFish, sire: KnownFish, cross: CrossMade) -> Look:
        stock = self._stock(cross)
        kin, pair = self._kin(dam, sire, stock), (dam.number, sire.number)
        signed = plans_of(stock, self.entry.spawned_on, self.known)
        holding = [plan.number for plan in signed if pair in plan.pairs]
        season = self.entry.spawned_on.year
        if holding:
            plan = f"In signed plan {', '.join(holding)}."
        elif signed:
            plan = f"Not in the signed plan {', '.join(plan.number for plan in signed)} of {season}."
        else:
            plan = f"No signed plan of {season} for this stock."
        before = tuple(family for family in self.past.families.get(pair, ()))
        words = closeness(self.inherits[stock].on_two_copies(kin.kinship))
        return Look(*pair, figure(kin.kinship), figure(kin.inbreeding_of_young), words, plan, before)

    def _against(self, dam: KnownFish, sire: KnownFish, cross: CrossMade) -> list[Objection]:
        stock = self._stock(cross)
        found = [
            replace(objection, warning=True)
            for role, fish in (("dam", dam), ("sire", sire))
            for objection in objections_to_candidate(fish, role, stock, self.entry.spawned_on)
            if objection.code in SECOND_LOOK
        ]
        if self._planned_as_close(dam, sire, stock):
            return found
        inherits, kinship = self.inherits[stock], self._kin(dam, sire, stock).kinship
        limit = self._limit(stock, inherits.ploidy)
        if limit is not None and kinship >= limit - KINSHIP_TOLERANCE:
            told = (
                f"{dam.number} × {sire.number}: kinship {figure(kinship)} is not below the limit of "
                f"{figure(limit)}; they are {closeness(inherits.on_two_copies(kinship))}."
            )
            found.append(Objection("too_close", "sire", told, sire.number, warning=True))
        return found

    def _limit(self, stock: str, ploidy: int) -> float | None:
        """Return the kinship at which a pair is too close: by the signed plan, or by the policy where there is none."""
        plans = plans_of(stock, self.entry.spawned_on, self.known)
        figures = self.known.policy
        if plans:
            in_plan = plans[0].limits.figure("relationship")
            figures = {} if in_plan is None else {"max_pair_relationship": in_plan}
        return kinship_limit(figures, ploidy)

    def _planned_as_close(self, dam: KnownFish, sire: KnownFish, stock: str) -> bool:
        """Return whether the signed plan holds the pair knowing it to be as close as it is today."""
        plans = plans_of(stock, self.entry.spawned_on, self.known)
        known = [plan.pairs[pair] for plan in plans for pair in [(dam.number, sire.number)] if pair in plan.pairs]
        return any(self._kin(dam, sire, stock).kinship <= float(one) + PLACES for one in known)

    def _kin(self, dam: KnownFish, sire: KnownFish, stock: str) -> Kin:
        return self.kin.get((stock, dam.pk or 0, sire.pk or 0), Kin(0.0, 0.0))
