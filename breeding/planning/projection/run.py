"""What becomes of gene diversity and inbreeding in the next generations, by gene drop, under several ways of crossing.

Every founder gene copy is an allele of its own. They are dropped down the recorded pedigree to the parents of today,
and from there down generations that do not exist yet: so many families a generation, so many young kept of them, half
of each sex. Loci are unlinked and generations do not overlap.

References
----------
MacCluer, VandeBerg, Read and Ryder 1986, Pedigree analysis by computer simulation, Zoo Biol. 5: 147-160.
"""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from breeding.planning.projection.drop import gametes, genes_of_parents
from breeding.planning.projection.question import Genes, Parents, Question
from breeding.planning.projection.ways import Way, ways_of

METHOD = "gene drop, 2"  # another number once the same question gives another answer
BAND = (5, 95)  # percentiles of the replicates


class Band(NamedTuple):
    """A figure by generation, today's first: mean over the replicates, 5th and 95th percentile."""

    mean: list[float]
    low: list[float]
    high: list[float]


class Outcome(NamedTuple):
    """Gene diversity, 1 - mean kinship with self, and mean F of the kept young of each generation."""

    gene_diversity: Band
    inbreeding: Band


def project(question: Question, tick: Callable[[], object] = tuple) -> dict[str, Outcome]:
    """Project gene diversity and inbreeding under each way of crossing.

    Parameters
    ----------
    tick
        Called once a replicate, to show that work goes on; what it raises stops the work.

    Returns
    -------
    dict
        By way of crossing: PLAN, EQUAL (every parent as often as can be), RANDOM (parents and family sizes by chance),
        HABIT (parents used as unequally as in the past seasons; which ones is drawn anew in each generation). The same
        question gives the same answer.

    Raises
    ------
    ValueError
        No female or male, or fewer than two young kept.
    """
    refuse_impossible(question)
    ways = ways_of(question)
    found = {way: np.empty((question.replicates, 2, question.generations + 1)) for way in ways}
    for replicate in range(question.replicates):
        tick()
        random = np.random.default_rng([question.seed, replicate])
        start = genes_of_parents(question, random)
        for place, (name, way) in enumerate(ways.items()):
            of_way = np.random.default_rng([question.seed, replicate, place + 1])
            found[name][replicate] = _run(question, start, way, of_way)
    return {way: Outcome(_band(values[:, 0]), _band(values[:, 1])) for way, values in found.items()}


def refuse_impossible(question: Question) -> None:
    """Raise ValueError, saying what to do, where there is nothing to project."""
    if not question.dams or not question.sires:
        raise ValueError("A projection needs at least one female and one male. Choose parents first.")
    if question.kept < 2 or question.families < 1:
        raise ValueError("At least one family and two young, one of each sex, must be kept. Ask for more.")


def _band(values: npt.NDArray[np.float64]) -> Band:
    low, high = np.percentile(values, BAND, axis=0)
    return Band(values.mean(axis=0).tolist(), low.tolist(), high.tolist())


def _run(question: Question, genes: Genes, way: Way, random: np.random.Generator) -> list[list[float]]:
    parents = Parents(np.arange(len(question.dams)), len(question.dams) + np.arange(len(question.sires)))
    told = [measures(genes)]
    for generation in range(question.generations):
        dams, sires, family = way(parents, generation, random)
        half = genes.shape[1] // 2
        of_both = (genes[side[family]] for side in (dams, sires))
        genes = np.concatenate([gametes(one, half, random, question.double_reduction) for one in of_both], axis=1)
        told.append(measures(genes))
        drawn = random.permutation(question.kept)
        parents = Parents(drawn[: question.kept // 2], drawn[question.kept // 2 :])
    return [list(figures) for figures in zip(*told, strict=True)]


def measures(genes: Genes) -> tuple[float, float]:
    """Gene diversity, 1 - Σp² over the alleles of a locus, and mean F, the chance that two copies of a fish are one."""
    fish, copies, loci = genes.shape
    flat = np.sort(genes.reshape(fish * copies, loci), axis=0)
    new = np.ones(flat.shape, dtype=bool)
    new[1:] = flat[1:] != flat[:-1]
    runs = np.diff(np.flatnonzero(new.T.ravel()), append=flat.size)
    alike = float(np.square(runs).sum()) / (fish * copies) ** 2 / loci
    pairs = [genes[:, a] == genes[:, b] for a in range(copies) for b in range(a)]
    return 1 - alike, float(np.mean(pairs))
