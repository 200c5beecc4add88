"""Seeded hatcheries to plan for."""

from dataclasses import replace

import numpy as np

from breeding.genetics.kinship import kinship_among
from breeding.genetics.pedigree import ParentRow, build_pedigree
from breeding.planning.problem import Problem

CROSSES_OF_A_FISH = 4
SIZES = {(10, 15): 10, (40, 60): 40, (200, 300): 120}
BASES = {"narrow": 12, "wide": 3}  # candidates for each founder


def hatchery(dams: int, sires: int, founders: int, seed: int) -> Problem:
    """An invented hatchery: three generations of families of two on average, parents drawn at random."""
    random = np.random.default_rng(seed)
    rows, parents = [], [f"W{number}" for number in range(founders)]
    for generation in range(3):
        count = dams + sires if generation == 2 else max(founders, (dams + sires) // 2)
        half = len(parents) // 2
        families = [
            (parents[random.integers(half)], parents[half + random.integers(len(parents) - half)])
            for _ in range(max(4, count // 2))
        ]
        young = [f"G{generation}-{number:03d}" for number in range(count)]
        rows += [ParentRow(fish, *families[random.integers(len(families))]) for fish in young]
        parents = [young[at] for at in random.permutation(count)]
    females, males = tuple(sorted(parents[:dams])), tuple(sorted(parents[dams:]))
    kinship = kinship_among(build_pedigree(rows), females + males)
    most = {"max_crosses": np.full(dams + sires, CROSSES_OF_A_FISH)}
    return Problem(females, males, kinship, SIZES[dams, sires], most=most)


def instance(size: tuple[int, int], base: str, seed: int, forbidden: float = 0.0) -> Problem:
    """A hatchery of a size, with a share of the pairs forbidden at random."""
    problem = hatchery(*size, max(6, sum(size) // BASES[base]), seed)
    ruled_out = np.random.default_rng(seed).random(problem.between.shape) < forbidden
    return replace(problem, ruled_out={"forbid": ruled_out})
