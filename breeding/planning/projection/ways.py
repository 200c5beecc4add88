"""Ways of crossing: which parents make the families of a generation, and of which family each kept young is."""

from collections.abc import Callable, Hashable, Iterable, Sequence

import numpy as np

from breeding.planning.projection.question import EQUAL, HABIT, PLAN, RANDOM, Parents, Question, Whole

# For each family of a generation its dam and its sire, then for each young its family.
Mating = tuple[Whole, Whole, Whole]
Way = Callable[[Parents, int, np.random.Generator], Mating]


def ways_of(question: Question) -> dict[str, Way]:
    """Return the ways that the question allows, the plan first."""
    ways = {EQUAL: _equally(question), RANDOM: _by_chance(question)}
    if question.habit:
        ways[HABIT] = _as_usual(question)
    return {PLAN: _as_planned(question), **ways} if question.plan else ways


def _equally(question: Question) -> Way:
    def way(parents: Parents, _generation: int, random: np.random.Generator) -> Mating:
        dams, sires = (_in_turn(sex, question.families, random) for sex in parents)
        return dams, sires, np.arange(question.kept) % question.families

    return way


def _by_chance(question: Question) -> Way:
    def way(parents: Parents, _generation: int, random: np.random.Generator) -> Mating:
        dams, sires = (random.choice(sex, question.families) for sex in parents)
        return dams, sires, random.integers(question.families, size=question.kept)

    return way


def _as_usual(question: Question) -> Way:
    uses = [_uses(pair[side] for pair in question.habit) for side in (0, 1)]

    def way(parents: Parents, _generation: int, random: np.random.Generator) -> Mating:
        dams, sires = (
            _unequally(sex, share, question.families, random) for sex, share in zip(parents, uses, strict=True)
        )
        return dams, sires, random.integers(question.families, size=question.kept)

    return way


def _as_planned(question: Question) -> Way:
    afterwards = _equally(question)
    place = {name: at for at, name in enumerate([*question.dams, *question.sires])}
    pairs = np.array([[place[dam], place[sire]] for dam, sire in question.plan])

    def way(parents: Parents, generation: int, random: np.random.Generator) -> Mating:
        if generation:
            return afterwards(parents, generation, random)
        return pairs[:, 0], pairs[:, 1], np.arange(question.kept) % len(pairs)

    return way


def _in_turn(fish: Whole, families: int, random: np.random.Generator) -> Whole:
    """Each fish as often as any other, but for one, in an order drawn anew for every round."""
    rounds = -(-families // len(fish))
    return np.concatenate([random.permutation(fish) for _ in range(rounds)])[:families]


def _uses(parents: Iterable[Hashable]) -> list[float]:
    """Share of the crosses that each parent had, the most used first."""
    counts: dict[Hashable, int] = {}
    for parent in parents:
        counts[parent] = counts.get(parent, 0) + 1
    total = sum(counts.values())
    return [count / total for count in sorted(counts.values(), reverse=True)]


def _unequally(fish: Whole, shares: Sequence[float], families: int, random: np.random.Generator) -> Whole:
    """Parents drawn with the shares given, which fish has which share being drawn first."""
    used = np.array(shares[: len(fish)])
    chosen = random.permutation(fish)[: len(used)]
    return random.choice(chosen, families, p=used / used.sum())
