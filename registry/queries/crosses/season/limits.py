"""The limits of a plan as arrays over its candidates, each under the key that the table of limits has for it."""

from collections.abc import Mapping, Sequence

import numpy as np

from breeding.planning.advice.relaxation import Level
from breeding.planning.problem import NO_LIMIT, Floats, Truths, Whole
from registry.queries.crosses.season.past import Keys, Past
from registry.queries.crosses.season.sides import Sides
from registry.queries.crosses.season.stores import Eggs, Incubators
from registry.rules.crossing.limits import ROUNDING
from registry.rules.crossing.wishes import CHOSEN, FORBIDDEN, LIMITED, Wishes

# Limits that single words of the geneticist make.
FISH_LIMIT, FORBIDDEN_PAIRS = "fish_limit", "forbidden"


def most_uses(sides: Sides, wishes: Wishes, eggs: Mapping[int, Eggs]) -> dict[str, Whole]:
    """Return how often each fish may be used, by key of the limit, (fish,); limits that touch no fish are left out."""
    limits, fish, dams = wishes.limits, sides.all, len(sides.dams)
    is_dam = np.arange(len(fish)) < dams
    found = {}
    for key, side in (("crosses_per_dam", is_dam), ("crosses_per_sire", ~is_dam)):
        figure = limits.figure(key)
        if figure is not None:
            found[key] = np.where(side, int(figure), NO_LIMIT)
    portion, doses = limits.figure("egg_portion"), limits.figure("milt_doses")
    if portion:
        expected = [eggs.get(one.candidate.key) for one in sides.dams]
        portions = [None if one is None else one.count // int(portion) for one in expected]
        found["egg_portion"] = _array([*portions, *[None] * len(sides.sires)])
    if doses:
        found["milt_doses"] = _array(_by_milt(sides, int(doses)))
    stands = [wishes.fish.get(one.candidate.number) for one in fish]
    limited = [stand.most if stand is not None and stand.stand == LIMITED else None for stand in stands]
    found[FISH_LIMIT] = _array(limited)
    found |= _left_out(sides)
    return {key: most for key, most in found.items() if (most < NO_LIMIT).any()}


def least_uses(sides: Sides, wishes: Wishes) -> Whole | None:
    """Return how often each fish must be used, (fish,): a chosen one at least once; None where nobody is chosen."""
    stands = [wishes.fish.get(one.candidate.number) for one in sides.all]
    least = np.array([int(stand is not None and stand.stand == CHOSEN) for stand in stands], dtype=np.int64)
    return least if least.any() else None


def _by_milt(sides: Sides, doses: int) -> list[int | None]:
    """Return for males that only frozen milt stands for how many crosses it is enough for, those made included."""
    made = sides.uses(sides.made)
    found: list[int | None] = [None] * len(made)
    for place, one in enumerate(sides.sires, len(sides.dams)):
        if not one.fresh and one.candidate.doses:
            found[place] = one.candidate.doses // doses + int(made[place])
    return found


def _left_out(sides: Sides) -> dict[str, Whole]:
    """Return that fish which a limit leaves out are used for what is made or locked, and no more."""
    fixed = sides.uses([*sides.made, *sides.locked])
    found: dict[str, Whole] = {}
    for place, one in enumerate(sides.all):
        for reason in one.reasons:
            found.setdefault(reason.limit, np.full(len(fixed), NO_LIMIT))[place] = fixed[place]
    return found


def _array(values: Sequence[int | None]) -> Whole:
    return np.array([NO_LIMIT if value is None else min(value, NO_LIMIT) for value in values], dtype=np.int64)


def ruled_out_pairs(sides: Sides, wishes: Wishes, past: Past, season: int, related: Floats) -> dict[str, Truths]:
    """Return the pairs that each limit forbids, (dams, sires); `related` is their relationship, ploidy × kinship."""
    found = {}
    close, years = wishes.limits.figure("relationship"), wishes.limits.figure("repeat_years")
    if close is not None:
        found["relationship"] = related >= float(close - ROUNDING)
    if years is not None:
        last = {pair: year for pair, year in past.of_pair.items() if season - year < years}
        found["repeat_years"] = _marked(sides, last)
    forbidden = {pair for pair, word in wishes.pairs.items() if word.stand == FORBIDDEN}
    keys = {one.candidate.number: one.candidate.key for one in sides.all}
    named = {(keys[dam], keys[sire]): 0 for dam, sire in forbidden if dam in keys and sire in keys}
    found[FORBIDDEN_PAIRS] = _marked(sides, named)
    return {key: pairs for key, pairs in found.items() if pairs.any()}


def _marked(sides: Sides, pairs: Mapping[Keys, int]) -> Truths:
    marked = [[(dam.candidate.key, sire.candidate.key) in pairs for sire in sides.sires] for dam in sides.dams]
    return np.array(marked, dtype=bool).reshape(len(sides.dams), len(sides.sires))


def levels_of(wishes: Wishes, related: Floats) -> dict[str, Level]:
    """Return the limits on pairs that are figures, with what is held against them."""
    close = wishes.limits.figure("relationship")
    return {} if close is None else {"relationship": Level(float(close), related)}


def room_for(wishes: Wishes, units: Incubators, made: int) -> dict[str, int]:
    """Return for how many crosses there is room, those made included; a register without incubators sets no limit."""
    each = wishes.limits.figure("incubators")
    return {} if each is None or not units.all else {"incubators": units.free * int(each) + made}
