"""A problem with further candidates of which only the number counts."""

from dataclasses import replace

import numpy as np

from breeding.planning.problem import LivingShare, Problem


def with_fish(problem: Problem, side: int, count: int) -> Problem:
    """So many further dams (side 0) or sires (side 1), which any mate may meet, used as often as the others may be.

    Good for asking what is possible; their kinship is left at nought.
    """
    part = problem.sides[side]
    at = [len(problem.dams), len(problem.fish)][side]

    def wider(values: np.ndarray, value: float) -> np.ndarray:
        return np.insert(values, at, np.full(count, value))

    kinship = problem.kinship
    for axis in (0, 1):
        kinship = np.insert(kinship, [at] * count, 0.0, axis=axis)
    names = tuple(f"\U0010ffff{number}" for number in range(count))  # behind every other name
    living = problem.living
    return replace(
        problem,
        dams=problem.dams + names if side == 0 else problem.dams,
        sires=problem.sires + names if side == 1 else problem.sires,
        kinship=kinship,
        most={name: wider(most, int(most[part].max())) for name, most in problem.most.items()},
        ruled_out={
            name: np.insert(pairs, [pairs.shape[side]] * count, False, axis=side)
            for name, pairs in problem.ruled_out.items()
        },
        least=None if problem.least is None else wider(problem.least, 0),
        living=living and LivingShare(living.coancestry, wider(living.mean_kinship, 0.0), living.weight_of_young),
    )
