"""A season's question out of the register: candidates, limits by name, and what the best plan is looked for in."""

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from django.utils import timezone

from breeding.genetics.diversity import group_kinship, kinship_with_group
from breeding.genetics.kinship import kinship_among
from breeding.genetics.pedigree import Pedigree
from breeding.planning.advice.relaxation import Level
from breeding.planning.problem import Floats, LivingShare, Problem, Whole
from registry.models import CrossPlan, Fish
from registry.queries.catalogue import inheritance_of
from registry.queries.crosses.candidates import season_of
from registry.queries.crosses.season.fish import Bench, Looked, Reason, look_at, unlike
from registry.queries.crosses.season.limits import least_uses, levels_of, most_uses, room_for, ruled_out_pairs
from registry.queries.crosses.season.past import made_in, past_of
from registry.queries.crosses.season.scheme import Chosen, chosen_in, crosses_of, scheme_of, told_of_choice
from registry.queries.crosses.season.sides import Pair, Sides, few_enough, sides_of
from registry.queries.crosses.season.stores import Eggs, Incubators, eggs_expected, incubators
from registry.queries.crosses.wishes import wishes_of
from registry.queries.known import policy
from registry.queries.pedigree import StockPedigree, stock_pedigree
from registry.rules.crossing.wishes import CHOSEN, IN, LOCKED, TermsSet, Wishes

Numbers = tuple[str, str]  # register numbers of dam and sire

YOUNG_OF_A_FAMILY = 100  # while no policy figure says how many are expected to live


@dataclass(frozen=True, eq=False)
class SeasonProblem:
    """A plan's question, and what it was made of.

    Attributes
    ----------
    today, ploidy : the day on which it was asked, and the gene copies by which kinship is counted.
    problem : fish by register number, kinship at the ploidy of the stock; None while a sex has no candidate. Limits
        stand in it under their keys in `registry.rules.crossing.limits`, the least numbers of dams and sires under the
        engine's own; single words of the geneticist under `fish_limit`, `forbidden` and `fish_out`.
    candidates : by register number, in the order of the problem's fish, with tag code, unit and stage; those that have
        reasons against them are in for crosses made or locked alone.
    left_out : the others that were looked at, each with every reason.
    against : by register number, every reason against a fish that was looked at; no entry: none.
    levels : limits on pairs that are figures: `relationship` = ploidy × kinship.
    mean_kinship : (fish,), of each candidate with the living stock, itself included if it lives.
    coancestry : θ of the living stock, self included; 0 while nothing lives.
    living : the living stock: fish by key, or ("sibs", parentage key) with how many of them live.
    pedigree, at : of the living and the candidates by fish key, and where the candidates stand in it, (fish,).
    made, locked : pairs that are in every plan, by register number.
    eggs : expected of a female, by register number, where anything is known of it.
    incubators : jars and troughs, and how many are free.
    family_young : young expected of a family, if nothing else is planned of it.
    notes : what the person should know of the question, in sentences.
    """

    plan: CrossPlan
    today: date
    ploidy: int
    wishes: Wishes
    problem: Problem | None
    candidates: Mapping[str, Looked]
    left_out: tuple[Looked, ...]
    against: Mapping[str, tuple[Reason, ...]]
    levels: Mapping[str, Level]
    mean_kinship: Floats
    coancestry: float
    living: Mapping[Hashable, int]
    pedigree: Pedigree
    at: Whole
    made: tuple[Numbers, ...]
    locked: tuple[Numbers, ...]
    eggs: Mapping[str, Eggs]
    incubators: Incubators
    family_young: int
    notes: tuple[str, ...]

    def positions(self, pairs: Iterable[Numbers]) -> tuple[list[Pair], list[Numbers]]:
        """Return pairs by position, and apart those of which a fish is no candidate (any more)."""
        sides = (self.problem.dams, self.problem.sires) if self.problem else ((), ())
        rows, columns = ({name: place for place, name in enumerate(names)} for names in sides)
        listed = list(pairs)
        found = [(rows[dam], columns[sire]) for dam, sire in listed if dam in rows and sire in columns]
        return found, [pair for pair in listed if pair[0] not in rows or pair[1] not in columns]

    def numbers(self, pairs: Iterable[Pair]) -> list[Numbers]:
        """Return pairs of positions by register number."""
        assert self.problem is not None
        return [(self.problem.dams[dam], self.problem.sires[sire]) for dam, sire in pairs]


@dataclass(frozen=True)
class _Weighed:
    """The living stock and the candidates: mean kinship of each candidate by key, and θ of the living."""

    stock: StockPedigree
    mean: Mapping[int, float]
    coancestry: float


def season_problem(plan: CrossPlan, today: date | None = None, planned: Iterable[Numbers] = ()) -> SeasonProblem:
    """Return what the best plan of a plan's stock and season is looked for in, by its terms, limits and wishes.

    The fish of `planned` pairs are among the candidates whatever is against them, so that the pairs can be judged.
    A fixed number of statements, and two for each generation of the pedigree.

    Raises
    ------
    PedigreeError
        The records contradict each other, such as a fish that is its own ancestor.
    """
    day = today or timezone.localdate()
    wishes, season = wishes_of(plan), season_of(plan.stock, day)
    made = made_in(plan) if wishes.terms.count_made else []
    pairs = set(planned)
    keys = _keys_of(wishes, pairs)
    locked = [(keys[dam], keys[sire]) for (dam, sire), word in wishes.pairs.items() if word.stand == LOCKED]
    asked = {key for one in made for key in (one.dam, one.sire)} | {key for pair in locked for key in pair}
    asked |= {keys[fish] for pair in pairs for fish in pair if fish in keys}
    asked |= {keys[fish] for fish, word in wishes.fish.items() if word.stand == CHOSEN}
    found = look_at(season, wishes, asked | {keys[fish] for fish, word in wishes.fish.items() if word.stand == IN})
    chosen = chosen_in(wishes, ((fish.number, row.sex) for row, fish in found))
    past = past_of((row.fish_id for row, _ in found), plan.season)
    bench = Bench(season, wishes, past, plan.season, chosen.sexes_of_factorial(wishes.terms))
    looked = [bench.looked(row, fish) for row, fish in found]
    kept = [one for one in looked if not one.reasons or one.candidate.key in asked]
    weighed = _weigh(plan, kept)
    kept, crowded = few_enough(kept, weighed.mean, asked)
    sides, notes = sides_of(kept, made, locked)
    eggs, units = (
        eggs_expected((one.candidate.key for one in sides.dams), plan.stock.species),
        incubators(plan.season, day),
    )
    ploidy = inheritance_of(plan.stock).ploidy
    problem, levels = (
        _problem(bench, sides, weighed, (eggs, units, chosen, ploidy)) if sides.dams and sides.sires else (None, {})
    )
    wanted = crosses_of(wishes.terms, chosen)
    if problem is not None and problem.crosses > wanted:
        notes.append(f"{len(sides.fixed)} crosses are made or locked where {wanted} are wanted.")
    notes += told_of_choice(wishes.terms, chosen) + unlike(
        row for row, one in zip(found, looked, strict=True) if not one.reasons
    )
    return SeasonProblem(
        plan=plan,
        today=day,
        ploidy=ploidy,
        wishes=wishes,
        problem=problem,
        candidates={one.candidate.number: one for one in sides.all},
        against={one.candidate.number: one.reasons for one in looked if one.reasons},
        left_out=(*(one for one in looked if one.reasons and one.candidate.key not in asked), *crowded),
        levels=levels,
        mean_kinship=np.array([weighed.mean[one.candidate.key] for one in sides.all]),
        coancestry=weighed.coancestry,
        living=weighed.stock.living,
        pedigree=weighed.stock.pedigree,
        at=weighed.stock.pedigree.positions([one.candidate.key for one in sides.all]),
        made=sides.numbers(sides.made),
        locked=sides.numbers(sides.locked),
        eggs={one.candidate.number: eggs[one.candidate.key] for one in sides.dams if one.candidate.key in eggs},
        incubators=units,
        family_young=_family_young(day),
        notes=tuple(notes),
    )


def _keys_of(wishes: Wishes, planned: Iterable[Numbers]) -> dict[str, int]:
    """Return the keys of the fish of which the geneticist said a word, and of those planned, by number."""
    named = {*wishes.fish, *(number for pair in (*wishes.pairs, *planned) for number in pair)}
    return dict(Fish.objects.filter(number__in=named).values_list("number", "pk")) if named else {}


def _weigh(plan: CrossPlan, kept: Sequence[Looked]) -> _Weighed:
    keys = [one.candidate.key for one in kept]
    stock = stock_pedigree(plan.stock, keys)
    if not stock.living:
        return _Weighed(stock, dict.fromkeys(keys, 0.0), 0.0)
    group = group_kinship(stock.pedigree, stock.living)
    mean = kinship_with_group(stock.pedigree, group, stock.pedigree.positions(keys))
    return _Weighed(stock, dict(zip(keys, mean.tolist(), strict=True)), group.coancestry)


def _problem(
    bench: Bench, sides: Sides, weighed: _Weighed, has: tuple[Mapping[int, Eggs], Incubators, Chosen, int]
) -> tuple[Problem, dict]:
    wishes, terms = bench.wishes, bench.wishes.terms
    eggs, units, chosen, ploidy = has
    keys = [one.candidate.key for one in sides.all]
    kinship = kinship_among(weighed.stock.pedigree, keys)
    related = kinship[: len(sides.dams), len(sides.dams) :] * ploidy
    crosses = max(crosses_of(terms, chosen), len(sides.fixed))
    fewest = (int(wishes.limits.figure(key) or 0) for key in ("least_dams", "least_sires"))
    dams, sires = fewest
    problem = Problem(
        tuple(one.candidate.number for one in sides.dams),
        tuple(one.candidate.number for one in sides.sires),
        kinship,
        crosses,
        most=most_uses(sides, wishes, eggs),
        ruled_out=ruled_out_pairs(sides, wishes, bench.past, bench.year, related),
        living=_living(terms, crosses, weighed, keys, bench.season.today),
        price=float(terms.price),
        fixed=tuple(sorted(sides.fixed)),
        fewest_dams=dams,
        fewest_sires=sires,
        in_all=room_for(wishes, units, len(sides.made)),
        least=least_uses(sides, wishes),
        scheme=scheme_of(terms, (len(sides.dams), len(sides.sires)), chosen),
    )
    return problem, levels_of(wishes, related)


def _family_young(today: date) -> int:
    return int(policy(today).get("expected_young", YOUNG_OF_A_FAMILY))


def _living(terms: TermsSet, crosses: int, weighed: _Weighed, keys: Sequence[int], today: date) -> LivingShare | None:
    """Return the living beside which the young count; their share by the young expected unless the terms say it."""
    if not terms.count_living or not weighed.stock.living:
        return None
    young = crosses * _family_young(today)
    share = float(terms.weight_of_young or 0) or young / (young + weighed.stock.count)
    return LivingShare(weighed.coancestry, np.array([weighed.mean[key] for key in keys]), share)
